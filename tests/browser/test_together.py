"""Two browsers on one hole, a server that goes away, and pages from elsewhere."""

from __future__ import annotations

import re
import signal
from collections.abc import Callable
from pathlib import Path

from acts import grip, judged, later_than, revision
from playwright.sync_api import Page, expect

from conftest import Server, put

SHOE = re.compile("shoe of casing-1338|casing-1338 shoe", re.I)
DEEPER = re.compile("shoe of casing-958|casing-958 shoe", re.I)


def test_two_pages_see_each_other_and_keep_both_edits(
    served: Server, visit: Callable[..., Page]
) -> None:
    address = put(served, "main")
    one, two = visit(served, address), visit(served, address)
    judged(one)
    judged(two)
    start = revision(one)
    expect(one.get_by_role("banner")).to_contain_text("2 here", use_inner_text=True)
    grip(one, SHOE).focus()
    one.keyboard.press("ArrowUp")
    later_than(one, start)
    value = str(grip(one, SHOE).get_attribute("aria-valuenow"))
    expect(grip(two, SHOE)).to_have_attribute("aria-valuenow", value)
    seen = revision(two)
    grip(two, DEEPER).focus()
    two.keyboard.press("ArrowUp")
    later_than(two, seen)
    deeper = str(grip(two, DEEPER).get_attribute("aria-valuenow"))
    expect(grip(one, DEEPER)).to_have_attribute("aria-valuenow", deeper)
    expect(grip(one, SHOE)).to_have_attribute("aria-valuenow", value)


def test_a_lost_server_is_told_and_nothing_accepted_is_lost(
    served_alone: Server, visit: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = visit(served_alone, "#main")
    judged(page)
    start = revision(page)
    grip(page, SHOE).focus()
    page.keyboard.press("ArrowUp")
    later_than(page, start)
    value = str(grip(page, SHOE).get_attribute("aria-valuenow"))
    served_alone.stop(signal.SIGKILL)
    expect(page.get_by_role("alert").filter(has_text="No connection")).to_be_visible()
    keep(page, "no-connection")
    grip(page, DEEPER).focus()
    page.keyboard.press("ArrowUp")
    expect(page.get_by_text("1 unconfirmed edit is kept here")).to_be_visible()
    served_alone.start()
    expect(page.get_by_role("alert").filter(has_text="No connection")).to_have_count(
        0, timeout=30_000
    )
    later_than(page, start + 1)
    expect(grip(page, SHOE)).to_have_attribute("aria-valuenow", value)
    page.reload()
    judged(page)
    expect(grip(page, SHOE)).to_have_attribute("aria-valuenow", value)


def test_a_file_changed_by_hand_becomes_a_revision(
    served: Server, visit: Callable[..., Page]
) -> None:
    address = put(served, "main")
    page = visit(served, address)
    judged(page)
    start = revision(page)
    file = served.folder / address.removeprefix("#") / "hole.yaml"
    text = file.read_text(encoding="utf-8")
    assert "shoe: 1900 m below sea bed" in text
    changed = text.replace("shoe: 1900 m below sea bed", "shoe: 1880 m below sea bed")
    file.write_text(changed, encoding="utf-8")
    later_than(page, start)
    expect(grip(page, SHOE)).to_have_attribute("aria-valuenow", re.compile("^4360"))
