"""A root between two bounds, for a whole stack of problems at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged

# A step of Newton's rule this small leaves an error of its square: less than the last digit.
_LAST_STEP = 1e-8
# So many steps are tried without a bracket around the root, which costs more than the step.
_BARE = 8
# A bracket this narrow, relative to the root, holds no more than rounding.
_LAST_DIGITS = 4e-15


def newton_root(
    function: Callable[[Array], tuple[Real, Real]],
    low: Real,
    high: Real,
    start: Real,
    what: str,
    most_steps: int = 100,
) -> Array:
    """Return x in [low, high] where a smooth increasing function is zero, element by element.

    Newton's rule from ``start``. Where that alone does not settle soon, between the bounds, the
    root is held in a bracket and a step that would leave it is replaced by halving it, so the
    root is found wherever the function changes sign.

    Parameters
    ----------
    function : gives the value and the slope at x

    Raises
    ------
    NotConverged
        The function is not a number somewhere, or keeps one sign. The message carries ``what``.
    """
    least, most = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    begin = np.asarray(start, dtype=float)
    bare = _bare_root(function, least, most, begin)
    return _held_root(function, least, most, begin, what, most_steps) if bare is None else bare


def _bare_root(
    function: Callable[[Array], tuple[Real, Real]], least: Array, most: Array, x: Array
) -> Array | None:
    """Return what Newton's rule alone settles on between two bounds; None where it does not."""
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(_BARE):
            value, slope = function(x)
            step = value / slope
            x = np.asarray(x - step)
            if not ((x >= least) & (x <= most)).all():
                return None
            if (np.abs(step) <= _LAST_STEP * np.abs(x)).all():
                return x if np.greater(slope, 0.0).all() else None
    return None


def _held_root(
    function: Callable[[Array], tuple[Real, Real]],
    least: Array,
    most: Array,
    x: Array,
    what: str,
    most_steps: int,
) -> Array:
    """Return what Newton's rule settles on with the root held in a bracket."""
    low, high = least, most
    for _ in range(most_steps):
        value, slope = function(x)
        low, high = np.where(value <= 0.0, x, low), np.where(value >= 0.0, x, high)
        rising = np.greater(slope, 0.0)
        trial = x - value / (slope if rising.all() else np.where(rising, slope, 1.0))
        inside = rising & (trial >= low) & (trial <= high)
        before, x = x, trial
        if not inside.all():
            if np.isnan(value).any():
                raise NotConverged(f"{what}: not a number between the bounds that physics sets")
            x = np.where(inside, trial, 0.5 * (low + high))
        size = np.abs(x)
        settled = inside & (np.abs(x - before) <= _LAST_STEP * size)
        if not settled.all():
            # shut upon a bound it holds no root: the sign there was never seen to differ
            settled |= (high - low <= _LAST_DIGITS * size) & (low > least) & (high < most)
        if settled.all():
            return np.asarray(x)
    raise NotConverged(f"{what}: no root between the bounds that physics sets")


def bracketed_root(
    function: Callable[[Array], Real],
    low: Real,
    high: Real,
    what: str,
    *,
    relative: float = _LAST_DIGITS,
    absolute: float = 0.0,
    most_steps: int = 200,
) -> Array:
    """Return x in [low, high] where an increasing function crosses zero, element by element.

    Chandrupatla's rule: inverse quadratic steps where they are safe, halving where
    they are not, so a jump of the function through zero is found as surely as a
    smooth crossing. The bounds may be given either way round.

    Raises
    ------
    NotConverged
        The function has one sign at both bounds, or is not a number there, or the
        bracket did not shrink to the tolerance. The message carries ``what``.
    """
    low_value = np.asarray(low, dtype=float)
    shape = np.broadcast_shapes(low_value.shape, np.shape(high), np.shape(function(low_value)))
    b = np.broadcast_to(low_value, shape).astype(float)
    a = np.broadcast_to(np.asarray(high, dtype=float), shape).astype(float)
    fa = np.broadcast_to(function(a), shape).astype(float)
    fb = np.broadcast_to(function(b), shape).astype(float)
    if not np.all(np.sign(fa) * np.sign(fb) <= 0.0):  # also catches not-a-number
        raise NotConverged(f"{what}: no root between the bounds that physics sets")
    c, fc = a, fa
    t = np.full(shape, 0.5)
    for _ in range(most_steps):
        x = a + t * (b - a)
        fx = np.broadcast_to(function(x), shape).astype(float)
        same = np.sign(fx) == np.sign(fa)
        c, fc, b, fb = (
            np.where(same, a, b),
            np.where(same, fa, fb),
            np.where(same, b, a),
            np.where(same, fb, fa),
        )
        a, fa = x, fx
        best = np.where(np.abs(fa) < np.abs(fb), a, b)
        width = np.abs(b - a)
        tolerance = relative * np.abs(best) + absolute
        if np.all((width <= 2.0 * tolerance) | (fa == 0.0) | (fb == 0.0)):
            return np.asarray(best)
        t = _next_step(a, b, c, fa, fb, fc)
        edge = np.minimum(0.5, tolerance / np.where(width == 0.0, 1.0, width))
        t = np.clip(t, edge, 1.0 - edge)
    raise NotConverged(f"{what}: the root was not found to the tolerance")


def _next_step(a: Array, b: Array, c: Array, fa: Array, fb: Array, fc: Array) -> Array:
    """Share of the way from a to b of the next trial: inverse quadratic if safe, else half."""

    def over(top: Array, bottom: Array) -> Array:
        return np.asarray(top / np.where(bottom == 0.0, 1.0, bottom))

    xi = over(a - b, c - b)
    phi = over(fa - fb, fc - fb)
    safe = (phi**2 < xi) & ((1.0 - phi) ** 2 < 1.0 - xi)
    safe &= (fa != fb) & (fc != fb) & (fa != fc) & (a != b)
    quadratic = over(fa, fb - fa) * over(fc, fb - fc) + over(c - a, b - a) * over(
        fa, fc - fa
    ) * over(fb, fc - fb)
    return np.where(safe, quadratic, 0.5)
