"""Holes that were drilled, walked: hours, bits and barrels against what their reports print.

The folders stand in docs/verification, with the page that tells how the comparison was made. Each
row of `ROWS` is one published number; the page's table is made from the rows and must be as new
as they are: `python tests/verification/test_ocean_holes.py` prints it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

import pytest

from bathybore.kernels.coring import wireline_round_trip_time
from bathybore.model.inventory import CoreBarrel
from bathybore.model.loading import load_hole
from bathybore.model.vessel import Handling
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole

HOLES: Final = Path(__file__).parents[2] / "docs" / "verification"
HOUR: Final = 3600.0
DAY: Final = 24.0 * HOUR


@lru_cache
def walked(name: str) -> tuple[HoleState, ...]:
    return walk_hole(load_hole(HOLES / name))


def of(name: str, kind: StepKind) -> HoleState:
    return next(state for state in walked(name) if state.step.kind is kind)


def parts(name: str, kind: StepKind, *left_out: str) -> float:
    """Return the hours of a step in the clear, some of its parts left out."""
    times = of(name, kind).times
    assert set(left_out) <= {part.name for part in times}
    return sum(float(part) for part in times if part.name not in left_out)


def count(name: str, words: str) -> float:
    """Return the number that begins the name of a part: '8 bit changes'."""
    (part,) = (p.name for p in of(name, StepKind.CORE).times if p.name.endswith(words))
    return float(part.split()[0])


def cored(name: str) -> float:
    """Return the time from the first core to the last: the string is in the hole already."""
    return parts(name, StepKind.CORE, "make up the core barrel", "run in", "pull out")


def default(owner: type[CoreBarrel] | type[Handling], field: str) -> float:
    return float(owner.model_fields[field].default)


def cycle(depth: float) -> float:
    """Return the time of one core without the cutting, at the tool's defaults."""
    speed, handling = default(CoreBarrel, "wireline_speed"), default(CoreBarrel, "handling_time")
    return float(wireline_round_trip_time(depth, speed, handling))


@dataclass(frozen=True)
class Row:
    """A published number: least and greatest where the report leaves it open."""

    hole: str
    what: str
    unit: str
    least: float
    greatest: float
    ours: Callable[[], float]
    tolerance: float  # share of the published number
    source: str
    fitted: bool = False  # whether a default of the tool was fitted to it


_DAILY: Final = "IODP Expedition 309, daily science reports of"
ROWS: Final = (
    Row(
        "1256D",
        "752.0 to 1,255.1 m, first core on deck to the last",
        "day",
        32.05,
        32.05,
        lambda: cored("1256d") / DAY,
        0.10,
        f"{_DAILY} 19 July (0945) and 20 August 2005 (1100)",
        fitted=True,
    ),
    Row(
        "1256D",
        "bits worn out over these 503.1 m",
        "",
        9,
        9,
        lambda: count("1256d", "bit changes") + 1,
        0.12,
        f"{_DAILY} 20 August 2005: bit 9 at the end",
    ),
    Row(
        "1256D",
        "bit trip: out of 1,108.9 m, new bit, back on bottom",
        "h",
        19.75,
        24.0,
        lambda: 2.0 * float(trip_hours(4753.9)) + default(Handling, "bottom_assembly_time") / HOUR,
        0.05,
        f"{_DAILY} 8 and 9 August 2005: cone cleared 1215, coring 0800, and the hole below",
    ),
    Row(
        "U1373A",
        "65.7 m cored with one bit, spudded to the last core",
        "h",
        81.0,
        83.75,
        lambda: cored("u1373a") / HOUR,
        0.10,
        "Proceedings IODP 330, Site U1373: 0700 on 1 to before 1845 on 4 January 2011",
        fitted=True,
    ),
    Row(
        "1209A",
        "a piston or extended core in 2,387 m of water, cutting and all",
        "min",
        50.4,
        50.4,
        lambda: cycle(2530.0) / 60.0,
        0.30,
        "ODP Leg 198 Initial Reports, Site 1209: 28 cores, 1405 on 18 to 1335 on 19 September 2001",
        fitted=True,
    ),
    Row(
        "1230A",
        "string run to 5,097 m in open water",
        "h",
        11.0,
        11.0,
        lambda: trip_hours(5097.0),
        0.10,
        "ODP Leg 201 Initial Reports, Site 1230, Operations",
        fitted=True,
    ),
    Row(
        "1256D",
        "string pulled from the sea-bed cone to the deck, 3,645 m",
        "h",
        5.75,
        5.75,
        lambda: trip_hours(3645.0),
        0.35,
        f"{_DAILY} 8 August 2005: cone cleared 1215, rig floor 1800",
    ),
    Row(
        "C0009A",
        "36 in conductor jetted 54.5 m and left",
        "h",
        8.0,
        8.0,
        lambda: parts("c0009a", StepKind.SET_CONDUCTOR) / HOUR,
        0.15,
        "Preliminary Report IODP 319, Operations: 0930 to 1730 on 19 May 2009",
    ),
    Row(
        "C0009A",
        "26 in hole drilled from there to 712.7 m",
        "h",
        17.0,
        41.0,
        lambda: (
            parts("c0009a", StepKind.DRILL, "run in", "pull out", "lay down the assembly") / HOUR
        ),
        0.0,
        "Preliminary Report IODP 319, Operations: from 0700 on 24 May, reached on 25 May 2009",
    ),
)


def trip_hours(length: float) -> float:
    """Return the hours of a run in open water at the tool's default, in stands of 28.5 m."""
    return length / 28.5 * default(Handling, "time_per_stand_open_water") / HOUR


@pytest.mark.parametrize("row", ROWS, ids=[f"{row.hole}: {row.what}" for row in ROWS])
def test_what_was_drilled_is_foretold(row: Row) -> None:
    ours = row.ours()
    least, greatest = row.least * (1 - row.tolerance), row.greatest * (1 + row.tolerance)
    assert least - 1e-9 <= ours <= greatest + 1e-9, f"{ours:.4g} {row.unit}; {row.source}"


def table() -> str:
    """Return the comparison as the page in docs/verification has it."""
    lines = ["| Hole | What | Published | Bathybore | Source |", "|---|---|---|---|---|"]
    for row in ROWS:
        published = f"{row.least:g}"
        if row.greatest > row.least:
            published += f" to {row.greatest:g}"
        unit = f" {row.unit}" if row.unit else ""
        mark = " (fitted)" if row.fitted else ""
        lines.append(
            f"| {row.hole} | {row.what} | {published}{unit} | {row.ours():.3g}{unit}{mark} "
            f"| {row.source} |"
        )
    return "\n".join(lines)


def test_the_page_tells_the_comparison_as_it_is() -> None:
    assert table() in (HOLES / "README.md").read_text()


if __name__ == "__main__":
    print(table())
