"""Unit prices of the hole: optional, with units, in whatever currency."""

from __future__ import annotations

import pytest
from hole_folder import Folder

from bathybore.base.errors import InputErrors
from bathybore.base.working import Given


def with_prices(folder: Folder, *lines: str) -> Folder:
    """Write lines at the end of the document, where the template has its empty block."""
    return folder.write(folder.text() + "".join(f"  {line}\n" for line in lines))


def test_none_are_needed(folder: Folder) -> None:
    prices = folder.load().prices
    assert prices.currency == "money"
    assert prices.day_rate is None
    assert prices.steel_per_mass is None


def test_a_block_with_every_key_switched_off_is_no_fault(folder: Folder) -> None:
    assert folder.text().rstrip().splitlines()[-1].startswith("  #mud_per_volume:")
    assert with_prices(folder, "#day_rate: 1 money/day").load().prices.day_rate is None


def test_they_are_read_with_their_units(folder: Folder) -> None:
    prices = with_prices(
        folder,
        "currency: crowns",
        "day_rate: 864000 money/day",
        "steel_per_mass: 2500 money/t",
        "mud_per_volume: 15.8987294928 money/bbl",
    ).load().prices  # fmt: skip
    assert prices.day_rate == pytest.approx(10.0)
    assert prices.steel_per_mass == pytest.approx(2.5)
    assert prices.mud_per_volume == pytest.approx(100.0)
    value = prices.value("day_rate")
    assert value.unit == "money/s"
    assert isinstance(value.origin, Given)
    assert value.origin.key == "prices.day_rate"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("day_rate: 400000", "bare number"),
        ("day_rate: 400000 money/t", "converts to money/s"),
        ("day_rate: 400000 1/day", "converts to money/s"),
        ("steel_per_mass: -1 money/t", "steel_per_mass"),
        ("currency: ''", "currency"),
        ("steel: 1 money/t", "steel"),
    ],
)
def test_what_is_no_price_is_refused(folder: Folder, line: str, said: str) -> None:
    with pytest.raises(InputErrors, match=said) as raised:
        with_prices(folder, line).load()
    assert "prices" in str(raised.value)
