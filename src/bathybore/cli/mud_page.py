"""The account of the mud as a page and as JSON."""

from __future__ import annotations

from typing import Any

from bathybore.base.units import UnitSystem
from bathybore.base.working import Value
from bathybore.cli.page import Page
from bathybore.cli.tables import put_table
from bathybore.operations.mud_account import MudAccount, MudStep
from bathybore.reports.records_json import document
from bathybore.usecases.mud_account import CAUTION, TITLES, facts, rows


def mud(account: MudAccount, units: UnitSystem, currency: str) -> str:
    """Return the page of an account."""
    page = Page()
    page.line("What becomes of the mud", "bold")
    page.fields(facts(account, units, currency), label=18)
    told = rows(account, units)
    page.heading("Built and lost, step by step")
    put_table(page, TITLES[:7], [row[:7] for row in told])
    page.heading("Where it stands after the step")
    put_table(page, (TITLES[0], *TITLES[7:]), [(row[0], *row[7:]) for row in told])
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def as_json(account: MudAccount, currency: str) -> str:
    """Return the same as JSON, numbers in SI."""
    content = {
        "currency": currency,
        "built": _value(account.total("built")),
        "diluted": _value(account.total("diluted")),
        "barite": _value(account.total("barite")),
        "chemicals": _value(account.total("chemicals")),
        "discharge_without_riser": _value(account.discharge(False)),
        "discharge_with_riser": _value(account.discharge(True)),
        "left": {"value": account.left, "unit": "m3"},
        "unbalanced": {"value": account.unbalanced, "unit": "m3"},
        "cost": None if account.money is None else float(account.money),
        "steps": [_step(step) for step in account.steps],
    }
    return document("bathybore.mud/1", content)


def _step(step: MudStep) -> dict[str, Any]:
    return {
        "step": step.step,
        "on_riser": step.on_riser,
        "built": _value(step.built),
        "diluted": _value(step.diluted),
        "to_sea_floor": _value(step.to_sea_floor),
        "discarded": _value(step.discarded),
        "barite": _value(step.barite),
        "chemicals": _value(step.chemicals),
        "places": {name: {"value": v, "unit": "m3"} for name, v in step.places.items()},
        "there": {"value": step.there, "unit": "m3"},
        "cost": None if step.money is None else float(step.money),
    }


def _value(value: Value) -> dict[str, Any]:
    return {"value": float(value), "unit": value.unit}
