"""Weather in which each operation stops: its own limits, and those of the plan on top.

Every other question is judged in the planned weather. Beyond it nothing was looked at, so an
operation goes on up to the lesser of its own limit and the plan's.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Value
from bathybore.model.hole import Setting
from bathybore.operations.operability import WeatherLimits
from bathybore.operations.steps import StepKind


class Operation(StrEnum):
    """What stops in a weather of its own; the design basis names its limits after it."""

    STATION = "station"
    RUNNING_CASING = "running_casing"
    RUNNING_RISER = "running_riser"
    DRILLING = "drilling"
    CORING = "coring"
    CEMENTING = "cementing"

    @property
    def words(self) -> str:
        return self.value.replace("_", " ")


OPERATION_OF: Final = {
    StepKind.HOLD_STATION: Operation.STATION,
    StepKind.RUN_CONDUCTOR: Operation.RUNNING_CASING,
    StepKind.SET_CONDUCTOR: Operation.RUNNING_CASING,
    StepKind.RELEASE: Operation.DRILLING,
    StepKind.RUN_RISER: Operation.RUNNING_RISER,
    StepKind.TEST_SHOE: Operation.DRILLING,
    StepKind.DRILL: Operation.DRILLING,
    StepKind.RUN_CASING: Operation.RUNNING_CASING,
    StepKind.CEMENT: Operation.CEMENTING,
    StepKind.CORE: Operation.CORING,
    StepKind.PLUG: Operation.CEMENTING,
    StepKind.RETRIEVE_RISER: Operation.RUNNING_RISER,
    StepKind.DEPART: Operation.STATION,
    StepKind.WAIT: Operation.STATION,
    StepKind.CIRCULATE: Operation.DRILLING,
    StepKind.WIPER_TRIP: Operation.DRILLING,
    StepKind.LOG: Operation.DRILLING,
    StepKind.TEST_PREVENTER: Operation.DRILLING,
    StepKind.TEST_CASING: Operation.DRILLING,
}
# What is begun only when the weather will last: it cannot be left half done.
AT_ONE_GO: Final = frozenset(
    {
        StepKind.RUN_CONDUCTOR,
        StepKind.RUN_RISER,
        StepKind.RUN_CASING,
        StepKind.CEMENT,
        StepKind.RETRIEVE_RISER,
    }
)


@dataclass(frozen=True, eq=False)
class OperationLimits:
    """The weather up to which an operation goes on: the lesser of its limits and the plan's.

    Attributes
    ----------
    own_current : its own limit of the current, whatever is planned
    """

    operation: Operation
    wave_height: Value
    wind_speed: Value
    current: Value
    own_current: Value

    @property
    def numbers(self) -> WeatherLimits:
        return WeatherLimits(float(self.wave_height), float(self.wind_speed), float(self.current))

    @property
    def values(self) -> tuple[Value, ...]:
        return self.wave_height, self.wind_speed, self.current


@kept(SOME)
def limits_of(setting: Setting, operation: Operation) -> OperationLimits:
    """Return the weather up to which an operation goes on."""
    basis, sea = setting.basis, setting.site.environment

    def lesser(own: Value, planned: Value) -> Value:
        return own if float(own) <= float(planned) else planned.named(own.name)

    own_current = basis.value(f"{operation}_current", "current_speed")
    return OperationLimits(
        operation,
        lesser(
            basis.value(f"{operation}_wave_height", "significant_wave_height"),
            sea.value("significant_wave_height"),
        ),
        lesser(basis.value(f"{operation}_wind_speed", "wind_speed"), sea.value("wind_speed")),
        lesser(own_current, sea.value("surface_current", "current_speed")),
        own_current,
    )
