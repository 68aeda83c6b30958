"""An opened check as a page: question, verdict, then the working in its order."""

from __future__ import annotations

from rich.text import Text

from bathybore.cli.page import VERDICT_STYLE, Page, verdict_text, whole
from bathybore.usecases.explaining import Explanation, SolutionNote, WorkingNote
from bathybore.usecases.showing import ShownValue, cited, in_words


def explain(explanation: Explanation) -> str:
    """Return the page of an explanation."""
    page = Page()
    head = Text(explanation.id + "  ", "bold")
    page.line(head + verdict_text(explanation.verdict))
    page.line(explanation.question)
    page.line()
    page.fields(_answer(explanation))
    workings(page, explanation.steps, explanation.cautions)
    return page.text()


def workings(
    page: Page, steps: tuple[WorkingNote | SolutionNote, ...], cautions: tuple[str, ...]
) -> None:
    """Set out workings in their order, and the cautions that go with them."""
    if steps:
        page.heading("How it was worked out")
    for note in steps:
        page.line()
        if isinstance(note, WorkingNote):
            _working(page, note)
        else:
            _solution(page, note)
    if cautions:
        page.heading("Cautions")
        for caution in cautions:
            page.fields([("-", caution)], label=1)


def _answer(explanation: Explanation) -> list[tuple[str | Text, str | Text]]:
    rows: list[tuple[str | Text, str | Text]] = []
    for label, value in (("Demand", explanation.demand), ("Capacity", explanation.capacity)):
        if value is not None:
            rows.append((label, f"{value.text}  {value.words}, {value.origin}"))
    if explanation.margin_text:
        style = VERDICT_STYLE[explanation.verdict]
        rows.append(("Margin", Text(whole(explanation.margin_text) + " of the capacity", style)))
    rows.extend(
        (label, text)
        for label, text in (
            ("Closest", explanation.depth and f"at {explanation.depth}"),
            ("Note", explanation.note),
            ("Why", explanation.reason),
            ("Do first", explanation.remedy if explanation.verdict != "holds" else ""),
        )
        if text
    )
    return rows


def _working(page: Page, note: WorkingNote) -> None:
    page.line(Text(f"{note.number:>2}  {in_words(note.equation)}", "bold"))
    page.line(note.summary, "dim", indent=4)
    page.line(note.formula, indent=4)
    page.line(note.with_numbers, indent=4)
    page.line(Text(whole(_result(note.result)), "bold"), indent=4)
    page.fields(_inputs(note.inputs), indent=4, label=12)
    rows = [("Source", cited(note.source, note.where)), *_validity(note)]
    page.fields(rows, indent=4, label=12)


def _validity(note: WorkingNote) -> list[tuple[str | Text, str | Text]]:
    rows: list[tuple[str | Text, str | Text]] = []
    for limit in note.limits:
        reason = f" ({limit.reason})" if limit.reason else ""
        here = "inside" if limit.kept else "OUTSIDE"
        style = "" if limit.kept else VERDICT_STYLE["outside validity"]
        rows.append(("Valid", Text(whole(f"{limit.text}{reason}: {here}"), style)))
    if all(limit.kept for limit in note.limits):
        # broken at another depth than the one shown
        rows.extend(("Outside", text) for text in note.outside)
    if note.validity_note:
        rows.append(("Valid", note.validity_note))
    return rows


def _solution(page: Page, note: SolutionNote) -> None:
    page.line(Text(f"{note.number:>2}  {note.how}", "bold"))
    page.line(note.problem, indent=4)
    page.line(Text(whole(_result(note.result)), "bold"), indent=4)
    page.fields(_inputs(note.inputs), indent=4, label=12)
    rows: list[tuple[str | Text, str | Text]] = [("Source", note.source)]
    if note.residual is not None:
        rows.insert(0, ("Left over", f"{note.residual:.2g} of the largest load"))
    page.fields(rows, indent=4, label=12)


def _result(value: ShownValue) -> str:
    symbol = f"{value.symbol} = " if value.symbol else ""
    return f"{symbol}{value.text}  {value.words}"


def _inputs(values: tuple[ShownValue, ...]) -> list[tuple[str | Text, str | Text]]:
    return [(v.symbol or "·", f"{v.text}  {v.words}, {v.origin}") for v in values]
