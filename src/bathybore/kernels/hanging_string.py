"""Pipe that hangs in open water: its shape in a current, as a beam under its own tension."""

from __future__ import annotations

from bathybore.base.arrays import Array
from bathybore.kernels.tensioned_beam import HUNG, UPRIGHT, BeamShape, bent_beam


def hang_in_current(
    depth: Array,
    bending_stiffness: Array,
    tension: Array,
    transverse_load: Array,
    foot_is_held: bool,
) -> BeamShape:
    """Return the shape of pipe hung upright from its top in a current, small angles.

    At the top the pipe is held upright; its foot is free, or held upright below the top.

    Parameters
    ----------
    depth : [m] of the nodes, growing
    bending_stiffness, tension, transverse_load : [N m2], [N], [N/m] of the elements
        *(realisation, element)*

    Raises
    ------
    NotConverged
        The pipe is pressed so much that it buckles, or the forces do not balance.
    """
    ends = UPRIGHT if foot_is_held else HUNG
    what = "pipe in open water"
    return bent_beam(depth, bending_stiffness, tension, transverse_load, ends, what)
