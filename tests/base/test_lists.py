"""The two lists, of names and of sources, are sound; whatever cites them finds them."""

from __future__ import annotations

import csv
import re
from importlib.resources import files

import pytest

from bathybore.base.formula import plain
from bathybore.base.nomenclature import nomenclature
from bathybore.base.registry import equations
from bathybore.base.sources import ASSUMED, COMMON_PRACTICE, bibliography, source
from bathybore.base.units import conversion
from bathybore.kernels import load_all
from bathybore.model.basis import DesignBasis
from bathybore.model.fields import Node
from bathybore.model.hole import HoleDocument

load_all()
TEXT = files("bathybore.base").joinpath("nomenclature.csv").read_text(encoding="utf-8")
ROWS = list(csv.reader(TEXT.splitlines()))


def test_rows_are_whole_and_names_are_unique() -> None:
    assert {len(row) for row in ROWS} == {6}
    names = [row[0] for row in ROWS[1:]]
    assert len(names) == len(set(names))


def test_every_term_says_what_it_means() -> None:
    for term in nomenclature().values():
        assert re.fullmatch(r"[a-z][a-z0-9_]*", term.name), term.name
        assert term.meaning, term.name
        assert term.meaning[0].isupper(), term.name
        assert not term.meaning.endswith("."), term.name
        assert term.unit, term.name


def test_every_term_has_a_symbol_that_a_terminal_can_show() -> None:
    for term in nomenclature().values():
        if term.unit != "text":
            assert term.symbol, term.name
            assert plain(term.symbol), term.name


def test_a_term_is_shown_in_units_of_its_own_dimension() -> None:
    for term in nomenclature().values():
        if term.unit in ("text", "Pa s^n"):
            continue
        own = conversion("K" if term.unit == "K difference" else term.unit).dimension
        for system in ("metric", "oilfield"):
            unit = term.shown_in(system)  # type: ignore[arg-type]
            assert conversion(unit or "-").dimension == own, term.name


def test_symbols_are_unique_within_each_equation() -> None:
    for equation in equations().values():
        symbols = [nomenclature()[q.name].symbol for q in equation.parameters if q.unit != "text"]
        assert len(symbols) == len(set(symbols)), equation.name


def test_every_source_is_a_sentence_with_a_sound_key() -> None:
    for key, one in bibliography().items():
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key), key
        assert one.citation.endswith("."), key
        assert one.year is None or 1800 <= one.year <= 2026, key


def test_citations_are_unique() -> None:
    citations = [one.citation for one in bibliography().values()]
    assert len(citations) == len(set(citations))


def test_the_honest_stand_ins_are_there() -> None:
    for key in (ASSUMED, COMMON_PRACTICE):
        assert source(key).key == key
    with pytest.raises(KeyError):
        source("nobody-1900")


def nodes(node: type[Node] = HoleDocument) -> set[type[Node]]:
    """Return every part of the hole document, whatever it is nested in."""
    found: set[type[Node]] = set()
    waiting: list[type[Node]] = [node]
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            texts = [field.annotation for field in one.model_fields.values()]
            waiting.extend(_nodes_in(texts))
    return found


def _nodes_in(annotations: list[object]) -> list[type[Node]]:
    found: list[type[Node]] = []
    for annotation in annotations:
        if isinstance(annotation, type) and issubclass(annotation, Node):
            found.append(annotation)
        found.extend(_nodes_in(list(getattr(annotation, "__args__", ()))))
    return found


def test_every_default_of_the_document_names_a_known_source() -> None:
    assert DesignBasis in nodes()
    for node in nodes():
        for name, field in node.model_fields.items():
            extra = field.json_schema_extra
            if isinstance(extra, dict) and "source" in extra:
                assert extra["source"] in bibliography(), f"{node.__name__}.{name}"


def test_every_factor_of_the_design_basis_is_sourced() -> None:
    """A default that a check compares with says where it is from; None is no default."""
    for name, field in DesignBasis.model_fields.items():
        extra = field.json_schema_extra
        sourced = isinstance(extra, dict) and "source" in extra
        assert sourced or field.default is None, name
