"""The ledger as a page, for someone who reads it at three in the night.

What fails stands first and last; what is urgent in a step stands above what holds; what
holds is one quiet line unless it was asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rich.cells import cell_len
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from bathybore.base.sources import ASSUMED
from bathybore.base.units import show
from bathybore.checks.record import Status
from bathybore.cli.page import VERDICT_STYLE, Page, verdict_text, whole
from bathybore.operations.diameter_budget import DiameterBudget
from bathybore.usecases.ledger import DAY, URGENCY, Caution, Ledger, Row, StepRows, verdict

HOLDS: Final = str(Status.HOLDS)
WIDE: Final = 120  # columns from which place and source stand in the row itself
LEAST_FOR_SOURCE: Final = 24
HEADINGS: Final = ("", "check", "demand", "capacity", "margin", "closest at", "source")
NOTHING: Final = "–"
INDENT: Final = 4
GAP: Final = 2
QUIET: Final = "dim"
SHOWN_FAILURES: Final = 12


def check(ledger: Ledger, steps: tuple[StepRows, ...], fold: bool) -> str:
    """Return the page of a ledger.

    Parameters
    ----------
    steps : what is written out of it, a selection perhaps
    fold : count the checks that hold in one line a step
    """
    page = Page()
    _head(page, ledger)
    columns = _Columns.of(steps, page.width, fold)
    numbers = {step.name: index for index, step in enumerate(ledger.steps, 1)}
    page.line()
    _line(page, [Text(name, QUIET) for name in HEADINGS], columns)
    quiet = False
    for step in steps:
        if step.rows or not quiet:  # steps without checks stand close together
            page.line()
        _step(page, step, numbers[step.name], columns, fold)
        quiet = not step.rows
    _cautions(page, "Cautions", ledger.cautions)
    if fold:
        page.line()
        page.line(
            f"{len(ledger.equation_cautions)} more that belong to equations: --all, or explain",
            QUIET,
        )
    else:
        _cautions(page, "Cautions of the equations used", ledger.equation_cautions)
    _budget(page, ledger.budget)
    _summary(page, ledger)
    return page.text()


def _head(page: Page, ledger: Ledger) -> None:
    page.line(ledger.hole, "bold")
    if ledger.invented:
        page.line("The data of this hole are invented.")
    page.line(_verdict(ledger))
    failing = [
        (step, row) for step in ledger.steps for row in step.rows if row.status == str(Status.FAILS)
    ]
    for step, row in failing[:SHOWN_FAILURES]:
        margin = f"{row.margin_text} at {row.depth_text}" if row.depth_text else row.margin_text
        page.line(f"{_day(step.elapsed):>8}  {row.id}  {margin}", "bold red", indent=2)
    if len(failing) > SHOWN_FAILURES:
        page.line(f"and {len(failing) - SHOWN_FAILURES} more", "bold red", indent=12)


@dataclass(frozen=True)
class _Columns:
    """Widths shared by all rows, so that the eye can run down a column."""

    verdict: int
    check: int
    demand: int
    capacity: int
    margin: int
    place: int

    @property
    def widths(self) -> tuple[int, ...]:
        return (self.verdict, self.check, self.demand, self.capacity, self.margin)

    @classmethod
    def of(cls, steps: tuple[StepRows, ...], width: int, fold: bool) -> _Columns:
        rows = [row for step in steps for row in _written(step, fold)]
        columns = zip(HEADINGS, *(_texts(row) for row in rows), strict=True)
        verdict_, names, demand, capacity, margin, place, _ = (
            max(cell_len(text) for text in column) for column in columns
        )
        left = width - INDENT - verdict_ - demand - capacity - margin - 4 * GAP
        wide = width >= WIDE and left - names - place >= LEAST_FOR_SOURCE
        return cls(
            verdict_, max(min(names, left), 8), demand, capacity, margin, place if wide else 0
        )


def _written(step: StepRows, fold: bool) -> tuple[Row, ...]:
    return tuple(row for row in step.rows if not fold or row.status != HOLDS)


def _step(page: Page, step: StepRows, number: int, columns: _Columns, fold: bool) -> None:
    head = Text(whole(step.title), "bold")
    if step.title != step.name:
        head.append(f"  {step.name}", "not bold")
    if step.duration is not None:
        head.append(f"  {step.duration / 3600.0:.1f} h, done {_day(step.elapsed)}", "not bold")
    if not step.rows:
        head.append("  no checks", QUIET)
    page.fields([(f"{number:>2}", head)], indent=0, label=2)
    if not fold:
        _stores(page, step)
    written = _written(step, fold)
    for row in written:
        _row(page, row, columns)
    holding = [row for row in step.rows if row not in written]
    if holding:
        # exact fits and counts hold with nothing over; the eye wants the next one
        some_left = [row for row in holding if row.margin is None or row.margin > 1e-9] or holding
        least = min(some_left, key=lambda row: 0.0 if row.margin is None else row.margin)
        count = "1 holds" if len(holding) == 1 else f"{len(holding)} hold"
        page.line(f"{count}, least margin {least.margin_text}: {least.check}", QUIET, INDENT)


def _stores(page: Page, step: StepRows) -> None:
    """Say what the step uses up and which barriers are in force after it."""
    uses = ", ".join(f"{one.store} {one.shown}" for one in step.uses)
    page.note(uses and f"Uses: {uses}.", QUIET, INDENT)
    barriers = "; ".join(step.barriers) or "none"
    if step.barriers or step.barriers_needed:
        needed = "" if step.barriers_needed else " (nothing in the hole could flow)"
        page.note(f"Barriers: {barriers}{needed}.", QUIET, INDENT)


def _budget(page: Page, budget: DiameterBudget) -> None:
    """Say what each string costs in width and what is left for the core."""

    def inches(metres: float) -> str:
        return show(metres, "m", unit="in", significant=4)

    page.heading("Diameter budget")
    rows = [
        (
            row.name,
            f"{row.designation} in {inches(row.hole_diameter)} hole: "
            f"lets {inches(row.passes)} through, costs {inches(row.spent)}",
        )
        for row in budget.rows
    ]
    left = f"{inches(budget.last_hole)} hole"
    if budget.core is not None:
        left += f", {inches(budget.core)} core"
    rows.append(("at the target", left))
    spares = ", ".join(f"{one.designation} below {one.below}" for one in budget.spares)
    rows.append(("in hand", spares or "no string that fits between those of the plan"))
    page.fields(rows, label=max(len(name) for name, _ in rows))


def _texts(row: Row) -> tuple[str, ...]:
    """What stands in a row, in the order of the headings."""
    return (
        row.status,
        row.check,
        row.demand.text if row.demand else NOTHING,
        row.capacity.text if row.capacity else NOTHING,
        row.margin_text,
        row.depth_text,
        _sources(row),
    )


def _row(page: Page, row: Row, columns: _Columns) -> None:
    style = QUIET if row.status == HOLDS else ""
    cells = [Text(whole(text), style) for text in _texts(row)]
    cells[0], cells[4] = verdict_text(row.status), Text(row.margin_text, VERDICT_STYLE[row.status])
    _line(page, cells, columns)
    below = INDENT + columns.verdict + GAP
    if not columns.place:
        place = f"at {row.depth_text}" if row.depth_text else ""
        page.note("  ".join(filter(None, (place, _sources(row)))), QUIET, below)
    page.note(row.note, QUIET, below)
    page.note(row.reason and f"Why: {row.reason}", "", below)
    if not row.passes:
        page.note(row.remedy and f"Do first: {row.remedy}", "", below)


def _line(page: Page, cells: list[Text], columns: _Columns) -> None:
    """Set one row; place and source only where the page is wide enough."""
    table = Table.grid(padding=(0, GAP, 0, 0))
    for index, width in enumerate(columns.widths):
        # folded where too narrow, never cut: a number without its end is another number
        table.add_column(width=width, overflow="fold", justify="right" if index > 1 else "left")
    if columns.place:
        table.add_column(width=columns.place, overflow="fold")
        table.add_column(overflow="fold")
    table.add_row(*cells[: len(table.columns)])
    page.add(Padding(table, (0, 0, 0, INDENT)))


def _sources(row: Row) -> str:
    shown = list(row.sources[:2])
    # a limit nobody published must be seen, however deep in the working it stands
    if ASSUMED in row.sources[2:]:
        shown.append(ASSUMED)
    return f"[{', '.join(shown)}]" if shown else ""


def _cautions(page: Page, title: str, cautions: tuple[Caution, ...]) -> None:
    if not cautions:
        return
    page.heading(title)
    for caution in cautions:
        page.fields([("-", f"{caution.text} ({_where(caution.checks)})")], label=1)


def _where(checks: tuple[str, ...]) -> str:
    return checks[0] if len(checks) == 1 else f"{checks[0]} and {len(checks) - 1} more"


def _summary(page: Page, ledger: Ledger) -> None:
    page.heading("Summary")
    by_id = {row.id: (step, row) for step in ledger.steps for row in step.rows}
    rows: list[tuple[str, str | Text]] = []
    for label, id_ in (
        ("Fails first", ledger.fails_first),
        ("Fails most", ledger.fails_most if ledger.fails_most != ledger.fails_first else None),
        ("Tightest that holds", ledger.tightest),
    ):
        if id_ is not None:
            step, row = by_id[id_]
            place = f" at {row.depth_text}" if row.depth_text else ""
            when = f", {_day(step.elapsed)}" if step.elapsed is not None else ""
            rows.append((label, f"{id_}{when}: margin {row.margin_text}{place}"))
    rows.append(("Time", f"{ledger.elapsed / DAY:.1f} days"))
    rows.append(("Verdicts", _counts(ledger)))
    page.fields(rows, label=19)
    page.line(_verdict(ledger))


def _counts(ledger: Ledger) -> str:
    return ", ".join(f"{status}: {ledger.count(status)}" for status in URGENCY)


def _verdict(ledger: Ledger) -> Text:
    worst = Status.FAILS if ledger.count(Status.FAILS) else Status.NOT_JUDGED
    return Text(verdict(ledger), VERDICT_STYLE[str(Status.HOLDS if ledger.passes else worst)])


def _day(elapsed: float | None) -> str:
    return "" if elapsed is None else f"day {elapsed / DAY:.2f}"
