"""The programme as one HTML file that asks nothing of the network."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from importlib.resources import files
from typing import Final

from bathybore.base.registry import equations
from bathybore.checks.record import Status
from bathybore.reports.blocks import (
    Block,
    CheckWorkings,
    Column,
    Document,
    Drawing,
    Facts,
    Items,
    Table,
    Text,
    Verdict,
    WorkingLine,
)
from bathybore.reports.typeset import anchors, formula_pictures
from bathybore.reports.words import SIGN

# No script, no request: a browser that is asked to break this refuses.
_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
)
_SYMBOL: Final = re.compile(r'<symbol id="(g[0-9A-F]+)".*?</symbol>', re.DOTALL)
_SIZE: Final = re.compile(r'<svg viewBox="([^"]+)" width="([^"]+)" height="([^"]+)"')
_ID: Final = re.compile(r'(\bid="|\bhref="#|url\(#)')


def words(text: str) -> str:
    """Return text that is harmless in HTML, inside attributes too; lines stay lines."""
    return escape(text, quote=True).replace("\n", "<br>")


@dataclass(frozen=True)
class Formulas:
    """Every formula of a document drawn once; shown by reference wherever it is used."""

    sizes: dict[str, tuple[str, str, str]]
    shared: str

    @classmethod
    def of(cls, document: Document) -> Formulas:
        known = equations()
        names = sorted(
            {
                line.equation
                for chapter in document.chapters
                for block in chapter.blocks
                if isinstance(block, CheckWorkings)
                for line in block.workings
                if line.equation
            }
        )
        pictures = formula_pictures(tuple(known[name].formula for name in names))
        glyphs: dict[str, str] = {}
        drawn, sizes = [], {}
        for name, picture in zip(names, pictures, strict=True):
            size = _SIZE.match(picture)
            if size is None:
                raise ValueError(f"the formula of {name} was not drawn")
            sizes[name] = (size[1], size[2], size[3])
            glyphs.update((found[1], found[0]) for found in _SYMBOL.finditer(picture))
            inside = picture[picture.index(">") + 1 : picture.rindex("</svg>")]
            inside = re.sub(r"<defs>.*?</defs>", "", inside, flags=re.DOTALL)
            drawn.append(f'<g id="eq-{name}">{inside}</g>')
        content = "".join((*glyphs.values(), *drawn)).replace("xlink:href", "href")
        content = content.replace('"#000000"', '"currentColor"')
        return cls(sizes, f'<svg class="shared" aria-hidden="true"><defs>{content}</defs></svg>')

    def show(self, line: WorkingLine) -> str:
        box, width, height = self.sizes[line.equation]
        return (
            f'<p class="formula"><svg role="img" aria-label="{words(line.plain)}" '
            f'viewBox="{box}" width="{width}" height="{height}">'
            f'<use href="#eq-{line.equation}"/></svg></p>'
        )


@dataclass
class _Page:
    """A page in the making."""

    document: Document
    formulas: Formulas
    checks: dict[str, int]
    pictures: int = 0

    def block(self, block: Block) -> str:
        return _SHOW[type(block)](self, block)

    def text(self, block: Text) -> str:
        kind = "" if block.kind == "plain" else f' class="{block.kind}"'
        return f"<p{kind}>{words(block.text)}</p>"

    def verdict(self, block: Verdict) -> str:
        more = "".join(f"<p>{words(text)}</p>" for text in block.more)
        kind = "verdict" if block.passes else "verdict no"
        return f'<div class="{kind}"><p>{words(block.sentence)}</p>{more}</div>'

    def items(self, block: Items) -> str:
        return "<ul>" + "".join(f"<li>{words(text)}</li>" for text in block.texts) + "</ul>"

    def drawing(self, block: Drawing) -> str:
        self.pictures += 1
        picture = _inline_svg(block.picture.svg, f"p{self.pictures}-", block.picture.alt)
        caption = f"Figure {self.pictures}: {block.picture.title}."
        return (
            f'<figure><div class="picture">{picture}</div>'
            f"<figcaption>{words(caption)}</figcaption></figure>"
        )

    def facts(self, block: Facts) -> str:
        rows = "".join(
            f'<tr><th scope="row">{words(term)}</th><td>{words(text)}</td></tr>'
            for term, text in block.rows
        )
        return _scrolling(
            block.caption,
            f'<table class="facts"><caption>{words(block.caption)}</caption>'
            f"<tbody>{rows}</tbody></table>",
        )

    def table(self, block: Table) -> str:
        head = "".join(
            f'<th scope="col"{_number(column)}>{words(column.title)}</th>'
            for column in block.columns
        )
        rows = "".join(
            "<tr>"
            + "".join(
                self._cell(index, text, column)
                for index, (text, column) in enumerate(zip(row, block.columns, strict=True))
            )
            + "</tr>"
            for row in block.rows
        )
        tall = ' class="tall"' if block.tall else ""
        return _scrolling(
            block.caption,
            f"<table{tall}><caption>{words(block.caption)}</caption>"
            f"<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>",
        )

    def _cell(self, index: int, text: str, column: Column) -> str:
        if column.kind == "verdict":
            return f'<td class="verdict-cell {_css(text)}">{_verdict_words(text)}</td>'
        inside = self._to_check(text) if column.kind == "check" else words(text)
        if index == 0:
            return f'<th scope="row">{inside}</th>'
        return f"<td{_number(column)}>{inside}</td>"

    def _to_check(self, id_: str) -> str:
        number = self.checks.get(id_)
        # a place to break a long name
        shown = words(id_).replace("/", "/<wbr>")
        return f'<a href="#check-{number}">{shown}</a>' if number else shown

    def workings(self, block: CheckWorkings) -> str:
        rows = "".join(f"<dt>{words(term)}</dt><dd>{words(text)}</dd>" for term, text in block.rows)
        earlier = ""
        if block.earlier:
            named = ", ".join(_to_working(number) for number in block.earlier)
            earlier = f'<p class="note">Workings shown earlier: {named}.</p>'
        lines = "".join(self._working(line) for line in block.workings)
        return (
            f'<article class="check" id="check-{self.checks[block.id]}">'
            f"<h3>{words(block.id)} "
            f'<span class="{_css(block.verdict)}">{_verdict_words(block.verdict)}</span></h3>'
            f'<p class="question">{words(block.question)}</p><dl>{rows}</dl>{earlier}{lines}'
            "</article>"
        )

    def _working(self, line: WorkingLine) -> str:
        formula = self.formulas.show(line) if line.equation else f"<p>{words(line.plain)}</p>"
        numbers = f"{words(line.numbers)} " if line.numbers else ""
        terms = "; ".join(
            f"{words(term.symbol)} = {words(term.text)}"
            + (
                f" ({_to_working(term.working)})"
                if term.working
                else f" ({words(term.origin)})"
                if term.origin
                else ""
            )
            for term in line.terms
        )
        outside = "".join(
            f"<p><strong>Outside validity: {words(text)}</strong></p>" for text in line.outside
        )
        return (
            f'<div class="working" id="working-{line.number}">'
            f"<p><strong>W{line.number}</strong> {words(line.title)}</p>{formula}"
            f"<p>{numbers}<strong>→ {words(line.result)}</strong></p>"
            + (f'<p class="terms">{terms}.</p>' if terms else "")
            + (f'<p class="source">Source: {words(line.source)}</p>' if line.source else "")
            + f"{outside}</div>"
        )


_SHOW: Final[dict[type, Callable[..., str]]] = {
    Text: _Page.text,
    Verdict: _Page.verdict,
    Items: _Page.items,
    Drawing: _Page.drawing,
    Facts: _Page.facts,
    Table: _Page.table,
    CheckWorkings: _Page.workings,
}


def page(document: Document) -> str:
    """Return the document as one HTML page: pictures, formulas and style inside."""
    making = _Page(document, Formulas.of(document), anchors(document))
    style = files("bathybore.reports").joinpath("page.css").read_text(encoding="utf-8")
    front = "".join(making.block(block) for block in document.front)
    chapters = "".join(
        f'<section aria-labelledby="chapter-{number}">'
        f'<h2 id="chapter-{number}">{number} {words(chapter.title)}</h2>'
        + "".join(making.block(block) for block in chapter.blocks)
        + "</section>"
        for number, chapter in enumerate(document.chapters, start=1)
    )
    contents = "".join(
        f'<li><a href="#chapter-{number}">{words(chapter.title)}</a></li>'
        for number, chapter in enumerate(document.chapters, start=1)
    )
    title = words(f"{document.title}: {document.hole}")
    mark = f'<p class="mark">{words(document.mark)}.</p>' if document.mark else ""
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{words(_POLICY)}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title><style>{style}</style></head><body>"
        f'<a class="skip" href="#main">Skip to the verdict</a>{making.formulas.shared}'
        f'<header><p class="kind">{words(document.title)}</p><h1>{words(document.hole)}</h1>'
        f"<p>{words(document.vessel)}</p>{mark}</header>"
        f'<main id="main">{front}'
        f'<nav aria-label="Contents"><h2>Contents</h2><ol>{contents}</ol></nav>'
        f"{chapters}</main><footer><p>{words(document.footer)}</p>{mark}</footer>"
        "</body></html>\n"
    )


def _number(column: Column) -> str:
    return ' class="number"' if column.kind == "number" else ""


def _css(verdict: str) -> str:
    known = {str(status) for status in Status}
    return verdict.replace(" ", "-") if verdict in known else ""


def _verdict_words(verdict: str) -> str:
    sign = SIGN.get(verdict)
    said = words(verdict.upper() if verdict == str(Status.FAILS) else verdict)
    return f'<span aria-hidden="true">{sign}</span> {said}' if sign else said


def _to_working(number: int) -> str:
    return f'<a href="#working-{number}">W{number}</a>'


def _scrolling(name: str, table: str) -> str:
    """Return a table that scrolls by itself where the screen is narrow, by keyboard too."""
    return (
        f'<div class="scroll" role="region" tabindex="0" aria-label="{words(name)}">{table}</div>'
    )


def _inline_svg(svg: str, prefix: str, alt: str) -> str:
    """Return an SVG document as an element of a page: ids of its own, no style that leaks."""
    body = svg[svg.index("<svg") :]
    body = re.sub(r"<metadata>.*?</metadata>", "", body, flags=re.DOTALL)
    body = re.sub(r"<style[^>]*>.*?</style>", "", body, flags=re.DOTALL)
    body = _ID.sub(lambda found: found[1] + prefix, body).replace("xlink:href", "href")
    start = body.index(">") + 1
    box = re.search(r'viewBox="([^"]+)"', body[:start])
    if box is None:
        raise ValueError("a picture without a viewBox")
    opening = (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{words(alt)}" '
        f'viewBox="{box[1]}">'
    )
    return opening + body[start:].strip()
