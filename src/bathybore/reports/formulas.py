"""Formulas of published equations as pictures for a page."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from bathybore.base.errors import InputErrors, nearest
from bathybore.base.registry import equations
from bathybore.kernels import load_all
from bathybore.reports.typeset import formula_pictures

_KEPT: Final = 512
_BLACK: Final = ('"#000000"', '"#000"')


@lru_cache(maxsize=_KEPT)
def formula_svg(equation: str) -> str:
    """Return the formula of an equation as SVG, in the colour of the text around it.

    Raises
    ------
    InputErrors
        There is no such equation.
    """
    load_all()
    known = equations()
    if equation not in known:
        fix = nearest(equation, known) or "`bathybore calc` lists them all."
        raise InputErrors.one("equation", f"'{equation[:80]}'", "a published equation", fix)
    (picture,) = formula_pictures((known[equation].formula,))
    for black in _BLACK:
        picture = picture.replace(black, '"currentColor"')
    return picture
