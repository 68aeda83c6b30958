"""How much cement the strings of members take, over what the plan's take."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.legs_of_members import Legs, pattern_of, planned_legs, strings_of
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.kernels.cement import annular_volume, pipe_volume


def cement_over_planned(frame: Frame, legs: Legs, drawn: Drawn) -> Array:
    """Return the slurry (member, string) over that of the job each string follows.

    Cement that is planned to a string's top, or into the string above, comes to the same height
    there wherever the shoes are; else the column over the shoe stays as high as planned. The open
    annulus is as wide as the hole was drawn, with the excess that was used.
    """
    wide, used = drawn.number("hole_enlargement")[:, 0], drawn.number("cement_excess_used")[:, 0]
    planned = _slurry(frame, planned_legs(frame), np.ones(1), np.ones(1))
    pattern = [pattern_of(frame, index) for index in range(len(frame.strings))]
    return np.asarray(_slurry(frame, legs, wide, used) / planned[:, pattern])


def _slurry(frame: Frame, legs: Legs, wide: Array, used: Array) -> Array:
    """Return the slurry (member, string) [m3]; 1 where nothing is cemented."""
    slurry = np.ones(legs.shoe.shape)
    bore = np.zeros(len(slurry))
    for index, kind in enumerate(strings_of(frame)):
        if kind.casing is not None:
            volume = _job(frame, legs, index, bore, wide, used)
            slurry[:, index] = np.where(legs.run[:, index], volume, 1.0)
        if kind.pipe is not None:
            bore = np.where(legs.run[:, index], float(kind.pipe.inside_diameter), bore)
    return slurry


def _job(frame: Frame, legs: Legs, index: int, bore: Array, wide: Array, used: Array) -> Array:
    """Return the slurry (member) round one string and in its shoe track."""
    kind, planned = strings_of(frame)[index], planned_legs(frame)
    casing, pipe, like = kind.casing, kind.pipe, pattern_of(frame, index)
    assert casing is not None
    assert pipe is not None
    job, planned_hung = casing.cement, float(planned.hung[0, like])
    top = max(frame.hole.frame.below_sea_bed(job.top), planned_hung)
    shoe, hung, over = (array[:, index] for array in (legs.shoe, legs.hung, legs.over))
    shoe = np.where(legs.run[:, index], shoe, hung)
    length, over_planned = shoe - hung, float(planned.over[0, like])
    if planned_hung + 1e-3 < top < over_planned:
        length = np.minimum(length, shoe - over + (over_planned - top))
    elif top >= over_planned:
        length = np.minimum(length, float(planned.shoe[0, like]) - top)
    in_open = np.minimum(length, np.maximum(shoe - over, 0.0))
    outside = float(pipe.outside_diameter)
    diameter = kind.hole_diameter * np.sqrt(wide)
    volume = annular_volume(diameter, outside, in_open, job.excess * used)
    volume = volume + annular_volume(bore, outside, length - in_open, 0.0)
    return np.asarray(volume + pipe_volume(float(pipe.inside_diameter), job.shoe_track))
