"""Moving the hole in the picture: by hand, by keyboard, by typing, and taking it back."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from acts import drag, go, grip, later_than, revision, undo
from playwright.sync_api import Page, expect

SHOE = re.compile("shoe of casing-1338|casing-1338 shoe", re.I)

# what the twenty most urgent rows say
FIRST_ROWS = (
    "() => [...document.querySelectorAll('[aria-label=Verdicts] [data-row]')].slice(0, 20)"
    ".map(row => row.textContent).join('|')"
)


def shoe_depth(page: Page) -> float:
    return float(grip(page, SHOE).get_attribute("aria-valuenow") or "nan")


def test_a_dragged_shoe_changes_the_ledger_and_undo_takes_it_all_back(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    start, before = revision(page), shoe_depth(page)
    verdicts = page.evaluate(FIRST_ROWS)
    drag(page, grip(page, SHOE), 0.0, -60.0)
    later_than(page, start)
    page.wait_for_function(f"t => ({FIRST_ROWS})() !== t", arg=verdicts)
    after = shoe_depth(page)
    assert after < before - 50.0
    keep(page, "shoe-dragged")
    page.keyboard.press("Control+z")
    page.wait_for_function(f"t => ({FIRST_ROWS})() === t", arg=verdicts)
    assert shoe_depth(page) == before
    page.get_by_role("button", name="Redo").click()
    expect(grip(page, SHOE)).to_have_attribute("aria-valuenow", re.compile(rf"^{after:g}"))


@pytest.mark.soak
def test_twenty_drags_there_and_back_end_where_they_began(opened: Callable[..., Page]) -> None:
    page = opened("main")
    before = shoe_depth(page)
    for _ in range(10):
        for way in (-12.0, 12.0):
            drag(page, grip(page, SHOE), 0.0, way, moves=3)
            revision(page)
            page.wait_for_timeout(150)  # the label settles beside its neighbours
    assert shoe_depth(page) == pytest.approx(before, abs=25.0)


def test_escape_during_a_drag_puts_it_back(opened: Callable[..., Page]) -> None:
    page = opened("main")
    before = shoe_depth(page)
    box = grip(page, SHOE).bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 20, box["y"] + 10)
    page.mouse.down()
    page.mouse.move(box["x"] + 20, box["y"] - 40, steps=6)
    page.keyboard.press("Escape")
    page.mouse.up()
    expect(grip(page, SHOE)).to_have_attribute("aria-valuenow", re.compile(rf"^{before:g}"))


def test_arrow_keys_step_a_shoe_and_a_flow_is_dragged(opened: Callable[..., Page]) -> None:
    page = opened("main")
    start, before = revision(page), shoe_depth(page)
    grip(page, SHOE).focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Shift+ArrowUp")
    later_than(page, start)
    expect(grip(page, SHOE)).to_have_attribute("aria-valuenow", re.compile(rf"^{before - 8:g}"))
    page.keyboard.press("Control+z")  # the presses were one gesture
    expect(grip(page, SHOE)).to_have_attribute("aria-valuenow", re.compile(rf"^{before:g}"))
    flow = grip(page, re.compile("flow rate of section-1214", re.I))
    pumped = float(flow.get_attribute("aria-valuenow") or "nan")
    drag(page, flow, -20.0, 0.0, moves=4)
    page.wait_for_function(
        "v => Number(document.querySelector('[data-handle=\"flow:section-1214\"]')"
        ".ariaValueNow) < v",
        arg=0.9 * pumped,
    )


def test_an_exact_value_is_typed_in_any_unit_and_nonsense_is_told(
    opened: Callable[..., Page],
) -> None:
    page = opened("main")
    start = revision(page)
    field = page.get_by_role("textbox", name=re.compile("density.*mud-2|mud-2.*density", re.I))
    if not field.count():
        page.get_by_role("button", name=re.compile("numbers", re.I)).click()
    field = field.first
    field.fill("10.9 ppg")
    field.press("Enter")
    later_than(page, start)
    field.fill("heavy")
    field.press("Enter")
    expect(page.get_by_role("alert").filter(has_text="'heavy'")).to_be_visible()
    field.press("Escape")
    expect(field).to_have_value("10.9 ppg")


def test_an_edit_that_breaks_the_plan_is_kept_and_shown(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    start = revision(page)
    field = page.get_by_role("textbox", name=SHOE)
    if not field.count():
        page.get_by_role("button", name=re.compile("numbers", re.I)).click()
    field.first.fill("300 m below sea bed")
    field.first.press("Enter")
    later_than(page, start)
    expect(page.get_by_role("alert").first).to_be_visible()
    keep(page, "plan-broken")
    page.keyboard.press("Tab")
    undo(page)
    expect(page.get_by_role("alert")).to_have_count(0)


def test_units_and_datum_change_what_is_shown_and_not_the_plan(opened: Callable[..., Page]) -> None:
    page = opened("main")
    start = revision(page)
    says = grip(page, SHOE).get_attribute("aria-valuetext")
    page.get_by_label("Units", exact=False).first.select_option("oilfield")
    expect(grip(page, SHOE)).to_have_attribute("aria-valuetext", re.compile("ft"))
    page.get_by_label("Units", exact=False).first.select_option("metric")
    expect(grip(page, SHOE)).to_have_attribute("aria-valuetext", str(says))
    assert revision(page) == start


@pytest.mark.parametrize(
    "hole", ["main", "riserless", pytest.param("frontier", marks=pytest.mark.soak)]
)
def test_every_step_of_every_hole_is_pictured_and_judged(
    hole: str, opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened(hole)
    steps = page.get_by_role("listbox", name=re.compile("^Steps"))
    steps.focus()
    page.keyboard.press("Home")
    count = steps.get_by_role("option").count()
    assert count > 10
    for at in range(count):
        expect(steps.get_by_role("option").nth(at)).to_have_attribute("aria-selected", "true")
        page.keyboard.press("ArrowRight")
    keep(page, f"{hole}-end")
    verdict = page.locator("section.ledger").inner_text()
    assert ("FAIL" in verdict) == (hole == "frontier")


def test_the_frontier_hole_says_why_it_fails(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("frontier")
    page.get_by_role("group", name="Verdicts", exact=True).get_by_role(
        "button", name=re.compile("fails")
    ).click()
    rows = page.get_by_role("list", name="Verdicts").get_by_role("listitem")
    assert rows.count() >= 5
    text = rows.first.inner_text()
    assert "fails" in text
    assert "Try:" in text
    keep(page, "frontier-fails")
    rows.first.get_by_role("button").click()
    expect(page.get_by_role("heading").filter(has_text="?").first).to_be_visible()
    keep(page, "frontier-working")
    go(page, "Programme")
    expect(page.get_by_text("FAIL").first).to_be_visible()
