"""The gate where numbers get in and out: text with units outside, SI floats inside.

Nothing crosses the gate as a bare number unless the quantity is a pure ratio.
Kernels and the model hold SI floats only; the units they mean stand in brackets
in their docstrings and in the nomenclature.
"""

from __future__ import annotations

import math
import re
import sys
from dataclasses import replace
from functools import cache, lru_cache
from importlib.resources import files
from typing import Final, Literal, NamedTuple, TypeAlias

from bathybore.base.errors import InputErrors, nearest

# The unit library imports dask wherever that is installed, for arrays we have none of: it would
# be a fifth of the time that every command takes to start. It finds none while it is imported.
_DASK = "dask"
_absent = _DASK not in sys.modules
if _absent:
    sys.modules[_DASK] = None  # type: ignore[assignment]  # Python's own way to say so
import pint  # noqa: E402

if _absent:
    del sys.modules[_DASK]

UnitSystem: TypeAlias = Literal["metric", "oilfield"]

TEMPERATURE_DIFFERENCE: Final = "K difference"

# How an SI unit is shown when the nomenclature says nothing more special.
_SHOWN: Final[dict[str, tuple[str, str]]] = {
    "m": ("m", "ft"),
    "m2": ("m**2", "ft**2"),
    "m3": ("m**3", "bbl"),
    "m/s": ("m/s", "ft/s"),
    "m3/s": ("L/min", "gpm"),
    "Pa": ("MPa", "psi"),
    "Pa/m": ("kPa/m", "psi/ft"),
    "kg/m3": ("kg/m**3", "ppg"),
    "kg/m": ("kg/m", "lb/ft"),
    "kg": ("t", "lb"),
    "N": ("kN", "klbf"),
    "N/m": ("N/m", "lbf/ft"),
    "N m": ("kN m", "ft lbf"),
    "K": ("degC", "degF"),
    "K difference": ("K", "K"),
    "W": ("kW", "hp"),
    "s": ("h", "h"),
    "rad": ("deg", "deg"),
    "Pa s": ("cP", "cP"),
    "Pa s^n": ("Pa s^n", "Pa s^n"),
    "money/s": ("money/day", "money/day"),
    "money/kg": ("money/t", "money/t"),
    "money/m3": ("money/m**3", "money/bbl"),
    "-": ("", ""),
}

_NUMBER = re.compile(
    r"""^\s*(?P<sign>[+-]?)\s*
        (?:(?P<whole>\d+)[\s-]+(?P<num>\d+)/(?P<den>\d+)      # 13 3/8  or 13-3/8
          |(?P<num2>\d+)/(?P<den2>\d+)                        # 7/8
          |(?P<plain>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?))   # 1.35, 2.1e5
        \s*(?P<unit>.*?)\s*$""",
    re.VERBOSE,
)
_COMMA = re.compile(r"^\s*[+-]?\d+,\d+")
# A product of powers of names, nothing else: the unit library would work out any
# arithmetic it is given, "2 m" as a doubling and a tower of powers until the sun sets.
_FACTOR = r"\(?(?:%|°?[A-Za-zµμ][A-Za-z0-9_]*|°)(?:[²³]|\s?(?:\*\*|\^)\s?-?\d(?:\.\d)?)?\)?"
_UNIT = re.compile(rf"^(?:1\s?/\s?)?{_FACTOR}(?:(?:\s?[*/·]\s?|-|\s){_FACTOR})*$")
_LONGEST_UNIT: Final = 40
_LONGEST_TEXT: Final = 200


@cache
def registry() -> pint.UnitRegistry[float]:
    """Return the closed registry of the units a user may write (units.txt beside this file)."""
    path = files("bathybore.base").joinpath("units.txt")
    return pint.UnitRegistry(str(path), autoconvert_offset_to_baseunit=True)


@cache
def known_units() -> tuple[str, ...]:
    """Every unit spelling that the gate understands without a prefix."""
    names = (name for name in registry()._units if name and name[0] != "[")
    # differences of temperature are the library's own; the gate knows them by what they are for
    return tuple(sorted(n for n in names if not n.startswith(("delta_", "Δ"))))


def _pint_spelling(unit: str) -> str:
    """Turn 'kg/m3', 'Pa s' or 'ft-lbf' into the spelling the unit library parses."""
    if unit in ("", "-"):
        return "dimensionless"
    text = re.sub(r"\blbf/100 ?ft(2|\^2|\*\*2|²)", "lbf_per_100ft2", unit)
    if len(text) > _LONGEST_UNIT or not _UNIT.match(text) or "delta_" in text:
        raise ValueError("not a product of powers of unit names")
    text = text.replace("·", " ").replace("²", "**2").replace("³", "**3").replace("^", "**")
    text = re.sub(r"([A-Za-zµ°%])-([A-Za-zµ°])", r"\1*\2", text)
    return re.sub(r"\b([A-Za-zµ]+)([2-9])\b", r"\1**\2", text)


class Conversion(NamedTuple):
    """A straight line from a written unit to SI: ``si = factor * value + offset``."""

    factor: float
    offset: float
    dimension: str


@cache
def conversion(unit: str) -> Conversion:
    """Return the straight line that takes a value in ``unit`` to SI.

    Raises
    ------
    InputErrors
        The unit is not known; the nearest spelling is named.
    """
    ureg = registry()
    try:
        zero = ureg.Quantity(0.0, _pint_spelling(unit)).to_base_units()
        one = ureg.Quantity(1.0, _pint_spelling(unit)).to_base_units()
    except Exception as error:  # the unit library has several unrelated error classes
        raise InputErrors.one(
            "unit",
            f"'{unit[:_LONGEST_UNIT]}'",
            "a unit such as m, ft, MPa, psi, sg, ppg, kN, degC",
            nearest(unit, known_units()),
        ) from error
    return Conversion(
        float(one.magnitude - zero.magnitude), float(zero.magnitude), str(one.dimensionality)
    )


@lru_cache(maxsize=4096)
def _line(written: str, si_unit: str, where: str) -> tuple[float, float]:
    """Factor and offset from ``written`` to ``si_unit``; refuses another dimension."""
    if "^n" in si_unit:  # consistency index: the exponent is the fluid's own, SI only
        if written.replace("**", "^") != si_unit:
            raise InputErrors.one(where, f"unit '{written}'", f"'{si_unit}'")
        return 1.0, 0.0
    target = conversion("K" if si_unit == TEMPERATURE_DIFFERENCE else si_unit)
    try:
        source = conversion(written)
    except InputErrors as error:  # told at the place where it was written
        (fault,) = error.faults
        raise InputErrors([replace(fault, where=where)]) from error
    if source.dimension != target.dimension:
        raise InputErrors.one(
            where,
            f"unit '{written or 'none'}'",
            f"a unit that converts to {si_unit}" if si_unit != "-" else "a pure number",
            f"For example '{example_unit(si_unit)}'." if si_unit != "-" else "",
        )
    offset = 0.0 if si_unit == TEMPERATURE_DIFFERENCE else source.offset
    return source.factor / target.factor, offset


def example_unit(si_unit: str) -> str:
    """Return a unit a user would naturally write for a quantity held in ``si_unit``."""
    return _SHOWN.get(si_unit, (si_unit, si_unit))[0]


def parse_quantity(text: object, si_unit: str, where: str = "value") -> float:
    """Read '13 3/8 in', '1.35 sg' or '12 degC' and return SI; refuse bare numbers.

    Parameters
    ----------
    text : what the user wrote; a plain number is accepted only for ``si_unit`` '-'
    si_unit : the SI unit of the result, as in the brackets of the docstrings
    where : how to name the place in an error

    Raises
    ------
    InputErrors
        No number, a decimal comma, no unit, an unknown unit, or one of another dimension.
    """
    wanted = f"a number with a unit, such as '10 {example_unit(si_unit)}'"
    if si_unit == "-":
        wanted = "a pure number"
    if isinstance(text, bool) or text is None:
        raise InputErrors.one(where, repr(text), wanted)
    if isinstance(text, int | float):
        value = float(text)
        if not math.isfinite(value):
            raise InputErrors.one(where, repr(text), "a finite number")
        if si_unit != "-":
            raise InputErrors.one(
                where, f"the bare number {text!r}", wanted, "Write the unit beside it."
            )
        return value
    if not isinstance(text, str):
        raise InputErrors.one(where, f"a {type(text).__name__}", wanted)
    if len(text) > _LONGEST_TEXT:
        raise InputErrors.one(where, f"'{text[:20]}…', {len(text)} characters", wanted)
    if _COMMA.match(text):
        fixed = re.sub(r"(\d),(\d)", r"\1.\2", text, count=1)
        raise InputErrors.one(
            where, f"'{text}' with a decimal comma", "a decimal point", f"Write '{fixed}'."
        )
    match = _NUMBER.match(text)
    if match is None:
        raise InputErrors.one(where, f"'{text}'", wanted)
    value, written = _number(match), match["unit"]
    if written == "" and si_unit != "-":
        raise InputErrors.one(
            where, f"the bare number '{text}'", wanted, "Write the unit beside it."
        )
    factor, offset = _line(written, si_unit, where)
    result = factor * value + offset
    if not math.isfinite(result):
        raise InputErrors.one(where, f"'{text}'", "a finite number")
    return result


def written_unit(text: str) -> str:
    """Return the unit that stands behind the number of a written quantity.

    Raises
    ------
    InputErrors
        There is no number to stand behind.
    """
    match = _NUMBER.match(text)
    if match is None:
        raise InputErrors.one("value", f"'{text[:_LONGEST_UNIT]}'", "a number with a unit")
    return match["unit"] or "-"


def _number(match: re.Match[str]) -> float:
    if match["plain"] is not None:
        value = float(match["plain"])
    else:
        numerator = match["num"] or match["num2"]
        denominator = float(match["den"] or match["den2"])
        value = float(match["whole"] or 0) + (
            float(numerator) / denominator if denominator else math.inf
        )
    return -value if match["sign"] == "-" else value


def to_si(value: float, unit: str, si_unit: str, where: str = "value") -> float:
    """Convert a number in ``unit`` (a CSV column's, say) to ``si_unit``."""
    factor, offset = _line(unit, si_unit, where)
    return factor * value + offset


def from_si(value: float, si_unit: str, unit: str) -> float:
    """Convert an SI number to ``unit``: the way out of the gate."""
    factor, offset = _line(unit, si_unit, "display")
    return (value - offset) / factor


class WayOut(NamedTuple):
    """How an SI number is shown: ``(value - offset) / factor``, and the label behind it."""

    factor: float
    offset: float
    label: str

    def text(self, value: float, significant: int) -> str:
        number = self.number(value, significant)
        return f"{number} {self.label}" if self.label else number

    def number(self, value: float, significant: int) -> str:
        return pretty_number((value - self.offset) / self.factor, significant)


@cache
def way_out(si_unit: str, shown: str) -> WayOut:
    """Return how numbers held in ``si_unit`` are shown in the unit ``shown``."""
    if shown in ("", "-") or "^n" in si_unit:
        return WayOut(1.0, 0.0, pretty_unit(si_unit))
    return WayOut(*_line(shown, si_unit, "display"), pretty_unit(shown))


def shown_unit(si_unit: str, system: UnitSystem = "metric") -> str:
    """Return the unit in which ``system`` shows a quantity held in ``si_unit``."""
    pair = _SHOWN.get(si_unit, (si_unit, si_unit))
    return pair[0] if system == "metric" else pair[1]


@cache
def pretty_unit(unit: str) -> str:
    """Return a unit as people print it: m³, kg/m³, °C."""
    text = unit.replace("**2", "²").replace("**3", "³").replace("degC", "°C").replace("degF", "°F")
    text = re.sub(r"(?<=[a-z])2\b", "²", text)
    text = re.sub(r"(?<=[a-z])3\b", "³", text)
    return "" if text == "-" else text.replace(" ", "·")


def pretty_number(value: float, significant: int = 4) -> str:
    """Return a number with about ``significant`` digits, thousands set apart."""
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    magnitude = math.floor(math.log10(abs(value)))
    if magnitude < -4 or magnitude > 8:
        return f"{value:.{significant - 1}e}"
    decimals = max(0, significant - 1 - magnitude)
    text = f"{value:,.{decimals}f}".replace(",", "\u202f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def show(
    value: float,
    si_unit: str,
    system: UnitSystem = "metric",
    *,
    unit: str | None = None,
    significant: int = 4,
) -> str:
    """Return an SI number with its unit as the chosen system shows it."""
    shown = unit if unit is not None else shown_unit(si_unit, system)
    return way_out(si_unit, shown).text(value, significant)
