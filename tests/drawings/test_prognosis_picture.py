"""The picture of the prognosis: texts apart and on the paper, the same bytes twice, in words."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from test_pictures import EXAMPLE, boxes, overlap

from bathybore.base.units import UnitSystem
from bathybore.drawings.picture import settings
from bathybore.drawings.prognosis import draw_prognosis, prognosis_picture, prognosis_png
from bathybore.usecases.prognosis import WorkedPrognosis, prognosis


@pytest.fixture(scope="module")
def worked() -> WorkedPrognosis:
    return prognosis(EXAMPLE)


@pytest.mark.parametrize("units", ["metric", "oilfield"])
def test_no_text_lies_over_another_or_off_the_paper(
    worked: WorkedPrognosis, units: UnitSystem
) -> None:
    with settings():
        figure = draw_prognosis(worked, units).figure
        found = boxes(figure)
    assert len(found) > 20
    over = [
        (a, b)
        for (a, one), (b, other) in itertools.combinations(found, 2)
        if overlap(one, other) > 1.0
    ]
    assert not over
    whole = figure.bbox
    assert all(
        whole.x0 <= box.x0 and box.x1 <= whole.x1 and whole.y0 <= box.y0 and box.y1 <= whole.y1
        for _, box in found
    )


def test_the_same_picture_has_the_same_bytes(worked: WorkedPrognosis) -> None:
    one, two = prognosis_picture(worked), prognosis_picture(worked)
    assert one.svg == two.svg
    assert prognosis_png(worked) == prognosis_png(worked)
    assert prognosis_png(worked).startswith(b"\x89PNG")


def test_it_is_told_in_words(worked: WorkedPrognosis) -> None:
    alt = prognosis_picture(worked).alt
    assert "down to 5\u202f100 m" in alt
    bottom = worked.curves["fracture_pressure"].si[-1] / 1e6
    assert f"fracture pressure {bottom:.1f} MPa" in alt


def test_a_prognosis_without_logs_is_drawn(tmp_path: Path) -> None:
    import shutil

    folder = Path(shutil.copytree(EXAMPLE, tmp_path / "hole"))
    text = (folder / "prognosis.yaml").read_text(encoding="utf-8")
    for old, new in (("method: eaton sonic", "method: normal"), ("spacing: 50 m", "spacing: 250 m"),
                     ("method: bulk density", "method: compaction")):  # fmt: skip
        text = text.replace(old, new)
    (folder / "prognosis.yaml").write_text(text, encoding="utf-8")
    svg = prognosis_picture(prognosis(folder)).svg
    assert svg.rstrip().endswith("</svg>")
