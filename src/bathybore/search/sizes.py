"""The diameter chain: what bit passes what casing, and drills the hole for what casing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf
from typing import Final

_SAME: Final = 1e-6  # m; a bit may fill its drift exactly: that is what a drift is for


@dataclass(frozen=True)
class StringSize:
    """A casing of the inventory, as wide as it is.

    Attributes
    ----------
    coupling : [m] widest outside diameter
    drift : [m] that passes it
    stock : [m] of it on board
    linear_mass : [kg/m]
    bore : [m] inside diameter
    """

    name: str
    designation: str
    outside_diameter: float
    coupling: float
    drift: float
    stock: float = inf
    linear_mass: float = 0.0
    bore: float = 0.0


@dataclass(frozen=True)
class Chain:
    """The rules by which sizes follow one another.

    Attributes
    ----------
    clearance : [m] between hole and coupling at least, on diameter
    riser_bore : [m] least of riser, preventer and wellhead
    wellhead_bore : [m]
    """

    clearance: float
    riser_bore: float
    wellhead_bore: float = 0.0

    def carries_wellhead(self, string: StringSize) -> bool:
        """Return whether the preventer's wellhead stands on a string: common practice, its body
        is at least as wide as the wellhead's bore."""
        return string.outside_diameter >= self.wellhead_bore - _SAME

    def bit_passes(self, bit: float, above: StringSize, on_riser: bool) -> bool:
        """Return whether a bit goes down through what stands above its hole."""
        return bit <= self._way(above, on_riser) + _SAME

    def casing_passes(self, below: StringSize, above: StringSize, on_riser: bool) -> bool:
        return below.coupling <= self._way(above, on_riser) + _SAME

    def casing_stands(self, string: StringSize, bit: float) -> bool:
        """Return whether a hole is wide enough for a casing and its cement."""
        return string.coupling + self.clearance <= bit + _SAME

    def _way(self, above: StringSize, on_riser: bool) -> float:
        return min(above.drift, self.riser_bore) if on_riser else above.drift


def in_hand(
    stock: Iterable[StringSize],
    chain: tuple[StringSize, ...],
    last_bit: float,
    on_riser: tuple[bool, ...],
    rules: Chain,
) -> tuple[str, ...]:
    """Return the unused strings that pass one of the chain and let the next one through.

    Parameters
    ----------
    chain : strings that stand, from the conductor down
    on_riser : whether each place below a string of the chain is reached through the riser
    """
    used = {string.name for string in chain}
    follows = [*(string.coupling for string in chain[1:]), last_bit]
    return tuple(
        spare.name
        for spare in stock
        if spare.name not in used
        and any(
            rules.casing_passes(spare, above, riser) and below <= spare.drift + _SAME
            for above, below, riser in zip(chain, follows, on_riser, strict=True)
        )
    )
