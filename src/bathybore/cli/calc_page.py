"""Equations as pages: the list, one described, one worked out."""

from __future__ import annotations

from bathybore.cli.page import VERDICT_STYLE, Page
from bathybore.usecases.calculating import Calculation, Description, Parameter, Topic
from bathybore.usecases.showing import ShownLimit, cited


def topics(listed: tuple[Topic, ...]) -> str:
    """Return the list of all equations."""
    page = Page()
    widest = max(len(brief.name) for topic in listed for brief in topic.equations)
    label = min(widest, page.width // 2 - 4)
    for topic in listed:
        page.heading(topic.name.capitalize())
        page.fields(((brief.name, brief.summary) for brief in topic.equations), label=label)
    page.line()
    page.line("`bathybore calc NAME` says what an equation needs and gives an example.")
    return page.text().lstrip("\n")


def describe(description: Description) -> str:
    """Return what an equation says and needs."""
    page = Page()
    page.line(description.name, "bold")
    page.line(description.summary)
    page.line()
    page.line(description.formula, indent=2)
    page.heading("Inputs")
    for parameter in description.parameters:
        page.fields([(parameter.symbol, _parameter(parameter))], label=8)
    page.heading("Result")
    page.fields([(description.result.symbol, _parameter(description.result))], label=8)
    page.line()
    _trust(page, description)
    page.heading("Example")
    page.line(description.example, indent=2)
    return page.text()


def calculate(result: Calculation) -> str:
    """Return an equation worked out."""
    page = Page()
    page.line(result.name, "bold")
    page.line(result.summary)
    page.line()
    page.line(result.formula, indent=2)
    page.line(result.with_numbers, indent=2)
    page.line()
    symbol = f"{result.result.symbol} = " if result.result.symbol else ""
    page.line(f"{symbol}{result.result.text}", "bold", indent=2)
    page.line(f"{result.result.si!r} {_unit(result.result.unit)}".rstrip(), "dim", indent=2)
    page.line()
    page.fields(((v.symbol, f"{v.text}  {v.words}, {v.origin}") for v in result.inputs), label=8)
    page.line()
    _trust(page, result)
    for text in result.outside:
        page.line(f"OUTSIDE VALIDITY: {text}", VERDICT_STYLE["outside validity"], indent=2)
    return page.text()


def _parameter(parameter: Parameter) -> str:
    unit = f" [{_unit(parameter.unit) or 'a number'}]"
    default = f" Default {parameter.default}." if parameter.default else ""
    return f"{parameter.name}{unit}: {parameter.meaning}{default}"


def _unit(unit: str) -> str:
    return "" if unit == "-" else unit


def _trust(page: Page, about: Description | Calculation) -> None:
    page.fields(
        [
            ("Source", cited(about.source, about.where)),
            *(("Valid", _limit(limit)) for limit in about.limits),
            *([("Valid", about.validity_note)] if about.validity_note else []),
            *([("Caution", about.caution)] if about.caution else []),
        ]
    )


def _limit(limit: ShownLimit) -> str:
    return limit.text + (f" ({limit.reason})" if limit.reason else "")
