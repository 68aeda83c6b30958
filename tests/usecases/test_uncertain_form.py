"""What is uncertain as a form: whatever it offers gives a document that can be used."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from bathybore.base.errors import InputErrors
from bathybore.model.document_editing import edited_uncertainty
from bathybore.model.editing import Edit
from bathybore.model.hole import Hole
from bathybore.model.hole_numbers import number_at, number_paths
from bathybore.model.known_uncertain import known_uncertain
from bathybore.model.loading import load_hole
from bathybore.model.uncertain import Uncertainty
from bathybore.model.uncertainty import uncertainty_of
from bathybore.usecases.forms import Field, Group
from bathybore.usecases.uncertain_form import UncertainForm, uncertain_form

EXAMPLES = Path(__file__).parents[2] / "examples"
FOLDER = EXAMPLES / "riserless"
FILE = "uncertainty.yaml"


@cache
def hole() -> Hole:
    return load_hole(FOLDER)


def form(text: str | None) -> UncertainForm:
    return uncertain_form(text, FOLDER, hole())


def judged(text: str | None) -> Uncertainty:
    return uncertainty_of(text, FOLDER, hole())


def put(text: str | None, key: str, content: Any) -> str:
    return edited_uncertainty(text, Edit("put", key, content=content, file=FILE))


def typed(text: str | None, key: str, written: str) -> str:
    return edited_uncertainty(text, Edit("set", key, text=written, file=FILE))


def all_groups(group: Group) -> Iterator[Group]:
    yield group
    for one in group.groups:
        yield from all_groups(one)


def group_at(told: UncertainForm, key: str) -> Group:
    return next(one for one in all_groups(told.form.root) if one.key == key)


def field_at(told: UncertainForm, key: str) -> Field:
    fields = (field for one in all_groups(told.form.root) for field in one.fields)
    return next(field for field in fields if field.key == key)


def added(text: str | None, key: str) -> str:
    """Return the document after what the form offers to add somewhere."""
    group = group_at(form(text), key)
    op = "insert" if group.kind == "list" and group.present else "put"
    return edited_uncertainty(text, Edit(op, group.new_key, content=group.new, file=FILE))  # type: ignore[arg-type]


def test_all_that_is_uncertain_anyway_is_shown_as_assumed() -> None:
    told = form(None)
    assert not told.told
    assert told.faults == ()
    shown = {one.key for one in all_groups(told.form.root)}
    for key in judged(None).by_key:
        block = "curves" if known_uncertain()[key].kind == "curve" else "factors"
        assert f"{block}[{key}]" in shown
    fields = [
        field
        for name in ("curves", "factors")
        for group in group_at(told, name).groups
        for field in group.fields
    ]
    for field in fields:
        term = told.form.terms[field.term]
        assert not field.given
        assert (term.source == "assumed") == bool(term.default)
    assert {told.form.terms[one.term].unit for one in fields if one.key.endswith("spread")} == {
        "kg/m3",
        "-",
    }


def test_the_first_word_on_a_quantity_keeps_the_rest_of_it() -> None:
    """What a form puts before a key is set says what was assumed, whole and no more."""
    told, before = form(None), judged(None).by_key
    for name in ("curves", "factors"):
        for group in group_at(told, name).groups:
            first = next(field.first for field in group.fields if field.first is not None)
            after = judged(put(None, group.key, first)).by_key
            key = group.key.partition("[")[2].rstrip("]")
            assert after[key].law.name == before[key].law.name
            assert dict(after[key].law.numbers) == pytest.approx(dict(before[key].law.numbers))
            assert after[key].correlation_length == before[key].correlation_length


@pytest.mark.parametrize("law", ["normal", "lognormal", "triangular", "pert", "uniform", "fixed"])
def test_another_distribution_is_put_whole(law: str) -> None:
    text = typed(put(None, "numbers[vessel.handling.connection_time]", {"distribution": "fixed"}),
                 "note", "invented")  # fmt: skip
    told = form(text)
    for key in ("factors[bit_life]", "numbers[vessel.handling.connection_time]"):
        field = field_at(told, f"{key}.distribution")
        text = put(text, field.block, field.instead[law])
    found = judged(text).by_key
    assert found["bit_life"].law.name == found["vessel.handling.connection_time"].law.name == law
    names = {one.key.rpartition(".")[2] for one in group_at(form(text), "factors[bit_life]").fields}
    assert names == {"distribution", *dict(found["bit_life"].law.numbers)}


def test_whatever_can_be_added_is_sound() -> None:
    text: str | None = None
    for key in ("alternatives", "alternatives[0].changes", "correlations", "numbers",
                "trouble.steps", "arrival", "alternatives", "correlations"):  # fmt: skip
        text = added(text, key)
        told = form(text)
        assert told.faults == (), key
    found = judged(text)
    assert [one.name for one in found.alternatives] == ["as planned", "otherwise", "otherwise-2"]
    assert len(group_at(form(text), "correlations").groups) == 2
    assert len(found.trouble) == 2
    told = form(typed(text, "measurements.pilot_hole.error", "10 kg/m3"))
    assert told.faults == ()
    assert field_at(told, "measurements.pilot_hole.error").written == "10 kg/m3"


def test_a_fault_stands_at_its_key_in_the_words_of_the_command() -> None:
    text = put(None, "factors[bit_life]", {"distribution": "normal", "p10": 1.2, "p90": 0.9})
    told = form(text)
    with pytest.raises(InputErrors) as error:
        judged(text)
    assert told.faults == error.value.faults
    assert error.value.faults[0].expected in field_at(told, "factors[bit_life].p90").fault
    assert group_at(told, "factors[bit_life]").removable
    strange = put(text, "factors[bit_lives]", {"distribution": "fixed"})
    assert group_at(form(strange), "factors[bit_lives]").removable  # so that it can be taken out


@pytest.mark.parametrize("name", ["riserless", "main"])
def test_every_number_of_a_hole_can_be_named(name: str) -> None:
    document = load_hole(EXAMPLES / name).document
    paths = number_paths(document)
    keys = {number_at(document, path, "here").key for path in paths}
    assert len(keys) == len(paths) > 100


def test_a_document_as_it_stands_is_shown_as_it_is_written() -> None:
    folder = EXAMPLES / "main"
    text = (folder / FILE).read_text(encoding="utf-8")
    told = uncertain_form(text, folder, load_hole(folder))
    assert told.faults == ()
    assert told.told
    assert field_at(told, "alternatives[1].changes[0].add").written == "40 kg/m3"
    assert field_at(told, "trouble.steps[drill-section-812].chance").written == "0.4"
    assert field_at(told, "numbers[plan.coring.rate_of_penetration].least").line is not None
    assert group_at(told, "numbers[plan.coring.rate_of_penetration]").description.startswith("2.5")
