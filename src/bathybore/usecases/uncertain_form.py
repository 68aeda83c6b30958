"""What is uncertain as a form: every quantity, whether told or taken as in every hole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path as FilePath
from typing import Any, Final

from bathybore.base.errors import Fault, InputErrors
from bathybore.base.nomenclature import nomenclature
from bathybore.base.sources import bibliography
from bathybore.base.units import UnitSystem, example_unit, shown_unit
from bathybore.base.working import Default
from bathybore.ensembles.distributions import quantile
from bathybore.model.fields import Node
from bathybore.model.hole import Hole
from bathybore.model.hole_files import UNCERTAINTY_FILE
from bathybore.model.hole_numbers import number_at, number_paths
from bathybore.model.known_uncertain import (
    PRESSURES,
    Known,
    known_curves,
    known_factors,
    known_uncertain,
)
from bathybore.model.laws import LAW_NAMES, Law, ways_of
from bathybore.model.uncertain import Uncertain, Uncertainty
from bathybore.model.uncertainty import uncertainty_of
from bathybore.model.uncertainty_document import (
    AlternativeEntry,
    ArrivalEntry,
    ChangeEntry,
    CorrelationEntry,
    LeakOffEntry,
    PilotHoleEntry,
    StepTroubleEntry,
    TemperatureEntry,
    TroubleEntry,
)
from bathybore.model.yaml_tree import Path, Tree, parse_tree
from bathybore.operations.steps import derive_steps
from bathybore.usecases.form_items import unused
from bathybore.usecases.form_terms import FieldTerm, gate_text, shape
from bathybore.usecases.forms import Field, Form, Group, by_key
from bathybore.usecases.showing import in_words

_BLOCK: Final[dict[str, Any]] = {"kind": "block", "required": False, "least": 0}
_UNCERTAIN: Final = "quantities"  # list of what may be correlated
_NUMBERS: Final = "numbers"  # list of the numbers of the hole
_NEW: Final = {"distribution": "fixed"}  # of a number: as planned, until somebody says more
_SAID: Final = {
    "spread": "one standard deviation: of a pressure as a density to the sea bed, else as a share",
    "spread_file": "instead of spread: a table of standard deviations beside the document",
    "normal_above": "depth down to which the pores hold the pressure of water",
    "correlation_length": "down the hole; left out: one number moves the whole curve",
    "distribution": "fixed: as planned",
    "p10": "what one in ten stays below",
    "p90": "what nine in ten stay below",
    "values": "one of them, nothing between",
    "weights": "of the values; left out: each as likely",
    "rank": "correlation of the ranks; 0 takes a usual one back",
    "weight": "share; those of all alternatives sum to 1",
    "of": "a curve, a factor or a number of the hole",
    "add": "to a pressure curve a density to the sea bed; to a number its unit",
    "times": "of other curves and of factors",
    "chance": "that a step meets trouble",
    "variation": "standard deviation over mean of the time it then takes",
    "mean_share": "of the step's net time; left out: what the trouble factor leaves on the mean",
    "earliest": "a day of the year, such as 15 May",
    "latest": "a day of the year; every time between is as likely",
    "note": "for the reader",
    "invented": "whether the numbers are",
}


@dataclass(frozen=True)
class UncertainForm:
    """What is uncertain as a form.

    Attributes
    ----------
    told : whether the hole has the document
    faults : what is wrong with it, those shown at keys too
    """

    form: Form
    told: bool
    faults: tuple[Fault, ...]


def uncertain_form(
    text: str | None, folder: FilePath, hole: Hole, units: UnitSystem = "metric"
) -> UncertainForm:
    """Return what is uncertain of a hole as a form.

    Parameters
    ----------
    text : of uncertainty.yaml; None where there is none
    folder : where the tables are that it names

    Raises
    ------
    InputErrors
        The text is no YAML.
    """
    tree = Tree(UNCERTAINTY_FILE) if text is None else parse_tree(text, UNCERTAINTY_FILE)
    faults: tuple[Fault, ...] = ()
    try:
        known = uncertainty_of(text, folder, hole)
    except InputErrors as error:
        known, faults = uncertainty_of(None, folder, hole), error.faults
    builder = _Builder(tree, hole, known, by_key(faults), units)
    root = builder.root()
    sources = {term.source for term in builder.terms.values()} - {""}
    citations = {key: bibliography()[key].citation for key in sorted(sources)}
    form = Form(UNCERTAINTY_FILE, root, builder.terms, builder.lists, citations)
    return UncertainForm(form, text is not None, faults)


@dataclass(frozen=True)
class _Spot:
    """Where something stands, or would."""

    key: str
    path: Path

    def field(self, name: str) -> _Spot:
        return _Spot(f"{self.key}.{name}" if self.key else name, (*self.path, name))

    def item(self, part: str | int) -> _Spot:
        return _Spot(f"{self.key}[{part}]", (*self.path, part))


class _Builder:
    def __init__(
        self,
        tree: Tree,
        hole: Hole,
        known: Uncertainty,
        faults: Mapping[str, str],
        units: UnitSystem,
    ) -> None:
        self.tree, self.hole, self.known, self.faults, self.units = tree, hole, known, faults, units
        self.terms: dict[str, FieldTerm] = {}
        numbers = self._content(("numbers",), dict)
        self.lists = {
            _UNCERTAIN: (*(one.key for one in known.quantities if one.kind != "number"), *numbers),
            _NUMBERS: number_paths(hole.document),
            "steps": tuple(step.name for step in derive_steps(hole.plan)),
        }

    def _content(self, path: Path, kind: type) -> Any:
        """Return what stands at a path if it is of a kind; an empty one else."""
        try:
            found = self.tree.at(path)
        except KeyError:
            found = None
        return found if isinstance(found, kind) else kind()

    def root(self) -> Group:
        top = _Spot("", ())
        fields = [self._own(top.field(name), "text", "") for name in ("note",)]
        fields.append(self._own(top.field("invented"), "flag", "false"))
        groups = (
            self._known("curves", known_curves(), self._curve, "columns of the earth table"),
            self._known("factors", known_factors(), self._factor, "on what the plan has"),
            self._numbers(),
            self._correlations(),
            self._alternatives(),
            self._trouble(),
            self._arrival(),
            self._measurements(),
        )
        return self._group(top, "what is uncertain", "", fields, groups, present=True)

    # -- curves, factors, numbers ---------------------------------------------------------

    def _known(self, name: str, keys: tuple[str, ...], build: Any, about: str) -> Group:
        """Return what is uncertain in every hole; told of it or not."""
        at, by_key_ = _Spot(name, (name,)), self.known.by_key
        groups = [build(at.item(key), known_uncertain()[key]) for key in keys if key in by_key_]
        strangers = [key for key in self._content(at.path, dict) if key not in by_key_]
        groups += [self._stranger(at.item(key)) for key in strangers]
        return self._group(at, in_words(name), about, (), tuple(groups), present=True)

    def _stranger(self, at: _Spot) -> Group:
        """Return an entry that means nothing, to be taken out."""
        return self._group(at, "", "no such quantity in this hole", (), (), title=at.path[-1])

    def _curve(self, at: _Spot, known: Known) -> Group:
        pressure = known.key in PRESSURES
        unit = known.unit
        spread = self._number(known.law["spread"], unit)
        length = known.correlation_length
        usual = {"spread": spread, "distribution": known.law.name}
        if length is not None:
            usual["correlation_length"] = self._number(length, "m")
        laws: tuple[str, ...] = ("normal", "triangular", "uniform", "fixed")
        laws = laws if pressure else ("lognormal", *laws)
        field = partial(self._of_block, at, usual, known)
        fields = [
            field("spread", "quantity", unit),
            field("correlation_length", "quantity", "m"),
            field("distribution", "choice", "", laws),
        ]
        if pressure:
            fields.insert(1, field("spread_file", "text", ""))
            fields.insert(2, field("normal_above", "depth", "m"))
        return self._group(at, "", known.meaning, fields, (), title=in_words(known.key))

    def _factor(self, at: _Spot, known: Known) -> Group:
        usual = _written(known.law, partial(self._number, unit="-"))
        fields = self._law(at, usual, known, self.known.by_key[known.key])
        about = known.meaning + (f"; multiplies {known.multiplies}" if known.multiplies else "")
        return self._group(at, "", about, fields, (), title=in_words(known.key))

    def _law(
        self,
        at: _Spot,
        usual: dict[str, Any],
        known: Known | None,
        quantity: Uncertain,
        whole: bool = False,
    ) -> list[Field]:
        """Return the fields of a distribution: those that it takes, and what was written else."""
        content = self._content(at.path, dict)
        name = content.get("distribution", usual.get("distribution"))
        name = name if name in LAW_NAMES else "fixed"
        written = [one for one in content if one != "distribution"]
        of_way = _way(name, written or list(usual))
        cut = ("least", "greatest") if name in ("normal", "lognormal") else ()
        names = dict.fromkeys((*of_way, *(one for one in cut if one in written), *written))
        unit = quantity.unit
        fields = [
            self._of_block(at, usual, known, one, *_kind(one, unit))
            for one in names
            if one not in ("values", "weights")
        ]
        choices: tuple[str, ...] = ("empirical", "fixed") if whole else LAW_NAMES
        choice = self._of_block(at, usual, known, "distribution", "choice", "", choices)
        tell = (
            (lambda value: round(value))
            if whole
            else partial(self._number, unit=unit, name=_last(quantity.key))
        )
        blocks = {one: _as(one, quantity, tell) for one in choices}
        return [replace(choice, block=at.key, first=None, instead=blocks), *fields]

    def _numbers(self) -> Group:
        at, groups = _Spot("numbers", ("numbers",)), []
        for path in self._content(at.path, dict):
            groups.append(self._hole_number(at.item(path), path))
        free = [one for one in self.lists[_NUMBERS] if one not in self._content(at.path, dict)]
        return self._group(
            at,
            "numbers",
            "any number of the hole, by its path: what is planned is what stands in hole.yaml",
            (),
            tuple(groups),
            kind="dictionary",
            new=_NEW if free else None,
            new_key=at.item(free[0]).key if free else "",
            new_from=_NUMBERS,
        )

    def _hole_number(self, at: _Spot, path: str) -> Group:
        try:
            number = number_at(self.hole.document, path, at.key)
        except InputErrors:
            return self._stranger(at)
        law = next((one for one in self.known.quantities if one.key == number.key), None)
        told = law or Uncertain(
            number.key, "number", number.unit, Law("fixed", bounds=number.bounds), number.planned,
            self.hole.plan.origin("target"),
        )  # fmt: skip
        fields = self._law(at, dict(_NEW), None, told, number.whole)
        planned = self._number(number.planned, number.unit, _last(number.key))
        parts = self._lists_of(at)
        return self._group(at, "", f"{planned} as planned", fields, parts, title=path)

    def _lists_of(self, at: _Spot) -> tuple[Group, ...]:
        """Return the values of an empirical distribution, and their weights."""
        groups = []
        for name in ("values", "weights"):
            here = at.field(name)
            items = self._content(here.path, tuple)
            if items:
                fields = [
                    self._field(here.item(n), self._term(name, "text", "", required=True))
                    for n in range(len(items))
                ]
                groups.append(
                    self._group(here, name, _SAID[name], fields, (), kind="list",
                                new=_plain(items[-1]), new_key=here.item(len(items)).key)
                )  # fmt: skip
        return tuple(groups)

    # -- what hangs on them ---------------------------------------------------------------

    def _correlations(self) -> Group:
        at = _Spot("correlations", ("correlations",))
        items = self._content(at.path, tuple)
        groups = tuple(
            self._node(at.item(n), CorrelationEntry, _title(n, one, "first", "second"))
            for n, one in enumerate(items)
        )
        usual = "; ".join(
            f"{other} with {row.key} {rank:g}"
            for row in known_uncertain().values()
            for other, rank in row.rank_correlations
        )
        about = f"of ranks; pairs left out are not correlated, but (assumed): {usual}"
        pair = self._free_pair(items)
        new = {"first": pair[0], "second": pair[1], "rank": 0.3} if pair else None
        return self._list(at, about, groups, new, len(items))

    def _free_pair(self, items: tuple[Any, ...]) -> tuple[str, str] | None:
        taken = {
            frozenset((one.get("first"), one.get("second")))
            for one in items
            if isinstance(one, dict)
        }
        # pressures go together as it is: another of theirs may be one too many
        names = [
            one for one in self.lists[_UNCERTAIN] if one not in PRESSURES and not self._certain(one)
        ]
        pairs = ((one, two) for n, one in enumerate(names) for two in names[n + 1 :])
        return next((pair for pair in pairs if frozenset(pair) not in taken), None)

    def _certain(self, key: str) -> bool:
        found = self.known.by_key.get(key)
        return found is not None and found.certain

    def _alternatives(self) -> Group:
        at = _Spot("alternatives", ("alternatives",))
        items = self._content(at.path, tuple)
        groups = []
        for n, one in enumerate(items):
            here = at.item(n)
            under = here.field("changes")
            changes = self._content(under.path, tuple)
            inner = tuple(
                self._node(under.item(m), ChangeEntry, _title(m, change, "of"))
                for m, change in enumerate(changes)
            )
            new = {"of": "pore_pressure", "add": self._number(20.0, "kg/m3")}
            below = self._list(under, "what it changes", inner, new, len(changes))
            groups.append(self._node(here, AlternativeEntry, _title(n, one, "name"), (below,)))
        names = {str(one.get("name")) for one in items if isinstance(one, dict)}
        new_one: Any = {"name": unused("otherwise", names), "weight": 0.0}
        if not items:  # their weights sum to 1
            new_one = [{"name": "as planned", "weight": 0.5}, {"name": "otherwise", "weight": 0.5}]
        about = "one of them holds, and only one; their weights sum to 1"
        return self._list(at, about, tuple(groups), new_one, len(items))

    def _trouble(self) -> Group:
        at = _Spot("trouble", ("trouble",))
        under = at.field("steps")
        steps = self._content(under.path, dict)
        inner = tuple(self._node(under.item(name), StepTroubleEntry, name) for name in steps)
        free = [one for one in self.lists["steps"] if one not in steps]
        below = self._group(
            under, "steps", "for single steps", (), inner, kind="dictionary",
            new={"chance": 0.25} if free else None,
            new_key=under.item(free[0]).key if free else "", new_from="steps",
        )  # fmt: skip
        about = "a step meets it or does not; if it does, it takes a share of its net time"
        return self._node(at, TroubleEntry, "", (below,), label="trouble", about=about)

    def _arrival(self) -> Group:
        at, origin = _Spot("arrival", ("arrival",)), self.known.arrival.origin
        present = at.path in self.tree.lines
        about = "between two days of the year, every time as likely"
        if isinstance(origin, Default):
            about += f"; left out: {origin.note} (assumed)"
        new = None if present else {"earliest": "1 January", "latest": "31 December"}
        fields = self._fields(at, ArrivalEntry) if present else []
        return self._group(at, "arrival", about, fields, (), new=new, new_key=at.key)

    def _measurements(self) -> Group:
        at = _Spot("measurements", ("measurements",))
        nodes: tuple[tuple[str, type[Node]], ...] = (
            ("pilot_hole", PilotHoleEntry),
            ("temperature", TemperatureEntry),
            ("leak_off_test", LeakOffEntry),
        )
        inner = tuple(self._node(at.field(key), node, in_words(key)) for key, node in nodes)
        about = "what can be measured before a string is decided on: how well, and what it takes"
        return self._group(at, "measurements", about, (), inner)

    # -- parts ----------------------------------------------------------------------------

    def _node(
        self, at: _Spot, node: type[Node], title: str, groups: tuple[Group, ...] = (),
        label: str = "", about: str = "",
    ) -> Group:  # fmt: skip
        return self._group(at, label, about, self._fields(at, node), groups, title=title)

    def _fields(self, at: _Spot, node: type[Node]) -> list[Field]:
        """Return the single values of a node, and what was written beside them."""
        fields = []
        for name, info in node.model_fields.items():
            what = shape(info.annotation, tuple(info.metadata))
            if what.of != "field":
                continue
            extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
            none = info.is_required() or info.default is None
            default = "" if none else self._number(float(info.default), what.unit or "-")
            term = self._term(
                name,
                what.kind if what.kind in ("depth", "flag") else "text",
                "m" if what.kind == "depth" else what.unit,
                default=default,
                source=str(extra.get("source", "")) if default else "",
                note=str(extra.get("note", "")),
                required=info.is_required(),
                choices_from=_UNCERTAIN if name in ("first", "second", "of") else "",
            )
            fields.append(self._field(at.field(name), term))
        unknown = [one for one in self._content(at.path, dict) if one not in node.model_fields]
        return [*fields, *(self._field(at.field(one), _no_key(one)) for one in unknown)]

    def _of_block(
        self,
        at: _Spot,
        usual: dict[str, Any],
        known: Known | None,
        name: str,
        kind: Any,
        unit: str,
        choices: tuple[str, ...] = (),
    ) -> Field:
        """Return a field of a quantity that is told whole or not at all."""
        told = at.path in self.tree.lines
        default = "" if told or known is None else str(usual.get(name, ""))
        term = self._term(
            name,
            kind,
            unit,
            default=default,
            source=known.source if known is not None and default else "",
            note=known.note if known is not None and default else "",
            choices=choices,
        )
        field = self._field(at.field(name), term)
        return field if told else replace(field, block=at.key, first=usual)

    def _own(self, at: _Spot, kind: Any, default: str) -> Field:
        return self._field(at, self._term(str(at.path[-1]), kind, "", default=default))

    def _term(self, name: str, kind: Any, unit: str, **more: Any) -> FieldTerm:
        told: dict[str, Any] = {"default": "", "source": "", "note": "", "required": False}
        example = ("m" if self.units == "metric" else "ft") if unit == "m" else ""
        if unit not in ("", "-", "m"):
            example = example_unit(unit).replace("**", "^")
        told |= {"choices": (), "choices_from": "", **more}
        return FieldTerm(
            label=in_words(name), description=_SAID.get(name, ""), kind=kind, unit=unit,
            example_unit=example, example="", **told,
        )  # fmt: skip

    def _field(self, at: _Spot, term: FieldTerm) -> Field:
        self.terms[at.key] = term
        written = self.tree.written.get(at.path, "")
        line = self.tree.lines.get(at.path)
        given = at.path in self.tree.lines
        return Field(at.key, at.key, written, given, line, self.faults.get(at.key, ""))

    def _list(
        self, at: _Spot, about: str, groups: tuple[Group, ...], new: Any, count: int
    ) -> Group:
        present = count > 0
        where = at.item(count).key if present else at.key
        content = new if present or isinstance(new, list) or new is None else [new]
        label = in_words(str(at.path[-1]))
        return self._group(
            at, label, about, (), groups, kind="list", new=content, new_key=where, present=present
        )

    def _group(
        self,
        at: _Spot,
        label: str,
        about: str,
        fields: Any,
        groups: tuple[Group, ...],
        **more: Any,
    ) -> Group:
        there = at.path in self.tree.lines
        told: dict[str, Any] = {
            **_BLOCK,
            "present": there,
            "removable": there and bool(at.path),
            "new": None,
            "new_key": "",
            "title": "",
            **more,
        }
        return Group(
            key=at.key,
            label=label or str(told["title"]),
            description=about,
            line=self.tree.lines.get(at.path),
            fault=self.faults.get(at.key, ""),
            fields=tuple(fields),
            groups=groups,
            **told,
        )

    def _number(self, value: float, unit: str, name: str = "") -> str:
        """Return a number as somebody would write it, in the unit that its name is shown in."""
        term = nomenclature().get(name)
        fits = term is not None and term.unit == unit
        shown = term.shown_in(self.units) if fits and term else shown_unit(unit, self.units)
        return gate_text(float(f"{value:.6g}"), unit, shown.replace("**", "^"))


def _last(key: str) -> str:
    return key.rsplit(".", 1)[-1]


def _kind(name: str, unit: str) -> tuple[str, str]:
    return ("text", "") if name in ("file", "column") else ("quantity", unit)


def _way(law: str, written: list[str]) -> tuple[str, ...]:
    """Return the way to write a law that has most of what is written."""
    return max(ways_of(law), key=lambda way: len(set(way) & set(written)))


def _title(number: int, content: Any, *keys: str) -> str:
    names = [str(content[key]) for key in keys if isinstance(content, dict) and key in content]
    return f"{number + 1}. {' with '.join(names)}"


def _written(law: Law, tell: Any) -> dict[str, Any]:
    return {"distribution": law.name, **{name: tell(value) for name, value in law.numbers}}


def _as(law: str, quantity: Uncertain, tell: Any) -> dict[str, Any]:
    """Return another distribution of about the same place and width, as it would be written."""
    low, middle, high = _tenths(quantity)
    numbers: dict[str, float] = {}
    if law in ("normal", "lognormal"):
        numbers = {"p10": low, "p90": high}
    elif law in ("triangular", "pert"):
        numbers = {"least": low, "most_likely": middle, "greatest": high}
    elif law == "uniform":
        numbers = {"least": low, "greatest": high}
    content: dict[str, Any] = {"distribution": law, **{n: tell(v) for n, v in numbers.items()}}
    if law == "empirical":
        content["values"] = [tell(one) for one in (low, middle, high)]
    return content


def _tenths(quantity: Uncertain) -> tuple[float, float, float]:
    """Return P10, what is planned, and P90; of what is certain a tenth to each side."""
    law, planned = quantity.law, quantity.planned
    if law.name == "fixed":
        return (0.9 * planned, planned, 1.1 * planned) if planned > 0 else (0.0, planned, 1.0)
    low, high = (float(quantile(law, share)) for share in (0.1, 0.9))
    return low, min(max(planned, low), high), high


def _plain(content: Any) -> Any:
    return list(content) if isinstance(content, tuple) else content


def _no_key(name: str) -> FieldTerm:
    said = "No key of this block; it has no meaning here."
    return FieldTerm(in_words(name), said, "unknown", "", "", "", "", "", "", False, (), "")
