"""Time of the exact search for an architecture, beside a plain loop that gives the same answer.

    python benchmarks/search.py

The main example is deepened to 8 km below the sea bed and given twenty sizes of casing and the
bits for them; the grid is 10 m. Processor time, so one core: from the hole to the problem, and
from the problem to the best architecture for each goal. The plain reference (`plain_search`)
looks at one node after another and at one shoe after another; its price must be the same. It
serves as an oracle in tests/search as well.
"""

from __future__ import annotations

import time
from pathlib import Path

from bathybore.data import catalogues
from bathybore.model.editing import Draft, Edit, read_draft
from bathybore.model.hole import Hole
from bathybore.search.bounds import usual_terms
from bathybore.search.circulation import system
from bathybore.search.intervals import Bound, Window
from bathybore.search.paths import (
    FEWEST_DAYS,
    FEWEST_STRINGS,
    LEAST_STEEL,
    Goal,
    Problem,
    State,
    carried,
    follows,
    search,
)
from bathybore.search.problems import prepare

EXAMPLE = Path(__file__).parents[1] / "examples" / "main"
DEPTH, SPACING, SIZES = 8000.0, 10.0, 20
TARGET = 1.0  # s; printed, not enforced: machines differ
INF = float("inf")


def plain_tops(window: Window, surge: Bound | None) -> list[int]:
    """Return the highest shoe for every node: node by node upward until a density fails."""
    size = len(window.needed[0].density)
    needed = [max(float(b.density[k]) for b in window.needed) + window.room for k in range(size)]
    bounds = [*window.borne, *([surge] if surge is not None else [])]
    borne = [min(float(b.density[k]) for b in bounds) for k in range(size)]
    kick = window.kick.density.tolist() if window.kick is not None else None
    tops: list[int] = []
    before: dict[int, float] = {}
    for bottom in range(size):
        least, most, with_kick = -INF, INF, INF
        top, now = bottom + 1, dict[int, float]()
        for node in range(bottom, -1, -1):
            least, most = max(least, needed[node]), min(most, borne[node])
            if kick is not None:
                with_kick = min(with_kick, kick[node][bottom], before.get(node, INF))
            if least > most or least > with_kick:
                break
            top, now[node] = node, with_kick
        tops.append(max(top, tops[-1] if tops else 0))
        before = now
    return tops


def plain_search(problem: Problem, goal: Goal) -> float | None:
    """Return the price of the best architecture: one node and one shoe after another."""
    size, depth = len(problem.depth), problem.depth.tolist()
    drilled = [plain_tops(one.window, None) for one in problem.drillings]
    cased = [plain_tops(problem.drillings[r.drilling].window, r.surge) for r in problem.runs]
    best: dict[State, list[float]] = {State(0, False, False): [0.0] + [INF] * (size - 1)}
    order = sorted(range(1, len(problem.strings)), key=lambda n: -problem.strings[n].drift)
    for string in order:
        for number, run in enumerate(problem.runs):
            if run.string == string:
                _plain_run(problem, goal, best, number, cased[number], depth)
    found = INF
    target = size - 1
    for index in problem.last:
        one = problem.drillings[index]
        for state, prices in best.items():
            if follows(problem, state, one, None):
                first = max(drilled[index][target], int(one.highest_top[target]))
                for top in range(first, problem.last_shoe + 1):
                    landing = problem.riser_days * (one.on_riser and not state.on_riser)
                    days = float(one.days[target] - one.days[top] + one.days_at[target]) + landing
                    found = min(found, prices[top] + goal.days * days)
    return found if found < INF else None


def _plain_run(
    problem: Problem,
    goal: Goal,
    best: dict[State, list[float]],
    number: int,
    tops: list[int],
    depth: list[float],
) -> None:
    run = problem.runs[number]
    one, string = problem.drillings[run.drilling], problem.strings[run.string]
    days, at, fixed = one.days.tolist(), one.days_at.tolist(), run.days_at.tolist()
    # what was there before this string: a state of the string itself is not below it
    for state, prices in [pair for pair in best.items() if pair[0].string != run.string]:
        if not follows(problem, state, one, string):
            continue
        into = State(run.string, carried(problem, state, run.string), one.on_riser)
        row = best.setdefault(into, [INF] * len(depth))
        landing = problem.riser_days * (one.on_riser and not state.on_riser)
        for bottom in range(1, problem.last_shoe + 1):
            liner = depth[bottom] > string.stock
            if liner and not one.on_riser:
                continue
            for top in range(max(tops[bottom], int(one.highest_top[bottom])), bottom):
                if prices[top] == INF or depth[bottom] - depth[top] < problem.least_leg - 1e-6:
                    continue
                hung = depth[top] - problem.lap if liner else 0.0
                length = depth[bottom] - hung
                if liner and (hung <= 0.0 or length > string.stock):
                    continue
                spent = days[bottom] - days[top] + at[bottom] + fixed[bottom] + landing
                spent += run.days_per_metre * length
                price = prices[top] + goal.strings + goal.days * spent
                price += goal.steel * 1e-3 * string.linear_mass * length
                row[bottom] = min(row[bottom], price)


def deep_hole() -> Hole:
    """Return the main example deepened to 8 km, with twenty sizes and their bits."""
    draft = read_draft(EXAMPLE)
    text = draft.files.texts["earth.csv"].rstrip("\n")
    last = text.splitlines()[-1].split(",")
    rows = [text]
    for metres in range(5200, int(DEPTH) + 101, 100):
        more = metres - 5100.0
        cells = list(last)
        cells[0] = str(metres)
        for column, slope in ((2, 18.2e-3), (3, 22.7e-3), (4, 18.6e-3), (5, 25e-3)):
            cells[column] = f"{float(last[column]) + slope * more:.3f}"
        rows.append(",".join(cells))
    casing, bits = _twenty(draft)
    target = f"{DEPTH:.0f} m below sea bed"
    after = draft.edited(
        [
            Edit("table", file="earth.csv", text="\n".join(rows) + "\n"),
            Edit("set", "plan.target", target),
            Edit("set", "plan.sections[4].bottom", target),
            Edit("set", "plan.coring.bottom", target),
            Edit("set", "plan.coring.top", f"{DEPTH - 300.0:.0f} m below sea bed"),
            Edit("put", "inventory.casing", content=casing),
            Edit("put", "inventory.bits", content=bits),
        ]
    )
    if after.hole is None:
        raise SystemExit("\n".join(str(fault) for fault in after.faults))
    return after.hole


def _twenty(draft: Draft) -> tuple[dict[str, object], list[object]]:
    """Return the stock of the example filled up to twenty sizes from the catalogue, and bits."""
    assert draft.tree is not None
    casing = dict(draft.tree.at(("inventory", "casing")))
    bits = list(draft.tree.at(("inventory", "bits")))
    there = {bit["diameter"] for bit in bits}
    for row in catalogues.casings():
        if len(casing) < SIZES and row.designation not in {c["size"] for c in casing.values()}:
            name = f"more-{len(casing)}"
            casing[name] = {"size": row.designation, "grade": "P-110", "length": "9000 m"}
    for inches in (
        "36 in",
        "24 in",
        "22 in",
        "20 in",
        "16 in",
        "14 3/4 in",
        "10 5/8 in",
        "9 7/8 in",
    ):
        if inches not in there:
            bits.append({"diameter": inches, "count": 2, "life": "60 h"})
    return casing, bits


def main() -> None:
    hole = deep_hole()
    start = time.process_time()
    problem = prepare(hole, system("riser"), SPACING).problem(usual_terms(hole))
    built = time.process_time() - start
    print(
        f"{len(problem.depth)} nodes to {problem.depth[-1]:.0f} m, {len(problem.strings)} sizes, "
        f"{len(problem.drillings)} ways to drill, {len(problem.runs)} to case"
    )
    print(f"hole to problem          {built:7.3f} s")
    whole = built
    for name, goal in (
        ("fewest strings", FEWEST_STRINGS),
        ("fewest days", FEWEST_DAYS),
        ("least steel", LEAST_STEEL),
    ):
        start = time.process_time()
        found = search(problem, goal)
        took = time.process_time() - start
        if name == "fewest strings":
            whole += took
        start = time.process_time()
        price = plain_search(problem, goal)
        plain = time.process_time() - start
        assert (found is None) == (price is None), "the plain loop disagrees"
        if found is not None and price is not None:
            assert abs(found.price(goal) - price) < 1e-6 * max(abs(price), 1.0), "other prices"
        strings = "no way" if found is None else f"{found.strings} strings"
        print(
            f"{name:24} {took:7.3f} s, plain loop {plain:7.1f} s, {plain / took:5.0f} times "
            f"as long; {strings}"
        )
    print(f"hole to best             {whole:7.3f} s, wanted {TARGET:.1f} s")


if __name__ == "__main__":
    main()
