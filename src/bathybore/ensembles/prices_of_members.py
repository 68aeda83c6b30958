"""What members cost: days and goods at the hole's own prices."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.shapes import Drawn
from bathybore.model.prices import Prices

_PRICE = {
    "steel": "steel_per_mass",
    "barite": "barite_per_mass",
    "cement": "cement_per_mass",
    "mud": "mud_per_volume",
}


def cost(prices: Prices, days: Array, goods: dict[str, Array], drawn: Drawn) -> Array:
    """Return the money (member) that days and goods cost at the prices that are told.

    Parameters
    ----------
    days : time until the vessel leaves [s]
    goods : steel, barite and cement [kg], mud [m3], by these names

    Returns
    -------
    NaN where the price of a day is not told: what is left would look like the whole.
    """
    day_rate = _price(prices, "day_rate", drawn)
    if day_rate is None:
        return np.full(len(days), np.nan)
    money = day_rate * days
    for name, amount in goods.items():
        price = _price(prices, _PRICE[name], drawn)
        if price is not None:
            money = money + price * amount
    return money


def _price(prices: Prices, field: str, drawn: Drawn) -> Array | None:
    """Return a price (member), as drawn where it is uncertain; None where it is not told."""
    price = getattr(prices, field)
    return None if price is None else drawn.number(f"prices.{field}", price)[:, 0]


def not_priced(prices: Prices) -> str:
    """Return a sentence on what the cost leaves out; empty where it leaves out nothing."""
    if prices.day_rate is None:
        return "No cost is told: prices has no day_rate."
    without = [name for name, field in _PRICE.items() if getattr(prices, field) is None]
    return f"The cost is without {', '.join(without)}: no price is told." if without else ""
