"""Whatever lies at a path, loading gives a hole or InputErrors, and nothing of it is guessed."""

from __future__ import annotations

import contextlib
import os
import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hole_folder import Folder
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bathybore.base.errors import Fault, InputErrors
from bathybore.base.working import Default, Given
from bathybore.model.loading import load_hole
from varied import made_cases


def refused(path: Path) -> str:
    with pytest.raises(InputErrors) as caught:
        load_hole(path)
    (fault,) = caught.value.faults
    return str(fault)


def test_folder_and_file_give_the_same(folder: Folder) -> None:
    one, other = folder.load(), load_hole(folder.path / "hole.yaml")
    assert one.document == other.document
    assert one.name == "template"


def test_a_document_of_another_name(folder: Folder) -> None:
    (folder.path / "hole.yaml").rename(folder.path / "second.yml")
    hole = load_hole(folder.path / "second.yml")
    assert hole.site.origin("water_depth").file == "second.yml"


def test_numbers_know_where_they_were_written(folder: Folder) -> None:
    hole = folder.load()
    line = folder.line_of("nozzle_area: 0.7 in^2")
    value = hole.plan.sections[1].value("nozzle_area")
    assert value.si == pytest.approx(0.7 * 0.0254**2, rel=1e-12)
    assert value.origin == Given("hole.yaml", line, "plan.sections[1].nozzle_area")
    assert hole.plan.fluids["gel-sweep"].origin("flow_index") == Given(
        "hole.yaml", folder.line_of("flow_index: 0.55"), "plan.fluids[gel-sweep].flow_index"
    )
    default = hole.plan.fluids["sea-water"].origin("flow_index")
    assert isinstance(default, Default)
    assert default.key == "plan.fluids[sea-water].flow_index"
    assert hole.earth.lines[0] == folder.line_of("0,mud,18.70,18.70", "earth.csv")


def test_missing_things(tmp_path: Path, folder: Folder) -> None:
    assert "a folder without hole.yaml" in refused(tmp_path)
    assert "no such file or folder" in refused(tmp_path / "nowhere")
    assert "no such file" in refused(tmp_path / "nowhere.yaml")
    assert "a folder or a .yaml file" in refused(folder.path / "earth.csv")
    (folder.path / "sea.csv").unlink()
    (fault,) = folder.faults()
    assert (fault.where, fault.found) == ("sea.csv", "no such file")


def test_not_files(tmp_path: Path, folder: Folder) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")  # reading one would wait for ever
    assert "neither a file nor a folder" in refused(tmp_path / "pipe.yaml")
    (tmp_path / "folder.yaml").mkdir()
    assert "a folder without hole.yaml" in refused(tmp_path / "folder.yaml")
    (folder.path / "hole.yaml").unlink()
    (folder.path / "hole.yaml").mkdir()
    assert "found a folder" in refused(folder.path)


def test_loops_of_links(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").symlink_to(tmp_path / "b.yaml")
    (tmp_path / "b.yaml").symlink_to(tmp_path / "a.yaml")
    assert "cannot be opened" in refused(tmp_path / "a.yaml")
    (tmp_path / "hole.yaml").symlink_to(tmp_path / "hole.yaml")
    assert "cannot be opened" in refused(tmp_path)


def test_no_permission(folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    """Told by the operating system; root may read all, so its refusal is imitated."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert "a path that cannot be opened (Permission denied)" in refused(folder.path)


def test_odd_paths(tmp_path: Path) -> None:
    for path in (Path("a\0b.yaml"), Path("a\0b"), tmp_path / ("x" * 5000), Path()):
        with contextlib.suppress(InputErrors):
            load_hole(path)
            pytest.fail("nothing is there to be loaded")


@pytest.mark.parametrize("name", ["../earth.csv", "/etc/hostname", "..", "", "a/b.csv", "a\\b.csv"])
def test_tables_lie_beside_the_document(folder: Folder, name: str) -> None:
    folder.replace("  #earth: earth.csv ", f"  earth: '{name}' ")
    (fault,) = folder.faults()
    assert fault.where == f"hole.yaml, line {folder.line_of('  earth:')}, site.earth"
    assert fault.expected == "the name of a file beside the hole document"


def test_a_table_of_another_name(folder: Folder) -> None:
    (folder.path / "earth.csv").rename(folder.path / "deep earth.csv")
    hole = folder.replace("  #earth: earth.csv ", "  earth: deep earth.csv ").load()
    assert hole.earth.file == "deep earth.csv"


@pytest.mark.parametrize(
    ("encoding", "told"),
    [("utf-16", "UTF-16"), ("utf-32", "UTF-32"), ("latin-1", "Latin-1"), ("utf-16-be", "UTF-16")],
)
def test_other_encodings_are_named(folder: Folder, encoding: str, told: str) -> None:
    text = folder.text().replace("name: Small Auk", "name: Späher")
    (fault,) = folder.write(text.encode(encoding)).faults()
    assert told in fault.found
    assert fault.expected == "UTF-8"
    if encoding == "latin-1":
        line = text[: text.index("ä")].count("\n") + 1
        assert (
            fault.where == f"{folder.path / 'hole.yaml'}, line {line}"[:61]
            or f"line {line}" in fault.where
        )


def test_windows_line_ends_and_mark(folder: Folder) -> None:
    lines = folder.load().document._lines
    folder.write(b"\xef\xbb\xbf" + folder.text().replace("\n", "\r\n").encode())
    assert folder.load().document._lines == lines


def test_a_large_document_is_refused_unread(folder: Folder) -> None:
    with (folder.path / "hole.yaml").open("wb") as stream:
        stream.truncate(2_000_001)
    (fault,) = folder.faults()
    assert fault.found == "2.0 MB"
    assert fault.expected == "at most 2 MB"


def test_an_empty_block_of_the_design_basis_is_all_defaults(folder: Folder) -> None:
    with_block = folder.load().basis
    assert folder.replace("design_basis:  ", "# design_basis:  ").load().basis == with_block


# Pieces that are likely to hurt: of YAML, of CSV, of numbers, of encodings.
PIECES = [
    b"\x00", b"\xff", b"\xc3\x28", b"\t", b"\n", b"\r", b" ", b":", b"- ", b"? ", b"[", b"]", b"{",
    b"}", b"&a ", b"*a", b"!!int ", b"|\n", b">\n", b"'", b'"', b"#", b"%", b"@", b"`", b"---\n",
    b"...\n", b"<<: ", b"~", b"null", b"true", b"no", b".nan", b"-.inf", b"1e999", b"-1", b"0",
    b"0x", b"1_0", b"9" * 400, b",", b";", b"m", b" m", b"kg", b"m**9**9**9", b"below sea bed",
    b"above sea level", b"\xe2\x80\xae", b"\xc2\x85", b"\xe2\x80\xa8", b"\xef\xbb\xbf", b"1/0 in",
    b"wellhead", b"riser", b"EPSG:4326", b"EPSG:4978", b"EPSG:5773", b"/", b"..",
]  # fmt: skip

edits = st.lists(
    st.tuples(
        st.integers(0, 10**6),
        st.integers(0, 30),
        st.one_of(st.sampled_from(PIECES), st.binary(max_size=6)),
    ),
    min_size=1,
    max_size=4,
)


def spoil(data: bytes, changes: list[tuple[int, int, bytes]]) -> bytes:
    for place, length, piece in changes:
        at = place % (len(data) + 1)
        data = data[:at] + piece + data[at + length :]
    return data


def survives(folder: Folder, file: str, data: bytes) -> None:
    folder.write(data, file)
    faults: tuple[Fault, ...] = ()
    try:
        load_hole(folder.path)
    except InputErrors as error:
        faults = error.faults or pytest.fail("an error without a fault")
    for fault in faults:
        assert fault.where
        assert fault.found
        assert fault.expected
        assert str(fault).replace("\u202f", "").isprintable()


FUZZ = settings(
    max_examples=made_cases(1.0),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def test_a_flood_of_faults_is_told_in_time(folder: Folder) -> None:
    """Each of thousands of wrong names would have thousands of likely spellings."""
    many = "".join(
        f"    fluid-{n}: {{density: 1 sg, consistency: 1 Pa s^n}}\n" for n in range(2000)
    )
    folder.replace("    gel-sweep:\n", many + "    gel-sweep:\n")
    wrong = "".join(f"      - {{pipe: dp-{n}}}\n" for n in range(2000))
    folder.replace("    open-ended:\n", "    open-ended:\n" + wrong)
    start = time.process_time()
    assert len(folder.faults()) == 101
    assert time.process_time() - start < 3.0


def test_loading_is_quick(folder: Folder) -> None:
    folder.load()
    start = time.process_time()
    folder.load()
    assert time.process_time() - start < 0.25


@FUZZ
@given(file=st.sampled_from(["hole.yaml", "earth.csv", "sea.csv"]), changes=edits)
def test_spoilt_bytes_give_a_hole_or_input_errors(
    folder: Folder, template_path: Path, file: str, changes: list[tuple[int, int, bytes]]
) -> None:
    for name in ("hole.yaml", "earth.csv", "sea.csv"):
        folder.write((template_path / name).read_bytes(), name)
    survives(folder, file, spoil((template_path / file).read_bytes(), changes))


# a value in place of another one, whole: gets past the parser and into the schema and the checks
_VALUE = re.compile(rb"(?m)^( *(?:- )?\w[\w-]*: )(\S[^#\n]*?)(?=  |\n|$)")
values = st.one_of(
    st.sampled_from(PIECES).filter(lambda piece: b"\n" not in piece),
    st.from_regex(rb"[-0-9./ ]{1,8} ?(m|in|kg|MPa|degC|) ?(below|above)? ?(sea bed|sea level)?"),
    st.sampled_from(
        [b"[1, 2]", b"{a: b}", b"''", b"-5 m", b"1e-300 m", b"1e300 m", b"2 m2", b"36 in"]
    ),
)


@FUZZ
@given(choice=st.integers(0, 10**6), value=values, second=st.integers(0, 10**6), other=values)
def test_any_value_anywhere_gives_a_hole_or_input_errors(
    folder: Folder, template_path: Path, choice: int, value: bytes, second: int, other: bytes
) -> None:
    data = (template_path / "hole.yaml").read_bytes()
    for number, new in ((choice, value), (second, other)):
        found = list(_VALUE.finditer(data))
        match = found[number % len(found)]
        data = data[: match.start(2)] + new + data[match.end(2) :]
    survives(folder, "hole.yaml", data)


@pytest.mark.soak
@settings(FUZZ, max_examples=4_000)
@given(file=st.sampled_from(["hole.yaml", "earth.csv", "sea.csv"]), changes=edits)
def test_spoilt_bytes_for_long(
    folder: Folder, template_path: Path, file: str, changes: list[tuple[int, int, bytes]]
) -> None:
    for name in ("hole.yaml", "earth.csv", "sea.csv"):
        folder.write((template_path / name).read_bytes(), name)
    survives(folder, file, spoil((template_path / file).read_bytes(), changes))


@given(data=st.binary(max_size=300))
@settings(FUZZ)
def test_any_bytes_give_input_errors(folder: Folder, data: bytes) -> None:
    folder.write(data)
    with pytest.raises(InputErrors):
        folder.load()


def test_each_fault_alone_is_enough(new_folder: Callable[[], Folder]) -> None:
    """A fault in any of the three files, and a fault between them, each refuse the hole."""
    for file, old, new in (
        ("hole.yaml", "water_depth: 1850 m", "water_depth: 1850 K"),
        ("hole.yaml", "water_depth: 1850 m", "water_depth: 1950 m"),
        ("earth.csv", "0,mud,18.70,18.70", "0,mud,18.70,18,70"),
        ("sea.csv", "practical_salinity [-]", "salinity [-]"),
    ):
        assert new_folder().replace(old, new, file).faults()
