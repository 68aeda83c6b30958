"""What is uncertain as a form in the place Inputs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from acts import go, later_than, revision, undo, violations
from playwright.sync_api import Page, expect


def test_what_is_uncertain_is_said_in_a_form_and_undone(
    opened: Callable[..., Page], keep: Callable[[Page, str], Path]
) -> None:
    page = opened("riserless", viewport={"width": 1440, "height": 1000})
    go(page, "Inputs")
    page.get_by_role("navigation", name="Parts of the document").get_by_role(
        "button", name="Uncertainty"
    ).press("Enter")
    body = page.locator(".body")
    expect(body).to_contain_text("There is no uncertainty.yaml yet")
    life = body.locator("details", has_text="bit life").last
    life.locator("summary").press("Enter")
    expect(life).to_contain_text("△ assumed")
    high = life.get_by_label("p90")
    assert high.get_attribute("placeholder") == "1.5625"

    high.fill("0.1")  # below p10: said as the command line says it
    expect(life).to_contain_text("expected p90 above p10")
    high.press("Escape")
    before = revision(page)
    high.fill("1.8")
    high.press("Enter")
    written = later_than(page, before)
    expect(body).to_contain_text("It stands in uncertainty.yaml")
    expect(life.get_by_label("p10")).to_have_value("0.64")  # told whole
    life.get_by_label("distribution").select_option("triangular")
    expect(life.get_by_label("most likely")).to_have_value("1")

    numbers = body.locator("details", has_text="any number of the hole").last
    add = numbers.get_by_role("button", name="Begin numbers")
    expect(add).to_be_disabled()
    numbers.get_by_label("name").fill("vessel.handling.connection_time")
    add.press("Enter")
    one = body.locator("details", has_text="vessel.handling.connection_time").last
    one.locator("summary").click()
    one.get_by_label("distribution").select_option("pert")
    expect(one.get_by_label("greatest")).not_to_have_value("")
    keep(page, "uncertain-light")
    assert violations(page, ".inputs") == []
    page.get_by_label("Light of the screen").select_option("dark")
    keep(page, "uncertain-dark")
    assert violations(page, ".inputs") == []

    while "There is no uncertainty.yaml yet" not in body.inner_text():
        last = revision(page)
        undo(page)
        later_than(page, last)
    assert revision(page) > written
