"""A draft after any edit is what loading its files from the disk would give."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bathybore.base.errors import Fault, InputErrors
from bathybore.model.chart import written_at
from bathybore.model.csv_splicing import insert_row, remove_row, set_cell
from bathybore.model.editing import Draft, Edit, HoleFiles, read_draft, write_files
from bathybore.model.fields import Node
from bathybore.model.fluid_readings import MeasuredFluid
from bathybore.model.hole import Hole
from bathybore.model.keys import path_of
from bathybore.model.loading import load_hole
from bathybore.model.tables import SURVEY_COLUMNS
from bathybore.model.yaml_tree import parse_tree
from bathybore.usecases.table_texts import no_survey, table_text
from varied import EXAMPLES, made_cases

MAIN = read_draft(EXAMPLES / "main")
SMALL = read_draft(EXAMPLES / "riserless")
MUD = "plan.fluids[mud-2].density"


def loaded(files: HoleFiles) -> tuple[Hole | None, tuple[Fault, ...]]:
    """Write files to a new folder and load it."""
    with tempfile.TemporaryDirectory() as name:
        write_files(Path(name), files, HoleFiles({}))
        try:
            return load_hole(Path(name)), ()
        except InputErrors as error:
            return None, error.faults


def places(node: Any) -> Any:
    """Return what every node below one knows of its place."""
    if isinstance(node, Node):
        parts = {name: places(getattr(node, name)) for name in type(node).model_fields}
        return node._file, node._key, node._lines, node.model_fields_set, parts
    if isinstance(node, dict):
        return {key: places(value) for key, value in node.items()}
    return tuple(map(places, node)) if isinstance(node, tuple) else node


def assert_as_loaded(draft: Draft) -> None:
    hole, faults = loaded(draft.files)
    assert draft.faults == faults
    assert (draft.hole is None) == bool(faults)
    if hole is not None and draft.hole is not None:
        assert draft.hole.document == hole.document
        assert places(draft.hole.document) == places(hole.document)
        assert draft.hole.tree == hole.tree
        assert draft.hole.earth.numbers.keys() == hole.earth.numbers.keys()
        assert draft.hole.sea.lines == hole.sea.lines


# one gesture of a user, sensible or not

KEYS = tuple(
    "".join(f"[{p}]" if isinstance(p, int) else f".{p}" for p in path).removeprefix(".")
    for path in (SMALL.tree.written if SMALL.tree else {})
)
OWNERS = ("plan", "plan.sections[0]", "plan.sections[0].casing", "site", "vessel.pumps", "plan.zz")
WORDS = ("riser", "sea-water", "no-such", "", "x: y", "true")
NUMBERS = ("1 m", "1.2 sg", "0 m", "-3 m", "4", "7 in", "3 m3", "900 L/min", "0.5", "9 kg")
texts = st.sampled_from((*WORDS, *NUMBERS, "500 m below sea bed", "20 m below drill floor"))
blocks = st.sampled_from(
    [None, 1, "x", {}, [], {"name": "x"}, [{"top": "1 m below sea bed"}], {"density": "1 sg"}]
)
gestures = st.one_of(
    st.builds(Edit, st.just("set"), st.sampled_from(KEYS), texts),
    st.builds(Edit, st.just("set"), st.sampled_from([f"{k}.kick_volume" for k in OWNERS]), texts),
    st.builds(Edit, st.just("remove"), st.sampled_from((*KEYS, *OWNERS))),
    st.builds(
        lambda key, content: Edit("put", key, content=content), st.sampled_from(KEYS), blocks
    ),
    st.builds(
        lambda key, n, content: Edit("insert", f"{key}[{n}]", content=content),
        st.sampled_from(["plan.sections", "plan.leaving.plugs", "plan.step_edits", "site"]),
        st.integers(0, 3),
        blocks,
    ),
    st.builds(
        lambda row, column, text: Edit("cell", file="earth.csv", row=row, column=column, text=text),
        st.integers(-1, 12),
        st.sampled_from(["pore_pressure", "temperature", "lithology", "depth_below_sea_bed", "x"]),
        st.sampled_from(["1", "-5", "abc", "", "1,5", "ooze", "40", "3 MPa", '"', "a\nb"]),
    ),
)


@settings(max_examples=made_cases(0.4), deadline=None)
@given(st.lists(st.lists(gestures, min_size=1, max_size=2), min_size=1, max_size=4))
def test_a_draft_says_what_loading_its_files_says(steps: list[list[Edit]]) -> None:
    draft = SMALL
    for edits in steps:
        try:
            draft = draft.edited(edits)
        except InputErrors:
            continue  # refused: the draft before it stays
        assert Draft.of(draft.files).faults == draft.faults
    assert_as_loaded(draft)


@pytest.mark.parametrize("name", ["main", "riserless", "frontier"])
def test_an_example_read_as_a_draft_is_sound(name: str) -> None:
    draft = read_draft(EXAMPLES / name)
    assert draft.faults == ()
    assert draft.files.texts["hole.yaml"] == (EXAMPLES / name / "hole.yaml").read_text()
    assert_as_loaded(draft)


# what is shared


def test_nothing_off_the_edited_path_is_made_anew() -> None:
    draft = MAIN.edited([Edit("set", "plan.sections[2].casing.shoe", "3390 m below sea bed")])
    assert MAIN.hole is not None
    assert draft.hole is not None
    old, new = MAIN.hole, draft.hole
    for part in ("site", "vessel", "inventory", "basis", "earth", "sea"):
        assert getattr(new, part) is getattr(old, part), part
    for part in ("conductor", "coring", "leaving"):
        assert getattr(new.plan, part) is getattr(old.plan, part), part
    assert all(new.plan.fluids[name] is fluid for name, fluid in old.plan.fluids.items())
    kept = [new.plan.sections[n] is section for n, section in enumerate(old.plan.sections)]
    assert kept == [True, True, False, True, True]
    assert new.plan.sections[2].casing is not old.plan.sections[2].casing
    assert old.plan.sections[2].casing is not None
    assert new.plan.sections[2].casing is not None
    assert new.plan.sections[2].casing.cement is old.plan.sections[2].casing.cement
    assert old.plan.sections[2].casing.shoe.metres == 3400.0  # the draft before is as it was
    assert new.plan.sections[2].casing.shoe.metres == 3390.0


def test_a_number_that_becomes_a_truth_value_is_seen() -> None:
    """1 and true are equal to the language, and two things to the document."""
    draft = MAIN.edited([Edit("set", "inventory.core_barrel.bits", "1")])
    assert draft.faults == ()
    draft = draft.edited([Edit("set", "inventory.core_barrel.bits", "true")])
    assert [fault.expected for fault in draft.faults] == ["a whole number"]


def test_a_document_with_faults_finds_its_way_back() -> None:
    broken = MAIN.edited([Edit("set", "plan.sections[1].bottom", "9000 m below sea bed")])
    assert broken.hole is None
    assert any("plan.sections[2].bottom" in fault.where for fault in broken.faults)
    schema = broken.edited([Edit("remove", "plan.target")])
    assert any("'target'" in fault.expected for fault in schema.faults)
    mended = schema.edited(
        [
            Edit("set", "plan.target", "4950 m below sea bed"),
            Edit("set", "plan.sections[1].bottom", "1910 m below sea bed"),
        ]
    )
    assert mended.faults == ()
    assert mended.hole is not None
    assert MAIN.hole is not None
    assert mended.hole.site is MAIN.hole.site  # what stands above the line that moved
    assert_as_loaded(mended)


def test_lines_move_with_what_stands_on_them() -> None:
    assert MAIN.tree is not None
    line = MAIN.tree.lines["plan", "target"]
    draft = MAIN.edited([Edit("set", "site.lever_arm_error", "0.4 m")])
    assert draft.hole is not None
    assert written_at(draft.hole.plan, "target") == f"hole.yaml, line {line + 1}, plan.target"
    assert_as_loaded(draft)


# what is refused


REFUSED = [
    (Edit("set", "plan.nothing", "1"), "nothing at that key"),
    (Edit("set", "", "1"), "nothing at that key"),
    (Edit("set", "plan.sections[9].bottom", "1 m below sea bed"), "a list of 5 at that key"),
    (Edit("set", "plan.sections[x].bottom", "1 m"), "nothing at that key"),
    (Edit("set", "plan.sections", "1"), "a list"),
    (Edit("set", "plan.target.metres", "1"), "a single value at that key"),
    (Edit("set", "plan.fluids[new].density", "1 sg"), "nothing at that key"),
    (Edit("set", MUD, "1.3"), "the bare number 1.3"),
    (Edit("set", MUD, "1,3 sg"), "'1,3 sg' with a decimal comma"),
    (Edit("set", MUD, "heavy"), "'heavy'"),
    (Edit("set", MUD, "1.3 m"), "unit 'm'"),
    (Edit("set", MUD, ""), "''"),
    (Edit("set", MUD, "x" * 9000), "'xxx"),
    (Edit("set", "name", "x" * 20_000), "20000 characters"),
    (Edit("set", "name", "half \ud800"), "half of a character"),
    (Edit("set", "plan.target", "4950 m"), "'4950 m'"),
    (Edit("set", "plan.target", "4950 m below ground"), "'4950 m below ground'"),
    (Edit("set", "k" * 5000, "1"), "nothing at that key"),
    (Edit("set", "plan..target", "1"), "nothing at that key"),
    (Edit("remove", "plan.riser"), "nothing at that key"),
    (Edit("remove", "plan.sections[5]"), "nothing at that key"),
    (Edit("put", "plan.sections[5]", content={}), "nothing at that key"),
    (Edit("put", "", content={}), "nothing at that key"),
    (Edit("put", "plan.note", content=float("nan")), "nan"),
    (Edit("insert", "plan.sections", content={}), "the key 'plan.sections'"),
    (Edit("insert", "plan.sections[7]", content={}), "a list of 5"),
    (Edit("table", file="../x.csv", text="a"), "a file that the hole does not have"),
    (Edit("table", file="other.csv", text="a"), "a file that the hole does not have"),
    (Edit("cell", file="hole.yaml", row=0, column="x", text="1"), "no such table"),
    (Edit("cell", file="earth.csv", row=0, column="x", text="1"), "no column 'x'"),
    (Edit("cell", file="earth.csv", row=99, column="pore_pressure", text="1"), "no row 99"),
    (Edit("cell", file="earth.csv", row=-1, column="pore_pressure", text="1"), "no row -1"),
    (Edit("cell", file="earth.csv", row=3, column="pore_pressure", text="1,5"), "'1,5' with"),
    (Edit("cell", file="earth.csv", row=3, column="pore_pressure", text="x"), "'x'"),
    (Edit("cell", file="earth.csv", row=3, column="lithology", text="a\nb"), "'a\\nb'"),
]


@pytest.mark.parametrize(("edit", "found"), REFUSED, ids=[f"{e.op} {f}" for e, f in REFUSED])
def test_what_cannot_be_applied_is_refused(edit: Edit, found: str) -> None:
    with pytest.raises(InputErrors) as caught:
        MAIN.edited([edit])
    assert caught.value.faults[0].found.startswith(found)
    assert caught.value.faults[0].expected


def test_all_edits_of_a_gesture_or_none() -> None:
    with pytest.raises(InputErrors):
        MAIN.edited([Edit("set", "name", "Other"), Edit("set", MUD, "heavy")])
    assert MAIN.hole is not None
    assert MAIN.hole.name == "Tern Basin deep hole"


def test_the_gate_says_what_the_command_line_says(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(EXAMPLES / "main", tmp_path / "hole"))
    file = folder / "hole.yaml"
    file.write_text(file.read_text().replace("density: 1.285 sg", "density: 1.3"))
    with pytest.raises(InputErrors) as told:
        load_hole(folder)
    with pytest.raises(InputErrors) as refused:
        MAIN.edited([Edit("set", MUD, "1.3")])
    assert refused.value.faults == told.value.faults


ACCEPTED = [
    (Edit("set", "plan.sections[1].casing.shoe", "9000 m below sea bed"), "shoe"),
    (Edit("set", MUD, "-1 sg"), "density"),
    (Edit("set", "plan.sections[1].fluid", "no-such"), "fluid"),
    (Edit("set", "plan.sections[1].returns", "upwards"), "returns"),
    (Edit("remove", "plan.sections[1].bottom"), "bottom"),
    (Edit("cell", file="earth.csv", row=3, column="pore_pressure", text="-1"), "pore_pressure"),
    (Edit("table", file="earth.csv", text="nothing"), "earth.csv"),
    (Edit("table", file="hole.yaml", text="a: [1"), "hole.yaml"),
    (Edit("set", "site.earth", "other.csv"), "other.csv"),
    (Edit("set", "site.earth", "../other.csv"), "earth"),
]


@pytest.mark.parametrize(("edit", "where"), ACCEPTED, ids=[f"{e.op} {w}" for e, w in ACCEPTED])
def test_what_can_be_read_is_accepted_and_its_faults_shown(edit: Edit, where: str) -> None:
    draft = MAIN.edited([edit])
    assert draft.hole is None
    assert any(where in fault.where for fault in draft.faults)
    assert draft.faults == loaded(draft.files)[1]


def test_a_text_that_is_no_yaml_can_be_mended() -> None:
    broken = MAIN.edited([Edit("table", file="hole.yaml", text="a: [1")])
    with pytest.raises(InputErrors, match="not YAML"):
        broken.edited([Edit("set", MUD, "1.3 sg")])
    sound = broken.edited([Edit("table", file="hole.yaml", text=MAIN.files.texts["hole.yaml"])])
    assert sound.faults == ()
    assert MAIN.hole is not None
    assert sound.hole is not None
    assert sound.hole.vessel is MAIN.hole.vessel


# keys


@pytest.mark.parametrize("draft", [MAIN, SMALL], ids=["main", "riserless"])
def test_every_origin_is_a_key(draft: Draft) -> None:
    """A key is spelled as origins spell it, whatever the names in it."""
    assert draft.tree is not None
    for node, key in _nodes(draft.hole.document if draft.hole else None):
        for name in node.model_fields_set - _measured(node):
            path = path_of(f"{key}.{name}" if key else name, draft.tree)
            assert path in draft.tree.spans


def _measured(node: Node) -> set[str]:
    """Return the constants that follow from measurements: they are no keys of the document."""
    if not isinstance(node, MeasuredFluid):
        return set()
    given = [measured for measured in node.in_place_of if getattr(node, measured)]
    return {constant for measured in given for constant in node.in_place_of[measured]}


def _nodes(node: Any) -> list[tuple[Node, str]]:
    below: list[Any] = []
    if isinstance(node, Node):
        below = [getattr(node, name) for name in type(node).model_fields]
        return [(node, node._key), *(pair for child in below for pair in _nodes(child))]
    if isinstance(node, dict | tuple):
        below = list(node.values()) if isinstance(node, dict) else list(node)
    return [pair for child in below for pair in _nodes(child)]


@given(st.lists(st.text("ab.[]:0 ", min_size=1, max_size=5), min_size=1, max_size=3, unique=True))
def test_names_may_hold_what_keys_are_made_of(names: list[str]) -> None:
    lines = "".join(f'    "{name}": {{density: 1 sg}}\n' for name in names)
    tree = parse_tree(f"plan:\n  fluids:\n{lines}", "hole.yaml")
    for name in names:
        assert path_of(f"plan.fluids[{name}].density", tree) == ("plan", "fluids", name, "density")


# tables


def test_a_cell_changes_itself_alone() -> None:
    draft = MAIN.edited(
        [Edit("cell", file="earth.csv", row=3, column="pore_pressure", text="25.7")]
    )
    old, new = (d.files.texts["earth.csv"].splitlines() for d in (MAIN, draft))
    pairs = [(a, b) for a, b in zip(old, new, strict=True) if a != b]
    assert len(pairs) == 1
    assert draft.hole is not None
    assert draft.hole.earth.numbers["pore_pressure"][3] == pytest.approx(25.7e6)
    assert MAIN.hole is not None
    assert draft.hole.document is MAIN.hole.document
    assert draft.hole.sea is MAIN.hole.sea


CELLS = (
    (
        "a [m], b\r\n# c\r\n\r\n1 ,  x  \r\n2,y",
        0,
        "b",
        "z",
        "a [m], b\r\n# c\r\n\r\n1 ,  z  \r\n2,y",
    ),
    ("a [m],b\n1,x\n2,y\n", 1, "b", "p, q", 'a [m],b\n1,x\n2,"p, q"\n'),
    ('a [m],b,c\n1,"x, ""y""",z\n', 0, "c", "w", 'a [m],b,c\n1,"x, ""y""",w\n'),
    ('a [m],b,c\n1,"x, ""y""",z\n', 0, "b", "w", "a [m],b,c\n1,w,z\n"),
    ("\ufeffa [m],b\n1,\n", 0, "b", "w", "\ufeffa [m],b\n1,w\n"),
)


@pytest.mark.parametrize(("text", "row", "column", "new", "wanted"), CELLS)
def test_cells_of_any_layout(text: str, row: int, column: str, new: str, wanted: str) -> None:
    assert set_cell(text, "t.csv", row, column, new) == wanted


def test_a_row_put_between_two_says_what_the_table_said_there_already() -> None:
    draft = MAIN.edited([Edit("insert-row", file="earth.csv", row=4)])
    assert draft.hole is not None
    assert MAIN.hole is not None
    before, after = MAIN.hole.earth, draft.hole.earth
    assert len(after.depths) == len(before.depths) + 1
    assert after.depths[4] == pytest.approx(0.5 * (before.depths[3] + before.depths[4]))
    for column, numbers in after.numbers.items():
        if before.has(column):
            assert before.at(column, after.depths) == pytest.approx(numbers, nan_ok=True)
    for depth in after.depths:
        assert after.word_at("lithology", depth) == before.word_at("lithology", depth)
    back = draft.edited([Edit("remove-row", file="earth.csv", row=4)])
    assert back.files.texts == MAIN.files.texts


ROWS = (
    ("d [m],a\n0,1\n10,3\n", 1, "d [m],a\n0,1\n5,2\n10,3\n"),
    ("d [m],a\n0,1\n10,3\n", 2, "d [m],a\n0,1\n10,3\n20,3\n"),
    ("d [m],a\n0,1\n10,3", 2, "d [m],a\n0,1\n10,3\n20,3"),
    ("# c\r\nd [m], w\r\n0, x\r\n\r\n# c\r\n8, y\r\n", 1,
     "# c\r\nd [m], w\r\n0, x\r\n4,x\r\n\r\n# c\r\n8, y\r\n"),
    ('d [m],w\n0,"x, y"\n8,z\n', 1, 'd [m],w\n0,"x, y"\n4,"x, y"\n8,z\n'),
    ("d [m],azimuth [deg]\n0,350\n8,10\n", 1, "d [m],azimuth [deg]\n0,350\n4,350\n8,10\n"),
)  # fmt: skip


@pytest.mark.parametrize(("text", "row", "wanted"), ROWS)
def test_rows_of_any_layout(text: str, row: int, wanted: str) -> None:
    assert insert_row(text, "t.csv", row) == wanted
    assert remove_row(wanted, "t.csv", row) == text


@pytest.mark.parametrize(
    ("text", "row", "said"),
    [
        ("d [m],a\n0,1\n10,3\n", 0, "a row from 1 to 2"),
        ("d [m],a\n0,1\n10,3\n", 3, "a row from 1 to 2"),
        ("d [m],a\n0,1\n", 1, "no place"),
        ("", 1, "no place"),
        ("d [m],a\n0\n10,3\n", 1, "another layout"),
        ("d [m],a\n0,1\n,3\n", 1, ""),
    ],
)
def test_rows_that_have_no_place_are_refused(text: str, row: int, said: str) -> None:
    if said:
        with pytest.raises(InputErrors, match=said):
            insert_row(text, "t.csv", row)
    else:  # a gap is no number: the cell above is taken, and the table's own faults tell
        assert insert_row(text, "t.csv", row) == "d [m],a\n0,1\n0,2\n,3\n"


@pytest.mark.parametrize("row", [-1, 99])
def test_rows_that_are_not_there_cannot_be_taken_out(row: int) -> None:
    with pytest.raises(InputErrors, match=f"no row {row}"):
        MAIN.edited([Edit("remove-row", file="earth.csv", row=row)])
    with pytest.raises(InputErrors, match="no such table"):
        MAIN.edited([Edit("remove-row", file="hole.yaml", row=1)])


def test_a_hole_is_given_a_survey_and_taken_it_away_again() -> None:
    told = no_survey(MAIN.hole)
    begun = MAIN.edited(
        [
            Edit("set", "site.survey", told.file),
            Edit("table", file=told.file, text=told.beginning),
        ]
    )
    assert begun.hole is not None, begun.faults
    assert begun.hole.survey is not None
    assert begun.hole.survey.depths[-1] == pytest.approx(4950.0)
    shown = table_text(begun.files.texts[told.file], told.file, "survey")
    assert [column.name for column in shown.columns] == list(SURVEY_COLUMNS)
    assert shown.absent == ()
    assert all(column.known for column in shown.columns)
    bent = begun.edited([Edit("cell", file=told.file, row=1, column="inclination", text="2")])
    assert bent.hole is not None
    left = bent.edited([Edit("remove", "site.survey")])
    assert left.hole is not None
    assert left.hole.survey is None


# on the disk


def test_marks_and_breaks_survive_the_disk(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(EXAMPLES / "main", tmp_path / "hole"))
    for file in ("hole.yaml", "sea.csv"):
        text = (folder / file).read_text().replace("\n", "\r\n")
        (folder / file).write_bytes(("\ufeff" + text).encode())
    before = read_draft(folder)
    assert before.faults == ()
    after = before.edited([Edit("set", MUD, "1.29 sg")])
    write_files(folder, after.files, before.files)
    old, new = (d.files.texts["hole.yaml"] for d in (before, after))
    assert (folder / "hole.yaml").read_bytes() == new.encode()
    assert new == old.replace("1.285 sg", "1.29 sg")
    assert read_draft(folder).files == after.files


def test_nothing_is_written_over_what_was_changed_outside(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(EXAMPLES / "main", tmp_path / "hole"))
    draft = read_draft(folder)
    after = draft.edited([Edit("set", MUD, "1.29 sg")])
    (folder / "sea.csv").write_text("mine")
    before = {file.name: file.read_bytes() for file in folder.iterdir()}
    with pytest.raises(InputErrors, match="other content than it was left with"):
        write_files(folder, after.files, draft.files)
    (folder / "sea.csv").unlink()
    with pytest.raises(InputErrors, match="no such file"):
        write_files(folder, after.files, draft.files)
    (folder / "sea.csv").write_bytes(before["sea.csv"])
    with pytest.raises(InputErrors, match="no such file yet"):
        write_files(folder, after.files, HoleFiles({}))
    assert {file.name: file.read_bytes() for file in folder.iterdir()} == before


@pytest.mark.parametrize("name", ["../x", "a/b", "", "..", "a\\b", "a\x00b"])
def test_no_file_is_written_outside_the_folder(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputErrors, match="the name of a file beside"):
        write_files(tmp_path, HoleFiles({"hole.yaml": "a", name: "b"}), HoleFiles({}))
    assert list(tmp_path.iterdir()) == []


def test_a_disk_that_refuses_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    folder = Path(shutil.copytree(EXAMPLES / "main", tmp_path / "hole"))
    draft = read_draft(folder)
    before = {file.name: file.read_bytes() for file in folder.iterdir()}
    monkeypatch.setattr("bathybore.model.hole_files.os.fsync", full)
    with pytest.raises(InputErrors, match="No space left on device"):
        write_files(folder, draft.edited([Edit("set", MUD, "1.3 sg")]).files, draft.files)
    assert {file.name: file.read_bytes() for file in folder.iterdir()} == before


def test_a_table_that_is_no_text_is_told_until_it_is_replaced(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(EXAMPLES / "main", tmp_path / "hole"))
    (folder / "sea.csv").write_bytes(b"\xff\xfe\x00")
    draft = read_draft(folder)
    with pytest.raises(InputErrors) as told:
        load_hole(folder)
    assert draft.faults == told.value.faults
    assert "sea.csv" not in draft.files.texts
    again = draft.edited([Edit("set", MUD, "1.29 sg")])
    assert again.faults == told.value.faults
    sound = again.edited([Edit("table", file="sea.csv", text=MAIN.files.texts["sea.csv"])])
    assert sound.faults == ()


def whole(draft: Draft) -> Hole:
    assert draft.hole is not None
    return draft.hole


def test_what_is_taken_back_is_what_was_there() -> None:
    """So that what was worked out of it is still known."""
    main = read_draft(EXAMPLES / "main")  # just now: not everything is known for ever
    there = main.edited([Edit("set", MUD, "1.30 sg")])
    back = there.edited([Edit("set", MUD, "1.285 sg")])
    again = back.edited([Edit("set", MUD, "1.30 sg")])
    assert whole(there).plan is not whole(main).plan
    assert whole(back).plan.fluids["mud-2"] is whole(main).plan.fluids["mud-2"]
    assert whole(back).document is whole(main).document
    assert whole(again).document is whole(there).document


def test_what_says_the_same_elsewhere_is_another() -> None:
    """A node knows the line where it stands: moved down by one it is not the one that was there."""
    text = MAIN.files.texts["hole.yaml"]
    moved = MAIN.edited([Edit("table", file="hole.yaml", text="# invented\n" + text)])
    here, there = (whole(one).plan.fluids["mud-2"] for one in (MAIN, moved))
    assert there is not here
    assert there._lines == {name: line + 1 for name, line in here._lines.items()}
