"""The document as a form: every key of the schema, what it is, and what an added item needs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from time import process_time
from typing import Any

import pytest
from pydantic import ValidationError
from pydantic_core import to_json

from bathybore.base.depth import Depth
from bathybore.base.errors import InputErrors
from bathybore.base.units import parse_quantity
from bathybore.model import basis, hole, inventory, plan, prices, site, vessel
from bathybore.model.fields import Node
from bathybore.model.hole import HoleDocument
from bathybore.model.loading import load_hole
from bathybore.model.schema_faults import key_of
from bathybore.model.yaml_tree import Tree, parse_tree
from bathybore.usecases.form_items import unused
from bathybore.usecases.form_terms import template_tree
from bathybore.usecases.forms import Field, Form, Group, form

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("main", "riserless", "frontier")


def tree_of(name: str) -> Tree:
    return parse_tree((EXAMPLES / name / "hole.yaml").read_text(encoding="utf-8"), "hole.yaml")


def groups(group: Group) -> Iterator[Group]:
    yield group
    for one in group.groups:
        yield from groups(one)


def fields(group: Group) -> Iterator[Field]:
    for one in groups(group):
        yield from one.fields


@pytest.fixture(scope="module")
def main_form() -> Form:
    return form(tree_of("main"))


@pytest.fixture(scope="module")
def full() -> Form:
    """The template with every optional key switched on."""
    return form(template_tree())


def test_every_key_of_the_schema_is_a_field_or_a_group(full: Form) -> None:
    shown = {f.key.rsplit(".", 1)[-1] for f in fields(full.root)}
    shown |= {g.key.rsplit(".", 1)[-1] for g in groups(full.root)}
    for module in (hole, site, vessel, inventory, plan, basis, prices):
        for thing in vars(module).values():
            if isinstance(thing, type) and issubclass(thing, Node):
                assert set(thing.model_fields) <= shown, thing


@pytest.mark.parametrize("name", NAMES)
def test_every_written_value_is_shown_as_it_stands(name: str) -> None:
    tree = tree_of(name)
    shown = {f.key: f for f in fields(form(tree).root)}
    for path, text in tree.written.items():
        field = shown[key_of(path)]
        assert (field.written, field.given) == (text, True)
        assert field.line == tree.line(path)


def test_what_is_not_written_is_told_with_its_default_and_source() -> None:
    told = form(tree_of("riserless"))
    (field,) = (f for f in fields(told.root) if f.key == "vessel.hoist.slip_length")
    term = told.terms[field.term]
    assert (field.written, field.given, field.line) == ("", False, None)
    assert (term.default, term.unit, term.example_unit) == ("16 in", "m", "in")
    assert term.source == "common-practice"
    assert told.sources[term.source].startswith("Common practice")


@pytest.mark.parametrize("units", ["metric", "oilfield"])
def test_every_default_passes_the_gate_back_to_itself(units: Any) -> None:
    told = form(template_tree(), units=units)
    for term in told.terms.values():
        if term.kind == "quantity" and term.default:
            assert parse_quantity(term.default, term.unit) >= 0.0
    slip = told.terms["vessel.hoist.slip_length"]
    assert parse_quantity(slip.default, "m") == pytest.approx(0.4064, rel=1e-4)
    spacer = told.terms["plan.sections.*.casing.cement.spacer_volume"]
    assert parse_quantity(spacer.default, "m3") == 0.0  # the template shows 4 m3 as an example


def test_defaults_are_those_of_the_schema(full: Form) -> None:
    for pattern, term in full.terms.items():
        if not pattern.startswith("design_basis."):
            continue
        default = basis.DesignBasis.model_fields[pattern.split(".")[1]].default
        if isinstance(default, float):
            assert parse_quantity(term.default, term.unit) == pytest.approx(default, rel=1e-4)
        elif isinstance(default, bool):
            assert term.default == str(default).lower()  # as YAML writes it
        elif default is not None:
            assert term.default == str(default)


def test_kinds_and_choices(main_form: Form) -> None:
    terms = main_form.terms
    assert terms["plan.target"].kind == "depth"
    assert terms["vessel.pumps.count"].kind == "count"
    assert terms["invented"].kind == "flag"
    assert terms["plan.sections.*.returns"].choices == ("sea floor", "riser")
    fluid = terms["plan.sections.*.fluid"]
    assert (fluid.kind, fluid.choices_from) == ("reference", "plan.fluids")
    assert "mud-1" in main_form.lists["plan.fluids"]
    hung = terms["plan.sections.*.casing.hung_at"]
    assert (hung.kind, hung.choices) == ("depth", ("wellhead",))
    size = terms["inventory.casing.*.size"]
    assert size.kind == "text"  # own names are allowed; the catalogue only suggests
    assert "13 3/8 in 72 lb/ft" in main_form.lists[size.choices_from]


def test_labels_are_words_and_most_keys_are_explained(full: Form) -> None:
    assert not any("_" in term.label for term in full.terms.values())
    silent = [p for p, term in full.terms.items() if not term.description]
    assert len(silent) < 0.12 * len(full.terms), silent


def test_steps_can_be_chosen_once_the_hole_is_sound() -> None:
    told = form(tree_of("riserless"), hole=load_hole(EXAMPLES / "riserless"))
    assert "hold-station" in told.lists["steps"]


# -- adding ------------------------------------------------------------------------------------


def put(content: Any, key: str, new: Any, *, insert: bool) -> None:
    """Do what an edit does, on plain content."""
    parts = key.replace("]", "").replace("[", ".").split(".")
    for part in parts[:-1]:
        content = content[int(part) if isinstance(content, list) else part]
    last = parts[-1]
    if insert:
        content.insert(int(last), new)
    else:
        content[last] = new


def plain(content: Any) -> Any:
    if isinstance(content, dict):
        return {key: plain(value) for key, value in content.items()}
    return [plain(one) for one in content] if isinstance(content, tuple) else content


def tupled(content: Any) -> Any:
    if isinstance(content, dict):
        return {key: tupled(value) for key, value in content.items()}
    return tuple(tupled(one) for one in content) if isinstance(content, list) else content


@pytest.mark.parametrize("name", [*NAMES, "template"])
def test_whatever_can_be_added_is_valid_by_the_schema(name: str) -> None:
    tree = template_tree() if name == "template" else tree_of(name)
    addable = [g for g in groups(form(tree).root) if g.new is not None]
    assert len(addable) > 15
    for group in addable:
        content = plain(tree.content)
        put(content, group.new_key, group.new, insert=group.kind == "list" and group.present)
        try:
            HoleDocument.model_validate(tupled(content))
        except ValidationError as error:  # pragma: no cover - the message of a failure
            pytest.fail(f"{group.key}: {error}")


def test_an_added_item_has_a_name_of_its_own_and_names_what_exists() -> None:
    told = form(tree_of("main"))
    (thrusters,) = (g for g in groups(told.root) if g.key == "vessel.thrusters")
    names = {f.written for f in fields(thrusters) if f.key.endswith(".name")}
    assert thrusters.new["name"] not in names
    assert thrusters.new["switchboard"] in told.lists["vessel.switchboards"]
    open_hole = next(g for g in groups(told.root) if g.label == "casing" and not g.present)
    assert open_hole.new["pipe"] in told.lists["inventory.casing"]
    assert open_hole.new["cement"]["slurry"] in told.lists["plan.slurries"]
    assert open_hole.new["run_on"] in told.lists["plan.strings"]


def test_names_count_on() -> None:
    assert unused("mud-4", {"mud-4"}) == "mud-5"
    assert unused("casing-1338", {"casing-1338"}) == "casing-1338-2"
    assert unused("6 1/2 in", {"6 1/2 in"}) == "6 1/2 in-2"
    assert unused("a", {"a", "a-2"}) == "a-3"
    assert unused("free", {"a"}) == "free"


def test_a_new_part_of_a_string_goes_to_the_bit() -> None:
    (string,) = (g for g in groups(form(tree_of("riserless")).root) if g.key.endswith("[drilling]"))
    assert string.new_key == "plan.strings[drilling][0]"
    assert "length" in string.new


# -- documents with faults ---------------------------------------------------------------------


def test_a_document_with_faults_is_shown_with_them(tmp_path: Path) -> None:
    text = (EXAMPLES / "riserless" / "hole.yaml").read_text(encoding="utf-8")
    spoiled = text.replace("water_depth:", "water_deph:", 1)
    for file in ("earth.csv", "sea.csv"):
        (tmp_path / file).write_bytes((EXAMPLES / "riserless" / file).read_bytes())
    (tmp_path / "hole.yaml").write_text(spoiled, encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        load_hole(tmp_path)
    told = form(parse_tree(spoiled, "hole.yaml"), caught.value.faults)
    unknown = next(f for f in fields(told.root) if f.key == "site.water_deph")
    assert told.terms[unknown.term].kind == "unknown"
    assert "water_depth" in unknown.fault
    missing = next(f for f in fields(told.root) if f.key == "site.water_depth")
    assert (missing.given, told.terms[missing.term].required) == (False, True)


@pytest.mark.parametrize("text", ["a: 1", "site: 3\nplan: [1]\nvessel: {}", "plan: {fluids: [a]}"])
def test_a_document_of_the_wrong_shape_is_still_a_form(text: str) -> None:
    told = form(parse_tree(text, "hole.yaml"))
    assert {g.key for g in told.root.groups} >= {"site", "vessel", "inventory", "plan"}
    to_json(told)


def test_it_is_small_and_quick() -> None:
    tree = tree_of("main")
    form(tree)
    begun = process_time()
    told = form(tree)
    took = process_time() - begun
    assert len(to_json(told)) < 450_000  # some 30 kB packed
    assert took < 0.5  # 20 ms on an idle machine


def test_depths_are_depths(main_form: Form) -> None:
    for field in fields(main_form.root):
        term = main_form.terms[field.term]
        if term.kind == "depth" and field.written and field.written not in term.choices:
            assert isinstance(Depth.parse(field.written), Depth)
