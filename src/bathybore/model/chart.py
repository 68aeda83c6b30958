"""The position on the chart: a known reference system, the right kind of it, inside its area."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from bathybore.base.errors import Fault
from bathybore.model.fields import Node
from bathybore.model.files import shown
from bathybore.model.site import Position

if TYPE_CHECKING:
    import pyproj

_CODE = re.compile(r"^[A-Za-z]{1,10}:\d{1,9}$")
_EXPECTED = "an authority and its code, such as 'EPSG:32656'"


def written_at(node: Node, field: str) -> str:
    """Return where a field was written, or which key's default it is."""
    origin = node.origin(field)
    line = getattr(origin, "line", None)
    file = node._file
    return f"{file}, line {line}, {origin.key}" if line else f"{file}, {origin.key} (default)"


@lru_cache(maxsize=16)  # asked again after every edit of anything else
def position_faults(position: Position) -> tuple[Fault, ...]:
    """Return what is wrong with a position as a point on the chart."""
    return tuple(_position(position))


def _position(position: Position) -> Iterator[Fault]:
    at = written_at(position, "crs")
    found = f"'{shown(position.crs)}'"
    if not _CODE.match(position.crs):
        yield Fault(at, found, _EXPECTED, "Text of other kinds (WKT, PROJ strings) is not read.")
        return
    import pyproj  # 60 ms, for this question alone

    try:
        crs = pyproj.CRS.from_user_input(position.crs)
    except pyproj.exceptions.CRSError:
        yield Fault(at, found, "a coordinate reference system that is known", "Check the code.")
        return
    if position.easting is not None and position.northing is not None:
        yield from _projected(position, crs, position.easting, position.northing)
    elif position.latitude is not None and position.longitude is not None:
        yield from _geographic(position, crs, position.latitude, position.longitude)


def _projected(
    position: Position, crs: pyproj.CRS, easting: float, northing: float
) -> Iterator[Fault]:
    at = written_at(position, "crs")
    if not crs.is_projected or any(axis.unit_name != "metre" for axis in crs.axis_info[:2]):
        expected = "a projected system in metres, to go with easting and northing"
        yield Fault(at, f"'{position.crs}', {crs.name}", expected)
        return
    import pyproj

    geodetic = crs.geodetic_crs
    transformer = pyproj.Transformer.from_crs(crs, geodetic, always_xy=True)
    longitude, latitude = transformer.transform(easting, northing)
    point = f"easting {easting:.0f} m, northing {northing:.0f} m"
    yield from _inside(position, "easting", crs, longitude, latitude, point)


def _geographic(
    position: Position, crs: pyproj.CRS, latitude: float, longitude: float
) -> Iterator[Fault]:
    if not crs.is_geographic:
        expected = "a geographic system, to go with latitude and longitude"
        yield Fault(written_at(position, "crs"), f"'{position.crs}', {crs.name}", expected)
        return
    north, east = math.degrees(latitude), math.degrees(longitude)
    if abs(north) > 90.0 or abs(east) > 360.0:
        field = "latitude" if abs(north) > 90.0 else "longitude"
        found = f"{north if field == 'latitude' else east:.5f} deg"
        yield Fault(written_at(position, field), found, f"a {field} on the globe")
        return
    point = f"latitude {north:.5f} deg, longitude {east:.5f} deg"
    yield from _inside(position, "latitude", crs, east, north, point)


def _inside(
    position: Position, field: str, crs: pyproj.CRS, longitude: float, latitude: float, point: str
) -> Iterator[Fault]:
    area = crs.area_of_use
    if area is None:
        return
    finite = math.isfinite(longitude) and math.isfinite(latitude)
    # an area that crosses the 180th meridian has its west bound east of its east bound
    width = (area.east - area.west) % 360.0 or 360.0
    across = finite and (longitude - area.west) % 360.0 <= width
    if not (across and area.south <= latitude <= area.north):
        sides = f"{area.west:g} to {area.east:g} deg east, {area.south:g} to {area.north:g} north"
        lies = f", which is {latitude:.3f} deg north, {longitude:.3f} deg east" if finite else ""
        yield Fault(
            written_at(position, field),
            f"{point}{lies}",
            f"a point in the area of use of {position.crs} ({sides})",
            "Check the zone, and that easting and northing are not exchanged.",
        )
