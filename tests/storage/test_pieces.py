"""Splices, places and the few values kept: the small pieces that revisions are made of."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.errors import InputErrors
from bathybore.model.editing import Edit, HoleFiles
from bathybore.storage.history import COPY_EVERY, digest_of, made_by, spliced, splices_between
from bathybore.storage.kept import Kept
from bathybore.storage.places import clash, place_of

TEXTS = st.text(st.sampled_from("ab\n\r\u2028é𐍈"), max_size=12)


@given(TEXTS, TEXTS, TEXTS)
def test_a_splice_gives_the_new_text(old: str, new: str, same: str) -> None:
    before = HoleFiles({"a": old, "b": same})
    after = HoleFiles({"a": new, "b": same})
    splices = splices_between(before, after)
    assert splices is not None
    assert "b" not in splices
    assert ("a" in splices) == (old != new)
    assert spliced(before, splices) == after


@given(TEXTS, TEXTS, TEXTS, TEXTS)
def test_a_splice_holds_no_more_than_the_change(head: str, tail: str, old: str, new: str) -> None:
    before, after = HoleFiles({"a": head + old + tail}), HoleFiles({"a": head + new + tail})
    for start, end, text in (splices_between(before, after) or {}).values():
        assert end - start <= len(old)
        assert len(text) <= len(new)


def test_a_file_that_comes_or_goes_is_kept_whole() -> None:
    one, two = HoleFiles({"a": "x"}), HoleFiles({"a": "x", "b": "y"})
    assert splices_between(one, two) is None
    made, replayed = made_by(two, one, 3, None)
    assert (made.files, made.splices, replayed) == ({"a": "x"}, None, 0)


def test_full_copies_come_in_time() -> None:
    one, two = HoleFiles({"a": "x"}), HoleFiles({"a": "y"})
    assert made_by(one, two, COPY_EVERY - 2, None)[0].files is None
    made, replayed = made_by(one, two, COPY_EVERY - 1, None)
    assert (made.files, replayed) == ({"a": "y"}, 0)


def test_a_digest_tells_names_from_texts() -> None:
    files = [
        HoleFiles({"a": "bc"}),
        HoleFiles({"ab": "c"}),
        HoleFiles({"a": "b", "c": ""}),
        HoleFiles({"a": "", "c": "b"}),
        HoleFiles({}),
    ]
    assert len({digest_of(one) for one in files}) == len(files)
    assert digest_of(HoleFiles({"a": "x", "b": "y"})) == digest_of(HoleFiles({"b": "y", "a": "x"}))
    with pytest.raises(InputErrors, match=r"a, line 2: found half of a character"):
        digest_of(HoleFiles({"a": "x\n\ud800"}))


@pytest.mark.parametrize(
    ("edit", "place"),
    [
        (Edit("set", "name", "x"), "hole.yaml|name"),
        (Edit("set", "plan.sections[2].bottom", "x"), "hole.yaml|plan|sections|2|bottom"),
        (Edit("set", "plan.fluids[5.5 in].density"), "hole.yaml|plan|fluids|5|5 in|density"),
        (Edit("set", "plan.fluids.5.5 in.density"), "hole.yaml|plan|fluids|5|5 in|density"),
        (Edit("put", "plan.sections[2]"), "hole.yaml|plan|sections|2"),
        (Edit("insert", "plan.sections[2]"), "hole.yaml|plan|sections"),
        (Edit("remove", "plan.sections[2]"), "hole.yaml|plan|sections"),
        (Edit("remove", "plan.sections[2].casing"), "hole.yaml|plan|sections|2|casing"),
        (Edit("remove", "plan.fluids[mud-1]"), "hole.yaml|plan|fluids|mud-1"),
        (Edit("table", file="sea.csv"), "sea.csv"),
        (Edit("cell", file="sea.csv", row=3, column="temperature"), "sea.csv|3|temperature"),
        (Edit("insert-row", file="sea.csv", row=3), "sea.csv"),
        (Edit("remove-row", file="sea.csv", row=3), "sea.csv"),
    ],
)
def test_the_place_of_an_edit(edit: Edit, place: str) -> None:
    assert place_of(edit) == tuple(place.split("|"))


PLACES = st.lists(st.sampled_from("abc"), min_size=1, max_size=4).map(tuple)


@given(PLACES, PLACES)
def test_places_clash_when_one_holds_the_other(
    one: tuple[str, ...], other: tuple[str, ...]
) -> None:
    assert clash(one, other) == clash(other, one)
    assert clash(one, one + other)
    told = sorted(("/".join(place) + "/" for place in (one, other)), key=len)
    assert clash(one, other) == told[1].startswith(told[0])


def test_the_value_used_longest_ago_gives_way() -> None:
    kept = Kept[str](2)
    kept.put(1, "one")
    kept.put(2, "two")
    assert kept.get(1) == "one"
    kept.put(3, "three")
    assert (kept.get(1), kept.get(2), kept.get(3)) == ("one", None, "three")
    kept.put(1, "ONE")
    kept.put(4, "four")
    assert (kept.get(1), kept.get(3)) == ("ONE", None)
