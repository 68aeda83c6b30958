"""Where the hole is: position, water, weather planned for, and the prognosis tables."""

from __future__ import annotations

from typing import Annotated, Final, Self, TypeAlias

from pydantic import Field, model_validator

from bathybore.model.fields import (
    Angle,
    Coordinate,
    Duration,
    Length,
    LengthOrZero,
    Node,
    Pressure,
    ShareBelowOne,
    Speed,
    sourced,
)

Month: TypeAlias = Annotated[int, Field(ge=1, le=12)]
MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


class Position(Node):
    """The point on the chart, in a named coordinate reference system."""

    crs: str
    easting: Coordinate | None = None
    northing: Coordinate | None = None
    latitude: Angle | None = None
    longitude: Angle | None = None

    @model_validator(mode="after")
    def _one_pair(self) -> Self:
        projected = (self.easting is not None, self.northing is not None)
        geographic = (self.latitude is not None, self.longitude is not None)
        if (all(projected), all(geographic)) not in {(True, False), (False, True)}:
            raise ValueError(
                "found neither or both of the two pairs; expected either easting and northing, "
                "or latitude and longitude"
            )
        return self


class Environment(Node):
    """The sea and wind in which the operation is planned to go on."""

    wind_speed: Speed
    significant_wave_height: Length
    peak_period: Duration
    surface_current: Speed
    heading_off_weather: Angle = sourced(
        0.2617993877991494, note="15 degrees between bow and weather, kept by the operator"
    )
    tide_range: LengthOrZero = sourced(1.0, note="low to high water in the open ocean")
    share_of_time_exceeded: ShareBelowOne = sourced(0.1, note="downtime factor on every step")


class Site(Node):
    """The place: position, tolerances, water depth, environment."""

    position: Position
    water_depth: Length
    fix_tolerance: Length  # standard deviation of the satellite fix
    acoustic_tolerance: Length = sourced(
        3.0, note="standard deviation of the position against the sea-bed beacons"
    )
    lever_arm_error: LengthOrZero = sourced(
        0.5, note="standard deviation from antenna to drill floor, heading error included"
    )
    target_radius: Length
    environment: Environment
    expected_inclination: Angle = sourced(
        0.008726646259971648, note="0.5 degrees for a conductor jetted in calm water"
    )
    earth: Annotated[str, Field(description="CSV table of the prognosis below the sea bed")] = (
        "earth.csv"
    )
    sea: Annotated[str, Field(description="CSV table of the sea above it")] = "sea.csv"
    survey: Annotated[
        str | None,
        Field(description="CSV table of the hole's path, planned or measured; none: vertical"),
    ] = None
    weather: Annotated[
        str | None,
        Field(description="CSV table of sea states and wind in time; none: no windows told"),
    ] = None
    scatter: Annotated[
        str | None,
        Field(description="CSV table of how often each class of sea states is met"),
    ] = None
    scatter_observations: Annotated[int, Field(gt=0)] | None = None  # that the table counts
    # months in which the operation is planned, 1 to 12, perhaps over the turn of the year
    first_month: Month | None = None
    last_month: Month | None = None
    deep_target_radius: Length | None = None  # of the target at its depth; none: target_radius
    greatest_wellhead_pressure: Pressure | None = None

    @model_validator(mode="after")
    def _whole_season(self) -> Self:
        if (self.first_month is None) != (self.last_month is None):
            raise ValueError("found first_month or last_month alone; expected both or neither")
        return self

    @property
    def months(self) -> tuple[int, ...]:
        """Return the months of the plan, from 0; all of the year where none are told."""
        if self.first_month is None or self.last_month is None:
            return tuple(range(12))
        count = (self.last_month - self.first_month) % 12 + 1
        return tuple((self.first_month - 1 + n) % 12 for n in range(count))
