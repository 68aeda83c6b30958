"""The programme on paper: the document's content through Typst, the same bytes every time."""

from __future__ import annotations

import json
from dataclasses import asdict
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import matplotlib
import typst

from bathybore.reports.blocks import CheckWorkings, Document
from bathybore.reports.words import SIGN

_FORMULA_SIZE: Final = "11pt"
# one formula a page, as small as it is
_FORMULAS: Final = f"""
#set page(width: auto, height: auto, margin: 1pt, fill: none)
#show math.equation: set text(font: "New Computer Modern Math", size: {_FORMULA_SIZE})
#let formulas = json(bytes(sys.inputs.at("formulas")))
#for (index, formula) in formulas.enumerate() {{
  if index > 0 {{ pagebreak() }}
  math.equation(block: true, eval(formula, mode: "math"))
}}
"""


@cache
def _fonts() -> typst.Fonts:
    """Return the fonts that travel with our dependencies; those of the machine are not asked."""
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    return typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])


def anchors(document: Document) -> dict[str, int]:
    """Return a number for every check that the document opens up, by its id."""
    numbers: dict[str, int] = {}
    for chapter in document.chapters:
        for block in chapter.blocks:
            if isinstance(block, CheckWorkings):
                numbers.setdefault(block.id, len(numbers) + 1)
    return numbers


def pdf(document: Document) -> bytes:
    """Return the document as an accessible PDF (PDF/UA-1)."""
    data = asdict(document) | {"anchors": anchors(document), "signs": SIGN}
    template = files("bathybore.reports").joinpath("programme.typ").read_bytes()
    made = typst.compile(
        template,
        format="pdf",
        font_paths=_fonts(),
        sys_inputs={"document": json.dumps(data, ensure_ascii=False)},
        pdf_standards="ua-1",
    )
    return _one(made)


def formula_pictures(formulas: tuple[str, ...]) -> tuple[str, ...]:
    """Return every formula (Typst mathematics) as an SVG of its own, in one run."""
    if not formulas:
        return ()
    made: Any = typst.compile(
        _FORMULAS.encode(),
        format="svg",
        font_paths=_fonts(),
        sys_inputs={"formulas": json.dumps(formulas)},
    )
    pages = made if isinstance(made, list) else [made]  # one page comes without its list
    return tuple(page.decode("utf-8") for page in pages)


def _one(made: object) -> bytes:
    if not isinstance(made, bytes):
        raise TypeError("a document was expected, not pages")
    return made
