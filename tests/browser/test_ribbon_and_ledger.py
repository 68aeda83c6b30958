"""Steps moved along and changed; verdicts filtered, opened and followed to their place."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from acts import WAIT, go, judged, later_than, revision, undo
from playwright.sync_api import Page, expect

from conftest import Server


def test_the_ledger_shows_the_step_the_section_or_the_hole(opened: Callable[..., Page]) -> None:
    page = opened("main")
    shown = page.get_by_role("status").filter(has_text=re.compile(r"^\d+ of \d+$"))

    def count() -> int:
        return int(shown.inner_text().split()[0])

    whole = count()
    page.get_by_role("listbox", name=re.compile("^Steps")).focus()
    page.keyboard.press("Home")
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    among = page.get_by_role("group", name="How much of the hole")
    among.get_by_role("button", name="This section").click()
    section = count()
    page.get_by_role("button", name="This step").click()
    step = count()
    assert whole > section > step > 0


def test_a_row_opens_its_working_with_formula_source_and_inputs(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    page.get_by_label("Search the checks").fill("pump pressure")
    page.get_by_role("list", name="Verdicts").get_by_role("button").first.click()
    working = page.locator("section.ledger")
    expect(working.locator("svg[role=img], img[alt]").first).to_be_visible()
    text = working.inner_text()
    assert re.search(r"line \d+", text)  # where an input was written
    keep(page, "working")
    page.keyboard.press("Escape")
    expect(page.get_by_role("list", name="Verdicts")).to_be_visible()


def test_a_step_is_inserted_told_anew_moved_left_out_and_undone(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    steps = page.get_by_role("listbox", name=re.compile("^Steps"))
    options = steps.get_by_role("option")
    count = options.count()
    page.locator("#step-drill-section-1214").click()
    page.get_by_role("button", name="Change steps").click()
    panel = page.get_by_role("region", name="Change steps")

    def change(what: str, why: str, **fields: str) -> None:
        start = revision(page)
        panel.get_by_label("What").select_option(label=what)
        for label, text in fields.items():
            name = label.replace("_", " ")
            if text.startswith("="):
                panel.get_by_role("combobox", name=name).select_option(label=text[1:])
            else:
                panel.get_by_role("textbox", name=name).fill(text)
        panel.get_by_label("Reason").fill(why)
        panel.get_by_role("button", name=what).click()
        later_than(page, start)

    change("Put a step after it", "torque rises", Kind="=Circulate", Name="clean-up",
           How_long="=a time", Time="30 min", Flow_rate="3200 L/min")  # fmt: skip
    expect(options).to_have_count(count + 1)
    expect(panel.get_by_text("circulate clean-up, 30 min, 3200 L/min")).to_be_visible()
    page.locator("#step-clean-up").click()
    page.get_by_role("button", name="This step").click()
    fails = page.get_by_role("list", name="Verdicts").get_by_text(re.compile("circulated long"))
    expect(fails.first).to_be_visible()
    keep(page, "change-steps")
    change("Tell it anew", "torque rises", How_long="=until the hole is clean")
    expect(panel.get_by_text("circulate clean-up, until clean")).to_be_visible()
    expect(fails).to_have_count(0)  # nothing is left to judge
    change("Move it one earlier", "before the new hole")
    change("Leave it out", "not needed")
    expect(options).to_have_count(count)
    for _ in range(4):
        undo(page)
    expect(options).to_have_count(count)
    expect(panel.get_by_text("none has been changed by hand")).to_be_visible()


def test_a_move_that_cannot_be_done_taken_back_leaves_the_reader_at_his_step(
    opened: Callable[..., Page],
) -> None:
    page = opened("riserless")
    page.locator("#step-set-conductor").click()
    page.get_by_role("button", name="Change steps").click()
    panel = page.get_by_role("region", name="Change steps")
    panel.get_by_label("What").select_option(label="Move it one earlier")
    panel.get_by_label("Reason").fill("to see what it does")
    panel.get_by_role("button", name="Move it one earlier").click()
    expect(panel.get_by_text("The walk stops")).to_be_visible()
    chosen = page.get_by_role("listbox", name=re.compile("^Steps")).locator("[aria-selected=true]")
    expect(chosen).to_have_id("step-hold-station")  # the last that is walked
    undo(page)
    expect(chosen).to_have_id("step-set-conductor")


def test_another_hole_begins_at_its_own_last_step_with_nothing_opened(
    served_alone: Server, visit: Callable[..., Page]
) -> None:
    page = visit(served_alone, "#main")
    judged(page)
    page.locator("#step-hold-station").click()
    page.get_by_role("list", name="Verdicts").get_by_role("button").first.click()
    expect(page.get_by_role("article", name="Working")).to_be_visible()
    page.evaluate("location.hash = '#riserless'")  # as a pasted address does
    expect(page.get_by_role("heading", level=1)).to_have_text("Gannet Rise cored hole")
    judged(page)
    expect(page.get_by_role("article", name="Working")).to_have_count(0)
    chosen = page.get_by_role("listbox", name=re.compile("^Steps")).locator("[aria-selected=true]")
    expect(chosen).to_have_id("step-depart")
    page.evaluate("location.hash = '#nowhere'")
    page.wait_for_function("location.hash === '#riserless'")
    page = visit(served_alone, "#%E0%A4%A")  # no text at all
    expect(page.get_by_role("heading", name="Holes in this folder")).to_be_visible()


@pytest.mark.soak
def test_then_and_now_tell_what_was_changed_and_what_came_of_it(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name="design basis").click()
    field = page.get_by_label("days available")
    field.fill("60 day")
    field.press("Enter")
    later_than(page, start)
    go(page, "Then and now")
    place = page.get_by_role("region", name="What differs")
    expect(place.get_by_text("60 day").first).to_be_visible(timeout=WAIT)
    expect(place.get_by_text("220 day").first).to_be_visible()
    expect(place.get_by_text(re.compile("fails")).first).to_be_visible()
    keep(page, "then-and-now")
