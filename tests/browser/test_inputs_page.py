"""The document as a form, its tables, and files brought in from elsewhere."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from acts import WAIT, drop, go, later_than, revision, violations
from playwright.sync_api import Page, expect

# invented; the layout of the CWLS LAS 2.0 standard (2014 edition)
LOG = """~VERSION INFORMATION
 VERS. 2.0 : CWLS LOG ASCII STANDARD - VERSION 2.0
 WRAP. NO  : ONE LINE PER DEPTH STEP
~WELL INFORMATION
 STRT.M    0.0 : START
 STOP.M 5200.0 : STOP
 STEP.M 2600.0 : STEP
 NULL. -999.25 : NULL VALUE
 WELL. INVENTED : WELL
~CURVE INFORMATION
 DEPT.M    : depth
 TEMP.DEGC : temperature
~A
    0.0   3.0
 2600.0  70.0
 5200.0 140.0
"""


def test_a_field_says_what_is_wrong_as_it_is_typed(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name="design basis").click()
    field = page.get_by_label("days available")
    field.fill("220")
    expect(page.get_by_text("bare number").first).to_be_visible()
    keep(page, "inputs-fault")
    field.fill("180 day")
    expect(page.get_by_text("bare number")).to_have_count(0)
    field.press("Enter")
    later_than(page, start)


def test_what_nobody_stated_is_marked(opened: Callable[..., Page]) -> None:
    page = opened("main")
    go(page, "Inputs")
    page.get_by_role("button", name="design basis").click()
    expect(page.get_by_text("△ assumed").first).to_be_visible()


def test_cells_are_pasted_from_a_spreadsheet(opened: Callable[..., Page]) -> None:
    page = opened("main")
    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name=re.compile("^Sea:")).click()
    cell = page.locator("#cell-0-1")
    cell.focus()
    page.evaluate(
        "() => { const data = new DataTransfer();"
        " data.setData('text/plain', '18.0\\t34.5\\n17.5\\t34.4');"
        " document.activeElement.dispatchEvent(new ClipboardEvent('paste',"
        " {clipboardData: data, bubbles: true, cancelable: true})) }"
    )
    later_than(page, start)
    expect(page.locator("#cell-0-1")).to_have_value("18.0")
    expect(page.locator("#cell-1-2")).to_have_value("34.4")


def test_a_survey_is_begun_and_filled(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name=re.compile("^Survey:")).click()
    expect(page.get_by_text("it is taken as vertical")).to_be_visible()
    page.get_by_role("button", name=re.compile("^Begin survey.csv")).click()
    later_than(page, start)
    begun = revision(page)
    page.get_by_role("button", name="Put a row below row 1").click()
    later_than(page, begun)
    expect(page.locator("#cell-1-0")).to_have_value("2475")
    longer = revision(page)
    page.locator("#cell-1-1").fill("1.5")
    page.locator("#cell-1-1").press("Tab")
    later_than(page, longer)
    keep(page, "survey")
    assert violations(page) == []
    bent = revision(page)
    page.get_by_role("button", name="Take out row 2").click()
    later_than(page, bent)
    expect(page.locator("#cell-1-0")).to_have_value("4950")


def test_a_log_is_looked_at_decided_about_and_taken_in(
    opened: Callable[..., Page],
    keep: Callable[[Page, str], Path],
    tmp_path: Path,
) -> None:
    page = opened("main")
    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name=re.compile("^Earth:")).click()
    log = tmp_path / "invented.las"
    log.write_text(LOG, encoding="utf-8")
    page.get_by_role("heading", name=re.compile("^Earth:")).hover()
    expect(page.get_by_text("Drop a LAS 2.0")).to_be_visible()  # the table is there to take it
    page.mouse.wheel(0, 2000)
    drop(page, log)  # far below the place where it is shown
    expect(page.get_by_text("invented.las").first).to_be_in_viewport()
    take = page.get_by_role("button", name="Take it in")
    expect(take).to_be_disabled()  # neither datum nor true vertical is decided
    keep(page, "import-preview")
    page.get_by_label("Depths are counted from").select_option("sea bed")
    page.get_by_label("The depths are true vertical depths").check()
    expect(take).to_be_in_viewport()
    take.click()
    later_than(page, start)
    expect(page.get_by_text("Undo takes it back")).to_be_visible()


@pytest.mark.soak
def test_a_neighbours_logs_become_the_earth_table(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name="Prognosis from a neighbour's logs").click()
    expect(page.get_by_text("Doubts about the data")).to_be_visible(timeout=WAIT)
    page.get_by_role("region", name="Curves over depth").get_by_role("button").nth(40).click()
    expect(page.get_by_role("article", name=re.compile("Working of"))).to_be_visible(timeout=WAIT)
    page.wait_for_function(
        "() => [...document.querySelectorAll('img')].every(i => i.naturalWidth > 100)", timeout=WAIT
    )
    keep(page, "prognosis")
    assert violations(page) == []
    page.get_by_role("button", name="Make it the table earth.csv").click()
    later_than(page, start)
    expect(page.get_by_text("holds the prognosis now")).to_be_visible()
