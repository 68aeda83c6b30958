"""Changes of a YAML text: what they give is what was meant, and nothing else moves."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from bathybore.base.errors import InputErrors
from bathybore.model.yaml_splicing import Written, insert, put, remove, same, set_scalar
from bathybore.model.yaml_tree import Path, parse_tree
from bathybore.model.yaml_writing import AsTyped, in_block, plain_content, value_of

LAYOUTS = """# head
name: Plain words     # why
quoted: "a: b"
single: 'it''s'
folded: >
  two lines
  of text

# between
nothing:
nothing-said:   # still nothing
flow: {a: 1, b: {c: 2, d: }, e: [x, y, {f: z}]}   # flow
wide: [
  1,   # one
  2
]
block:
  # above
  first: 1 m     # beside
  second:
    deep: 2
  last: {x: 1}
list:
  - name: one
    size: 3
  # before two
  - name: two      # two
    size: 4

  - {name: three, size: 5}
words:
- a
- - b
  - c
lone:
  only: 1
  # tail
end: last"""
DOCUMENTS = {
    "spaced": LAYOUTS + "\n",
    "no break at the end": LAYOUTS,
    "carriage returns": (LAYOUTS + "\n").replace("\n", "\r\n"),
    "marked": "\ufeff" + LAYOUTS + "\n",
}
SIGNS = "ab 1.-:#'\"\\,[]{}&*!|>%@`~?\n\r\t\x85\u2028\u00a0\ufeff\x00\x1b"
MEANT = ("", "true", "null", "~", "1", "-1.5", "1e3", "0x1f", "1_000", ".inf", "9" * 60)
AWKWARD = ("---", "...", "- a", "? a", "a: b", "a #b", "#", "a:", " a", "a ", "=", "<<", "😀", "%")
written_texts = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=30),
    st.text(alphabet=SIGNS, max_size=12),
    st.sampled_from((*MEANT, *AWKWARD)),
)
json = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-(10**6), 10**6), written_texts)
    | st.floats(-1e6, 1e6),
    lambda below: (
        st.lists(below, max_size=3) | st.dictionaries(written_texts.filter(bool), below, max_size=3)
    ),
    max_leaves=6,
)


def document(name: str) -> Written:
    text = DOCUMENTS[name]
    return Written(text, parse_tree(text, "hole.yaml"))


SCALARS = tuple(document("spaced").tree.written)
PATHS = tuple(path for path in document("spaced").tree.spans if path)
named = st.sampled_from(tuple(DOCUMENTS))


def reads_back(written: Written) -> None:
    """The tree that was moved along is the tree of the text, to the last mark."""
    assert written.tree == parse_tree(written.text, "hole.yaml")


@settings(deadline=None)
@given(named, st.sampled_from(SCALARS), written_texts, st.booleans())
def test_a_scalar_reads_back_as_it_was_typed(
    name: str, path: Path, text: str, is_text: bool
) -> None:
    before = document(name)
    after = set_scalar(before, path, AsTyped(text, is_text))
    reads_back(after)
    assert after.tree.written[path] == text
    assert is_text <= isinstance(after.tree.at(path), str)
    others = {p: t for p, t in after.tree.written.items() if p != path}
    assert others == {p: t for p, t in before.tree.written.items() if p != path}
    start, end = before.span(path)[:2]
    behind = before.text[end:]
    assert after.text.startswith(before.text[:start])
    assert after.text.endswith(behind) or before.span(path).style == ">"


@settings(deadline=None)
@given(named, st.sampled_from(SCALARS), written_texts)
def test_setting_back_gives_the_same_bytes(name: str, path: Path, text: str) -> None:
    before = document(name)
    old = before.tree.written[path]
    plain = before.span(path).style == "" and before.span(path).start < before.span(path).end
    assume(plain)
    there = set_scalar(before, path, AsTyped(text))
    back = set_scalar(there, path, AsTyped(old))
    assert back.text == before.text
    assert back.tree == before.tree


@settings(deadline=None)
@given(named, st.sampled_from(PATHS), json)
@example("spaced", ("list", 0), {"name": "other"})
def test_a_block_put_is_the_block_read(name: str, path: Path, content: Any) -> None:
    before = document(name)
    content = plain_content(content, "")
    assume(not _too_much(content))
    after = put(before, path, content)
    reads_back(after)
    assert same(after.tree.at(path), value_of(content))
    assert_kept(before, after, path)


MAPPINGS = tuple(path for path in PATHS if isinstance(document("spaced").tree.at(path), dict))


@settings(deadline=None)
@given(named, st.sampled_from(MAPPINGS), written_texts.filter(bool), json)
def test_a_key_is_added_beside_the_others(name: str, path: Path, key: str, content: Any) -> None:
    before = document(name)
    assume(key not in before.tree.at(path))
    content = plain_content(content, "")
    assume(not _too_much({key: content}))
    after = put(before, (*path, key), content)
    reads_back(after)
    assert same(after.tree.at((*path, key)), value_of(content))
    assert_kept(before, after, (*path, key))


LISTS = tuple(path for path in PATHS if isinstance(document("spaced").tree.at(path), tuple))


@settings(deadline=None)
@given(named, st.sampled_from(LISTS), st.integers(0, 4), json)
def test_an_item_is_inserted_where_it_is_asked_for(
    name: str, path: Path, index: int, content: Any
) -> None:
    before = document(name)
    items = before.tree.at(path)
    assume(index <= len(items))
    content = plain_content(content, "")
    assume(not _too_much(content))
    after = insert(before, (*path, index), content)
    reads_back(after)
    wanted = (*items[:index], value_of(content), *items[index:])
    assert same(after.tree.at(path), wanted)
    assert_comments_kept(after)


@pytest.mark.parametrize("name", DOCUMENTS)
@pytest.mark.parametrize("path", PATHS, ids=str)
def test_anything_can_be_taken_out(name: str, path: Path) -> None:
    before = document(name)
    after = remove(before, path)
    reads_back(after)
    owner, left = before.tree.at(path[:-1]), after.tree.at(path[:-1])
    if isinstance(owner, dict):
        assert same(left, {key: value for key, value in owner.items() if key != path[-1]})
    else:
        number = path[-1]
        assert isinstance(number, int)
        assert same(left, (*owner[:number], *owner[number + 1 :]))


def assert_kept(before: Written, after: Written, path: Path) -> None:
    """Nothing but what stands at a path, and what holds it, says something else."""
    for other, text in before.tree.written.items():
        if other[: len(path)] != path:
            assert after.tree.written[other] == text
    if path != ("list",):
        assert "# before two" in after.text
    assert_comments_kept(after)


def assert_comments_kept(after: Written) -> None:
    for comment in ("# head", "# why", "# between", "# flow", "# tail"):
        assert comment in after.text


def _too_much(content: Any) -> bool:
    """Return whether the document could not hold a content in any layout."""
    return len(in_block(content, 0)) > 3000


def test_what_no_layout_can_hold_is_refused() -> None:
    before = document("spaced")
    for content in (["x" * 20_000], {"k" * 101: 1}, {"": 1}):
        with pytest.raises(InputErrors):
            put(before, ("block", "first"), plain_content(content, ""))
    for wrong in (float("nan"), {1: 2}, {"a": {1, 2}}, [object()], b"x"):
        with pytest.raises(InputErrors):
            plain_content(wrong, "here")
    deep: Any = 1
    for _ in range(5000):
        deep = [deep]
    with pytest.raises(InputErrors, match="levels"):
        plain_content(deep, "here")


def test_an_odd_layout_is_left_alone() -> None:
    text = "? odd # a: b\n: 1\nb: 2\n"
    written = Written(text, parse_tree(text, "hole.yaml"))
    with pytest.raises(InputErrors, match="a layout in which this edit cannot be made"):
        put(written, ("odd",), {"a": "c" * 200})


EXAMPLES = (
    (("block", "first"), "2 m", "  first: 2 m     # beside\n"),
    (("flow", "b", "d"), "x", "flow: {a: 1, b: {c: 2, d: x }, e: [x, y, {f: z}]}   # flow\n"),
    (("nothing",), "a", "nothing: a\n"),
    (("nothing-said",), "a", "nothing-said: a   # still nothing\n"),
    (("name",), "Say: so", 'name: "Say: so"     # why\n'),
    (("list", 1, "size"), "5", "    size: 5\n"),
)


@pytest.mark.parametrize(("path", "text", "line"), EXAMPLES, ids=[str(e[0]) for e in EXAMPLES])
def test_only_the_line_changes(path: Path, text: str, line: str) -> None:
    before = document("spaced")
    after = set_scalar(before, path, AsTyped(text))
    old, new = before.text.splitlines(True), after.text.splitlines(True)
    assert len(old) == len(new)
    assert [b for a, b in zip(old, new, strict=True) if a != b] == [line]


def test_layouts_a_user_would_choose() -> None:
    before = document("spaced")
    text = put(before, ("block", "third"), "3 m").text
    assert "  last: {x: 1}\n  third: 3 m\nlist:\n" in text
    text = insert(before, ("list", 1), {"name": "new", "size": 1}).text
    assert "    size: 3\n  - name: new\n    size: 1\n  # before two\n  - name: two" in text
    text = put(before, ("block", "second"), {"deep": 3, "list": ({"a": "1 m"}, {"a": "2 m"})}).text
    assert "  second:\n    deep: 3\n    list:\n      - a: 1 m\n      - a: 2 m\n  last:" in text
    text = remove(before, ("list", 0, "name")).text
    assert "list:\n  - size: 3\n" in text
    text = remove(before, ("lone", "only")).text
    assert "lone: {}\n  # tail\nend: last\n" in text
