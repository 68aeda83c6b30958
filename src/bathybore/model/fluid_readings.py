"""A fluid as measured: viscometer readings and composition, and the constants they give."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from math import isclose
from typing import Any, ClassVar, Final, Self

import numpy as np
from pydantic import Field, ValidationError, model_validator

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import InputErrors
from bathybore.base.keeping import MANY, SOME, kept
from bathybore.base.units import parse_quantity
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.mud import density_at
from bathybore.kernels.rheology import viscometer_shear_rate, viscometer_shear_stress
from bathybore.kernels.rheology_conditions import (
    ConditionsLaw,
    fitted_over_conditions,
    told_apart,
)
from bathybore.kernels.rheology_fit import FlowLaw, fits
from bathybore.model.fields import (
    Node,
    Pressure,
    Ratio,
    Temperature,
    sourced,
)
from bathybore.model.fluid_composition import Composition

SPEEDS: Final = (600, 300, 200, 100, 6, 3)  # rpm, the standard six
REFERENCE: Final = 293.15  # K; density measured at 20 degC where nothing else is told
FLOW_UNITS: Final = {"yield_stress": "Pa", "consistency": "Pa s^n", "flow_index": "-"}
_COMPOSED: Final = {"density": "kg/m3", "compressibility": "1/Pa", "thermal_expansion": "1/K"}
# what an equation calls a field that is called otherwise in the document
_NAMES: Final = {"consistency": "consistency_index"}


class Readings(Node):
    """Dial readings of the standard viscometer (rotor R1, bob B1, spring F1) at one condition."""

    temperature: Temperature
    pressure: Pressure = sourced(0.0, note="measured at the surface")
    dial_600: Ratio | None = None
    dial_300: Ratio | None = None
    dial_200: Ratio | None = None
    dial_100: Ratio | None = None
    dial_6: Ratio | None = None
    dial_3: Ratio | None = None
    gel_10_seconds: Ratio | None = None
    gel_10_minutes: Ratio | None = None

    @property
    def dials(self) -> dict[int, float]:
        """Return the readings by speed [rpm], the fastest first."""
        read = ((speed, getattr(self, f"dial_{speed}")) for speed in SPEEDS)
        return {speed: dial for speed, dial in read if dial is not None}

    @property
    def rates(self) -> Array:
        """Return the shear rates of the readings [1/s]."""
        return np.asarray(viscometer_shear_rate(np.array(list(self.dials), dtype=float) / 60.0))

    @property
    def stresses(self) -> Array:
        """Return the shear stresses of the readings [Pa]."""
        return np.asarray(viscometer_shear_stress(np.array(list(self.dials.values()))))

    @model_validator(mode="after")
    def _rise_with_speed(self) -> Self:
        dials = list(self.dials.items())
        if len(dials) < 3:
            raise ValueError(
                f"found readings at {len(dials)} speeds; expected at least three of "
                f"{', '.join(f'dial_{speed}' for speed in SPEEDS)}"
            )
        for (fast, high), (slow, low) in pairwise(dials):
            if low > high:
                raise ValueError(
                    f"found {low:g} at {slow} rpm and {high:g} at {fast} rpm; expected readings "
                    "that do not fall as the speed rises"
                )
        if dials[-1][1] <= 0.0:
            raise ValueError(
                f"found no reading at {dials[-1][0]} rpm; expected one above zero, or none told"
            )
        if dials[0][1] <= dials[-1][1]:
            raise ValueError("found one reading at every speed; expected them to rise with it")
        return self

    @property
    def laws(self) -> tuple[FlowLaw, FlowLaw, FlowLaw]:
        """Return the three laws fitted: Bingham, power law, Herschel-Bulkley."""
        return _laws(self)

    @property
    def law(self) -> FlowLaw:
        """Return the Herschel-Bulkley fit, which the walk uses."""
        return self.laws[2]

    def read(self) -> tuple[Value, ...]:
        """Return the readings as values, the fastest first."""
        return tuple(self.value(f"dial_{speed}", "dial_reading") for speed in self.dials)

    def at(self) -> tuple[Value, Value]:
        """Return the condition of the readings: temperature and pressure."""
        return self.value("temperature"), self.value("pressure")

    def fitted(self, field: str) -> Value:
        """Return one constant of the Herschel-Bulkley fit, with the readings behind it."""
        return _fitted(self, field)


@kept(SOME)
def _laws(readings: Readings) -> tuple[FlowLaw, FlowLaw, FlowLaw]:
    return _fits(tuple(readings.rates.tolist()), tuple(readings.stresses.tolist()))


@kept(SOME)
def _fits(
    rates: tuple[float, ...], stresses: tuple[float, ...]
) -> tuple[FlowLaw, FlowLaw, FlowLaw]:
    """Fit by value: a document read again has the same readings."""
    return fits(np.array(rates), np.array(stresses))


@kept(SOME)
def _fitted(readings: Readings, field: str) -> Value:
    law, speeds = readings.law, ", ".join(str(speed) for speed in readings.dials)
    origin = Solved(
        f"least squares in stress of $tau = tau_y + K dot(gamma)^n$ to the readings at {speeds} "
        f"rpm and {readings.temperature - 273.15:.3g} °C; the residual is the root mean square of "
        "the misfit over the greatest stress",
        "herschel-bulkley-1926",
        readings.read(),
        law.share,
    )
    return Value(_NAMES.get(field, field), getattr(law, field), FLOW_UNITS[field], origin)


class MeasuredFluid(Node):
    """What `Fluid` takes from measurements in place of constants.

    Attributes
    ----------
    in_place_of : the constants that each measurement gives, which are then not written beside it
    """

    in_place_of: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "readings": tuple(FLOW_UNITS),
        "composition": ("compressibility", "thermal_expansion"),
    }

    readings: tuple[Readings, ...] = Field(default=())
    composition: Composition | None = None

    @model_validator(mode="before")
    @classmethod
    def _constants_of_measurements(cls, written: Any) -> Any:
        """Put the constants that follow from measurements beside what is written."""
        if not isinstance(written, Mapping):
            return written
        filled = dict(written)
        for measured, constants in cls.in_place_of.items():
            if measured in written:
                _not_both(written, measured, constants)
        if "readings" in written:
            filled.update(_of_readings(written["readings"]))
        if "composition" in written:
            # a density beside it is the mud as weighed: that counts
            filled = _of_composition(written["composition"], written) | filled
        return filled

    @model_validator(mode="after")
    def _conditions_apart(self) -> Self:
        warmths = np.array([one.temperature for one in self.readings])
        pressures = np.array([one.pressure for one in self.readings])
        if len({(one.temperature, one.pressure) for one in self.readings}) < len(self.readings):
            raise ValueError(
                "found two sets of readings at one temperature and pressure; expected one each"
            )
        if self.under_pressure and not told_apart(warmths, pressures):
            raise ValueError(
                "found readings whose temperature and pressure rise together along one line; "
                "expected one set more, off that line, at the temperature of one and the pressure "
                "of another: else the effect of pressure is not told from that of temperature"
            )
        return self

    @property
    def measured_at(self) -> tuple[Readings, ...]:
        """Return the readings, the coldest first, and of those the least pressed."""
        return tuple(sorted(self.readings, key=lambda one: (one.temperature, one.pressure)))

    @property
    def under_pressure(self) -> bool:
        """Return whether there are readings at more than one pressure."""
        return len({one.pressure for one in self.readings}) > 1

    @property
    def conditions_law(self) -> ConditionsLaw:
        """Return the one law over all temperatures and pressures measured.

        Raises
        ------
        NotConverged
            The fit found no least.
        """
        return _conditions_law(self.readings)

    def over_conditions(self, name: str, number: float, unit: str) -> Value:
        """Return a number of the law over all conditions, with the readings behind it."""
        return _over_conditions(self.readings, name, number, unit)

    @property
    def made_of(self) -> tuple[Composition, float] | None:
        """Return the parts, and how much heavier it was weighed than they are.

        None where constants tell its density in place: where no parts are told, and in a copy
        that was given another compressibility or expansion than theirs.
        """
        if self.composition is None:
            return None
        return _made_of(self)

    def density_under(self, pressure: Real, warmth: Real) -> Array:
        """Return the density in place [kg/m3], by its parts or by constant coefficients."""
        number = {
            name: float(getattr(self, name)) for name in (*_COMPOSED, "reference_temperature")
        }
        reference, made = number["reference_temperature"], self.made_of
        if made is not None:
            return np.asarray(made[1] * made[0].numbers(pressure, warmth, reference))
        constants = number["compressibility"], number["thermal_expansion"], reference
        return np.asarray(density_at(number["density"], pressure, warmth, *constants))

    def density_in_place(self, pressure: Value, temperature: Value) -> Value:
        """Return the density under a pressure and at a temperature, with its working."""
        made, reference = self.made_of, self.value("reference_temperature")
        pressed, warm = pressure.named("pressure"), temperature.named("temperature")
        if made is None:
            return work(
                density_at,
                density_at_surface_conditions=self.value("density"),
                pressure=pressed,
                temperature=warm,
                compressibility=self.value("compressibility"),
                fluid_thermal_expansion=self.value("thermal_expansion"),
                reference_temperature=reference,
            )
        parts, factor = made
        by_parts = parts.density(pressed, warm, reference)
        if isclose(factor, 1.0, rel_tol=1e-12):
            return by_parts
        how = "as its parts, in proportion to the density weighed"
        origin = Solved(how, "definition", (by_parts, self.value("density")))
        number = factor * np.asarray(by_parts.si)
        return Value(by_parts.name, number, "kg/m3", origin, by_parts.depth_axis)

    def value(self, field: str, name: str | None = None) -> Value:
        """Return a field as a value; what was fitted or composed shows what it is made of."""
        if self.readings and field in FLOW_UNITS:
            measured = _fitted_as(self.readings[0], field, name or field)
        elif self.composition is not None and field in _COMPOSED:
            reference = super().value("reference_temperature")
            measured = _composed_as(self.composition, reference, field, name or field)
        else:
            return super().value(field, name)
        # a copy may have been given another number: then that number counts
        if not isclose(float(measured), getattr(self, field), rel_tol=1e-9):
            return super().value(field, name)
        return measured


@kept(MANY)
def _fitted_as(readings: Readings, field: str, name: str) -> Value:
    return _fitted(readings, field).named(name)


@kept(SOME)
def _conditions_law(readings: tuple[Readings, ...]) -> ConditionsLaw:
    return fitted_over_conditions(
        np.array([one.temperature for one in readings]),
        np.array([one.pressure for one in readings]),
        tuple(one.rates for one in readings),
        tuple(one.stresses for one in readings),
    )


@kept(MANY)
def _over_conditions(readings: tuple[Readings, ...], name: str, number: float, unit: str) -> Value:
    dials = tuple(value for one in readings for value in one.at() + one.read())
    origin = Solved(
        f"least squares over the readings of {len(readings)} temperatures and pressures at once: "
        "yield stress and consistency exponential in pressure and in 1/T, flow index straight in "
        "1/T; the residual is the root mean square of the misfit, each over the greatest stress "
        "of its condition",
        "barus-1893",
        dials,
        _conditions_law(readings).share,
    )
    return Value(name, number, unit, origin)


@kept(MANY)
def _composed_as(composition: Composition, reference: Value, field: str, name: str) -> Value:
    return composition.constants(reference)[field].named(name)


@kept(MANY)
def _made_of(fluid: MeasuredFluid) -> tuple[Composition, float] | None:
    composition = fluid.composition
    assert composition is not None
    reference = fluid.value("reference_temperature")
    own = composition.constants(reference)
    if not all(
        isclose(float(own[name]), getattr(fluid, name), rel_tol=1e-9)
        for name in ("compressibility", "thermal_expansion")
    ):
        return None
    return composition, float(fluid.value("density")) / float(own["density"])


def _not_both(written: Mapping[str, Any], measured: str, fields: tuple[str, ...]) -> None:
    given = [field for field in fields if field in written]
    if given:
        raise ValueError(
            f"found {measured} together with {', '.join(given)}; expected one of the two, as "
            f"{measured} tells the other"
        )


def _of_readings(written: Any) -> dict[str, str]:
    """Return the constants of the first readings as text; the schema tells what is wrong."""
    try:
        first = Readings.model_validate(written[0])
    except (ValidationError, LookupError, TypeError):
        return {"consistency": "1 Pa s^n"}  # refused with the readings: never used
    law = first.law
    return {
        "yield_stress": f"{law.yield_stress!r} Pa",
        "consistency": f"{law.consistency!r} Pa s^n",
        "flow_index": repr(law.flow_index),
    }


def _of_composition(written: Any, fluid: Mapping[str, Any]) -> dict[str, str]:
    try:
        parts = Composition.model_validate(written)
        warmth = parse_quantity(fluid.get("reference_temperature", f"{REFERENCE} K"), "K")
    except (ValidationError, InputErrors):
        return {"density": "1 sg"}  # refused with the composition: never used
    reference = Value("reference_temperature", warmth, "K", FromWalk("density measured at it"))
    found = parts.constants(reference)
    return {field: f"{float(found[field])!r} {unit}" for field, unit in _COMPOSED.items()}
