"""The account of the mud in words, the same for every face."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from bathybore.base.errors import InputErrors
from bathybore.base.units import UnitSystem, show
from bathybore.operations.mud_account import PLACES, MudAccount, MudStep, mud_account

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

CAUTION: Final = (
    "Losses into the rock, washouts and spills are not in it, casing on its way down is counted "
    "as mud, and what stands in a riserless hole counts as lost to the sea floor."
)
TITLES: Final = (
    "step", "built", "for dilution", "to the sea floor", "dumped", "barite", "chemicals",
    *(f"in {place}" for place in PLACES), "in all",
)  # fmt: skip


def account_of(walk: Walk) -> MudAccount:
    """Return the account of the mud of a walk.

    Raises
    ------
    InputErrors
        No step of the plan can be done.
    """
    if not walk.states:
        found = f"no step that can be done: {walk.stopped}"
        raise InputErrors.one("plan", found, "a plan whose first step can be done")
    return mud_account(walk.states)


def rows(account: MudAccount, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return the steps that touch mud, one row each."""
    return tuple(_row(step, units) for step in account.steps if _touches(step))


def _touches(step: MudStep) -> bool:
    return step.there > 0.0 or float(step.built) > 0.0


def _row(step: MudStep, units: UnitSystem) -> tuple[str, ...]:
    def volume(number: float) -> str:
        return show(number, "m3", units, significant=3) if abs(number) > 5e-4 else "0"

    moved = (step.built, step.diluted, step.to_sea_floor, step.discarded)
    masses = (show(float(one), "kg", units, significant=3) for one in (step.barite, step.chemicals))
    places = (volume(step.places[place]) for place in PLACES)
    return (step.step, *(volume(float(v)) for v in moved), *masses, *places, volume(step.there))


def facts(account: MudAccount, units: UnitSystem, currency: str) -> list[tuple[str, str]]:
    """Return the sums, as label and text."""

    def volume(number: float) -> str:
        return show(number, "m3", units, significant=4)

    total, money = account.total, account.money
    told = "not priced: the hole gives neither mud_per_volume nor barite_per_mass"
    if money is not None:
        told = f"{float(money):,.0f} {currency} for mud and barite".replace(",", "\u202f")
    thinning = volume(float(total("diluted")))
    without, with_it = (volume(float(account.discharge(riser))) for riser in (False, True))
    return [
        ("Built", f"{volume(float(total('built')))}, {thinning} of it only to thin drilled solids"),
        ("Barite", show(float(total("barite")), "kg", units, significant=4)),
        ("Chemicals", show(float(total("chemicals")), "kg", units, significant=3)),
        ("Into the sea", f"{without} without riser, {with_it} with it"),
        ("Left at the end", volume(account.left)),
        ("Does not close by", f"{abs(account.unbalanced):.1e} m3"),
        ("Cost", told),
    ]
