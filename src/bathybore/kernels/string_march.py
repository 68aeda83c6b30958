"""A string without stiffness in a hole of any shape, worked up from the bit joint by joint."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

_ROUNDS: Final = 4  # side force and tension of an element need each other; a joint is short


@published(
    formula="M_b = (mu_b W_h D_b) / 3",
    source="definition",
    where="friction of a disc pressed evenly on the rock",
    valid={"bit_friction": Limit(0.0, 1.5, "roller bits 0.2, drag bits up to about 1")},
    example={"weight_on_bit": "120 kN", "bit_diameter": "12 1/4 in", "bit_friction": "0.4"},
    caution="Reactive bits and stick-slip go far beyond it.",
)
def bit_torque(weight_on_bit: Real, bit_diameter: Real, bit_friction: Real) -> Real:
    """Torque that a bit takes from the string.

    Parameters
    ----------
    weight_on_bit : [N]
        Weight on bit.
    bit_diameter : [m]
        Diameter of the bit.
    bit_friction : [-]
        Friction of the bit on the rock.

    Returns
    -------
    bit_torque : [N m]
        Torque at the bit.
    """
    return bit_friction * weight_on_bit * bit_diameter / 3.0


@dataclass(frozen=True)
class Marched:
    """A string from the bit up; arrays over *(way of moving, node)*, the bit first.

    Attributes
    ----------
    tension : effective, at the nodes [N]
    side_force : per length, of the elements between them [N/m]
    """

    tension: Array
    side_force: Array


def march(
    length: Array,
    height: Array,
    direction: Array,
    weight: Array,
    friction: Array,
    tension_at_bit: Array,
    sliding: Array,
) -> Marched:
    """Return tension and side force of a soft string (Johancsik 1984) in a hole in space.

    Along an element the tension grows by weight times height gained and by friction on
    the contact force, |T dt/ds + w_perp|, t being the direction of the hole downwards. Written
    with vectors it needs no azimuth, which a nearly vertical hole hardly has.

    Parameters
    ----------
    length, height : [m] along each element, and how much higher its top is than its foot
    direction : unit vectors down the hole at the nodes *(node, 3)*
    weight, friction : [N/m], [-] of the elements
    tension_at_bit : [N] for each way of moving; the weight on bit is a compression
    sliding : for each way of moving: 1 pulled out, -1 run in, 0 turning (no axial friction)
    """
    start = np.asarray(tension_at_bit, dtype=float)
    bend = (direction[:-1] - direction[1:]) / length[:, None]
    middle = direction[:-1] + direction[1:]
    middle = middle / np.linalg.norm(middle, axis=-1, keepdims=True)
    across = weight[:, None] * (np.array([0.0, 0.0, 1.0]) - middle * middle[:, 2:])
    if not (bend.any() or across.any()):  # upright and straight: nothing rubs
        hung = np.concatenate([[0.0], np.cumsum(weight * height)])
        return Marched(start[:, None] + hung, np.zeros((len(start), len(length))))
    runs = [
        _up(*one, length, weight * height, bend, across, friction)
        for one in zip(start, sliding, strict=True)
    ]
    tension, side = (np.array(rows) for rows in zip(*runs, strict=True))
    return Marched(tension, side)


def _up(
    start: float,
    sliding: float,
    length: Array,
    hung: Array,
    bend: Array,
    across: Array,
    friction: Array,
) -> tuple[Array, Array]:
    """Return tension at the nodes and side force of the elements for one way of moving.

    Each element needs the one below it: plain numbers, which cost a tenth of small arrays.

    Parameters
    ----------
    hung : [N] weight of each element along the hole
    bend, across : turn of the hole per length, and weight per length across it *(element, 3)*
    """
    if sliding == 0.0:  # friction turns with the string: it takes no tension
        tension = start + np.concatenate([[0.0], np.cumsum(hung)])
        halfway = 0.5 * (tension[1:] + tension[:-1])
        return tension, np.asarray(np.linalg.norm(halfway[:, None] * bend + across, axis=-1))
    below, found, side = float(start), [float(start)], []
    rub = (sliding * friction * length).tolist()
    numbers = zip(hung.tolist(), rub, bend.tolist(), across.tolist(), strict=True)
    for own, drag, (turn_x, turn_y, turn_z), (lean_x, lean_y, lean_z) in numbers:
        gained = own
        for _ in range(_ROUNDS):
            halfway = below + 0.5 * gained
            x, y, z = (
                halfway * turn_x + lean_x,
                halfway * turn_y + lean_y,
                halfway * turn_z + lean_z,
            )
            force = sqrt(x * x + y * y + z * z)
            gained = own + drag * force
        below += gained
        found.append(below)
        side.append(force)
    return np.array(found), np.array(side)
