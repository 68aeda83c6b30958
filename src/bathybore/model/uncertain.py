"""What is uncertain of one hole, in SI: quantities, correlations, alternatives, trouble."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from bathybore.base.working import Default, Given
from bathybore.model.dependence import Correlation, groups_of
from bathybore.model.known_uncertain import PRESSURES
from bathybore.model.laws import Law
from bathybore.model.uncertainty_document import MeasurementsEntry


@dataclass(frozen=True)
class Uncertain:
    """One uncertain quantity.

    Attributes
    ----------
    key : column of the earth table, known factor, or number of the hole as origins spell it
    kind : 'curve', 'factor' or 'number'
    unit : SI, of a number and of a curve's spread; '-' of shares and factors
    law : of a number its own; of a factor about 1; of a pressure curve the density [kg/m3] over
        the depth below the sea bed that is added; of other curves a factor about 1
    planned : the number as planned; 1 of a factor; 0 or 1 of a curve
    correlation_length : [m] of a curve; None: one number moves the whole of it
    top : of a pressure curve, above which nothing is uncertain: the pores are open to the sea;
        what is added grows from there [m below sea bed]
    profile : of a pressure curve depths below the sea bed [m] and its standard deviations there
        [Pa]; what is added is then these times what the law gives, whose own deviation is one
    """

    key: str
    kind: str
    unit: str
    law: Law
    planned: float
    origin: Given | Default
    meaning: str = ""
    correlation_length: float | None = None
    profile: tuple[tuple[float, ...], tuple[float, ...]] | None = None
    top: float = 0.0

    @property
    def certain(self) -> bool:
        return self.law.name == "fixed"

    @property
    def is_pressure(self) -> bool:
        return self.kind == "curve" and self.key in PRESSURES


@dataclass(frozen=True)
class Change:
    """What an alternative does to a quantity.

    Attributes
    ----------
    add : in SI; of a pressure curve a density [kg/m3] over the depth below the sea bed
    times : a factor; of the temperature on its rise below the sea bed
    top, bottom : of a curve, between which it holds [m below sea bed]
    where : it was written, for errors
    """

    of: str
    add: float
    times: float
    top: float
    bottom: float
    where: str


@dataclass(frozen=True)
class Alternative:
    """One way in which the hole may turn out, with its weight [-]."""

    name: str
    weight: float
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Trouble:
    """Trouble of a step.

    Attributes
    ----------
    chance : that there is any [-]
    variation : standard deviation over mean of what it adds then [-]
    mean_share : of the step's net time that it adds then, on the mean; None: as much as keeps
        the expectation at the trouble factor of the design basis
    where : it was written, for errors
    """

    chance: float
    variation: float
    mean_share: float | None
    where: str = ""


@dataclass(frozen=True)
class Arrival:
    """When the vessel arrives, evenly between two times from the first of January [s].

    Attributes
    ----------
    any_time : of a series of weather, between its first row and its last; else the days are of
        any of the years that the series holds
    """

    earliest: float
    latest: float
    origin: Given | Default
    any_time: bool = False


@dataclass(frozen=True, eq=False)
class Uncertainty:
    """All that is uncertain of one hole, in SI.

    Attributes
    ----------
    quantities : curves, factors, numbers; those that are certain too, if an alternative
        changes them
    correlations : of quantities that are uncertain
    trouble : by step; the key '' for all other steps
    told : whether the hole's folder has the document
    measurements : that can be made before something is decided, how well and what they take
    """

    quantities: tuple[Uncertain, ...]
    correlations: tuple[Correlation, ...]
    alternatives: tuple[Alternative, ...]
    trouble: dict[str, Trouble]
    arrival: Arrival
    invented: bool = False
    told: bool = False
    note: str = ""
    measurements: MeasurementsEntry = field(default_factory=MeasurementsEntry)

    @cached_property
    def by_key(self) -> dict[str, Uncertain]:
        return {one.key: one for one in self.quantities}

    @cached_property
    def groups(self) -> tuple[tuple[str, ...], ...]:
        """What is drawn together: keys of the quantities that correlations join."""
        names = [one.key for one in self.quantities if not one.certain]
        return groups_of(names, self.correlations)
