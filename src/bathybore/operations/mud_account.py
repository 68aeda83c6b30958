"""The account of the mud: where it stands after every step, and what became of the rest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.working import FromWalk, Solved, Value, summed
from bathybore.model.prices import Prices
from bathybore.operations.geometry import annuli, bores, string_bores
from bathybore.operations.state import Consumed, HoleState, Use
from bathybore.operations.stores import is_dilution

PLACES: Final = ("string", "open hole", "casing", "riser", "pits")


@dataclass(frozen=True, eq=False)
class MudStep:
    """One step in the account [m3, kg]; amounts of the step, and where all the mud stands after.

    Attributes
    ----------
    built, diluted : new mud, and that part of it built only to hold drilled solids down
    to_sea_floor : pumped without returns
    discarded : dumped from the vessel, with the cuttings or as too much
    barite, chemicals : that went into the mud
    places : volume in each of `PLACES`
    money : of mud and barite; None where no price is given
    """

    step: str
    title: str
    on_riser: bool
    built: Value
    diluted: Value
    to_sea_floor: Value
    discarded: Value
    barite: Value
    chemicals: Value
    places: dict[str, float]
    there: float
    money: Value | None

    @property
    def discharge(self) -> Value:
        """What the step sends into the sea."""
        parts = (self.to_sea_floor, self.discarded)
        return summed("discharge", "m3", "to the sea floor, and dumped from the vessel", parts)


@dataclass(frozen=True, eq=False)
class MudAccount:
    """The whole account, step by step, with its closing sums."""

    steps: tuple[MudStep, ...]
    consumed: Consumed
    left: float

    def total(self, field: str) -> Value:
        parts = tuple(getattr(step, field) for step in self.steps)
        return summed(parts[0].name, parts[0].unit, "sum of the steps", parts)

    @property
    def money(self) -> Value | None:
        parts = tuple(step.money for step in self.steps if step.money is not None)
        return summed("cost", "money", "sum of the steps", parts) if parts else None

    def discharge(self, on_riser: bool) -> Value:
        """What went into the sea before the riser was on, or while it was."""
        parts = tuple(step.discharge for step in self.steps if step.on_riser is on_riser)
        how = "steps with the riser on" if on_riser else "steps without riser"
        return summed("discharge", "m3", how, parts)

    @property
    def unbalanced(self) -> float:
        """Mud built less what is left, lost and dumped [m3]: nothing but rounding."""
        gone = float(self.total("to_sea_floor")) + float(self.total("discarded"))
        return float(self.total("built")) - gone - self.left


def mud_account(states: tuple[HoleState, ...]) -> MudAccount:
    """Return the account of the mud over a walk.

    One path with the stores: its amounts are the uses of the steps, none is worked out anew.
    """
    steps = tuple(_step(state) for state in states)
    return MudAccount(steps, states[-1].consumed, states[-1].mud_volume)


def _step(state: HoleState) -> MudStep:
    built = _sum(state, "mud_built", "mud_volume", "m3")
    barite = _sum(state, "barite", "barite_mass", "kg")
    share = state.hole.basis.value("chemicals_per_volume")
    chemicals = _product("chemicals_mass", "kg", built, share)
    return MudStep(
        step=state.step.name,
        title=state.step.title,
        on_riser=state.riser is not None,
        built=built,
        diluted=_named("mud_volume", "m3", tuple(u for u in state.uses if is_dilution(u))),
        to_sea_floor=_sum(state, "mud_to_sea_floor", "mud_volume", "m3"),
        discarded=_sum(state, "mud_discarded", "mud_volume", "m3"),
        barite=barite,
        chemicals=chemicals,
        places=_places(state),
        there=state.mud_volume,
        money=_money(state.hole.prices, built, barite),
    )


def _product(name: str, unit: str, one: Value, other: Value) -> Value:
    origin = Solved(f"{one.name} times {other.name}".replace("_", " "), "definition", (one, other))
    return Value(name, float(one) * float(other), unit, origin)


def _sum(state: HoleState, store: str, name: str, unit: str) -> Value:
    return _named(name, unit, tuple(use for use in state.uses if use.store == store))


def _named(name: str, unit: str, uses: tuple[Use, ...]) -> Value:
    if not uses:
        return Value(name, 0.0, unit, FromWalk("nothing in this step"))
    return summed(name, unit, "uses of the step", (use.amount for use in uses))


def _places(state: HoleState) -> dict[str, float]:
    """Return where the mud stands; without a riser what is in the hole counts as lost."""
    places = dict.fromkeys(PLACES, 0.0)
    if state.mud_volume <= 0.0:
        return places
    for bore in bores(state):
        places[bore.kind] += 0.25 * np.pi * bore.diameter**2 * (bore.bottom - bore.top)
    if state.string is not None and state.riser is not None:
        _with_string(places, state)
    places["pits"] = state.mud_volume - sum(places.values())
    return places


def _with_string(places: dict[str, float], state: HoleState) -> None:
    """Take a string's steel out of the bores it hangs in, and its own bore into account."""
    string = state.string
    assert string is not None
    inside, round_it = string_bores(string), annuli(state, string)
    places["string"] = float(np.sum(0.25 * np.pi * inside.outer_diameter**2 * inside.length))
    steel = 0.25 * np.pi * round_it.inner_diameter**2 * round_it.length
    for index, kind in enumerate(round_it.kinds):
        places[kind] -= float(steel[index])


def _money(prices: Prices, built: Value, barite: Value) -> Value | None:
    """Return what mud and barite of a step cost; None where neither has a price."""
    parts = []
    for amount, field in ((built, "mud_per_volume"), (barite, "barite_per_mass")):
        if getattr(prices, field) is not None:
            parts.append(_product("cost", "money", amount, prices.value(field)))
    return summed("cost", "money", "mud and barite at their prices", parts) if parts else None
