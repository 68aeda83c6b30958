"""The main job clicked through: from an empty folder to a signed document."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from acts import go, judged, later_than, revision
from playwright.sync_api import Page, expect

from conftest import Server


def test_from_an_empty_folder_to_a_signed_document(
    served_empty: Server, visit: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = visit(served_empty, guided=False)
    expect(page.get_by_role("heading", name="No hole here yet")).to_be_visible()
    keep(page, "empty-folder")
    page.get_by_label("Name").fill("Turnstone Rise 1")
    page.get_by_role("button", name="Begin", exact=True).click()
    judged(page)
    assert (served_empty.folder / "Turnstone Rise 1" / "hole.yaml").is_file()
    page.get_by_role("complementary", name="Guided look").get_by_role(
        "button", name="Close"
    ).click()

    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name="plan", exact=True).click()
    first = page.get_by_label("target", exact=False).first
    expect(first).to_be_visible()
    go(page, "Column")
    # the first section's flow rate, typed
    page.get_by_role("button", name="Numbers").click()
    number = page.get_by_role("textbox", name=re.compile("flow", re.I)).first
    number.fill("3900 L/min")
    number.press("Enter")
    later_than(page, start)

    go(page, "Programme")
    page.get_by_label("Your name").fill("A. Tern (invented)")
    page.get_by_label("Note").fill("looked at every failing check")
    sure = page.get_by_role("checkbox")
    if sure.count():
        sure.check()
    page.get_by_role("button", name=re.compile("^Sign revision")).click()
    expect(page.get_by_text("A. Tern (invented)")).to_be_visible()
    with page.expect_download(timeout=90_000) as download:
        page.get_by_role("link", name="PDF document").click()
    pdf = Path(download.value.path())
    assert pdf.read_bytes().startswith(b"%PDF-")
    keep(page, "signed")


def test_a_disk_holds_what_was_typed(served_alone: Server, visit: Callable[..., Page]) -> None:
    page = visit(served_alone, "#main")
    judged(page)
    start = revision(page)
    go(page, "Inputs")
    page.get_by_role("button", name="design basis").click()
    days = page.get_by_label("days available")
    days.fill("150 day")
    days.press("Enter")
    later_than(page, start)
    served_alone.stop()
    text = (served_alone.folder / "main" / "hole.yaml").read_text(encoding="utf-8")
    assert "days_available: 150 day" in text
    assert "# 42 m: the vessel keeps far nearer" in text
