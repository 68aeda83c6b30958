"""Fluids and Sea: sections show numbers and pictures, keep the rules and follow the plan."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from acts import WAIT, go, judged, revision, undo, violations
from playwright.sync_api import Locator, Page, Route, expect

from conftest import Server, put

ONLY_NUMBERS = ("Fluids as measured", "Kill sheet")
PICTURES_DRAWN = (
    "() => [...document.querySelectorAll('article img')]"
    ".every(i => i.complete && i.naturalWidth > 100 && i.alt.length > 20)"
)


def choose(page: Page, tab: Locator) -> None:
    """Turn to a section with the keyboard alone."""
    tab.focus()
    page.keyboard.press("Enter")
    expect(tab).to_have_attribute("aria-current", "true")


def shown(page: Page) -> Locator:
    """Wait until the first article of a section is there, and return it.

    The first to ask waits for the longer questions on the hole, such as a kick followed in time.
    """
    article = page.locator(".lists article").first
    expect(article.locator("dd").first).to_have_text(re.compile(r"\S"), timeout=3 * WAIT)
    return article


def calm(page: Page, article: Locator) -> str:
    """Return what a section says once it says the same for a while."""
    before, now = "", article.inner_text()
    while now != before:
        page.wait_for_timeout(1_500)
        before, now = now, article.inner_text()
    return now


@pytest.mark.parametrize("place", ["Fluids", "Sea"])
def test_every_section_shows_its_numbers_and_pictures_and_keeps_the_rules(
    place: str, opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    go(page, place)
    told: list[str] = []
    tabs = page.get_by_role("navigation", name=place).get_by_role("button")
    names = tabs.all_inner_texts()
    assert len(names) >= 5
    for at, name in enumerate(names):
        choose(page, tabs.nth(at))
        article = shown(page)
        assert bool(article.locator("img").count()) == (name not in ONLY_NUMBERS), name
        page.wait_for_function(PICTURES_DRAWN, timeout=WAIT)
        expect(page.locator(".lists").get_by_text("Mind:").first).to_be_visible()
        expect(page.locator(".lists [role=alert]")).to_have_count(0)
        keep(page, f"{place}-{name}".lower().replace(" ", "-"))
        told += [f"{name}: {one}" for one in violations(page, within=".lists")]
    assert told == []


@pytest.mark.soak
def test_every_part_of_the_riser_is_told(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("main")
    go(page, "Sea")
    choose(page, page.get_by_role("navigation", name="Sea").get_by_role("button", name="Riser"))
    parts = page.get_by_role("group", name="Part of the riser").get_by_role("button")
    assert parts.count() >= 5
    for at in range(parts.count()):
        parts.nth(at).focus()
        page.keyboard.press("Enter")
        expect(parts.nth(at)).to_have_attribute("aria-pressed", "true")
        shown(page)
        page.wait_for_function(PICTURES_DRAWN, timeout=WAIT)
        keep(page, f"riser-{at}")


@pytest.mark.parametrize(
    ("place", "tab", "path", "written", "instead"),
    [
        (
            "Fluids",
            "Circulation",
            "/circulation?",
            " flow_rate: 1000 L",
            " flow_rate: 1050 L",
        ),
        pytest.param(
            "Sea",
            "Station",
            "/station/capability?",
            "wind_speed: 18 m/s",
            "wind_speed: 19 m/s",
            marks=pytest.mark.soak,
        ),
    ],
)
def test_a_section_follows_the_plan_asks_no_more_and_opens_its_questions(
    served: Server,
    visit: Callable[..., Page],
    place: str,
    tab: str,
    path: str,
    written: str,
    instead: str,
) -> None:
    address = put(served, "main")
    page = visit(served, address)
    judged(page)
    start = revision(page)
    go(page, place)
    choose(page, page.get_by_role("navigation", name=place).get_by_role("button", name=tab))
    article = shown(page)
    before = calm(page, article)
    asked: list[str] = []
    page.on("request", lambda one: asked.append(one.url) if path in one.url else None)
    file = served.folder / address.removeprefix("#") / "hole.yaml"
    text = file.read_text(encoding="utf-8")
    assert written in text
    file.write_text(text.replace(written, instead), encoding="utf-8")
    expect(article).not_to_have_text(before, use_inner_text=True, timeout=WAIT)
    assert revision(page) > start
    undo(page)
    expect(article).to_have_text(before, use_inner_text=True, timeout=WAIT)
    assert calm(page, article) == before
    # for the quick answers and for the longer ones, of the edit and of taking it back
    assert 2 <= len(asked) <= 4
    asked.clear()
    page.wait_for_timeout(1_500)
    assert asked == []
    row = article.locator("[data-row]").first
    row.focus()
    page.keyboard.press("Enter")
    working = page.get_by_role("article", name="Working")
    expect(working.get_by_text("workings, the nearest to the verdict first")).to_be_visible(
        timeout=WAIT
    )
    page.keyboard.press("Escape")
    expect(working).to_have_count(0)
    expect(row).to_be_focused()


def test_what_comes_twice_under_one_name_is_shown_twice(opened: Callable[..., Page]) -> None:
    """Odds of a hole may leave two things not asked, each under that name."""
    page = opened("riserless")

    def twice(route: Route) -> None:
        told = route.fetch().json()
        told["facts"] *= 2
        told["tables"] = 2 * [{"title": "t", "titles": ["a", "a"], "rows": [["1", "2"]]}]
        route.fulfill(json=told)

    page.route(re.compile(r"/station/capability\?"), twice)
    go(page, "Sea")
    article = shown(page)
    expect(article.get_by_text("Weather", exact=True)).to_have_count(2)
    expect(article.get_by_role("group")).to_have_count(2)


def test_pictures_and_tables_of_a_section_are_taken_as_files(opened: Callable[..., Page]) -> None:
    page = opened("main")
    go(page, "Fluids")
    choose(page, page.get_by_role("navigation", name="Fluids").get_by_role("button", name="Circul"))
    article = shown(page)
    page.wait_for_function(PICTURES_DRAWN, timeout=WAIT)

    def taken(name: str) -> tuple[str, bytes]:
        with page.expect_download() as found:
            article.get_by_label(name, exact=True).click()
        return found.value.suggested_filename, found.value.path().read_bytes()

    file, svg = taken("Picture circulation as SVG")
    assert file.endswith("circulation.svg")
    assert b"<svg" in svg[:1000]
    file, png = taken("Picture circulation as PNG")
    assert file.endswith("circulation.png")
    assert png.startswith(b"\x89PNG")
    wide, tall = (int.from_bytes(png[at : at + 4], "big") for at in (16, 20))
    size = article.locator("img").first.evaluate("i => [i.naturalWidth, i.naturalHeight]")
    assert [wide, tall] == [3 * one for one in size]
    table = article.locator("table").first
    titles = table.locator("thead th").all_inner_texts()
    file, text = taken("Nozzles as CSV")
    assert file.endswith("nozzles.csv")
    _, head, *rows = text.decode().splitlines()
    assert [one.partition(" [")[0] for one in head.split(",")] == titles
    assert len(rows) == table.locator("tbody tr").count()
    file, book = taken("Nozzles as XLSX")
    assert file.endswith("nozzles.xlsx")
    assert book.startswith(b"PK")
