"""Frozen objects made and copied quickly are those that `dataclasses` makes and copies."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any

import pytest

from bathybore.base.frozen import changed, quickly_made
from bathybore.operations.state import HoleState
from bathybore.operations.steps import Step, StepKind


@quickly_made
@dataclass(frozen=True)
class _Pipe:
    outside: float
    wall: float
    name: str = "pipe"

    def __post_init__(self) -> None:
        if self.wall * 2.0 > self.outside:
            raise ValueError("no bore")

    @cached_property
    def inside(self) -> float:
        return self.outside - 2.0 * self.wall


def test_a_changed_copy_is_the_one_that_dataclasses_makes() -> None:
    pipe = _Pipe(0.5, 0.02)
    copy = changed(pipe, wall=0.03)
    assert copy == replace(pipe, wall=0.03)
    assert pipe == _Pipe(0.5, 0.02)
    assert changed(pipe) == pipe


def test_what_an_object_has_worked_out_is_not_its_copys() -> None:
    pipe = _Pipe(0.5, 0.02)
    assert pipe.inside == pytest.approx(0.46)
    assert changed(pipe, wall=0.05).inside == pytest.approx(0.4)


def test_a_copy_is_looked_at_as_a_new_object_is() -> None:
    with pytest.raises(ValueError, match="no bore"):
        changed(_Pipe(0.5, 0.02), wall=0.3)


@pytest.mark.parametrize("worked_out", [False, True])
def test_a_field_that_there_is_not_is_refused(worked_out: bool) -> None:
    pipe = _Pipe(0.5, 0.02)
    wrong: dict[str, Any] = {"inside": 0.3}
    if worked_out:
        assert pipe.inside > 0.0
    with pytest.raises(TypeError, match="inside"):
        changed(pipe, **wrong)


def test_every_field_of_a_state_is_carried_over(main_hole: Any) -> None:
    step = Step("wait", StepKind.WAIT, "Wait")
    state = HoleState(hole=main_hole, step=step, bottom=main_hole.sea_bed, cored=3.0)
    copy = changed(state, cored=5.0)
    for one in fields(state):
        same = getattr(copy, one.name) is getattr(state, one.name)
        assert same is (one.name != "cored")
