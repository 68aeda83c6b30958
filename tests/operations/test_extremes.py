"""Whatever a document says, it is refused at its line or walked to a verdict; nothing else."""

from __future__ import annotations

import json
import shutil
from functools import cache
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from bathybore.base.errors import InputErrors
from bathybore.checks.record import Status
from bathybore.model.loading import load_hole
from bathybore.usecases.walking import Walk, study, walk_loaded
from varied import EXAMPLES

LIKE_MEASURED = {"yield_stress": "3 Pa", "consistency": "0.25 Pa s^n", "flow_index": 0.74}


def rewritten(folder: Path, path: str, written: object) -> Path:
    """Return a copy of the main hole with one key written otherwise."""
    copy = Path(shutil.copytree(EXAMPLES / "main", folder / "hole"))
    document = json.loads(as_json())
    node, keys = document, path.split("/")
    for key in keys[:-1]:
        node = node[int(key)] if key.isdigit() else node.setdefault(key, {})
    if keys[-1] in LIKE_MEASURED and node.pop("readings", None):
        node.update(LIKE_MEASURED)  # constants stand in place of readings, not beside them
    node[keys[-1]] = written
    (copy / "hole.yaml").write_text(json.dumps(document, indent=1), encoding="utf-8")
    return copy


@cache
def as_json() -> str:
    """Return the main hole's document as JSON, which is YAML too and quickly written."""
    text = (EXAMPLES / "main" / "hole.yaml").read_text(encoding="utf-8")
    return json.dumps(YAML(typ="safe").load(text))


def refused_or_walked(path: Path, studied: bool = False) -> Walk | None:
    """Walk a hole; None where document or table is refused with file and line."""
    try:
        walked = walk_loaded(load_hole(path))
        return study(walked) if studied else walked
    except InputErrors as error:
        if any(", line " not in fault.where for fault in error.faults):
            raise
        return None


EXTREMES = [
    ("plan/sections/2/flow_rate", "0 L/min"),
    ("plan/coring/flow_rate", "0 L/min"),
    ("plan/conductor/flow_rate", "0 L/min"),
    ("plan/sections/1/casing/cement/rate", "0 L/min"),
    ("plan/conductor/jetting_rate", "0 m/h"),
    ("plan/coring/rate_of_penetration", "0 m/h"),
    ("plan/sections/2/rate_of_penetration_factor", 0),
    ("site/environment/share_of_time_exceeded", 1),
    ("site/environment/share_of_time_exceeded", 0),
    ("vessel/hotel_and_drilling_power", "60 MW"),
    ("vessel/cement_unit/greatest_rate", "0 L/min"),
    ("vessel/handling/time_per_stand", "0 min"),
    ("vessel/handling/casing_joints_per_hour", "0 1/h"),
    ("vessel/handling/riser_joints_per_hour", "0 1/h"),
    ("inventory/core_barrel/wireline_speed", "0 m/s"),
    ("inventory/core_barrel/bit_life", "0 h"),
    ("inventory/bits/0/life", "0 h"),
    ("design_basis/burst_factor", 0),
    ("design_basis/riser_collapse_factor", 0),
    ("design_basis/position_confidence", 1),
    ("design_basis/kick_volume", "0 m3"),
    ("design_basis/kick_intensity", "800 kg/m3"),
    ("design_basis/gas_gravity", 1.5),
    ("plan/fluids/mud-2/flow_index", 0.1),
    ("plan/fluids/mud-2/flow_index", 1.5),
    ("plan/fluids/mud-2/consistency", "0 Pa s^n"),
    ("plan/fluids/mud-2/consistency", "50 Pa s^n"),
    ("plan/fluids/mud-2/yield_stress", "100 Pa"),
    ("plan/fluids/mud-2/density", "2.3 sg"),
    ("plan/fluids/mud-2/density", "0.9 sg"),
    ("plan/sections/2/flow_rate", "1 L/min"),
    ("plan/sections/2/flow_rate", "20000 L/min"),
    ("plan/sections/2/rate_of_penetration_factor", 10),
    ("plan/sections/1/weight_on_bit", "0 kN"),
    ("plan/sections/1/casing/running_speed", "0 m/s"),
    ("site/environment/surface_current", "0 m/s"),
    ("site/environment/surface_current", "3 m/s"),
    ("site/environment/wind_speed", "0 m/s"),
    ("site/environment/significant_wave_height", "20 m"),
    ("site/water_depth", "300 m"),
]


# every second one here; all of them soak, longer questions and all
@pytest.mark.parametrize(("path", "written"), EXTREMES[::2])
def test_a_document_is_refused_or_judged(tmp_path: Path, path: str, written: object) -> None:
    told_or_judged(refused_or_walked(rewritten(tmp_path, path, written)))


@pytest.mark.parametrize(
    ("path", "written"),
    [
        ("plan/fluids/mud-2/yield_stress", "100 Pa"),
        ("plan/sections/2/flow_rate", "1 L/min"),
        ("site/environment/wind_speed", "0 m/s"),
        ("site/water_depth", "300 m"),
    ],
)
def test_longer_questions_are_judged_too(tmp_path: Path, path: str, written: object) -> None:
    told_or_judged(refused_or_walked(rewritten(tmp_path, path, written), studied=True))


@pytest.mark.soak
@pytest.mark.parametrize(("path", "written"), EXTREMES)
def test_every_longer_question_is_judged_too(tmp_path: Path, path: str, written: object) -> None:
    told_or_judged(refused_or_walked(rewritten(tmp_path, path, written), studied=True))


def told_or_judged(walked: Walk | None) -> None:
    """Whatever was walked was judged, or it is said why not."""
    if walked is not None:
        assert walked.records
        for record in walked.records:
            if record.status is Status.NOT_JUDGED:
                assert record.reason


@pytest.mark.parametrize(
    "factor", ["burst_factor", "collapse_factor", "tension_factor", "triaxial_factor"]
)
def test_a_design_factor_below_one_is_refused(tmp_path: Path, factor: str) -> None:
    with pytest.raises(InputErrors):
        load_hole(rewritten(tmp_path, f"design_basis/{factor}", 0.3))
