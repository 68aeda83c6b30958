"""Reached by everyone: keyboard alone, axe's rules in every place and theme, touch, sizes."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from acts import go, grip, judged, later_than, revision, violations
from playwright.sync_api import Page, expect

from conftest import Server


@pytest.mark.parametrize(
    "theme", ["light", *(pytest.param(one, marks=pytest.mark.soak) for one in ("dark", "red"))]
)
def test_no_place_breaks_the_rules_of_accessibility(
    theme: str, opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    page.get_by_label("Light of the screen").select_option(theme)
    told: list[str] = []
    for place in ("Column", "Then and now", "Inputs", "Programme", "Alternatives"):
        go(page, place)
        page.wait_for_timeout(800)
        keep(page, f"{theme}-{place.lower().replace(' ', '-')}")
        told += [f"{place}: {one}" for one in violations(page)]
    go(page, "Column")
    page.get_by_role("list", name="Verdicts").get_by_role("button").first.click()
    page.wait_for_timeout(800)
    keep(page, f"{theme}-working")
    told += [f"working: {one}" for one in violations(page)]
    assert told == []


def test_the_first_page_of_an_empty_folder_and_the_guide_keep_the_rules(
    served_empty: Server, visit: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = visit(served_empty, guided=False)
    expect(page.get_by_role("heading", name="No hole here yet")).to_be_visible()
    assert violations(page) == []
    page.get_by_role("button", name="Add the demonstration holes").click()
    judged(page)
    guide = page.get_by_role("complementary", name="Guided look")
    stops = 0
    while True:
        stops += 1
        page.wait_for_timeout(300)
        keep(page, f"guide-{stops}")
        assert violations(page, within="[aria-label='Guided look']") == []
        if not guide.get_by_role("button", name="Next").count():
            break
        guide.get_by_role("button", name="Next").click()
    assert stops == 10
    guide.get_by_role("button", name="Done").click()
    expect(guide).to_have_count(0)


def test_the_job_is_done_with_the_keyboard_alone(
    served_alone: Server, visit: Callable[..., Page]
) -> None:
    page = visit(served_alone, "")
    expect(page.get_by_role("heading", name="Holes in this folder")).to_be_visible()

    def tab_to(name: re.Pattern[str], most: int = 150) -> None:
        """Press Tab until what has the focus is called like that."""
        for _ in range(most):
            page.keyboard.press("Tab")
            told = page.evaluate(
                "() => { const e = document.activeElement;"
                " return (e.getAttribute('aria-label') ?? '') + ' ' + (e.innerText ?? '')"
                " + ' ' + [...(e.labels ?? [])].map(l => l.innerText).join(' ') }"
            )
            if name.search(told):
                return
        raise AssertionError(f"{most} tabs did not lead to {name.pattern}")

    tab_to(re.compile("Tern Basin"))
    page.keyboard.press("Enter")
    judged(page)
    start = revision(page)
    tab_to(re.compile("casing-1338.*shoe|shoe.*casing-1338", re.I))
    page.keyboard.press("ArrowUp")
    later_than(page, start)
    tab_to(re.compile("\\b(holds|tight|fails)\\b: "))
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.get_by_role("list", name="Verdicts")).to_have_count(0)
    page.keyboard.press("Escape")
    expect(page.get_by_role("list", name="Verdicts")).to_be_visible()
    page.keyboard.press("Alt+4")
    expect(page.get_by_role("link", name="PDF document")).to_be_visible()
    page.keyboard.press("Alt+3")
    expect(page.get_by_role("navigation", name="Parts of the document")).to_be_visible()
    page.keyboard.press("Alt+1")
    expect(page.get_by_role("list", name="Verdicts")).to_be_visible()


def finger(page: Page, x: float, y: float, dx: float) -> None:
    """Draw a finger along, in several moves."""
    session = page.context.new_cdp_session(page)

    def touch(kind: str, at: float) -> None:
        points = [] if kind == "touchEnd" else [{"x": x + at, "y": y}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", 0.0)
    for i in range(1, 9):
        touch("touchMove", dx * i / 8)
        page.wait_for_timeout(30)
    touch("touchEnd", 0.0)


def test_a_finger_moves_a_density(opened: Callable[..., Page]) -> None:
    page = opened("main", has_touch=True, viewport={"width": 1280, "height": 800})
    start = revision(page)
    what = grip(page, re.compile("density.*mud-3|mud-3.*density", re.I))
    box = what.bounding_box()
    assert box is not None
    before = what.get_attribute("aria-valuenow")
    finger(page, box["x"] + box["width"] / 2, box["y"] + box["height"] / 2, 24.0)
    later_than(page, start)
    assert what.get_attribute("aria-valuenow") != before


def test_a_finger_on_the_days_goes_through_the_steps(opened: Callable[..., Page]) -> None:
    page = opened("riserless", has_touch=True)
    strip = page.get_by_role("listbox", name=re.compile("^Steps"))
    box = strip.bounding_box()
    assert box is not None
    low = box["y"] + box["height"] - 10.0  # on the days, which stand below the boxes
    finger(page, box["x"] + box["width"] - 20.0, low, 40.0 - box["width"])
    expect(strip.locator("[aria-selected=true]")).to_have_id("step-hold-station")


@pytest.mark.parametrize(
    "size", [(1280, 720), pytest.param((1920, 1080), marks=pytest.mark.soak), (3440, 1440)]
)
def test_nothing_is_cut_off_at_usual_sizes(
    size: tuple[int, int], opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main", viewport={"width": size[0], "height": size[1]})
    keep(page, f"size-{size[0]}")
    over = page.evaluate(
        "() => [document.documentElement.scrollWidth - innerWidth,"
        " document.documentElement.scrollHeight - innerHeight]"
    )
    assert over[0] <= 0
    assert over[1] <= 0
