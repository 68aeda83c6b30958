"""Which limit each question of the ledger belongs to, and which factors move its numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from bathybore.ensembles.shapes import RUNS_OUT, Limit


@dataclass(frozen=True)
class Belongs:
    """Where a question stands among the limits.

    Attributes
    ----------
    limit : that it belongs to
    demand : key of the drawn factor that multiplies what is asked; empty where none does
    capacity : key of the drawn factor that multiplies what there is
    """

    limit: Limit
    demand: str = ""
    capacity: str = ""


_WINDOW: Final = Belongs(Limit.WINDOW)
_DIAMETER: Final = Belongs(Limit.DIAMETER)
_HOIST: Final = Belongs(Limit.HOIST, "hook_load")
_PULLED: Final = Belongs(Limit.PIPE, "hook_load", "pipe_strength")
_PIPE: Final = Belongs(Limit.PIPE, "", "pipe_strength")
_CASING: Final = Belongs(Limit.CASING, "", "casing_strength")
_RISER: Final = Belongs(Limit.RISER)
_TAUT: Final = Belongs(Limit.RISER, "riser_tension")
_STOCK: Final = Belongs(Limit.STOCK)
_OTHER: Final = Belongs(Limit.OTHER)

BELONGS: Final[dict[str, Belongs]] = {
    # what the rock needs and bears
    "window-low": _WINDOW,
    "window-high": _WINDOW,
    "window-high-static": _WINDOW,
    "window-high-pad": _WINDOW,
    "window-collapse": Belongs(Limit.CAVING),
    "swab": _WINDOW,
    "surge": _WINDOW,
    "casing-surge": _WINDOW,
    "kick-tolerance": _WINDOW,
    "shallow-flow": _WINDOW,
    # what the rock bears at a moment, and what the plan has for it: no string opens it
    "shoe-test": _OTHER,
    "kill-mud": _OTHER,
    "riser-margin": _OTHER,
    "barriers": _OTHER,
    "placing-high": _OTHER,
    # what goes through what
    "bit-passes": _DIAMETER,
    "casing-clearance": _DIAMETER,
    "casing-passes": _DIAMETER,
    "contingency-strings": _DIAMETER,
    "barrel-passes": _DIAMETER,
    "core-through-string": _DIAMETER,
    # the string
    "string-tension": _PULLED,
    "slips": _PULLED,
    "tension-with-torque": _PULLED,
    "margin-of-overpull": _PULLED,
    "string-torque": _PIPE,
    "emptied-pipe": _PIPE,
    "pipe-buckling": _PIPE,
    "dogleg-fatigue": _PIPE,
    "dogleg-fatigue-softer-grades": _PIPE,
    "dogleg-fatigue-light-alloy": _PIPE,
    "string-goes-down": Belongs(Limit.PIPE),
    "weight-on-bit": Belongs(Limit.PIPE),
    "string-fits": Belongs(Limit.PIPE),  # another order of pipes would
    "pipe-stock": Belongs(Limit.PIPE),
    # the casing
    "casing-tension": _CASING,
    "test-covers-kick": Belongs(Limit.CASING),
    "pump-out": Belongs(Limit.CASING),
    "annulus-collapse": _CASING,
    "annulus-burst": _CASING,
    # hoist, pumps, cleaning
    "hook-load": _HOIST,
    "hook-load-pulling": _HOIST,
    "riser-hang": _HOIST,
    "pump-pressure": Belongs(Limit.PUMPS, "friction_pressure"),
    "pump-rate": Belongs(Limit.PUMPS),
    "placing-pump": Belongs(Limit.PUMPS),
    "tool-flow-low": Belongs(Limit.PUMPS),
    "tool-flow-high": Belongs(Limit.PUMPS),
    "motor-torque": Belongs(Limit.PUMPS),
    "lifting": Belongs(Limit.CLEANING, "", "lifting"),
    "cuttings": Belongs(Limit.CLEANING, "", "lifting"),
    "circulated-clean": Belongs(Limit.CLEANING),
    # riser and preventer
    "riser-length": _RISER,
    "riser-tension": _TAUT,
    "lift-off": _TAUT,
    "tensioner-capacity": _RISER,
    "riser-stress": _RISER,
    "riser-collapse": _RISER,
    "flex-joint": _RISER,
    "flex-joint-after-loss": _RISER,
    "stroke": _RISER,
    "drift-off": _RISER,
    "preventer-rating": Belongs(Limit.PREVENTER),
    "test-rating": Belongs(Limit.PREVENTER),
    "temperature": Belongs(Limit.HEAT),
    # stores and time
    "mud-stock": _STOCK,
    "mud-tanks": _OTHER,  # what the tanks hold at once, not what is used up
    "barite-stock": _STOCK,
    "cement-stock": _STOCK,
    "drill-water-stock": _STOCK,
    "casing-stock": _STOCK,
    "bit-stock": _STOCK,
    "days": Belongs(Limit.DAYS),
    # what no depth decides: the ground under the wellhead, the vessel's place, the hole's way
    "bears-itself": _OTHER,
    "conductor-bears-casing": _OTHER,
    "penetration": _OTHER,
    "inclination": _OTHER,
    "position": _OTHER,
    "power": _OTHER,
    "hold-intact": _OTHER,
    "hold-after-thruster-loss": _OTHER,
    "hold-after-switchboard-loss": _OTHER,
    "heading-sector": _OTHER,
    "hole-inclination": _OTHER,
    "dogleg": _OTHER,
    "target-displacement": _OTHER,
    "depth-shortfall": _OTHER,
    "waiting": _OTHER,
    "storm-warning": Belongs(Limit.OTHER, "handling_time"),  # the one longer question of the tables
    "core-diameter": _OTHER,
    "plug-length": _OTHER,
    "plug-across-shoe": _OTHER,
}

# of casings, one question a load case
_OF_CASES: Final = ("burst-", "collapse-", "triaxial-", "axial-")

# check: what the crew does about it in every member, so that it ends no hole
ANSWERED: Final[dict[str, str]] = {
    "swab": "the crew pulls the string slower",
    "surge": "the crew runs the string slower",
}

# the same of the longer questions, which are asked of members that are walked in full
ANSWERED_LONGER: Final[dict[str, str]] = {"trip-speed": "the crew trips slower"}

# check: column of the earth table that what is left of its capacity moves with, and which way
ROCK: Final[dict[str, tuple[str, float]]] = {
    "placing-high": ("fracture_pressure", 1.0),
    "shoe-test": ("fracture_pressure", 1.0),
    "riser-margin": ("pore_pressure", -1.0),
}

# Checks that hang on the undrained shear strength along the conductor
SOIL: Final = frozenset({"penetration", "bears-itself", "conductor-bears-casing"})

# Judged node by node as the hole is made, or as it is supplied: not by tables over depth.
ELSEWHERE: Final = frozenset({Limit.WINDOW, Limit.CAVING, *RUNS_OUT})


def belongs(check: str) -> Belongs:
    """Return where a question stands; one that no limit is known for stands with the others."""
    if check.startswith(_OF_CASES):
        return _CASING
    return BELONGS.get(check, _OTHER)


def is_tabled(check: str) -> bool:
    """Return whether a question stands in the tables over depth."""
    return belongs(check).limit not in ELSEWHERE and check not in ANSWERED


def is_known(check: str) -> bool:
    """Return whether a question was given its place on purpose."""
    return check in BELONGS or check.startswith(_OF_CASES)
