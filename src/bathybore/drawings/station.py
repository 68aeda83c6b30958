"""The picture of each part of station keeping."""

from __future__ import annotations

from bathybore.base.units import UnitSystem
from bathybore.drawings import capability, footprint, motions, watch_circles, weather
from bathybore.drawings.picture import Picture, Sheet, settings
from bathybore.usecases.station_keeping import Capability, FootprintAtSea, Kept
from bathybore.usecases.vessel_motions import VesselMotions
from bathybore.usecases.weather_windows import WeatherWindows


def draw_part(one: Kept, units: UnitSystem = "metric") -> Sheet:
    """Draw a part; within `settings`."""
    if isinstance(one, Capability):
        return capability.draw_capability(one, units)
    if isinstance(one, FootprintAtSea):
        return footprint.draw_footprint(one, units)
    if isinstance(one, VesselMotions):
        return motions.draw_motions(one, units)
    if isinstance(one, WeatherWindows):
        return weather.draw_weather(one, units)
    return watch_circles.draw_circles(one, units)


def part_picture(one: Kept, units: UnitSystem = "metric") -> Picture:
    """Return the picture of a part."""
    with settings():
        return draw_part(one, units).finished()


def in_words(one: Kept, units: UnitSystem) -> str:
    """Say what the picture of a part shows."""
    if isinstance(one, Capability):
        return capability.in_words(one)
    if isinstance(one, FootprintAtSea):
        return footprint.in_words(one, units)
    if isinstance(one, VesselMotions):
        return motions.in_words(one, units)
    if isinstance(one, WeatherWindows):
        return weather.in_words(one)
    return watch_circles.in_words(one, units)
