"""Drill pipe of light alloy: described in full or refused, and lighter in the fluid."""

from __future__ import annotations

import pytest

from bathybore.base.errors import InputErrors
from bathybore.model.inventory import PipeStock
from bathybore.model.loading import load_hole
from bathybore.operations.catalogue_pipes import string_pipe
from varied import EXAMPLES, changed

FIELDS = {
    "size": "5 7/8 in titanium",
    "kind": "pipe",
    "length": "4000 m",
    "outside_diameter": "149 mm",
    "wall": "12 mm",
    "linear_mass": "27 kg/m",
    "tool_joint_diameter": "178 mm",
    "material": "titanium",
    "yield_strength": "830 MPa",
}


def test_described_in_full_it_is_pipe_like_any_other() -> None:
    hole = load_hole(EXAMPLES / "main")
    stock = PipeStock.model_validate(FIELDS)
    light = changed(hole, "inventory/pipe/dp-578", stock)
    pipe = string_pipe(light, "dp-578")
    assert float(pipe.yield_strength) == 830e6
    assert "titanium" in pipe.designation
    assert float(pipe.tensile_capacity) > 0.0


@pytest.mark.parametrize("missing", ["yield_strength", "outside_diameter"])
def test_half_described_it_is_refused(missing: str) -> None:
    fields = {name: value for name, value in FIELDS.items() if name != missing}
    with pytest.raises((InputErrors, ValueError), match=r"titanium|together"):
        PipeStock.model_validate(fields)


def test_a_grade_is_for_steel_and_a_yield_strength_for_alloys() -> None:
    with pytest.raises(ValueError, match="no grade"):
        PipeStock.model_validate({**FIELDS, "grade": "S-135"})
    with pytest.raises(ValueError, match="expected a grade"):
        PipeStock.model_validate({**FIELDS, "material": "steel"})
