"""Circulation systems: where the column begins, what stands in it, where the returns go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from bathybore.base.errors import InputErrors, nearest
from bathybore.model.hole import Hole


@dataclass(frozen=True)
class Circulation:
    """One way to drill a leg.

    Attributes
    ----------
    from_sea_bed : the column begins at the sea bed, under the pressure of the sea
    on_riser : a riser and a preventer stand over the hole
    sea_water : drilled with sea water and sweeps, no other density
    closed : what is pumped comes back on board
    returns : what a plan calls it; None where a plan has no word for it, so that it is
        compared here and not walked
    """

    name: str
    from_sea_bed: bool
    on_riser: bool
    sea_water: bool
    closed: bool
    returns: str | None


SEA_WATER: Final = Circulation("sea water", True, False, True, False, "sea floor")
DUMPED: Final = Circulation("mud pumped and dumped", True, False, False, False, "sea floor")
SEA_BED_PUMP: Final = Circulation("mud back by a sea-bed pump", True, False, False, True, None)
RISER: Final = Circulation("mud in the riser", False, True, False, True, "riser")
DUAL_GRADIENT: Final = Circulation("dual gradient", True, True, False, True, None)


@dataclass(frozen=True)
class System:
    """What a vessel may be fitted with: the circulations it has, to be used in any leg."""

    name: str
    title: str
    circulations: tuple[Circulation, ...]

    @property
    def has_riser(self) -> bool:
        return any(one.on_riser for one in self.circulations)

    @property
    def walked(self) -> bool:
        """Whether a plan can say all of it."""
        return all(one.returns is not None for one in self.circulations)


SYSTEMS: Final = (
    System("sea-water", "sea water, returns to the sea floor", (SEA_WATER,)),
    System("dumped", "sea water, then weighted mud pumped and dumped", (SEA_WATER, DUMPED)),
    System("sea-bed-pump", "mud returned by a sea-bed pump, no riser", (SEA_WATER, SEA_BED_PUMP)),
    System("riser", "riserless top hole, then riser with mud", (SEA_WATER, DUMPED, RISER)),
    System(
        "dual-gradient",
        "riserless top hole, then preventer with the column begun at the sea bed",
        (SEA_WATER, DUMPED, DUAL_GRADIENT),
    ),
)


def riser_on_board(hole: Hole) -> bool:
    """Return whether riser, preventer and tensioners are there."""
    stock = hole.inventory
    return None not in (stock.riser, stock.preventer, hole.vessel.tensioners)


def usual_system(hole: Hole) -> System:
    """Return the system of a vessel with riser, or the one of a vessel without."""
    return system("riser" if riser_on_board(hole) else "dumped")


def system(name: str) -> System:
    """Return a system by its name.

    Raises
    ------
    InputErrors
        There is none of that name.
    """
    names = [one.name for one in SYSTEMS]
    if name not in names:
        expected = f"one of {', '.join(names)}, or all"
        raise InputErrors.one("circulation", f"'{name}'", expected, nearest(name, names))
    return SYSTEMS[names.index(name)]
