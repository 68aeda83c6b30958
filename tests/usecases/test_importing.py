"""Tables from elsewhere: what is read, asked and refused, and what becomes of our table."""

from __future__ import annotations

import io
import zipfile
from contextlib import suppress
from itertools import pairwise
from pathlib import Path

import numpy as np
import openpyxl
import pytest

from bathybore.base.depth import DepthFrame
from bathybore.base.errors import InputErrors
from bathybore.model.csv_tables import parse_table
from bathybore.model.outside_tables import MOST_BYTES
from bathybore.model.outside_text import number
from bathybore.model.tables import EARTH_COLUMNS, SEA_COLUMNS
from bathybore.usecases.import_apply import MOST_KEPT, Imported, apply_import
from bathybore.usecases.importing import ColumnChoice, ImportPreview, Mapping, preview
from bathybore.usecases.table_texts import table_text

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"
EARTH = (EXAMPLE / "earth.csv").read_text(encoding="utf-8")
SEA = (EXAMPLE / "sea.csv").read_text(encoding="utf-8")
FRAME = DepthFrame(drill_floor_height=28.0, water_depth=2480.0)

# after the Log ASCII Standard 2.0 (CWLS, 1992, updated 2017); well and numbers are invented
LAS = """~VERSION INFORMATION
 VERS.                2.0 : CWLS LOG ASCII STANDARD - VERSION 2.0
 WRAP.                 NO : ONE LINE PER DEPTH STEP
# a comment
~WELL INFORMATION
 STRT.M           2558.00 : START DEPTH
 STOP.M           2708.00 : STOP DEPTH
 STEP.M             50.00 : STEP
 NULL.           -999.250 : NULL VALUE
 COMP.    INVENTED BORERS : COMPANY
 DATE.  26-NOV-2026 12:30 : LOG DATE
~CURVE INFORMATION
 DEPT.M                   : 1  DEPTH
 PP  .PSI                 : 2  PORE PRESSURE
 TEMP.DEGF                : 3  FORMATION TEMPERATURE
 GR  .GAPI                : 4  GAMMA RAY
~PARAMETER INFORMATION
 EDF .M              26.0 : ELEVATION OF DRILL FLOOR
~OTHER
 Every number here is invented. Not: a.item
~A  DEPT      PP       TEMP    GR
 2558.00   3700.0     39.2   55.1
 2608.00   3780.0     42.0   60.0
 2658.00  -999.25     45.0   61.0
 2708.00   3950.0     48.0   -999.25
"""
DEPTH = ColumnChoice(0, "depth_below_sea_bed", "m")
PORE = ColumnChoice(1, "pore_pressure", "psi")
WARM = ColumnChoice(2, "temperature", "degF")


def mapping(*columns: ColumnChoice, **changes: object) -> Mapping:
    settings: dict[str, object] = {
        "datum": "drill floor", "drill_floor_height": "28 m", "true_vertical": True, **changes,
    }  # fmt: skip
    return Mapping("earth", columns or (DEPTH, PORE, WARM), **settings)  # type: ignore[arg-type]


def faults_of(file: str, data: bytes | str) -> str:
    with pytest.raises(InputErrors) as caught:
        preview(file, data.encode() if isinstance(data, str) else data)
    return str(caught.value)


def refused(data: bytes | str, chosen: Mapping, existing: str = EARTH) -> str:
    with pytest.raises(InputErrors) as caught:
        apply_import(
            "x.las", data.encode() if isinstance(data, str) else data, chosen, existing, FRAME
        )
    return str(caught.value)


def rows_of(done: Imported) -> dict[float, dict[str, str]]:
    table = table_text(done.text, "earth.csv", "earth")
    names = [column.name for column in table.columns]
    return {float(row[0]): dict(zip(names, row, strict=True)) for row in table.rows}


def wrapped(text: str) -> str:
    head, _, data = text.replace("WRAP.                 NO", "WRAP. YES").partition("~A")
    first, *rows = data.strip().split("\n")
    lines = ["~A " + first]
    for row in rows:
        depth, *rest = row.split()
        lines += [depth, " ".join(rest[:2]), " ".join(rest[2:])]
    return head + "\n".join(lines) + "\n"


# -- log files -----------------------------------------------------------------------------------


def test_a_log_file_is_shown_with_guesses_and_questions() -> None:
    seen = preview("well.las", LAS.encode())
    assert (seen.kind, seen.rows, seen.null, seen.decimal) == ("LAS 2.0", 4, "-999.250", ".")
    depth, pore, warm, gamma = seen.columns
    assert depth.guesses["earth"].target == "depth_below_sea_bed"
    assert (pore.guesses["earth"].target, pore.guesses["earth"].unit) == ("pore_pressure", "psi")
    assert warm.guesses["sea"].unit == "degF"
    assert gamma.guesses == {}
    assert (pore.values, pore.missing, pore.least, pore.greatest) == (3, 1, "3700", "3950")
    assert any("Choose what the depths are counted from" in asked for asked in seen.questions)
    assert any("true vertical" in asked for asked in seen.questions)
    assert any("EDF 26.0 M" in note for note in seen.notes)
    assert any("measured along the hole" in note for note in seen.notes)


def test_wrapped_rows_are_the_same_rows() -> None:
    one, two = preview("a.las", LAS.encode()), preview("a.las", wrapped(LAS).encode())
    assert one.first_rows == two.first_rows
    assert any("wrapped" in note for note in two.notes)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("VERS.                2.0", "VERS. 3.0", "version '3.0'"),
        ("VERS.                2.0", "VERS. 1.2", "version '1.2'"),
        ("VERS.                2.0", "VERS. two", "version 'two'"),
        ("WRAP.                 NO", "WRAP. MAYBE", "WRAP 'MAYBE'"),
        (" WRAP.                 NO : ONE LINE PER DEPTH STEP\n", "", "no WRAP"),
        ("~VERSION INFORMATION", "~WELL", "the section ~V first"),
        (" STRT.M           2558.00 : START DEPTH", "STRT M 2558", "MNEMONIC.UNIT"),
        (" 2608.00   3780.0     42.0   60.0", " 2608.00   3780.0", "2 values"),
        ("~A  DEPT      PP       TEMP    GR", "~Z", "no section ~A"),
        (" 2708.00   3950.0     48.0   -999.25\n", "~PARAMETER\n", "after ~A"),
    ],
)
def test_a_log_file_that_breaks_the_standard_is_refused_with_its_line(
    old: str, new: str, said: str
) -> None:
    assert old in LAS
    told = faults_of("well.las", LAS.replace(old, new))
    assert said in told
    assert told.startswith("well.las")


def test_wrong_lines_are_told_by_number() -> None:
    told = faults_of("well.las", LAS.replace(" 2608.00   3780.0     42.0   60.0", " 2608.00 1"))
    line = LAS.split("\n").index(" 2608.00   3780.0     42.0   60.0") + 1
    assert f"line {line}:" in told


def test_a_log_file_cut_off_is_not_taken_for_whole() -> None:
    whole_rows = LAS[: LAS.index(" 2658.00")]
    notes = preview("cut.las", whole_rows.encode()).notes
    assert any("STOP 2708.00" in note and "cut off" in note for note in notes)
    assert "cut off" in faults_of("cut.las", LAS[: LAS.index("48.0   -999.25")])
    assert "no section ~A" in faults_of("cut.las", LAS[: LAS.index("~PARAMETER")])
    assert "no rows" in faults_of("cut.las", LAS[: LAS.index(" 2558.00   3700.0")])
    in_wrapped = wrapped(LAS)
    assert "values" in faults_of("cut.las", in_wrapped[: in_wrapped.rindex("48.0")])


# -- what must be decided ------------------------------------------------------------------------


def test_nothing_is_taken_in_before_it_is_decided() -> None:
    assert "no datum" in refused(LAS, mapping(datum=""))
    assert "Did you mean 'sea bed'" in refused(LAS, mapping(datum="sea bad"))
    assert "true vertical" in refused(LAS, mapping(true_vertical=False))
    told = refused(LAS, mapping(drill_floor_height=""))
    assert "height above mean sea level" in told
    assert "28 m" in told
    assert "the bare number" in refused(LAS, mapping(drill_floor_height="28"))
    assert "no unit" in refused(LAS, mapping(DEPTH, ColumnChoice(1, "pore_pressure", "")))
    unknown = refused(LAS, mapping(DEPTH, ColumnChoice(1, "pore_pressure", "pisi")))
    assert "pisi" in unknown
    density = refused(LAS, mapping(DEPTH, ColumnChoice(1, "pore_pressure", "ppg")))
    assert "equivalent density" in density
    assert "no column of depths" in refused(LAS, mapping(PORE, WARM))
    assert "no column to take in" in refused(LAS, mapping(DEPTH))
    assert "pore_pressure" in refused(LAS, mapping(DEPTH, ColumnChoice(1, "pore_presure", "psi")))
    twice = mapping(DEPTH, PORE, ColumnChoice(2, "pore_pressure", "psi"))
    assert "two columns" in refused(LAS, twice)
    assert "column" in refused(LAS, mapping(DEPTH, ColumnChoice(99, "pore_pressure", "psi")))


def test_what_is_refused_leaves_nothing_half_done() -> None:
    told = refused(LAS.replace("3780.0", "3780.x"), mapping())
    assert "'3780.x'" in told
    line = next(n for n, text in enumerate(LAS.split("\n"), start=1) if "3780.0" in text)
    assert f"line {line}, column 'PP'" in told


# -- what becomes of our table -------------------------------------------------------------------


def test_rows_come_in_converted_and_the_rest_stays() -> None:
    done = apply_import("well.las", LAS.encode(), mapping(), EARTH, FRAME)
    table = parse_table(done.text, "earth.csv", EARTH_COLUMNS)
    before = parse_table(EARTH, "earth.csv", EARTH_COLUMNS)
    rows = rows_of(done)
    # 2,558 m below a drill floor 28 m above the sea, in 2,480 m of water: 50 m below its bed
    assert float(rows[50.0]["pore_pressure"]) == pytest.approx(3700 * 6894.757293168361 / 1e6)
    assert float(rows[50.0]["temperature"]) == pytest.approx(4.0)
    assert float(rows[200.0]["temperature"]) == pytest.approx((48.0 - 32.0) / 1.8)
    # the missing value lies between its neighbours, and that is said
    middle = 0.5 * (3780 + 3950) * 6894.757293168361 / 1e6
    assert float(rows[150.0]["pore_pressure"]) == pytest.approx(middle, rel=1e-6)
    assert any("1 missing values of pore pressure" in note for note in done.notes)
    # what the file does not bring says at every depth what it said
    z = np.linspace(0.0, before.deepest, 400)
    for name in ("fracture_pressure", "rate_of_penetration", "undrained_shear_strength"):
        np.testing.assert_allclose(table.at(name, z), before.at(name, z), rtol=2e-6)
    for depth in z.tolist():
        for name in ("lithology", "formation_fluid", "hazard"):
            assert table.word_at(name, depth) == before.word_at(name, depth)
    # outside the file's depths our own rows stay
    deep = z[z > 210.0]
    np.testing.assert_allclose(
        table.at("pore_pressure", deep[40:]), before.at("pore_pressure", deep[40:])
    )


def test_the_new_table_says_where_it_came_from_and_keeps_its_comments() -> None:
    done = apply_import("well.las", LAS.encode(), mapping(), EARTH, FRAME)
    comments = [line for line in EARTH.split("\n") if line.startswith("#")]
    assert all(line.strip() in done.text for line in comments)
    assert "# Taken in from 'well.las' (LAS 2.0)" in done.text
    assert "pore_pressure from 'PP' [psi]" in done.text
    assert "below drill floor (28 m above mean sea level)" in done.text
    again = apply_import("well.las", LAS.encode(), mapping(), EARTH, FRAME)
    assert again == done


def test_other_datums_shift_the_depths() -> None:
    from_sea = mapping(datum="sea level", drill_floor_height="")
    rows = rows_of(apply_import("a.las", LAS.encode(), from_sea, EARTH, FRAME))
    assert 78.0 in rows  # 2,558 m below sea level
    deep = mapping(datum="drill floor", drill_floor_height="26 m")
    rows = rows_of(apply_import("a.las", LAS.encode(), deep, EARTH, FRAME))
    assert 52.0 in rows


def test_rows_above_our_datum_are_left_out_and_said() -> None:
    low = mapping(datum="drill floor", drill_floor_height="100 m")
    done = apply_import("a.las", LAS.encode(), low, EARTH, FRAME)
    assert any("1 rows above the sea bed are left out" in note for note in done.notes)
    high = LAS
    for old, new in (("2558", "70"), ("2608", "80"), ("2658", "90"), ("2708", "100")):
        high = high.replace(f" {old}.00 ", f" {new}.00 ")
    none = refused(high, mapping())
    assert "no row at or below our datum" in none


def test_depths_upwards_are_sorted_and_doubled_ones_refused() -> None:
    head, _, data = LAS.partition("~A  DEPT      PP       TEMP    GR\n")
    rows = data.strip("\n").split("\n")
    up = head + "~A\n" + "\n".join(reversed(rows)) + "\n"
    done = apply_import("up.las", up.encode(), mapping(), EARTH, FRAME)
    depths = list(rows_of(done))
    assert all(one < two for one, two in pairwise(depths))
    assert any("sorted" in note for note in done.notes)
    assert "each depth once" in refused(head + "~A\n" + "\n".join([*rows, rows[0]]), mapping())


def test_rows_outside_can_be_dropped() -> None:
    done = apply_import("a.las", LAS.encode(), mapping(outside="drop"), EARTH, FRAME)
    assert max(rows_of(done)) == 200.0


def test_a_sea_profile_in_the_words_of_oceanography() -> None:
    text = "DEPTH (m);TEMP (°C);PSAL;CSPD (m/s)\n1,5;21,25;35,1;0,6\n100;19,5;35,2;0,5\n"
    seen = preview("profile.csv", text.encode())
    assert [c.guesses["sea"].target for c in seen.columns] == list(SEA_COLUMNS)
    choices = tuple(
        ColumnChoice(c.index, c.guesses["sea"].target, c.guesses["sea"].unit) for c in seen.columns
    )
    chosen = Mapping("sea", choices, datum="sea level", true_vertical=True)
    done = apply_import("profile.csv", text.encode(), chosen, SEA, FRAME)
    table = parse_table(done.text, "sea.csv", SEA_COLUMNS)
    assert table.at("temperature", 1.5) == pytest.approx(273.15 + 21.25)
    assert table.depths[0] == 0.0


def test_many_rows_are_thinned_to_those_that_matter_and_it_is_said() -> None:
    z = np.linspace(1.0, 4900.0, 9001)
    pore = 25.0 + 0.0105 * z
    pore[4321] += 7.0  # one spike
    text = "depth [m]\tpp [MPa]\n" + "".join(
        f"{a}\t{b}\n" for a, b in zip(z.tolist(), pore.tolist(), strict=True)
    )
    chosen = mapping(DEPTH, ColumnChoice(1, "pore_pressure", "MPa"), datum="sea bed")
    done = apply_import("many.txt", text.encode(), chosen, EARTH, FRAME)
    assert done.rows <= MOST_KEPT
    assert any("9,001 rows" in note for note in done.notes)
    spike = max(float(row["pore_pressure"]) for row in rows_of(done).values())
    assert spike >= pore[4321] - 1e-4


# -- delimited text ------------------------------------------------------------------------------


def first(text: str) -> ImportPreview:
    return preview("pasted cells", text.encode())


def test_delimiters_decimals_and_units_are_found_and_said() -> None:
    tabs = first("Depth\tTemperature\n[m]\t[°C]\n0\t4.5\n10\t4.25\n")
    assert [c.unit for c in tabs.columns] == ["m", "°C"]
    assert any("tabs" in note for note in tabs.notes)
    comma = first("Depth [m];Pore pressure [MPa]\n0;12,5\n10;13,25\n")
    assert comma.decimal == ","
    assert any("'12,5' is read as 12.5" in note for note in comma.notes)
    points = first("Depth [m],Pore pressure [MPa]\n0,12.5\n10,13.25\n")
    assert points.decimal == "."
    thousands = first('Depth [m],Pressure [psi]\n0,"1,234.5"\n10,"2,000"\n')
    assert thousands.decimal == "."
    assert any("thousands" in note for note in thousands.notes)


def test_numbers_that_can_be_read_in_two_ways_are_asked_about() -> None:
    text = "Depth [m]\tPore pressure [psi]\n0\t1,234\n10\t2,345\n"
    seen = first(text)
    assert seen.decimal == ""
    assert any("point or a comma" in asked for asked in seen.questions)
    chosen = mapping(DEPTH, PORE, datum="sea bed")
    assert "two ways" in refused(text, chosen)
    done = apply_import(
        "t", text.encode(), mapping(DEPTH, PORE, datum="sea bed", decimal="."), EARTH, FRAME
    )
    assert float(rows_of(done)[10.0]["pore_pressure"]) == pytest.approx(
        2345 * 0.006894757, rel=1e-6
    )
    mixed = first("a\tb\n1\t1,5\n2\t2.5\n")
    assert mixed.decimal == ""


@pytest.mark.parametrize(
    ("text", "decimal", "value"),
    [
        ("1 234,5", ",", 1234.5), ("1.234,5", ",", 1234.5), ("1,234.5", ".", 1234.5),
        ("\u22123", ".", -3.0), ("1e3", ".", 1000.0), ("1,5", ".", None), ("1.5", ",", None),
        ("1.234", ",", 1234.0), ("", ".", None), ("12 m", ".", None), ("0x10", ".", None),
        ("inf", ".", None), ("١٢", ",", None),
    ],
)  # fmt: skip
def test_numbers(text: str, decimal: str, value: float | None) -> None:
    assert number(text, decimal) == value


def test_a_table_without_a_header_and_one_with_comments() -> None:
    bare = first("0\t4\n10\t5\n")
    assert bare.columns[0].name == "column 1"
    assert any("no header" in note for note in bare.notes)
    assert first("# invented\nz [m],T [degC]\n# more\n0,4\n10,5\n").rows == 2


def test_a_value_that_files_write_for_none_is_said() -> None:
    seen = first("Depth [m],Temperature [degC]\n0,-999.25\n10,5\n")
    assert seen.null == "-999.25"
    assert any("-999.25" in note for note in seen.notes)
    assert seen.columns[1].missing == 1


@pytest.mark.parametrize(
    "text",
    [
        "just one column\n1\n2\n",
        "a,b\n1,2,3\n4,5,6\n7,8,9\n",
        "a,b\n",
        'a,b\n1,"2\n3,4\n5,6\n',
        "a,b\n1," + "9" * 300 + "\n",
        ",".join(f"c{n}" for n in range(300)) + "\n" + ",".join("1" * 300) + "\n",
    ],
)
def test_text_that_is_no_table_is_refused(text: str) -> None:
    assert faults_of("x.csv", text)


# -- workbooks -----------------------------------------------------------------------------------


def book(**sheets: list[list[object]]) -> bytes:
    made = openpyxl.Workbook()
    made.remove(made.worksheets[0])
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    target = io.BytesIO()
    made.save(target)
    return target.getvalue()


TABLE: list[list[object]] = [
    ["depth [m]", "pore pressure [MPa]", "lithology"], [0, 25.0, "mud"], [50, 26.25, None],
]  # fmt: skip


def test_a_workbook_is_read_sheet_by_sheet() -> None:
    data = book(one=TABLE, other=[["a", "b"], [1, 2]])
    seen = preview("book.xlsx", data)
    assert (seen.sheets, seen.sheet, seen.rows) == (("one", "other"), "one", 2)
    assert seen.first_rows[1] == ("50", "26.25", "")
    assert any("2 sheets" in note for note in seen.notes)
    assert preview("book.xlsx", data, "other").sheet == "other"
    with pytest.raises(InputErrors, match="no sheet 'third'"):
        preview("book.xlsx", data, "third")


def test_formulas_are_not_run() -> None:
    seen = preview("book.xlsx", book(one=[["depth", "pp"], [1, "=1+1"], [2, 3]]))
    assert seen.first_rows[0] == ("1", "")  # nothing has worked it out yet


def rezipped(data: bytes, **changes: bytes) -> bytes:
    """Return a workbook with some of its parts replaced; '__' is '/'."""
    target = io.BytesIO()
    named = {name.replace("__", "/").replace("_xml", ".xml"): v for name, v in changes.items()}
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in {*old.namelist(), *named}:
            new.writestr(name, named.get(name) or old.read(name))
    return target.getvalue()


def test_workbooks_that_would_blow_up_are_refused() -> None:
    data = book(one=TABLE)
    assert "unpacks to" in faults_of("bomb.xlsx", rezipped(data, bomb_xml=b"0" * 80_000_000))
    entity = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aa">]><x>&a;</x>'
    assert "document type" in faults_of("bomb.xlsx", rezipped(data, xl__styles_xml=entity))
    sixteen = entity.decode().encode("utf-16")
    assert "document type" in faults_of("bomb.xlsx", rezipped(data, xl__styles_xml=sixteen))


def test_a_sheet_with_a_cell_at_the_end_of_the_world_is_not_padded() -> None:
    data = book(one=TABLE)
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        xml = parts.read("xl/worksheets/sheet1.xml")
    far = b'<row r="1048576"><c r="XFD1048576" t="n"><v>1</v></c></row></sheetData>'
    spoiled = rezipped(data, xl__worksheets__sheet1_xml=xml.replace(b"</sheetData>", far))
    assert preview("far.xlsx", spoiled).rows == 2


@pytest.mark.parametrize("cut", [10, 200, 1000, -30])
def test_a_broken_workbook_is_an_error_of_the_file(cut: int) -> None:
    assert faults_of("broken.xlsx", book(one=TABLE)[:cut])


def test_other_zip_files_and_old_workbooks_are_named() -> None:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as made:
        made.writestr("content.xml", "<x/>")
    assert "another kind" in faults_of("x.ods", target.getvalue())
    assert "password" in faults_of("x.xls", b"\xd0\xcf\x11\xe0" + b"\x00" * 600)


# -- hostile bytes -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "data",
    [
        b"", b"   \n\n", b"\x00" * 1000, bytes(range(256)) * 8, b"~", b"~V", b"~A\n1 2\n",
        b"\x89PNG\r\n\x1a\n" + b"\x00" * 50, b"PK\x03\x04", b"\xff\xfe", b"\xff\xfea\x00\n",
        b"~V\nVERS. 2.0:\nWRAP. NO:\n~C\n~A\n1 2\n", "\U0001f600;1\n".encode() * 3,
        b"~V\nVERS. 2.0:\nWRAP. YES:\n~C\nA.:\nB.:\n~A\n1 2 3\n",
        b"=cmd|' /C calc'!A0\n", b"," * 5000 + b"\n" + b"," * 5000,
        b"~V\nVERS. nan:\nWRAP. NO:\n~C\nA.:\n~A\n1\n",
    ],
)  # fmt: skip
def test_whatever_the_bytes_only_our_own_errors_are_raised(data: bytes) -> None:
    try:
        told = [f"{preview('thing', data).rows} rows"]
    except InputErrors as error:
        told = [part for fault in error.faults for part in (fault.where, fault.found)]
    assert told
    assert all(told)


def test_what_is_too_large_is_refused_before_it_is_read() -> None:
    assert "at most 10 MB" in faults_of("big.las", b"1" * (MOST_BYTES + 1))
    many = LAS + " 1 2 3 4\n" * 60_000
    assert "more than 50000 rows" in faults_of("many.las", many)
    curves = "".join(f" C{n}.M : x\n" for n in range(300))
    assert "curves" in faults_of("wide.las", LAS.replace(" GR  .GAPI", curves + " GR  .GAPI"))


def test_truncated_anywhere_never_ends_in_another_error() -> None:
    data = LAS.encode()
    whole = 0
    for end in range(0, len(data) + 1, 17):
        with suppress(InputErrors):
            preview("cut.las", data[:end])
            whole += 1
    assert whole < 15  # of about 80: only where whole rows are left


def test_names_cannot_move_the_cursor_or_break_out_of_a_comment() -> None:
    evil = LAS.replace(" GR  .GAPI", " G\u202eR  .GAPI")
    done = apply_import("a\n=1+1.las", evil.encode(), mapping(), EARTH, FRAME)
    assert "\n=1" not in done.text
    assert parse_table(done.text, "earth.csv", EARTH_COLUMNS)


def test_a_table_that_cannot_be_read_is_not_merged_with() -> None:
    broken = EARTH.replace("\n10,", "\n9999,", 1)
    assert "depths that do not grow" in refused(LAS, mapping(), broken)


# -- tables as texts -----------------------------------------------------------------------------


def test_a_table_is_shown_as_it_stands() -> None:
    table = table_text(EARTH, "earth.csv", "earth")
    assert [c.name for c in table.columns] == list(EARTH_COLUMNS)
    assert table.columns[2].unit == "MPa"
    assert table.columns[-1].choices == (
        "", "none", "shallow gas", "shallow water flow", "hydrate", "losses",
    )  # fmt: skip
    lines = EARTH.split("\n")
    for cells, line in zip(table.rows, table.lines, strict=True):
        assert lines[line - 1].split(",")[0] == cells[0]
    assert len(table.comments) == sum(line.startswith("#") for line in lines)


@pytest.mark.parametrize("text", ["", "# only a comment", "a,b\n1", "depth_below_sea_bed\n\n1,2,3"])
def test_a_table_with_faults_is_shown_too(text: str) -> None:
    table = table_text(text, "earth.csv", "earth")
    assert {c.name for c in (*table.columns, *table.absent)} >= set(EARTH_COLUMNS)
