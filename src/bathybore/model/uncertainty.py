"""What of a hole is uncertain: its document uncertainty.yaml over the defaults.

Without the document everything is as the table of known quantities has it, said as assumed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final, ParamSpec, TypeVar

from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.units import TEMPERATURE_DIFFERENCE, parse_quantity
from bathybore.base.working import Default, Given
from bathybore.model.chart import written_at
from bathybore.model.csv_columns import read_column
from bathybore.model.dependence import Correlation, can_hold, groups_of, score_correlations
from bathybore.model.files import shown
from bathybore.model.hole import Hole
from bathybore.model.hole_numbers import HoleNumber, number_at
from bathybore.model.known_uncertain import (
    known_curves,
    known_factors,
    known_uncertain,
)
from bathybore.model.laws import Bounds, Law, WrittenLaw, law_of
from bathybore.model.schema_faults import where
from bathybore.model.site import MONTHS
from bathybore.model.uncertain import (
    Alternative,
    Arrival,
    Change,
    Trouble,
    Uncertain,
    Uncertainty,
)
from bathybore.model.uncertain_curves import (
    POSITIVE,
    usual_curve,
    usual_origin,
    written_curve,
)
from bathybore.model.uncertainty_document import (
    ArrivalEntry,
    ChangeEntry,
    CurveEntry,
    UncertaintyDocument,
    document_of,
    read_uncertainty,
)
from bathybore.model.yaml_tree import Tree

__all__ = ["Uncertainty", "load_uncertainty", "uncertainty_of"]

_YEAR: Final = 365.0 * 86400.0  # s; the 29th of February is no day of it
_DAYS: Final = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_DAY: Final = re.compile(r"(?P<day>[0-9]{1,2})\.? (?P<month>[A-Za-z]{3,9})")
P = ParamSpec("P")
T = TypeVar("T")


def load_uncertainty(folder: Path, hole: Hole) -> Uncertainty:
    """Return what is uncertain of a hole: its folder's document over the defaults.

    Raises
    ------
    InputErrors
        Everything that is wrong with the document, with file, line and key.
    """
    document, tree = read_uncertainty(folder)
    return _Judging(document, tree, folder, hole).whole()


def uncertainty_of(text: str | None, folder: Path, hole: Hole) -> Uncertainty:
    """Return the same of a document's text; None where there is no document.

    Parameters
    ----------
    folder : where the tables are that it names
    """
    document, tree = document_of(text)
    return _Judging(document, tree, folder, hole).whole()


class _Judging:
    """A document being turned into what is uncertain; collects every fault on the way."""

    def __init__(self, document: UncertaintyDocument, tree: Tree, folder: Path, hole: Hole) -> None:
        self.document, self.tree, self.folder, self.hole = document, tree, folder, hole
        self.faults: list[Fault] = []
        self.found: dict[str, Uncertain] = {}
        self.keys: dict[str, str] = {}  # canonical key by the way a number was written

    def whole(self) -> Uncertainty:
        for curve in known_curves():
            self._take(self._curve, curve)
        self._factors()
        for path in self.document.numbers:
            self._take(self._number, path)
        alternatives = self._alternatives()
        self._refuse()  # what hangs on names needs them sound
        correlations = self._correlations()
        trouble, arrival = self._trouble(), self._arrival()
        self._refuse()
        return Uncertainty(
            tuple(self.found.values()),
            correlations,
            alternatives,
            trouble,
            arrival,
            self.document.invented,
            bool(self.tree.content),
            self.document.note,
            self.document.measurements,
        )

    def _refuse(self) -> None:
        if self.faults:
            raise InputErrors(self.faults)

    def _take(self, ask: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T | None:
        """Return what is asked for, or None once its faults are noted."""
        try:
            return ask(*args, **kwargs)
        except InputErrors as error:
            self.faults += error.faults
            return None

    def _at(self, *path: str | int) -> str:
        return where(self.tree, path, UncertaintyDocument)

    def _fault(self, at: str, found: str, expected: str, fix: str = "") -> None:
        self.faults.append(Fault(at, found, expected, fix))

    def _given(self, block: str, key: str) -> Given:
        return Given(self.tree.file, self.tree.line((block, key)), f"{block}[{key}]")

    def _curve(self, key: str) -> None:
        """Take a column of the earth table, where the table has it."""
        known, entry = known_uncertain()[key], _entry(self.document, key)
        earth = self.hole.earth
        if not earth.has(key):
            if entry is not None:
                found = f"'{key}', which the table {earth.file} does not give"
                self._fault(self._at("curves", key), found, "a column of the earth table")
        elif entry is None:
            self.found[key] = usual_curve(known, self.hole)
        else:
            origin = self._given("curves", key)
            self.found[key] = written_curve(known, entry, origin, self.folder, self.hole)

    def _factors(self) -> None:
        known = known_uncertain()
        for key in self.document.factors:
            if key not in known_factors():
                fix = nearest(key, known_factors()) or f"There are: {', '.join(known_factors())}."
                self._fault(self._at("factors", key), f"'{shown(key)}'", "a known factor", fix)
        for key in known_factors():
            row, node = known[key], self.document.factors.get(key)
            law: Law | None = replace(row.law, bounds=POSITIVE)
            origin: Given | Default = usual_origin(row)
            if node is not None:
                origin, law = self._given("factors", key), self._law(node, "-", POSITIVE)
            if law is not None:
                self.found[key] = Uncertain(key, "factor", "-", law, 1.0, origin, row.meaning)

    def _law(self, node: WrittenLaw, unit: str, bounds: Bounds) -> Law | None:
        return self._take(law_of, node, unit, bounds, self._column)

    def _number(self, path: str) -> None:
        node, at = self.document.numbers[path], self._at("numbers", path)
        number = number_at(self.hole.document, path, at)
        if number.key in self.found:
            self._fault(at, f"{number.key} a second time", "each number once")
            return
        if number.whole and not _whole_values(node):
            expected = "an empirical distribution of whole numbers, for it is a count"
            self._fault(at, f"{number.key} as {node.distribution}", expected)
            return
        law = self._law(node, number.unit, number.bounds)
        if law is not None:
            self._keep_number(number, path, law)

    def _keep_number(self, number: HoleNumber, path: str, law: Law) -> None:
        self.keys[path] = number.key
        self.found[number.key] = Uncertain(
            number.key, "number", number.unit, law, number.planned, self._given("numbers", path)
        )

    def _column(self, file: str, column: str, unit: str) -> tuple[float, ...]:
        return read_column(self.folder, file, column, unit)

    def _name(self, written: str, at: str) -> str | None:
        """Return the key of a quantity that the document names, if there is one."""
        key = self.keys.get(written, written)
        if key in self.found:
            return key
        names = [*self.found, *self.keys]
        fix = nearest(written, names) or "Numbers of the hole have to stand under numbers first."
        self._fault(at, f"'{shown(written)}'", "a curve, a factor or one of the numbers", fix)
        return None

    def _correlations(self) -> tuple[Correlation, ...]:
        wanted = dict(self._usual_correlations())
        for index, entry in enumerate(self.document.correlations):
            at = self._at("correlations", index)
            names = [self._name(name, at) for name in (entry.first, entry.second)]
            first, second = names
            if first is None or second is None:
                continue
            certain = next((n for n in (first, second) if self.found[n].certain), None)
            if first == second or certain:
                found = f"{certain}, which is certain" if certain else f"{first} with itself"
                self._fault(at, found, "two quantities that are uncertain")
                continue
            wanted[frozenset((first, second))] = Correlation(first, second, entry.rank)
        correlations = tuple(one for one in wanted.values() if one.rank != 0.0)
        self._judge_together(correlations)
        return correlations

    def _usual_correlations(self) -> Iterator[tuple[frozenset[str], Correlation]]:
        uncertain = {key for key, one in self.found.items() if not one.certain}
        for row in known_uncertain().values():
            for other, rank in row.rank_correlations:
                if {row.key, other} <= uncertain:
                    yield frozenset((row.key, other)), Correlation(other, row.key, rank)

    def _judge_together(self, correlations: tuple[Correlation, ...]) -> None:
        names = [key for key, one in self.found.items() if not one.certain]
        for group in groups_of(names, correlations):
            if not can_hold(score_correlations(group, correlations)):
                found = (
                    f"rank correlations of {', '.join(group)} that no quantities can have at once"
                )
                expected = "a matrix that is positive definite; pairs left out are not correlated"
                self._fault(self._at("correlations"), found, expected, _usual_pairs(group))

    def _alternatives(self) -> tuple[Alternative, ...]:
        entries = self.document.alternatives
        total = math.fsum(entry.weight for entry in entries)
        if entries and abs(total - 1.0) > 1e-6:
            self._fault(self._at("alternatives"), f"weights that sum to {total:g}", "a sum of 1")
        names = [entry.name for entry in entries]
        for index, name in enumerate(names):
            if name in names[:index]:
                at = self._at("alternatives", index)
                self._fault(at, f"'{shown(name)}' a second time", "each name once")
        return tuple(
            Alternative(entry.name, entry.weight / (total or 1.0), tuple(self._changes(index)))
            for index, entry in enumerate(entries)
        )

    def _changes(self, index: int) -> Iterator[Change]:
        for number, entry in enumerate(self.document.alternatives[index].changes):
            at = self._at("alternatives", index, "changes", number)
            change = self._take(self._change, entry, at)
            if change is not None:
                yield change

    def _change(self, entry: ChangeEntry, at: str) -> Change | None:
        key = self.keys.get(entry.of, entry.of)
        if key not in self.found and key not in known_uncertain():
            number = number_at(self.hole.document, entry.of, at)
            key = number.key
            if key not in self.found:
                self._keep_number(number, entry.of, Law("fixed", bounds=number.bounds))
        if self._name(key, at) is None:
            return None
        quantity = self.found[key]
        if quantity.kind != "curve" and (entry.top or entry.bottom):
            raise InputErrors.one(at, f"depths, of {key}", "depths of a curve only")
        if quantity.is_pressure and entry.times is not None:
            raise InputErrors.one(at, f"times, of {key}", "add, a density such as '80 kg/m3'")
        if quantity.kind != "number" and not quantity.is_pressure and entry.add is not None:
            raise InputErrors.one(at, f"add, of {key}", "times, for it stays above zero")
        add = 0.0
        if entry.add is not None:
            unit = "kg/m3" if quantity.is_pressure else quantity.unit
            unit = TEMPERATURE_DIFFERENCE if unit == "K" else unit
            add = parse_quantity(entry.add, unit, written_at(entry, "add"))
        below = self.hole.frame.below_sea_bed
        top = below(entry.top) if entry.top is not None else -math.inf
        bottom = below(entry.bottom) if entry.bottom is not None else math.inf
        if not top < bottom:
            raise InputErrors.one(at, f"top {entry.top}, bottom {entry.bottom}", "top above bottom")
        return Change(key, add, 1.0 if entry.times is None else entry.times, top, bottom, at)

    def _trouble(self) -> dict[str, Trouble]:
        entry = self.document.trouble
        told = self._at("trouble") if ("trouble",) in self.tree.lines else ""
        usual = Trouble(entry.chance, entry.variation, entry.mean_share, told)
        by_step = {"": usual}
        for name, own in entry.steps.items():
            by_step[name] = Trouble(
                usual.chance if own.chance is None else own.chance,
                usual.variation if own.variation is None else own.variation,
                usual.mean_share if own.mean_share is None else own.mean_share,
                self._at("trouble", "steps", name),
            )
        return by_step

    def _arrival(self) -> Arrival:
        """Return the days told; else the whole span of the weather's series, or a year."""
        entry, weather = self.document.arrival, self.hole.weather
        if entry is None:
            span, note = (0.0, _YEAR), "any day of a year"
            if weather is not None:
                span = (float(weather.depths[0]), float(weather.depths[-1]))
                note = f"any time of {weather.file}"
            return Arrival(*span, Default("arrival", "assumed", note), weather is not None)
        earliest = self._take(_day, entry, "earliest")
        latest = self._take(_day, entry, "latest")
        if earliest is None or latest is None:
            return Arrival(0.0, 0.0, Default("arrival", "assumed"))  # a fault was told
        end = latest + 86400.0 + (_YEAR if latest < earliest else 0.0)  # the whole last day
        return Arrival(
            earliest, end, Given(self.tree.file, self.tree.line(("arrival",)), "arrival")
        )


def _entry(document: UncertaintyDocument, key: str) -> CurveEntry | None:
    return next((entry for name, entry in document.curves.items() if name == key), None)


def _whole_values(node: WrittenLaw) -> bool:
    if node.distribution == "fixed":
        return True
    values = node.values or ()
    return node.distribution == "empirical" and bool(values) and all(type(v) is int for v in values)


def _usual_pairs(group: tuple[str, ...]) -> str:
    """Say which of the correlations of a group are defaults, for they may be the trouble."""
    pairs = [
        f"{other} with {row.key} {rank:g}"
        for row in known_uncertain().values()
        for other, rank in row.rank_correlations
        if {row.key, other} <= set(group)
    ]
    return f"Taken unless told otherwise: {'; '.join(pairs)}." if pairs else ""


def _day(entry: ArrivalEntry, field: str) -> float:
    """Return the beginning of a day such as '15 May', from the first of January [s]."""
    text = str(getattr(entry, field))
    match = _DAY.fullmatch(text.strip())
    month = _month(match["month"]) if match else -1
    day = int(match["day"]) if match else 0
    if not (month >= 0 and 1 <= day <= _DAYS[month]):
        expected = "a day of the year, such as '15 May'"
        raise InputErrors.one(written_at(entry, field), f"'{shown(text)}'", expected)
    return 86400.0 * (sum(_DAYS[:month]) + day - 1)


def _month(word: str) -> int:
    found = [n for n, name in enumerate(MONTHS) if name.lower().startswith(word.lower())]
    return found[0] if len(found) == 1 else -1


def day_told(time: float) -> str:
    """Return a day of the year, such as '15 May', from a time since the first of January [s]."""
    day = int(time // 86400.0) % sum(_DAYS)
    month = 0
    while day >= _DAYS[month]:
        day, month = day - _DAYS[month], month + 1
    return f"{day + 1} {MONTHS[month]}"
