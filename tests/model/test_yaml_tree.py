"""The strict part of YAML: what is refused, what plain words mean, and what an attack costs."""

from __future__ import annotations

import time

import pytest

from bathybore.base.errors import InputErrors
from bathybore.model.yaml_tree import parse_tree

REFUSED = [
    ("alias", "a: 1\nb: *x\n", 2, "the reference '*x'"),
    ("anchor", "a: 1\nb: &x 2\n", 2, "the anchor '&x'"),
    ("anchor on a block", "a: &x\n  b: 1\n", 1, "the anchor '&x'"),
    ("tag", "a: !!python/object/apply:os.system [ls]\n", 1, "the tag "),
    ("plain tag", "a: !!str 1\n", 1, "the tag "),
    ("two documents", "a: 1\n---\nb: 2\n", 2, "a second document (---)"),
    ("directive", "%YAML 1.1\n---\na: 1\n", 2, "a directive"),
    ("key twice", "a: 1\nb: 2\na: 3\n", 3, "the key 'a' a second time"),
    ("key twice deeper", "a:\n  b: 1\n  c: 2\n  b: 3\n", 4, "the key 'b' a second time"),
    ("nesting", "a: " + "[" * 41 + "]" * 41, 1, "more than 40 levels of nesting"),
    ("tab", "a:\n\tb: 1\n", 2, "a tab"),
    ("not a number", "a: 1\nb: .nan\n", 2, "'.nan'"),
    ("infinity", "a: -.Inf\n", 1, "'-.Inf'"),
    ("number of 5000 digits", "a: " + "9" * 5000, 1, "'9999"),
    ("list on top", "- 1\n- 2\n", 1, "a list"),
    ("word on top", "hello\n", 1, "'hello' alone"),
    ("list as key", "? [a, b]\n: c\n", 1, "a list or block as a key"),
    ("empty key", "a: 1\n: 2\n", 2, "the key ''"),
    ("endless key", "a: 1\n" + "k" * 101 + ": 2\n", 2, "the key 'kkk"),
    ("open quote", "a: 1\nb: 'abc\nc: 2\n", 2, "text that is not YAML"),
    ("open bracket", "a: 1\nb: [1, 2\nc: 2\n", 3, "text that is not YAML"),
    ("colon in a value", "a: 1\nb: c: d\n", 2, "text that is not YAML"),
    ("wrong indentation", "a: 1\n  b: 2\n", 2, "text that is not YAML"),
    ("indicator", "a: 1\nb: @x\n", 2, "text that is not YAML"),
    ("control character", "a: 1\nb: \x01\n", 2, "text that is not YAML"),
    ("long line", "a: 1\nb: " + "x" * 10_000, 2, "a line of 10003 characters"),
]


@pytest.mark.parametrize(
    ("text", "line", "found"), [row[1:] for row in REFUSED], ids=[row[0] for row in REFUSED]
)
def test_refused_with_its_line(text: str, line: int, found: str) -> None:
    with pytest.raises(InputErrors) as caught:
        parse_tree(text, "hole.yaml")
    fault = caught.value.faults[-1]
    assert fault.where.startswith(f"hole.yaml, line {line}")
    assert not fault.where.startswith(f"hole.yaml, line {line}0")
    assert fault.found.startswith(found)
    assert fault.expected


def test_nothing_but_comments_is_refused() -> None:
    with pytest.raises(InputErrors, match="a file without content"):
        parse_tree("# only this\n", "hole.yaml")


def test_plain_words_follow_yaml_1_2() -> None:
    text = """
a: no
b: yes
c: on
d: 12:30
e: 017
f: 0o17
g: 0x1f
h: 1e3
i: ~
j:
k: true
l: 'true'
m: -1.5
n: 1_000
o: .5
p: 2001-01-01
"""
    # expectations from the core schema, YAML 1.2.2, section 10.3.2
    assert parse_tree(text, "f").content == {
        "a": "no",
        "b": "yes",
        "c": "on",
        "d": "12:30",
        "e": 17,
        "f": 15,
        "g": 31,
        "h": 1000.0,
        "i": None,
        "j": None,
        "k": True,
        "l": "true",
        "m": -1.5,
        "n": "1_000",
        "o": 0.5,
        "p": "2001-01-01",
    }


def test_merge_keys_are_plain_keys() -> None:
    assert parse_tree("<<: {a: 1}\n", "f").content == {"<<": {"a": 1}}


def test_lines_and_written_text() -> None:
    tree = parse_tree("# note\na:\n  - b: 1.50\n    c: [x,\n      y]\n  - 2\n", "f")
    assert tree.lines == {
        (): 2,
        ("a",): 2,
        ("a", 0): 3,
        ("a", 0, "b"): 3,
        ("a", 0, "c"): 4,
        ("a", 0, "c", 0): 4,
        ("a", 0, "c", 1): 5,
        ("a", 1): 6,
    }
    assert tree.written["a", 0, "b"] == "1.50"
    assert tree.content == {"a": ({"b": 1.5, "c": ("x", "y")}, 2)}


N = 60_000
ATTACKS = {
    "references": "a: &a [x]\n" + "".join(f"b{n}: &b{n} [*a, *a]\n" for n in range(N)),
    "brackets": "a: " + "[" * N,
    "braces": "a: " + "{b: " * N,
    "brackets on lines": "a:\n" + " [\n" * N,
    "dashes": "a:\n " + "- " * N,
    "question marks": "? " * N,
    "documents": "---\n" * N,
    "document ends": "a: 1\n" + "...\n" * N,
    "one endless line": "a: " + "x" * 1_900_000,
    "quoted blank lines": 'a: "' + "\n" * 1_900_000 + '"',
    "comments": "#\n" * 900_000,
}


@pytest.mark.parametrize("text", ATTACKS.values(), ids=ATTACKS.keys())
def test_attacks_cost_milliseconds(text: str) -> None:
    start = time.process_time()
    with pytest.raises(InputErrors):
        parse_tree(text, "hole.yaml")
    assert time.process_time() - start < 0.25


def test_many_values_stop_early() -> None:
    text = "".join(f"k{n}: 1\n" for n in range(19_999))
    with pytest.raises(InputErrors, match="more than 20000 values"):
        parse_tree(text, "hole.yaml")
