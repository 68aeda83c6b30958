"""A member as a hole of its own: drawn numbers in its document, drawn curves in its table."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.ensembles.drawing import central, draw
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.members import in_document, member_files, member_hole
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.model.editing import read_draft
from bathybore.model.hole_files import HoleFiles, write_files
from bathybore.model.hole_numbers import number_at
from bathybore.model.known_uncertain import known_uncertain
from bathybore.model.loading import load_hole
from bathybore.model.uncertain import Uncertainty
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.walk import walk_hole

EXAMPLES = Path(__file__).parents[2] / "examples"
MEMBER = 3


@pytest.fixture(scope="module")
def frame() -> Frame:
    return frame_of(load_hole(EXAMPLES / "main"))


@pytest.fixture(scope="module")
def told(frame: Frame) -> Uncertainty:
    return load_uncertainty(EXAMPLES / "main", frame.hole)


@pytest.fixture(scope="module")
def drawn(told: Uncertainty, frame: Frame) -> Drawn:
    return draw(told, frame, 3, 512, 8)


@pytest.mark.parametrize("name", ["main", "riserless", "frontier"])
def test_the_middle_member_is_the_planned_hole_but_for_its_name(name: str) -> None:
    frame = frame_of(load_hole(EXAMPLES / name))
    plan = central(load_uncertainty(EXAMPLES / name, frame.hole), frame)
    member = member_hole(frame, plan, 0)
    assert member.name == f"{frame.hole.name}, member 0"
    assert member.earth is frame.hole.earth
    for part in ("site", "vessel", "inventory", "plan", "design_basis", "prices"):
        assert getattr(member.document, part) == getattr(frame.hole.document, part)
    assert walk_hole(member)[-1].elapsed == frame.states[-1].elapsed


def test_a_member_has_what_was_drawn(frame: Frame, drawn: Drawn) -> None:
    member = member_hole(frame, drawn, MEMBER)
    assert member.name == f"{frame.hole.name}, member 515"
    assert member.document.invented
    for key in ("pore_pressure", "fracture_pressure", "temperature", "rate_of_penetration"):
        assert np.array_equal(member.earth.at(key, frame.depth), drawn.curves[key][MEMBER])
    rate = drawn.numbers["plan.coring.rate_of_penetration"][MEMBER]
    coring = member.plan.coring
    assert coring is not None
    assert coring.rate_of_penetration == pytest.approx(rate, rel=1e-12)
    origin = coring.value("rate_of_penetration").origin
    assert origin.key == "plan.coring.rate_of_penetration"  # type: ignore[union-attr]


def test_words_of_the_table_stand_where_they_stood(frame: Frame, drawn: Drawn) -> None:
    member, plan = member_hole(frame, drawn, MEMBER).earth, frame.hole.earth
    for depth in (0.0, 12.0, 301.0, 4399.0, 4400.0, 5000.0):
        for column in plan.words:
            assert member.word_at(column, depth) == plan.word_at(column, depth)
    gaps = np.isnan(plan.at("undrained_shear_strength", frame.depth))
    assert np.array_equal(np.isnan(member.at("undrained_shear_strength", frame.depth)), gaps)


def test_factors_that_stand_for_numbers_are_worked_into_them(frame: Frame, drawn: Drawn) -> None:
    member, plan = member_hole(frame, drawn, MEMBER), frame.hole
    time, life = (float(drawn.numbers[key][MEMBER]) for key in ("handling_time", "bit_life"))
    assert time != 1.0
    ours, theirs = member.vessel.handling, plan.vessel.handling
    assert ours.time_per_stand == pytest.approx(theirs.time_per_stand * time)
    assert ours.casing_joints_per_hour == pytest.approx(theirs.casing_joints_per_hour / time)
    assert ours.stand_length == theirs.stand_length
    for one, other in zip(member.inventory.bits, plan.inventory.bits, strict=True):
        assert one.life == pytest.approx(other.life * life)
        assert one.diameter == other.diameter


def test_what_stands_in_no_number_is_said(frame: Frame, drawn: Drawn) -> None:
    note = member_hole(frame, drawn, MEMBER).document.note
    assert "drawn by chance" in note
    assert "hook_load" in note
    assert "bit_life" not in note
    assert f"day {int(drawn.start[MEMBER] / 86400) + 1} of the year" in note


def test_the_table_of_factors_says_which_numbers_they_multiply() -> None:
    for key, row in known_uncertain().items():
        if row.kind == "factor":
            assert in_document(key) == bool(row.multiplies), key


def test_no_more_core_comes_up_than_was_cut(frame: Frame, told: Uncertainty) -> None:
    plan = central(told, frame)
    rich = replace(plan, numbers={**plan.numbers, "core_recovery": np.array([5.0])})
    coring = member_hole(frame, rich, 0).plan.coring
    assert coring is not None
    assert coring.expected_recovery == 1.0


@pytest.mark.parametrize("name", ["main", "riserless", "frontier"])
def test_a_member_on_disk_is_the_member_in_memory(name: str, tmp_path: Path) -> None:
    folder = EXAMPLES / name
    frame = frame_of(load_hole(folder))
    drawn = draw(load_uncertainty(folder, frame.hole), frame, 3, 0, 4)
    files = member_files(read_draft(folder), frame, drawn, MEMBER)
    assert not (set(files.texts) & {"uncertainty.yaml", "prognosis.yaml"})
    out = tmp_path / "member"
    out.mkdir()
    write_files(out, files, HoleFiles({}))
    read, member = load_hole(out), member_hole(frame, drawn, MEMBER)
    assert read.name == member.name
    assert read.document.note == member.document.note
    for key, numbers in member.earth.numbers.items():
        assert read.earth.numbers[key] == pytest.approx(numbers, rel=2e-11, nan_ok=True)
    assert read.earth.words == member.earth.words
    assert read.document.model_dump() == member.document.model_dump()
    ours, theirs = walk_hole(read), walk_hole(member)
    assert [one.step.name for one in ours] == [one.step.name for one in theirs]
    assert ours[-1].elapsed == pytest.approx(theirs[-1].elapsed, rel=1e-9)
    assert ours[-1].elapsed != pytest.approx(frame.states[-1].elapsed, rel=1e-3)


def test_comments_of_the_document_stay(frame: Frame, drawn: Drawn) -> None:
    text = member_files(read_draft(EXAMPLES / "main"), frame, drawn, MEMBER).texts["hole.yaml"]
    assert "# thick-walled, in no catalogue" in text
    assert "names and numbers are invented" in text


def test_a_number_of_a_list_and_one_left_to_its_default_are_written(
    frame: Frame, tmp_path: Path
) -> None:
    folder = Path(shutil.copytree(EXAMPLES / "main", tmp_path / "hole"))
    (folder / "uncertainty.yaml").write_text(
        "numbers:\n"
        "  plan.sections.section-1712.flow_rate:\n"
        "    {distribution: uniform, least: 4000 L/min, greatest: 4500 L/min}\n"
        "  design_basis.trip_margin: {distribution: uniform, least: 20 kg/m3, greatest: 40 kg/m3}\n"
        "  vessel.pumps.count: {distribution: empirical, values: [3]}\n"
        "  vessel.tool_temperature_limit:\n"
        "    {distribution: normal, mean: 150 degC, standard_deviation: 5 K}\n"
        "  design_basis.hydrate_suppression:\n"
        "    {distribution: uniform, least: 20 K, greatest: 30 K}\n",
        encoding="utf-8",
    )
    drawn = draw(load_uncertainty(folder, frame.hole), frame, 3, 0, 4)
    read = tmp_path / "member"
    read.mkdir()
    write_files(read, member_files(read_draft(folder), frame, drawn, 1), HoleFiles({}))
    for hole in (load_hole(read), member_hole(frame, drawn, 1)):
        for key in drawn.numbers:
            if "." in key:
                number = number_at(hole.document, key, key)
                assert number.planned == pytest.approx(float(drawn.numbers[key][1]), rel=1e-14)
        assert hole.vessel.pumps.count == 3


@pytest.mark.parametrize(
    ("key", "value", "expected"),
    [
        ("vessel.handling.time_in_slips", 1000.0, "expected less in slips than the whole"),
        ("vessel.flow_line_height", 40.0, "flow_line_height"),
    ],
    ids=["inside a block", "between blocks"],
)
def test_numbers_that_do_not_fit_together_are_told(
    key: str, value: float, expected: str, frame: Frame, told: Uncertainty
) -> None:
    plan = central(told, frame)
    odd = replace(plan, numbers={**plan.numbers, key: np.array([value])})
    for make in (
        lambda: member_hole(frame, odd, 0),
        lambda: member_files(read_draft(EXAMPLES / "main"), frame, odd, 0),
    ):
        with pytest.raises(InputErrors, match=expected):
            make()
