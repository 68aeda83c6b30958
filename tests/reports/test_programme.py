"""The programme: whole, the same twice, complete, honest on its first page, deaf to markup."""

from __future__ import annotations

import json
import re
from dataclasses import asdict, replace
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path

import pytest
import typst

from bathybore.base.errors import InputErrors
from bathybore.base.registry import equations
from bathybore.checks.record import Status
from bathybore.kernels import load_all
from bathybore.model.editing import read_draft
from bathybore.reports.blocks import CheckWorkings, Document, Drawing, Table, Verdict
from bathybore.reports.files import write_whole
from bathybore.reports.page import page, words
from bathybore.reports.programme import Source, programme, write_programme
from bathybore.reports.typeset import anchors, formula_pictures, pdf
from bathybore.reports.words import SIGN, STANDING_CAUTIONS, WHO_DECIDES
from bathybore.usecases.walking import Walk
from varied import EXAMPLES, judged_as, left_undrawn


@pytest.fixture(scope="module")
def document(example: Walk) -> Document:
    with left_undrawn():
        return programme(example)


@pytest.fixture(scope="module", params=["short", pytest.param("whole", marks=pytest.mark.soak)])
def drawn(request: pytest.FixtureRequest, example: Walk, short_document: Document) -> str:
    """Return a page with its pictures: of the small hole's first steps, and of the main hole."""
    return page(short_document if request.param == "short" else programme(example))


@pytest.fixture(scope="module")
def html(document: Document) -> str:
    return page(document)


def on_paper(document: Document) -> list[tuple[int, str]]:
    """Return (page, text) of every heading as the typesetter placed it."""
    data = asdict(document) | {"anchors": anchors(document), "signs": SIGN}
    template = files("bathybore.reports").joinpath("programme.typ").read_text(encoding="utf-8")
    asked = """
#let plain(it) = {
  if type(it) == str { it }
  else if it.has("text") { plain(it.text) }
  else if it.has("children") { it.children.map(plain).join("") }
  else if it.has("child") { plain(it.child) }
  else if it.has("body") { plain(it.body) }
  else { "" }
}
#context for it in query(heading) [#metadata((it.location().page(), plain(it.body))) <where>]
"""
    answer = typst.query(
        (template + asked).encode(),
        "<where>",
        field="value",
        ignore_system_fonts=True,
        sys_inputs={"document": json.dumps(data)},
    )
    return [(place, (text or "").replace("\u200b", "")) for place, text in json.loads(answer)]


class Outline(HTMLParser):
    """What a page is made of, as far as these tests ask."""

    EMPTY = frozenset(("meta", "br", "wbr"))

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]


# -- files -----------------------------------------------------------------------------------


@pytest.mark.usefixtures("undrawn")  # that pictures are the same is asked where they are drawn
def test_both_files_are_written_and_the_same_walk_gives_the_same_bytes(
    short: Walk, tmp_path: Path
) -> None:
    first = write_programme(short, tmp_path / "one")
    second = write_programme(short, tmp_path / "two")
    assert [path.name for path in first] == ["programme.pdf", "programme.html"]
    for one, two in zip(first, second, strict=True):
        assert one.read_bytes() == two.read_bytes()
    assert first[0].read_bytes().startswith(b"%PDF-")
    assert sorted(p.name for p in (tmp_path / "one").iterdir()) == [
        "programme.html",
        "programme.pdf",
    ]


def test_a_file_that_cannot_be_finished_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "programme.html"
    target.write_bytes(b"old")

    def refuse(self: Path, other: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(InputErrors, match="No space left on device"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [target]


def test_a_folder_that_is_a_file_is_an_error_of_the_users(short: Walk, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("x")
    with pytest.raises(InputErrors):
        write_whole(tmp_path / "out" / "programme.pdf", b"x")


# -- completeness ----------------------------------------------------------------------------


def opened(document: Document) -> list[str]:
    return [
        block.id
        for chapter in document.chapters
        for block in chapter.blocks
        if isinstance(block, CheckWorkings)
    ]


def test_every_check_stands_in_the_ledger(example: Walk, document: Document, html: str) -> None:
    ids = [record.id for record in example.records]
    (checks,) = (c for c in document.chapters if c.title == "Ledger of checks")
    listed = [row[0] for b in checks.blocks if isinstance(b, Table) for row in b.rows]
    assert sorted(listed) == sorted(ids)
    for id_ in ids:
        assert words(id_).replace("/", "/<wbr>") in html


def test_the_appendix_opens_every_question_where_it_is_closest(
    example: Walk, document: Document
) -> None:
    """No question is left shut, none is opened twice without a reason, the walk's order is kept."""
    shown = opened(document)
    by_id = {record.id: record for record in example.records}
    assert shown == [id_ for id_ in by_id if id_ in set(shown)]
    for name in {record.name for record in example.records}:
        of_name = [record for record in example.records if record.name == name]
        there = [by_id[id_] for id_ in shown if by_id[id_].name == name]
        least = min((r.margin for r in of_name if r.margin is not None), default=None)
        assert least is None or least in {r.margin for r in there}
        assert there
        assert len([r for r in there if r.status is Status.HOLDS]) <= 1
        assert all(r in there for r in of_name if r.status is not Status.HOLDS)


@pytest.mark.usefixtures("undrawn")
def test_every_check_has_its_heading_on_paper_where_asked_for(short: Walk) -> None:
    document = programme(short, every_working=True)
    assert opened(document) == [record.id for record in short.records]
    placed = [text for _, text in on_paper(document)]
    for record in short.records:
        assert any(text.startswith(record.id) for text in placed)


def test_every_chapter_that_a_programme_needs_is_there(document: Document) -> None:
    titles = " | ".join(chapter.title for chapter in document.chapters)
    for needed in (
        "Site",
        "Window",
        "The hole",
        "Sections",
        "Diameter budget",
        "Steel",
        "Drill string",
        "Steps and times",
        "Consumables",
        "Barriers",
        "Ledger of checks",
        "Limits of the vessel",
        "Design basis",
        "Cautions",
        "Sign-off",
        "workings",
        "Sources",
    ):
        assert needed in titles


def test_every_working_is_numbered_once_and_every_number_named_exists(document: Document) -> None:
    seen: set[int] = set()
    for chapter in document.chapters:
        for block in chapter.blocks:
            if not isinstance(block, CheckWorkings):
                continue
            assert set(block.earlier) <= seen
            for line in block.workings:
                assert line.number not in seen
                named = {term.working for term in line.terms if term.working is not None}
                assert named <= seen
                seen.add(line.number)
    assert seen == set(range(1, len(seen) + 1))


def test_a_workings_numbers_are_those_of_the_record(example: Walk, document: Document) -> None:
    """The number that decides stands in the workings of its check, from the registry's formula."""
    blocks = {b.id: b for c in document.chapters for b in c.blocks if isinstance(b, CheckWorkings)}
    records = {record.id: record for record in example.records}
    for id_, block in blocks.items():
        record = records[id_]
        assert block.verdict == str(record.status)
        for line in block.workings:
            if line.equation:
                assert line.formula == equations()[line.equation].formula


def test_cautions_are_all_said_and_notes_where_a_check_is_opened(
    example: Walk, document: Document, html: str
) -> None:
    for caution in {record.caution for record in example.records if record.caution}:
        assert words(caution) in html
    shown = set(opened(document))
    for note in {record.note for record in example.records if record.id in shown and record.note}:
        assert words(note) in html
    for caution in (*STANDING_CAUTIONS, WHO_DECIDES):
        assert words(caution) in html


@pytest.mark.usefixtures("undrawn")
def test_the_mark_of_invented_data_stands_only_where_the_document_says_so(
    short: Walk, short_document: Document
) -> None:
    assert "Invented" in short_document.mark
    real = short.hole.document.model_copy(update={"invented": False})
    assert programme(replace(short, hole=replace(short.hole, document=real))).mark == ""


@pytest.mark.usefixtures("undrawn")
def test_oilfield_units_reach_every_table(short: Walk) -> None:
    text = page(programme(short, "oilfield"))
    for unit in (" ft", " psi", " ppg", " gpm", " bbl", " klbf"):
        assert unit in text
    chapters = text[: text.index("Design basis</h2>")]  # whose notes quote their sources' units
    assert " MPa" not in chapters
    assert " L/min" not in chapters


# -- the verdict -----------------------------------------------------------------------------


@pytest.mark.usefixtures("undrawn")
def test_a_failing_walk_says_so_on_the_first_page(failing: Walk) -> None:
    document = programme(failing)
    (said,) = (block for block in document.front if isinstance(block, Verdict))
    broken = failing.records[5].id
    assert not said.passes
    assert "does not hold" in said.sentence
    assert any("First to fail" in more and broken in more for more in said.more)
    stops = next(block for block in document.front if isinstance(block, Table))
    assert "stops the hole" in stops.caption
    assert stops.rows[0][0] == broken
    assert stops.rows[0][-1] == "fails"
    placed = on_paper(document)
    assert (1, stops.caption) in placed
    assert next(where for where, text in placed if text == "Contents") == 2
    text = page(document)
    assert text.index("does not hold") < text.index('aria-label="Contents"')


@pytest.mark.usefixtures("undrawn")
def test_checks_not_judged_are_no_pass_and_stand_on_the_first_page(short: Walk) -> None:
    open_ = replace(
        short.records[0], status=Status.NOT_JUDGED, demand=None, capacity=None, margin=None
    )
    document = programme(judged_as(short, (open_, *short.records[1:4])))
    (said,) = (block for block in document.front if isinstance(block, Verdict))
    assert not said.passes
    assert "not shown to hold" in said.sentence
    stops = next(block for block in document.front if isinstance(block, Table))
    assert stops.rows[0][0] == open_.id


@pytest.mark.usefixtures("undrawn")
def test_a_walk_without_checks_is_not_a_pass(short: Walk) -> None:
    document = programme(judged_as(short, ()))
    (said,) = (block for block in document.front if isinstance(block, Verdict))
    assert not said.passes
    assert pdf(document).startswith(b"%PDF-")
    assert "not a pass" in page(document)


# -- text is text ----------------------------------------------------------------------------


def test_markup_in_names_stays_text_on_the_page(hostile: Walk, hostile_document: Document) -> None:
    text = page(hostile_document)
    assert "<script" not in text
    assert words(hostile.hole.name) in text
    assert words("#m$1<b>") in text
    assert "<b>" not in text
    assert "<i>" not in text
    Outline(text)


def test_markup_in_names_stays_text_on_paper(hostile: Walk, hostile_document: Document) -> None:
    assert pdf(hostile_document).startswith(b"%PDF-")
    assert hostile.hole.name in [text for _, text in on_paper(hostile_document)]


# -- the page --------------------------------------------------------------------------------


def test_the_page_asks_nothing_of_the_network(drawn: str) -> None:
    outline = Outline(drawn)
    names = {tag for tag, _ in outline.tags}
    assert not names & {"script", "link", "img", "iframe", "object", "embed", "base"}
    for _, attributes in outline.tags:
        assert "src" not in attributes
        assert (attributes.get("href") or "#").startswith("#")
    style = drawn[drawn.index("<style>") : drawn.index("</style>")]
    assert "url(" not in style
    assert "@import" not in style


def test_the_page_is_well_formed_and_every_reference_leads_somewhere(drawn: str) -> None:
    outline = Outline(drawn)
    assert not outline.open
    ids = [attributes["id"] for _, attributes in outline.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    targets = {
        str(attributes["href"])[1:] for _, attributes in outline.tags if "href" in attributes
    }
    used = set(re.findall(r"url\(#([^)]+)\)", drawn))
    assert targets | used <= set(ids)


def test_the_page_reads_well_without_eyes(document: Document, html: str) -> None:
    outline = Outline(html)
    assert len(outline.all("h1")) == 1
    assert {"header", "main", "nav", "footer"} <= {tag for tag, _ in outline.tags}
    assert len(outline.all("table")) == len(outline.all("caption"))
    assert all(attributes.get("scope") in ("col", "row") for attributes in outline.all("th"))
    for attributes in outline.all("svg"):
        hidden = attributes.get("aria-hidden") == "true"
        assert hidden or (attributes.get("role") == "img" and attributes.get("aria-label"))
    pictures = [b.picture for c in document.chapters for b in c.blocks if isinstance(b, Drawing)]
    strings = sum(picture.title.endswith("what the string bears") for picture in pictures)
    assert len(pictures) >= 5 + strings
    assert strings > 0
    labels = {attributes.get("aria-label") for attributes in outline.all("svg")}
    assert {picture.alt for picture in pictures} <= labels


def test_every_formula_of_the_registry_can_be_typeset() -> None:
    load_all()
    formulas = tuple(equation.formula for equation in equations().values())
    pictures = formula_pictures(formulas)
    assert len(pictures) == len(formulas)
    assert all(picture.startswith("<svg") for picture in pictures)
    assert formula_pictures(()) == ()


@pytest.mark.soak
def test_a_whole_programme_is_typeset(example: Walk) -> None:
    assert pdf(programme(example)).startswith(b"%PDF-")


@pytest.mark.soak
def test_where_the_files_are_at_hand_prognosis_and_alternatives_are_chapters(example: Walk) -> None:
    folder, begun = EXAMPLES / "main", replace(example, states=example.states[:4])
    whole = programme(begun, source=Source(read_draft(folder), folder))
    chapters = {chapter.title: chapter for chapter in whole.chapters}
    tables = {
        block.caption: block
        for title in ("Prognosis", "Alternatives")
        for block in chapters[title].blocks
        if isinstance(block, Table)
    }
    assert len(tables["Curves, each with one standard deviation"].rows) > 10
    assert len(tables["Architectures"].rows) > 1
    without = {chapter.title for chapter in programme(begun).chapters}
    assert {"Prognosis", "Alternatives"}.isdisjoint(without)
