"""Data out: one source of numbers, units in every header, the same bytes, no formula slipped in."""

from __future__ import annotations

import csv
import io
import json
import math
import struct
import zipfile
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest

from bathybore.base.errors import InputErrors
from bathybore.cli import json_page
from bathybore.model.csv_tables import parse_table
from bathybore.model.tables import SURVEY_COLUMNS
from bathybore.reports import chapters
from bathybore.reports.blocks import Column, Document, Table
from bathybore.reports.chapters import Writer
from bathybore.reports.data_tables import DataColumn, DataTable, from_block
from bathybore.reports.export_tables import MAKERS, table, tables
from bathybore.reports.exports import MEDIA_TYPES, export, exports, write_exports
from bathybore.reports.page import page
from bathybore.reports.programme import programme
from bathybore.reports.spreadsheets import csv_text, workbook
from bathybore.reports.typeset import pdf
from bathybore.usecases.ledger import ledger
from bathybore.usecases.signing import WHAT_A_SIGNATURE_IS, Signature
from bathybore.usecases.walking import Walk


def rows_of(walk: Walk, name: str, **how: str) -> list[dict[str, str]]:
    text = export(walk, f"{name}.csv", **how).content.decode("utf-8")  # type: ignore[arg-type]
    first, rest = text.split("\n", 1)
    assert first.startswith("# ")
    return list(csv.DictReader(io.StringIO(rest)))


# -- tables ----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", MAKERS)
def test_every_table_is_a_table(short: Walk, name: str) -> None:
    made = table(short, name)
    assert made.name == name
    assert made.rows or name in (
        "survey",
        "weather",
        "scatter",
        "motions",
        "wind-coefficients",
        "current-coefficients",
    )  # what a hole need not have
    assert all(len(row) == len(made.columns) for row in made.rows)
    assert len({column.header for column in made.columns}) == len(made.columns)


def test_every_check_stands_in_the_ledger_with_its_numbers_in_si(example: Walk) -> None:
    rows = {row["check"]: row for row in rows_of(example, "ledger")}
    assert sorted(rows) == sorted(record.id for record in example.records)
    for record in example.records:
        row = rows[record.id]
        assert row["verdict"] == str(record.status)
        if record.demand is not None and not math.isnan(float(row["asked in SI"] or "nan")):
            assert float(row["asked in SI"]) == pytest.approx(float(record.demand), rel=1e-9)


def test_a_table_of_the_programme_is_that_of_the_programme(short: Walk) -> None:
    writer = Writer(short, ledger(short), "metric")
    shown = chapters.steps_table(writer)
    rows = rows_of(short, "steps")
    assert len(rows) == len(shown.rows)
    for row, cells in zip(rows, shown.rows, strict=True):
        assert row["step"] == cells[0]
        assert f"{float(row['hole below sea bed [m]']):g}" == cells[4].replace(
            "\u202f", ""
        ).removesuffix(" m")


def test_headers_follow_the_units_and_numbers_with_them(short: Walk) -> None:
    metric, oilfield = rows_of(short, "sections"), rows_of(short, "sections", units="oilfield")
    one = float(metric[1]["bottom below sea bed [m]"])
    two = float(oilfield[1]["bottom below sea bed [ft]"])
    assert two == pytest.approx(one / 0.3048, abs=0.6)
    deep = rows_of(short, "earth", units="oilfield")
    assert any("[psi]" in title for title in deep[0])


def test_the_prognosis_comes_out_as_it_went_in(example: Walk) -> None:
    hole = example.hole
    rows = rows_of(example, "earth")
    pressures = [float(row["pore pressure [MPa]"]) * 1e6 for row in rows]
    assert pressures == pytest.approx(hole.earth.numbers["pore_pressure"].tolist())
    assert [row["lithology"] for row in rows] == list(hole.earth.words["lithology"])


def test_the_path_comes_out_as_it_went_in_and_none_is_told(example: Walk) -> None:
    assert example.hole.survey is None
    none = table(example, "survey")
    assert none.rows == ()
    assert "vertical" in none.label
    assert len(none.columns) == 3
    stations = parse_table(
        "measured_depth_below_sea_bed [m],inclination [deg],azimuth [deg]\n0,0,0\n500,1.5,270\n",
        "survey.csv",
        SURVEY_COLUMNS,
    )
    made = table(replace(example, hole=replace(example.hole, survey=stations)), "survey")
    assert [column.header for column in made.columns] == [
        "measured depth below sea bed [m]", "inclination [deg]", "azimuth [deg]",
    ]  # fmt: skip
    assert made.rows == ((0.0, 0.0, 0.0), pytest.approx((500.0, 1.5, 270.0)))


def test_every_input_is_listed_with_where_it_comes_from(example: Walk) -> None:
    rows = {row["key"]: row for row in rows_of(example, "inputs")}
    depth = rows["site.water_depth"]
    assert (float(depth["value in SI"]), depth["SI unit"]) == (example.hole.site.water_depth, "m")
    assert "line" in depth["where it comes from"]
    assert rows["design_basis.burst_factor"]["written or default"] in ("default", "written")
    assert "plan.sections[0].bottom" in rows


def test_cells_become_numbers_only_where_all_share_a_unit() -> None:
    block = Table(
        "made up",
        (Column("a"), *(Column(title, 1.0, "number") for title in "bcde")),
        (
            ("x", "1\u202f234.5 m", "13 3/8 in", "1 m", "−2"),
            ("y", "–", "7/8 in", "2 ft", "1e-05"),
        ),
    )
    made = from_block("made-up", block)
    assert made.columns[1] == DataColumn("b", "m")
    assert [row[1] for row in made.rows] == [1234.5, None]
    assert [row[2] for row in made.rows] == [13.375, 0.875]
    assert [row[3] for row in made.rows] == ["1 m", "2 ft"]
    assert [row[4] for row in made.rows] == [-2.0, 1e-05]


# -- spreadsheets ----------------------------------------------------------------------------

EVIL = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "\uff1d1", '=HYPERLINK("x")')
MADE = DataTable(
    "made-up",
    "=label",
    (DataColumn("=head"), DataColumn("n", "m")),
    tuple((text, -1.5) for text in EVIL),
)


def test_no_text_is_a_formula_in_csv() -> None:
    text = csv_text(MADE, "about")
    rows = list(csv.reader(io.StringIO(text.split("\n", 1)[1])))
    assert rows[0][0] == "'=head"
    for cells in rows[1:]:
        assert cells[0].startswith(("'", "\\t"))
        assert cells[1] == "-1.5"  # a number stays a number


def test_no_text_is_a_formula_in_a_workbook() -> None:
    data = workbook([MADE], [("hole", "=1+1")])
    book = openpyxl.load_workbook(io.BytesIO(data))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    texts = [cell for cell in cells if isinstance(cell.value, str)]
    assert len(texts) > len(EVIL)
    assert {cell.data_type for cell in texts} == {"s"}
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        assert all(b"<f>" not in parts.read(name) for name in parts.namelist())


def test_the_workbook_holds_every_table_and_says_what_it_is(short: Walk) -> None:
    book = openpyxl.load_workbook(io.BytesIO(export(short, "tables.xlsx").content))
    assert book.sheetnames == ["about", *MAKERS]
    about = {row[0]: row[1] for row in book["about"].iter_rows(values_only=True, max_col=2)}
    assert "made up" in str(about["invented"])
    assert "licensed engineer" in str(about["who decides"])
    steps = list(book["steps"].iter_rows(values_only=True))
    assert len(steps) == len(short.states) + 1
    assert isinstance(steps[1][2], float)


def test_a_users_markup_stays_text(hostile: Walk) -> None:
    for one in tables(hostile):
        csv_text(one, hostile.hole.name)
    book = openpyxl.load_workbook(io.BytesIO(export(hostile, "tables.xlsx").content))
    assert book["about"]["B1"].value == hostile.hole.name


# -- files -----------------------------------------------------------------------------------


def test_the_same_walk_gives_the_same_bytes(short: Walk, tmp_path: Path) -> None:
    one, two = write_exports(short, tmp_path / "a"), write_exports(short, tmp_path / "b")
    names = [f"{e.name}.{kind}" for e in exports() for kind in e.kinds]
    assert [path.name for path in one] == names
    assert len(set(names)) == len(names)
    for left, right in zip(one, two, strict=True):
        assert left.read_bytes() == right.read_bytes(), left.name
        assert left.stat().st_size > 100
    assert sorted(path.name for path in (tmp_path / "a").iterdir()) == sorted(names)


def test_pictures_are_pictures(short: Walk) -> None:
    svg = export(short, "picture-window.svg").content.decode()
    assert svg.startswith("<?xml")
    ElementTree.fromstring(svg)
    png = export(short, "picture-window.png").content
    assert png.startswith(b"\x89PNG\r\n\x1a\n")
    width, height = struct.unpack(">II", png[16:24])
    assert width > 1000
    assert height > 1000
    assert b"Software" not in png


def test_the_walk_as_json_is_that_of_the_command_line(short: Walk) -> None:
    whole = ledger(short)
    text = export(short, "walk.json").content.decode()
    assert text == json_page.check(whole, whole.steps) + "\n"
    assert json.loads(text)["schema"].startswith("bathybore.check/")


def test_kinds_have_media_types_and_unknown_files_are_refused(short: Walk) -> None:
    assert {kind for one in exports() for kind in one.kinds} == set(MEDIA_TYPES)
    for wrong in ("stepz.csv", "steps.xlsx", "../walk.json", "", "steps"):
        with pytest.raises(InputErrors, match="a file that can be made"):
            export(short, wrong)
    with pytest.raises(InputErrors, match=r"Did you mean 'steps\.csv'"):
        export(short, "stepz.csv")


# -- sign-off --------------------------------------------------------------------------------

SIGNED = Signature(
    "ada", "may sign", "2026-11-26T10:30:00+02:00", 7, "Looked at the <window>.", True, "All hold."
)


def test_without_signatures_there_are_lines_for_ink(short_document: Document) -> None:
    last = next(c for c in short_document.chapters if c.title == "Sign-off")
    (ink,) = (block for block in last.blocks if isinstance(block, Table))
    assert [row[0] for row in ink.rows] == ["prepared", "checked", "approved"]
    assert not any(cell for row in ink.rows for cell in row[1:])


@pytest.mark.usefixtures("undrawn")
def test_a_signature_is_printed_with_all_it_says_and_does_not_say(short: Walk) -> None:
    document = programme(short, "metric", (SIGNED,), 7)
    text = page(document)
    for said in ("ada", "may sign", "2026-11-26 08:30", "All hold.", "licensed engineer"):
        assert said in text
    assert "Looked at the &lt;window&gt;." in text
    assert WHAT_A_SIGNATURE_IS.split(":")[0] in text
    assert "of revision 7" in text
    front = " ".join(getattr(block, "text", "") for block in document.front)
    assert "Signed in this tool by ada" in front
    assert pdf(document).startswith(b"%PDF-")


@pytest.mark.usefixtures("undrawn")
def test_a_hole_that_fails_says_so_on_the_front_and_at_the_signature(failing: Walk) -> None:
    signed = replace(SIGNED, passes=False, verdict="1 check fails.")
    document = programme(failing, "metric", (signed,), 7)
    front = " ".join(getattr(block, "text", "") for block in document.front)
    assert "FAILS" in front
    last = next(c for c in document.chapters if c.title == "Sign-off")
    table_ = next(block for block in last.blocks if isinstance(block, Table))
    assert "FAILS: 1 check fails." in table_.rows[0]


@pytest.mark.usefixtures("undrawn")
def test_a_signature_under_another_revision_does_not_hold(failing: Walk) -> None:
    document = programme(failing, "metric", (SIGNED,), 9)
    front = " ".join(getattr(block, "text", "") for block in document.front)
    assert "Signed" not in front
    assert "Signatures under revision 7 do not hold for this one" in page(document)
