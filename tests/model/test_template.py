"""The template a new hole begins with: complete, commented, invented, and true to the schema."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from hole_folder import Folder

from bathybore.model import basis, hole, inventory, plan, prices, site, vessel
from bathybore.model.fields import Node
from bathybore.model.loading import load_hole
from bathybore.model.tables import EARTH_COLUMNS, SEA_COLUMNS

NODES = [
    thing
    for module in (hole, site, vessel, inventory, plan, basis, prices)
    for thing in vars(module).values()
    if isinstance(thing, type) and issubclass(thing, Node) and thing.__module__ == module.__name__
]
_KEY = re.compile(r"^ *(?:#(?! \S) *)?(?:- )?(?P<key>[\w-]+):(?P<rest>.*)$")
# '#' and a key without a space between: an optional key, switched off
_SWITCHED_OFF = re.compile(r"(?m)^( *)#(?! \S)")


def test_loads_and_says_it_is_invented(template_path: Path) -> None:
    template = load_hole(template_path)
    assert template.document.invented
    for file in ("hole.yaml", "earth.csv", "sea.csv"):
        assert "invented" in (template_path / file).read_text(encoding="utf-8")
    assert "invented" in template.vessel.name


def test_every_key_of_the_schema_is_shown(template_path: Path) -> None:
    text = (template_path / "hole.yaml").read_text(encoding="utf-8")
    for node in NODES:
        for field in node.model_fields:
            assert re.search(rf"\b{field}:", text), f"{node.__name__}.{field} is not shown"


def test_every_key_has_a_comment_where_it_is_first_met(template_path: Path) -> None:
    seen: set[str] = set()
    fields = {field for node in NODES for field in node.model_fields}
    for line in (template_path / "hole.yaml").read_text(encoding="utf-8").split("\n"):
        match = _KEY.match(line)
        if match and match["key"] in fields - seen:
            seen.add(match["key"])
            assert "  # " in match["rest"], line


def switched_on(template_path: Path, folder: Folder) -> hole.Hole:
    """Return the template with all its optional keys switched on."""
    text = (template_path / "hole.yaml").read_text(encoding="utf-8")
    head, name, body = text.partition("\nname:")
    return folder.write(head + name + _SWITCHED_OFF.sub(r"\1", body)).load()


def test_all_optional_keys_switched_on_load_too(template_path: Path, folder: Folder) -> None:
    full = switched_on(template_path, folder)
    assert full.inventory.riser is not None
    assert full.plan.coring is not None
    assert full.plan.step_edits


def test_defaults_shown_are_the_defaults(template_path: Path, folder: Folder) -> None:
    """A default that changes in the schema has to change in the template."""
    template, full = load_hole(template_path), switched_on(template_path, folder)
    checked = dict(_compare(template.document, full.document, "", folder.text()))
    assert len(checked) > 80
    drifted = {key: pair for key, pair in checked.items() if not _same(*pair)}
    assert drifted == {}


def _same(shown: Any, default: Any) -> bool:
    if isinstance(shown, float):
        return bool(shown == pytest.approx(default, rel=1e-4))
    return bool(shown == default)


def _compare(one: Any, other: Any, key: str, text: str) -> Any:
    if isinstance(one, Node):
        for field, info in type(one).model_fields.items():
            left, right = getattr(one, field), getattr(other, field)
            off = field not in one.model_fields_set and field in other.model_fields_set
            if off and not isinstance(right, Node | tuple):
                line = text.split("\n")[other._lines[field] - 1]
                if "no default" not in line and "else that of" not in line:
                    yield f"{key}.{field}", (right, info.default)
            elif (off and isinstance(right, Node) and left is not None) or not off:
                yield from _compare(left, right, f"{key}.{field}", text)
    elif isinstance(one, dict):
        for name in one:
            yield from _compare(one[name], other[name], f"{key}[{name}]", text)
    elif isinstance(one, tuple):
        for number, (left, right) in enumerate(zip(one, other, strict=False)):
            yield from _compare(left, right, f"{key}[{number}]", text)


def test_lines_fit_a_page(template_path: Path) -> None:
    for line in (template_path / "hole.yaml").read_text(encoding="utf-8").split("\n"):
        assert len(line) <= 100


def test_tables_show_every_column_with_its_meaning(template_path: Path) -> None:
    for file, columns in (("earth.csv", EARTH_COLUMNS), ("sea.csv", SEA_COLUMNS)):
        lines = (template_path / file).read_text(encoding="utf-8").split("\n")
        notes = [line for line in lines if line.startswith("#")]
        header = next(line for line in lines if not line.startswith("#"))
        for name in columns:
            assert name in header
            assert any(line.startswith(f"#   {name}") for line in notes)
