"""The place Odds in a browser: reach, odds and rules, asked once hands rest."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from acts import go, grip, later_than, revision, undo, violations
from playwright.sync_api import Page, expect

LONG = 240_000  # [ms] for a hole whose every question is asked at every depth


def asked(page: Page, part: str) -> list[str]:
    """Return a list that fills with the requests for a part."""
    found: list[str] = []
    wanted = re.compile(rf"/odds/{part}\?")
    page.on("request", lambda one: found.append(one.url) if wanted.search(one.url) else None)
    return found


def shown(page: Page, name: str) -> None:
    expect(page.get_by_role("article", name=name)).to_be_visible(timeout=LONG)


def test_reach_odds_and_rules_are_shown_opened_and_reached_by_keys(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main", viewport={"width": 1440, "height": 1100})
    page.set_default_timeout(LONG)
    first = page.get_by_role("button", name=re.compile("^Bites first: "))
    expect(first).to_have_count(0)  # not worked out yet
    page.keyboard.press("Alt+8")
    expect(page.get_by_role("status").get_by_text("Working it out")).to_be_visible(timeout=LONG)
    expect(page.get_by_text(re.compile("asking every question at every depth"))).to_be_visible(
        timeout=LONG
    )
    shown(page, "Reach")
    reach = page.get_by_role("article", name="Reach")
    expect(reach).to_contain_text("Bites first")
    expect(reach.get_by_role("table").first).to_contain_text("pressure window")
    picture = reach.get_by_role("img")
    page.wait_for_function("() => [...document.images].every(one => one.naturalWidth > 0)")
    assert len(picture.get_attribute("alt") or "") > 40
    keep(page, "odds-reach-light")
    assert violations(page) == []

    tabs = page.get_by_role("navigation", name="Odds")
    tabs.get_by_role("button", name="Odds").press("Enter")
    shown(page, "Odds")
    odds = page.get_by_role("article", name="Odds")
    expect(odds).to_contain_text("512 for this page")
    expect(odds).to_contain_text(re.compile(r"Target reached\s*\d+\.\d%"))
    odds.get_by_text("Chance of each section").click()
    page.wait_for_function("() => [...document.images].every(one => one.naturalWidth > 0)")
    keep(page, "odds-light")
    assert violations(page) == []
    odds.get_by_role("button", name=re.compile("target|chance", re.I)).first.press("Enter")
    expect(page.locator(".working")).to_contain_text("members", timeout=LONG)
    assert violations(page) == []
    page.keyboard.press("Escape")

    page.get_by_label("Light of the screen").select_option("dark")
    keep(page, "odds-dark")
    assert violations(page) == []
    tabs.get_by_role("button", name="Rules").press("Enter")
    expect(page.get_by_role("heading", name="Rules")).to_be_visible()
    expect(page.get_by_text("Working it out")).to_have_count(0, timeout=LONG)
    keep(page, "rules-dark")
    assert violations(page) == []
    page.keyboard.press("Alt+1")
    expect(first).to_be_visible(timeout=LONG)
    expect(first).not_to_contain_text("before the last change")
    assert violations(page) == []
    keep(page, "column-bites-first")
    grip(page, re.compile("density.*mud-3|mud-3.*density", re.I)).press("ArrowRight")
    expect(first).to_contain_text("before the last change", timeout=LONG)
    first.click()
    expect(page.get_by_role("navigation", name="Odds")).to_be_visible()


@pytest.mark.soak
def test_it_is_asked_once_when_calm_and_follows_an_edit(opened: Callable[..., Page]) -> None:
    page = opened("riserless")
    page.set_default_timeout(LONG)
    requests = asked(page, "reach")
    go(page, "Odds")
    shown(page, "Reach")
    assert len(requests) == 1
    page.wait_for_timeout(2500)
    assert len(requests) == 1  # nothing moved: nothing is asked
    before = revision(page)

    go(page, "Inputs")
    go(page, "Odds")
    shown(page, "Reach")
    assert len(requests) == 2  # known already: the answer comes at once

    page.evaluate(
        """async () => {
          const session = await (await fetch('./api/session')).json();
          const hole = location.hash.slice(1);
          const [last] = await (await fetch(`./api/holes/${hole}/revisions?limit=1`)).json();
          for (const [number, text] of ['1.03 sg', '1.04 sg', '1.05 sg'].entries()) {
            const answer = await fetch(`./api/holes/${hole}/edits`, {
              method: 'POST',
              headers: { 'X-Bathybore-Token': session.csrf, 'Content-Type': 'application/json' },
              body: JSON.stringify({
                base: last.number + number, client: 'another', token: `t-${number}-${Date.now()}`,
                edits: [{ op: 'set', key: 'plan.fluids[sea-water].density', text }],
              }),
            });
            if (!answer.ok) throw new Error(await answer.text());
          }
        }"""
    )
    after = later_than(page, before)
    expect(page.get_by_text(f"What stands here is of revision {before}.")).to_be_visible(
        timeout=LONG
    )
    expect(page.get_by_text("What stands here is of revision")).to_have_count(0, timeout=LONG)
    shown(page, "Reach")
    assert len(requests) == 3  # three edits, one question
    undo(page)
    later_than(page, after)
    expect(page.get_by_text("What stands here is of revision")).to_have_count(0, timeout=LONG)
    assert len(requests) in (3, 4)
    shown(page, "Reach")


@pytest.mark.soak
def test_reliefs_are_looked_for_when_asked(opened: Callable[..., Page]) -> None:
    page = opened("frontier")  # of the others no limit bites
    page.set_default_timeout(2 * LONG)
    go(page, "Odds")
    shown(page, "Reach")
    page.get_by_role("button", name="Look for reliefs").click()
    expect(page.get_by_text(re.compile("looking for relief of"))).to_be_visible(timeout=LONG)
    expect(page.get_by_text("Relief: riser", exact=True)).to_be_visible(timeout=LONG)
