"""The document uncertainty.yaml as it is written: what a hole's owner says of what is uncertain."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import Field, ValidationError, field_validator, model_validator

from bathybore.base.errors import InputErrors
from bathybore.model.fields import (
    Confidence,
    DatumDepth,
    DensityDifference,
    Duration,
    Fraction,
    Length,
    Node,
    PositiveRatio,
    Ratio,
    TemperatureSpread,
    place,
    sourced,
)
from bathybore.model.files import read_text, shown
from bathybore.model.hole_files import UNCERTAINTY_FILE, stands_beside
from bathybore.model.laws import Written, WrittenLaw
from bathybore.model.schema_faults import schema_faults
from bathybore.model.yaml_tree import MOST_BYTES, Tree, parse_tree

CurveName = Literal[
    "pore_pressure",
    "fracture_pressure",
    "collapse_pressure",
    "temperature",
    "undrained_shear_strength",
    "rate_of_penetration",
]


class CurveEntry(Node):
    """How uncertain a column of the earth table is."""

    spread: Written | None = None
    spread_file: str | None = None  # of a pressure: its standard deviation at each depth
    normal_above: DatumDepth | None = None  # of a pressure: its spread grows from there down
    correlation_length: Length | None = None
    distribution: Literal["normal", "lognormal", "triangular", "uniform", "fixed"] | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        given = (self.spread is not None) + (self.spread_file is not None)
        if given > 1 or (given == 0 and self.distribution != "fixed"):
            raise ValueError(
                f"found {'both' if given else 'neither'} of spread and spread_file; expected one "
                "standard deviation, a table of them, or distribution: fixed"
            )
        if self.spread_file is not None and not stands_beside(self.spread_file):
            found = shown(self.spread_file)
            raise ValueError(f"found '{found}'; expected a file beside the document")
        return self


class CorrelationEntry(Node):
    """Two uncertain quantities and the correlation of their ranks."""

    first: str
    second: str
    rank: Annotated[float, Field(gt=-1, lt=1)]

    @field_validator("rank", mode="before")
    @classmethod
    def _number(cls, written: Any) -> Any:
        return float(written) if type(written) is int else written


class ChangeEntry(Node):
    """What an alternative changes: added to, or multiplied with, what was drawn."""

    of: str
    add: Written | None = None
    times: PositiveRatio | None = None
    top: DatumDepth | None = None
    bottom: DatumDepth | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if (self.add is None) == (self.times is None):
            raise ValueError("found both or neither of add and times; expected one of them")
        return self


class AlternativeEntry(Node):
    """One of several ways in which the hole may turn out; one holds, and only one."""

    name: Annotated[str, Field(min_length=1, max_length=60)]
    weight: Fraction
    changes: tuple[ChangeEntry, ...] = ()


class StepTroubleEntry(Node):
    """Trouble of one step."""

    chance: Confidence | None = None
    variation: Annotated[Ratio, Field(le=100)] | None = None
    mean_share: Annotated[Ratio, Field(le=1000)] | None = None  # of net time, when there is trouble


class TroubleEntry(Node):
    """Trouble that a step meets or does not; if it does, a share of its net time, lognormal."""

    chance: Confidence = sourced(0.25, note="one step in four meets trouble")
    variation: Annotated[Ratio, Field(le=100)] = sourced(
        1.5, note="standard deviation over mean of the time it takes"
    )
    mean_share: Annotated[Ratio, Field(le=1000)] | None = None
    steps: dict[str, StepTroubleEntry] = Field(default_factory=dict)


class ArrivalEntry(Node):
    """Days of the year between which the vessel arrives, such as '15 May'."""

    earliest: str
    latest: str


class PilotHoleEntry(Node):
    """A pilot hole to where the first casing is to stand, before the hole is begun."""

    error: DensityDifference = sourced(
        15.0, note="standard deviation of the pore pressure that its logs tell"
    )
    time: Duration | None = None  # left out: as long as the plan takes to drill there
    cost: Ratio = sourced(0.0, note="in money, beside the vessel's time")


class TemperatureEntry(Node):
    """A temperature measured where the first casing is to stand, before the hole is begun."""

    error: TemperatureSpread = sourced(
        2.0, note="standard deviation, in a hole that is still warming"
    )
    time: Duration = sourced(43200.0, note="a probe run, held and pulled")
    cost: Ratio = sourced(0.0, note="in money, beside the vessel's time")


class LeakOffEntry(Node):
    """A leak-off test of a shoe, before the strings below it are decided on."""

    error: DensityDifference = sourced(
        8.0, note="standard deviation: gauge, gels, reading; to the drill floor"
    )
    time: Duration = sourced(0.0, note="beside the test that the plan has anyway")
    cost: Ratio = sourced(0.0, note="in money, beside the vessel's time")


class MeasurementsEntry(Node):
    """What can be measured before something is decided: how well, and what that takes."""

    pilot_hole: PilotHoleEntry = PilotHoleEntry()
    temperature: TemperatureEntry = TemperatureEntry()
    leak_off_test: LeakOffEntry = LeakOffEntry()


class UncertaintyDocument(Node):
    """The content of an uncertainty.yaml."""

    note: str = ""
    invented: bool = False
    curves: dict[CurveName, CurveEntry] = Field(default_factory=dict)
    factors: dict[str, WrittenLaw] = Field(default_factory=dict)
    numbers: dict[str, WrittenLaw] = Field(default_factory=dict)
    correlations: tuple[CorrelationEntry, ...] = ()
    alternatives: tuple[AlternativeEntry, ...] = ()
    trouble: TroubleEntry = TroubleEntry()
    arrival: ArrivalEntry | None = None
    measurements: MeasurementsEntry = MeasurementsEntry()

    @field_validator("curves", "factors", "numbers", "trouble", "measurements", mode="before")
    @classmethod
    def _empty_block(cls, written: Any) -> Any:
        return {} if written is None else written

    @field_validator("correlations", "alternatives", mode="before")
    @classmethod
    def _empty_list(cls, written: Any) -> Any:
        return () if written is None else written


def read_uncertainty(folder: Path) -> tuple[UncertaintyDocument, Tree]:
    """Return the document of a hole's folder as it is written; an empty one where there is none.

    Raises
    ------
    InputErrors
        Everything that the schema refuses, with file, line and key.
    """
    file = folder / UNCERTAINTY_FILE
    if not os.path.lexists(file):
        return document_of(None)
    return document_of(read_text(file, MOST_BYTES, "an uncertainty document"))


def document_of(text: str | None) -> tuple[UncertaintyDocument, Tree]:
    """Return the document that a text is; an empty one where there is none."""
    if text is None:
        return UncertaintyDocument(), Tree(UNCERTAINTY_FILE)
    tree = parse_tree(text, UNCERTAINTY_FILE)
    try:
        document = UncertaintyDocument.model_validate(tree.content)
    except ValidationError as error:
        raise InputErrors(list(schema_faults(error, tree, UncertaintyDocument))) from error
    place(document, tree.file, "", tree.lines)
    return document, tree
