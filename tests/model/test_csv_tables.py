"""Every kind of slip in the tables: file, line, column, what was found and what was expected."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hole_folder import Folder

from bathybore.base.errors import InputErrors
from bathybore.model.csv_tables import parse_table
from bathybore.model.loading import read_table_text
from bathybore.model.tables import EARTH_COLUMNS, SEA_COLUMNS, ProfileTable

HEAD = "depth_below_sea_level [m],temperature [degC],practical_salinity [-],current_speed [m/s]"


def read_table(path: Path, known: dict[str, tuple[str, bool]]) -> ProfileTable:
    return parse_table(read_table_text(path.parent, path.name), path.name, known)


def sea(*rows: str, head: str = HEAD) -> str:
    return "# a note\n" + "\n".join([head, *rows]) + "\n"


SLIPS = [
    ("unknown column", sea("0,1,35,0,1", head=HEAD + ",densty [sg]"), 2, "densty",
     "the unknown column 'densty'", "a known column"),
    ("misspelt column", sea("0,1,35,0", head=HEAD.replace("current_speed", "curent_speed")), 2,
     "curent_speed", "the unknown column 'curent_speed'", "a known column"),
    ("missing column", sea("0,1,35", head=HEAD.rsplit(",", 1)[0]), 2, "current_speed",
     "no such column", "the column 'current_speed [m/s]'"),
    ("column twice", sea("0,1,35,0,1", head=HEAD + ",temperature [degC]"), 2, "temperature",
     "the column a second time", "each column once"),
    ("no unit", sea("0,1,35,0", head=HEAD.replace(" [degC]", "")), 2, "temperature",
     "a column without a unit", "'temperature [degC]'"),
    ("empty unit", sea("0,1,35,0", head=HEAD.replace("[degC]", "[]")), 2, "temperature",
     "a column without a unit", "'temperature [degC]'"),
    ("wrong unit", sea("0,1,35,0", head=HEAD.replace("[degC]", "[MPa]")), 2, "temperature",
     "unit 'MPa'", "a unit that converts to K"),
    ("unknown unit", sea("0,1,35,0", head=HEAD.replace("[degC]", "[degR]")), 2, "temperature",
     "'degR'", "a unit such as"),
    ("ragged row, short", sea("0,1,35,0", "10,1,35"), 4, "", "3 cells", "4 cells"),
    ("ragged row, long", sea("0,1,35,0", "10,1,35,0,7"), 4, "", "5 cells", "4 cells"),
    ("a word", sea("0,1,35,0", "10,cold,35,0"), 4, "temperature", "'cold'", "a number in degC"),
    ("unit in a cell", sea("0,1,35,0", "10,1 degC,35,0"), 4, "temperature", "'1 degC'",
     "a number in degC"),
    ("empty cell", sea("0,1,35,0", "10,,35,0"), 4, "temperature", "nothing", "a number in degC"),
    ("not a number", sea("0,1,35,0", "10,nan,35,0"), 4, "temperature", "'nan'",
     "a number in degC"),
    ("infinity", sea("0,1,35,0", "10,inf,35,0"), 4, "temperature", "'inf'", "a number in degC"),
    ("overflow", sea("0,1,35,0", "1e999,1,35,0"), 4, "depth_below_sea_level", "'1e999'",
     "a finite number"),
    ("decimal comma", sea("0,1,35,0", '10,"1,5",35,0'), 4, "temperature", "'1,5' with a comma",
     "a decimal point"),
    ("other digits", sea("0,1,35,0", "10,١,35,0"), 4, "temperature", "'١'", "a number in degC"),
    ("first depth", sea("5,1,35,0", "10,1,35,0"), 3, "depth_below_sea_level",
     "5 m in the first row", "0, the sea level itself"),
    ("depth again", sea("0,1,35,0", "10,1,35,0", "10,1,35,0"), 5, "depth_below_sea_level",
     "10 m below 10 m of line 4", "depths that grow"),
    ("depth back", sea("0,1,35,0", "10,1,35,0", "9,1,35,0"), 5, "depth_below_sea_level",
     "9 m below 10 m of line 4", "depths that grow"),
    ("too cold", sea("0,1,35,0", "10,-3.1,35,0"), 4, "temperature", "-3.1 degC",
     "-3 °C to 700 °C"),
    ("too hot", sea("0,1,35,0", "10,701,35,0"), 4, "temperature", "701 degC", "-3 °C to 700 °C"),
    ("negative current", sea("0,1,35,0", "10,1,35,-0.1"), 4, "current_speed", "-0.1 m/s",
     "zero or more"),
    ("salinity", sea("0,1,35,0", "10,1,350,0"), 4, "practical_salinity", "350", "0 to 50"),
    ("semicolons", sea("0;1;35;0", head=HEAD.replace(",", ";")), 2, "",
     "cells separated by semicolons", "cells separated by commas"),
    ("tabs", sea("0\t1\t35\t0", head=HEAD.replace(",", "\t")), 2, "", "cells separated by tabs",
     "cells separated by commas"),
    ("open quote", sea("0,1,35,0", '10,"1,35,0'), 4, "", "a line that is not CSV",
     "cells between commas"),
    ("one row", sea("0,1,35,0"), None, "", "1 rows", "at least two rows"),
    ("only comments", "# a\n# b\n", None, "", "no header", "a line of column names"),
    ("empty", "", None, "", "an empty file", "a CSV table"),
    ("blank", "\n \n", None, "", "an empty file", "a CSV table"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "line", "column", "found", "expected"),
    [row[1:] for row in SLIPS],
    ids=[str(row[0]) for row in SLIPS],
)
def test_slip_is_told(
    tmp_path: Path, text: str, line: int | None, column: str, found: str, expected: str
) -> None:
    file = tmp_path / "sea.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_table(file, SEA_COLUMNS)
    (fault,) = caught.value.faults
    where = (
        "sea.csv" + (f", line {line}" if line else "") + (f", column {column}" if column else "")
    )
    assert fault.where == where
    assert fault.found.startswith(found)
    assert fault.expected.startswith(expected)


def test_the_likely_fix_is_named(tmp_path: Path) -> None:
    def fix(text: str) -> str:
        (tmp_path / "sea.csv").write_text(text, encoding="utf-8")
        with pytest.raises(InputErrors) as caught:
            read_table(tmp_path / "sea.csv", SEA_COLUMNS)
        return caught.value.faults[0].fix

    misspelt = sea("0,1,35,0", head=HEAD.replace("temperature", "temprature"))
    assert fix(misspelt) == "Did you mean 'temperature'?"
    assert fix(sea("0,1,35,0", head=HEAD.replace("m/s", "knts"))) == "Did you mean 'knot'?"
    assert fix(sea("0,1,35,0", '10,"1,5",35,0')) == "Write '1.5'."
    assert "commas between cells" in fix(sea("0;1", head=HEAD.replace(",", ";")))
    assert "decimal point" in fix(sea("0,1,35,0", "10,1,5,35,0"))
    assert "alone" in fix(sea("0,1,35,0", "10,1 degC,35,0"))


@pytest.mark.parametrize(
    ("encoding", "told"),
    [
        ("utf-16", "UTF-16"),
        ("utf-16-le", "UTF-16"),
        ("utf-32", "UTF-32"),
        ("latin-1", "Latin-1"),
        ("cp1252", "Latin-1"),
    ],
)
def test_other_encodings_are_named(tmp_path: Path, encoding: str, told: str) -> None:
    file = tmp_path / "sea.csv"
    file.write_bytes(sea("0,1,35,0", "# 5 °C").encode(encoding))
    with pytest.raises(InputErrors) as caught:
        read_table(file, SEA_COLUMNS)
    (fault,) = caught.value.faults
    assert told in fault.found
    assert fault.expected == "UTF-8"
    assert "UTF-8" in fault.fix


def test_a_mark_at_the_start_and_other_line_ends_do_no_harm(tmp_path: Path) -> None:
    file = tmp_path / "sea.csv"
    text = sea("0,10,35,0.5", "20,8,35,0.1").replace("\n", "\r\n")
    file.write_bytes(b"\xef\xbb\xbf" + text.encode())
    table = read_table(file, SEA_COLUMNS)
    assert table.lines == (3, 4)
    assert list(table.depths) == [0.0, 20.0]
    assert list(table.numbers["temperature"]) == [283.15, 281.15]


def test_units_pass_the_gate(tmp_path: Path) -> None:
    file = tmp_path / "sea.csv"
    head = HEAD.replace("[m]", "[ft]").replace("degC", "degF").replace("m/s", "kn")
    file.write_text(sea("0,50,35,1", "1000,32,35,0", head=head), encoding="utf-8")
    table = read_table(file, SEA_COLUMNS)
    # exact by definition: 1 ft = 0.3048 m, 50 degF = 10 degC, 1 kn = 1852 m/h
    assert table.depths[1] == pytest.approx(304.8, rel=1e-12)
    assert table.numbers["temperature"] == pytest.approx([283.15, 273.15], rel=1e-12)
    assert table.numbers["current_speed"][0] == pytest.approx(1852 / 3600, rel=1e-12)


def test_the_coldest_sea_is_inside(tmp_path: Path) -> None:
    file = tmp_path / "sea.csv"
    file.write_text(sea("0,-3,35,0", "10,-3,35,0"), encoding="utf-8")
    assert read_table(file, SEA_COLUMNS).numbers["temperature"][0] == pytest.approx(270.15)


def test_a_large_file_is_refused_unread(tmp_path: Path) -> None:
    file = tmp_path / "sea.csv"
    with file.open("wb") as stream:
        stream.truncate(50_000_001)  # sparse: reading it would find zero bytes
    with pytest.raises(InputErrors, match=r"50\.0 MB; expected at most 50 MB"):
        read_table(file, SEA_COLUMNS)


def test_faults_are_cut_short(tmp_path: Path) -> None:
    file = tmp_path / "sea.csv"
    file.write_text(sea(*[f"{n},x,35,0" for n in range(1000)]), encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_table(file, SEA_COLUMNS)
    assert len(caught.value.faults) == 51
    assert "more faults" in caught.value.faults[-1].found


EARTH_SLIPS = [
    ("300,clay with silt,21.75,23.04", "300,clay with silt,24.75,23.04", "pore_pressure",
     "24.75 MPa at 300 m below sea bed", "at most the fracture pressure there, 23.04 MPa"),
    ("300,clay with silt,21.75,", "300,clay with silt,-21.75,", "pore_pressure", "-21.75 MPa",
     "zero or more"),
    ("650,chalk,25.30,28.69,,31.6,,,10,", "650,chalk,25.30,28.69,,31.6,,,0,",
     "rate_of_penetration", "0 m/h", "more than zero"),
    ("650,chalk,25.30,28.69,,31.6,,,10,water", "650,chalk,25.30,28.69,,31.6,,,10,watr",
     "formation_fluid", "'watr'", "none, water, gas, oil or nothing"),
    ("36.1,,,10,water,none", "36.1,,,10,water,shalow gas", "hazard", "'shalow gas'",
     "none, shallow gas, shallow water flow, hydrate, losses or nothing"),
    ("650,chalk,", "650,,", "lithology", "nothing", "a word"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "column", "found", "expected"), EARTH_SLIPS)
def test_slip_in_the_earth_table(
    folder: Folder, old: str, new: str, column: str, found: str, expected: str
) -> None:
    folder.replace(old, new, "earth.csv")
    (fault,) = folder.faults()
    assert fault.where == f"earth.csv, line {folder.line_of(new, 'earth.csv')}, column {column}"
    assert fault.found == found
    assert fault.expected.replace(" or nothing", ", nothing") == expected.replace(
        " or nothing", ", nothing"
    )


def test_nearest_word_of_a_list_is_named(folder: Folder) -> None:
    folder.replace("36.1,,,10,water,none", "36.1,,,10,water,shalow gas", "earth.csv")
    assert folder.faults()[0].fix == "Did you mean 'shallow gas'?"


def test_lithology_is_free_and_blanks_are_not_given(folder: Folder) -> None:
    folder.replace("0,mud,18.70", '0,"ooze, siliceous",18.70', "earth.csv")
    earth = folder.load().earth
    assert earth.words["lithology"][0] == "ooze, siliceous"
    assert not earth.has("collapse_pressure")
    assert earth.has("undrained_shear_strength")
    assert math.isnan(earth.numbers["undrained_shear_strength"][-1])


def test_pore_pressure_below_that_of_the_sea_bed_is_allowed(folder: Folder) -> None:
    folder.replace("700,chalk,25.81", "700,chalk,12.00", "earth.csv").load()


def test_optional_columns_may_be_left_out(tmp_path: Path) -> None:
    file = tmp_path / "earth.csv"
    head = ",".join(
        f"{name} [{'degC' if si == 'K' else si}]" if si != "text" else name
        for name, (si, required) in EARTH_COLUMNS.items()
        if required
    )
    file.write_text(f"{head}\n0,clay,1e7,1e7,2,0.01\n10,clay,1e7,1e7,2,0.01\n", encoding="utf-8")
    assert not read_table(file, EARTH_COLUMNS).has("hazard")
