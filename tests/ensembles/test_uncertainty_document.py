"""uncertainty.yaml: what it says, what stands where it is silent, what is told of its faults."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from bathybore.base.errors import Fault, InputErrors
from bathybore.base.sources import bibliography
from bathybore.base.working import Default, Given
from bathybore.model.hole import Hole
from bathybore.model.hole_numbers import number_at
from bathybore.model.known_uncertain import PRESSURES, known_curves, known_factors, known_uncertain
from bathybore.model.laws import Bounds, Law
from bathybore.model.loading import load_hole
from bathybore.model.uncertain import Uncertainty
from bathybore.model.uncertainty import load_uncertainty
from bathybore.usecases.prognosis import prognosis, spread_text

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(EXAMPLES / "main")


def read(folder: Path, hole: Hole, text: str) -> Uncertainty:
    (folder / "uncertainty.yaml").write_text(text, encoding="utf-8")
    return load_uncertainty(folder, hole)


def faults(folder: Path, hole: Hole, text: str) -> tuple[Fault, ...]:
    with pytest.raises(InputErrors) as caught:
        read(folder, hole, text)
    return caught.value.faults


# ---- what is said, and what is taken ----------------------------------------------------------


@pytest.mark.parametrize("name", ["main", "riserless", "frontier"])
def test_without_a_document_everything_is_as_the_table_has_it(name: str, tmp_path: Path) -> None:
    one = load_hole(EXAMPLES / name)
    usual = load_uncertainty(tmp_path, one)
    assert not usual.told
    given = [key for key in known_curves() if one.earth.has(key)]
    assert list(usual.by_key) == [*given, *known_factors()]
    for quantity in usual.quantities:
        assert isinstance(quantity.origin, Default)
        assert quantity.origin.source_key in bibliography()
    assert isinstance(usual.arrival.origin, Default)


def test_every_row_of_the_table_has_a_source_a_meaning_and_a_note() -> None:
    for row in known_uncertain().values():
        assert row.source in bibliography()
        assert row.meaning
        assert row.note
        assert row.kind in ("curve", "factor")
        for other, rank in row.rank_correlations:
            assert other in known_uncertain()
            assert -1.0 < rank < 1.0


def test_the_demonstration_says_what_it_knows_better(hole: Hole) -> None:
    told = load_uncertainty(EXAMPLES / "main", hole)
    assert told.invented
    assert told.told
    pore = told.by_key["pore_pressure"]
    assert pore.law["standard_deviation"] == 20.0
    assert pore.correlation_length == 800.0
    assert isinstance(pore.origin, Given)
    assert pore.origin.line == _line(EXAMPLES / "main" / "uncertainty.yaml", "pore_pressure:")
    rate = told.by_key["plan.coring.rate_of_penetration"]
    assert rate.planned == pytest.approx(2.5 / 3600.0)
    assert rate.unit == "m/s"
    assert isinstance(told.by_key["hook_load"].origin, Default)
    assert [one.name for one in told.alternatives] == ["fault leaks", "fault seals"]
    assert told.alternatives[1].changes[0].top == 3700.0
    assert (told.arrival.earliest, told.arrival.latest) == (90 * 86400.0, 181 * 86400.0)
    assert ("bit_life", "rate_of_penetration") in map(_sorted, told.groups)


def _sorted(group: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(sorted(group))


def _line(file: Path, part: str) -> int:
    lines = file.read_text(encoding="utf-8").splitlines()
    return next(n for n, line in enumerate(lines, start=1) if part in line)


def test_units_are_read_at_the_gate(hole: Hole, tmp_path: Path) -> None:
    told = read(
        tmp_path,
        hole,
        "curves: {pore_pressure: {spread: 0.02 sg, correlation_length: 1000 ft}}\n"
        "numbers:\n"
        "  vessel.tool_temperature_limit:\n"
        "    {distribution: normal, mean: 150 degC, standard_deviation: 5 K}\n"
        "  plan.fluids.mud-1.density: {distribution: uniform, least: 9 ppg, greatest: 1.11 sg}\n",
    )
    assert told.by_key["pore_pressure"].law["standard_deviation"] == pytest.approx(20.0)
    assert told.by_key["pore_pressure"].correlation_length == pytest.approx(304.8)
    limit = told.by_key["vessel.tool_temperature_limit"].law
    assert limit["mean"] == pytest.approx(423.15)
    assert limit["standard_deviation"] == pytest.approx(5.0)
    density = told.by_key["plan.fluids[mud-1].density"]
    assert density.law["least"] == pytest.approx(1078.4, abs=0.1)
    assert density.law.bounds == Bounds(0.0, math.inf, open_below=True)


def test_items_of_lists_go_by_name_or_index(hole: Hole) -> None:
    for path in ("plan.sections.section-1712.flow_rate", "plan.sections[1].flow_rate",
                 "plan.sections[section-1712].flow_rate"):  # fmt: skip
        number = number_at(hole.document, path, "here")
        assert number.key == "plan.sections[1].flow_rate"
        assert number.planned == pytest.approx(4400e-3 / 60.0)
    pressure = number_at(hole.document, "vessel.pumps.liners.5 1/2 in.greatest_pressure", "here")
    assert pressure.planned == pytest.approx(43.1e6)
    board = number_at(hole.document, "vessel.switchboards.B", "here")
    assert (board.unit, board.planned) == ("W", 13e6)
    unwritten = number_at(hole.document, "design_basis.trip_margin", "here")
    assert unwritten.planned == 30.0


def test_fixed_and_zero_spread_mean_certain(hole: Hole, tmp_path: Path) -> None:
    told = read(
        tmp_path,
        hole,
        "curves: {temperature: {spread: 1e-300}, pore_pressure: {distribution: fixed}}\n"
        "factors: {bit_life: {distribution: fixed}}\n",
    )
    for key in ("temperature", "pore_pressure", "bit_life"):
        assert told.by_key[key].certain
        assert key not in {name for group in told.groups for name in group}
    assert {one.first for one in told.correlations} == {"fracture_pressure"}


def test_a_column_of_a_table_is_an_empirical_distribution(hole: Hole, tmp_path: Path) -> None:
    table = "# invented kicks\nname,kick volume [bbl]\none,50\n\ntwo,20\nthree,35\n"
    (tmp_path / "kicks.csv").write_text(table, encoding="utf-8")
    told = read(
        tmp_path,
        hole,
        "numbers:\n  design_basis.kick_volume:\n"
        "    {distribution: empirical, file: kicks.csv, column: kick volume}\n",
    )
    law = told.by_key["design_basis.kick_volume"].law
    barrel = 0.158987294928
    assert law.values == pytest.approx([20 * barrel, 35 * barrel, 50 * barrel])
    assert law.weights == pytest.approx([1 / 3] * 3)


def test_the_spread_that_a_prognosis_leaves_is_taken(hole: Hole, tmp_path: Path) -> None:
    worked = prognosis(EXAMPLES / "main")
    (tmp_path / "spread.csv").write_text(spread_text(worked), encoding="utf-8")
    entries = [
        f"  {key}: {{spread_file: spread.csv, correlation_length: 800 m}}\n" for key in PRESSURES
    ]
    told = read(tmp_path, hole, "curves:\n" + "".join(entries))
    for key in PRESSURES:
        one = told.by_key[key]
        assert one.profile is not None
        column = "hole_collapse_pressure" if key == "collapse_pressure" else key
        assert one.profile[0] == pytest.approx(worked.z, abs=1e-6)
        assert one.profile[1] == pytest.approx(worked.curves[column].spread, abs=501.0)
        assert one.law.numbers == (("mean", 0.0), ("standard_deviation", 1.0))


SPREADS = "depth_below_sea_bed [m],pore_pressure [MPa],temperature [K]\n"


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ("0,0.1,3\n400,2.5,3\n", "spread.csv from 0 to 400 m below the sea bed; expected a table"),
        ("0,0.1,3\n0,2.5,3\n", "found depths that do not grow"),
        ("0,0.1,3\n5200,-2.5,3\n", "found -2.5 MPa; expected standard deviations of 0 or more"),
        ("0,a,3\n5200,2.5,3\n", "spread.csv, line 2, column pore_pressure: found 'a MPa'"),
        ('0,"0.1,3\n5200,2.5",3\n', "spread.csv, line 2: found a line that is not CSV"),
    ],
    ids=["short", "turning", "negative", "no number", "quote left open"],
)
def test_a_table_of_spread_is_judged(rows: str, expected: str, hole: Hole, tmp_path: Path) -> None:
    (tmp_path / "spread.csv").write_text(SPREADS + rows, encoding="utf-8")
    told = faults(tmp_path, hole, "curves: {pore_pressure: {spread_file: spread.csv}}\n")
    assert expected in str(told[0])


def test_counts_take_whole_values(hole: Hole, tmp_path: Path) -> None:
    told = read(
        tmp_path,
        hole,
        "numbers:\n  vessel.pumps.count: {distribution: empirical, values: [3, 4], "
        "weights: [1, 3]}\n",
    )
    law = told.by_key["vessel.pumps.count"].law
    assert law == Law("empirical", (), (3.0, 4.0), (0.25, 0.75), law.bounds)


def test_an_empty_document_is_all_defaults(hole: Hole, tmp_path: Path) -> None:
    told = read(tmp_path, hole, "note: nothing yet\ncurves:\nfactors:\ncorrelations:\n")
    assert len(told.quantities) == len(known_curves()) + len(known_factors())


def test_a_window_of_arrival_may_pass_the_turn_of_the_year(hole: Hole, tmp_path: Path) -> None:
    told = read(tmp_path, hole, "arrival: {earliest: 20 Dec, latest: 10 January}\n")
    assert told.arrival.earliest == 353 * 86400.0
    assert told.arrival.latest == (365 + 10) * 86400.0


def test_a_default_correlation_can_be_taken_back(hole: Hole, tmp_path: Path) -> None:
    told = read(
        tmp_path,
        hole,
        "correlations:\n"
        "  - {first: collapse_pressure, second: pore_pressure, rank: 0}\n"
        "  - {first: fracture_pressure, second: collapse_pressure, rank: 0}\n",
    )
    assert ("collapse_pressure",) in told.groups
    assert ("pore_pressure", "fracture_pressure") in told.groups


# ---- faults ----------------------------------------------------------------------------------

LAW = "numbers:\n  design_basis.kick_volume: "
FAULTS = {
    "negative spread": (
        "curves:\n  pore_pressure: {spread: -5 kg/m3}",
        "uncertainty.yaml, line 2, curves[pore_pressure].spread: found '-5 kg/m3'",
    ),
    "no spread": (
        "curves:\n  temperature: {}",
        "line 2, curves[temperature]: found neither of spread and spread_file; expected one",
    ),
    "zero length": (
        "curves:\n  pore_pressure: {spread: 5 kg/m3, correlation_length: 0 m}",
        "line 2, curves[pore_pressure].correlation_length: found '0 m'; expected more than 0",
    ),
    "spread without unit": (
        "curves:\n  pore_pressure: {spread: 5}",
        "line 2, curves[pore_pressure].spread: found the bare number 5",
    ),
    "share with unit": (
        "curves:\n  temperature: {spread: 5 K}",
        "line 2, curves[temperature].spread: found unit 'K'; expected a pure number",
    ),
    "no spread file": (
        "curves:\n  pore_pressure: {spread_file: none.csv}",
        "none.csv: found no such file",
    ),
    "spread file of a share": (
        "curves:\n  temperature: {spread_file: none.csv}",
        "line 2, curves[temperature].spread_file: found a table, of temperature; expected spread",
    ),
    "spread file elsewhere": (
        "curves:\n  pore_pressure: {spread_file: ../spread.csv}",
        "expected a file beside the document",
    ),
    "unknown column": (
        "curves:\n  pore_presure: {spread: 5 kg/m3}",
        "line 2, curves[pore_presure]",
    ),
    "lognormal pressure": (
        "curves:\n  pore_pressure: {spread: 5 kg/m3, distribution: lognormal}",
        "curves[pore_pressure].distribution: found lognormal, of a pressure",
    ),
    "unknown factor": (
        "factors:\n  bit_lif: {distribution: normal, p10: 0.9, p90: 1.1}",
        "line 2, factors[bit_lif]: found 'bit_lif'; expected a known factor. "
        "Did you mean 'bit_life'",
    ),
    "p10 above p90": (
        "factors:\n  bit_life: {distribution: normal, p10: 1.2, p90: 0.9}",
        "line 2, factors[bit_life].p90: found p90 0.9 and p10 1.2; expected p90 above p10",
    ),
    "half a law": (
        "factors:\n  bit_life: {distribution: normal, p10: 0.9}",
        "line 2, factors[bit_life]: found normal with p10; expected mean and standard_deviation or",
    ),
    "mixed laws": (
        "factors:\n  bit_life: {distribution: uniform, least: 0.9, greatest: 1.1, mean: 1}",
        "found uniform with greatest, least, mean; expected least and greatest",
    ),
    "least above greatest": (
        "factors:\n  bit_life: {distribution: uniform, least: 1.9, greatest: 1.1}",
        "line 2, factors[bit_life].greatest: found greatest 1.1 and least 1.9",
    ),
    "peak outside": (
        LAW + "{distribution: pert, least: 2 m3, most_likely: 9 m3, greatest: 8 m3}",
        "greatest: found greatest 8 m3 and most_likely 9 m3",
    ),
    "deviation of nothing": (
        LAW + "{distribution: normal, mean: 4 m3, standard_deviation: 0 m3}",
        "standard_deviation: found 0 m3; expected more than zero. Write 'distribution: fixed'",
    ),
    "deviation next to nothing": (
        LAW + "{distribution: lognormal, mean: 4 m3, standard_deviation: 1e-200 m3}",
        "standard_deviation: found 1e-200 m3; expected more than zero. Write 'distribution: fixed'",
    ),
    "another dimension": (
        LAW + "{distribution: uniform, least: 2 m, greatest: 8 m3}",
        "line 2, numbers[design_basis.kick_volume].least: found unit 'm'; expected a unit that",
    ),
    "out of the field's bounds": (
        "numbers:\n  design_basis.string_eccentricity: "
        "{distribution: uniform, least: 0, greatest: 1}",
        "line 2, numbers[design_basis.string_eccentricity].greatest: found '1'; "
        "expected at least 0 and less than 1",
    ),
    "lognormal below zero": (
        "numbers:\n  site.expected_inclination: {distribution: lognormal, p10: -1 deg, p90: 2 deg}",
        "more than zero, for a lognormal distribution",
    ),
    "nothing left of a law": (
        LAW + "{distribution: normal, mean: 4 m3, standard_deviation: 1 m3, least: 40 m3}",
        "mean: found mean 4 m3 and least 40 m3; expected mean above least",
    ),
    "scatter beyond sense": (
        LAW + "{distribution: lognormal, p10: 1e-3 m3, p90: 1e6 m3}",
        "p90: found 1e6 m3; expected at most 10000 times p10",
    ),
    "deviation beyond sense": (
        LAW + "{distribution: lognormal, mean: 1 m3, standard_deviation: 101 m3}",
        "standard_deviation: found 101 m3; expected at most 100 times mean",
    ),
    "number beyond sense": (
        LAW + "{distribution: uniform, least: 1 m3, greatest: 1e40 m3}",
        "greatest: found '1e40 m3'; expected at least 0",
    ),
    "no such number": (
        "numbers:\n  design_basis.kick_volum: {distribution: fixed}",
        "line 2, numbers[design_basis.kick_volum]: found 'kick_volum', of which there is none; "
        "expected a number of design_basis. Did you mean 'kick_volume'",
    ),
    "no such section": (
        "numbers:\n  plan.sections.section-171.flow_rate: {distribution: fixed}",
        "Did you mean 'section-1712'",
    ),
    "text": (
        "numbers:\n  plan.sections.section-1712.fluid: {distribution: fixed}",
        "found plan.sections[1].fluid, no number",
    ),
    "a block": (
        "numbers:\n  design_basis: {distribution: fixed}",
        "found design_basis, a block of keys",
    ),
    "a depth": (
        "numbers:\n  plan.target: {distribution: fixed}",
        "found plan.target, a depth",
    ),
    "not given": (
        "numbers:\n  design_basis.annulus_warming: {distribution: fixed}",
        "found design_basis.annulus_warming, which is not given",
    ),
    "twice": (
        "numbers:\n  plan.sections.section-1712.flow_rate: {distribution: fixed}\n"
        "  plan.sections[1].flow_rate: {distribution: fixed}",
        "line 3, numbers[plan.sections[1].flow_rate]: found plan.sections[1].flow_rate a second",
    ),
    "a count": (
        "numbers:\n  vessel.pumps.count: {distribution: uniform, least: 3, greatest: 4}",
        "found vessel.pumps.count as uniform; expected an empirical distribution of whole numbers",
    ),
    "weights of values": (
        LAW + "{distribution: empirical, values: [2 m3, 3 m3], weights: [1]}",
        "weights: found 1 weights; expected 2",
    ),
    "negative weight": (
        LAW + "{distribution: empirical, values: [2 m3, 3 m3], weights: [1, -1]}",
        "weights: found -1; expected weights of zero or more",
    ),
    "no such file": (
        LAW + "{distribution: empirical, file: kicks.csv, column: volume}",
        "kicks.csv: found no such file",
    ),
    "a path": (
        LAW + "{distribution: empirical, file: ../kicks.csv, column: volume}",
        "expected a file beside the document",
    ),
    "not correlated": (
        "correlations:\n  - {first: pore_pressure, second: hook_laod, rank: 0.5}",
        "line 2, correlations[0]: found 'hook_laod'; expected a curve, a factor or one of the "
        "numbers. Did you mean 'hook_load'",
    ),
    "with itself": (
        "correlations:\n  - {first: hook_load, second: hook_load, rank: 0.5}",
        "line 2, correlations[0]: found hook_load with itself",
    ),
    "with what is certain": (
        "curves: {temperature: {spread: 0}}\n"
        "correlations:\n  - {first: hook_load, second: temperature, rank: 0.5}",
        "line 3, correlations[0]: found temperature, which is certain",
    ),
    "rank of one": (
        "correlations:\n  - {first: hook_load, second: bit_life, rank: 1}",
        "line 2, correlations[0].rank: found '1'; expected less than 1",
    ),
    "not positive definite": (
        "correlations:\n  - {first: hook_load, second: bit_life, rank: 0.9}\n"
        "  - {first: bit_life, second: lifting, rank: 0.9}\n"
        "  - {first: hook_load, second: lifting, rank: -0.9}",
        "line 1, correlations: found rank correlations of bit_life, hook_load, lifting that no",
    ),
    "weights not one": (
        "alternatives:\n  - {name: a, weight: 0.5}\n  - {name: b, weight: 0.4}",
        "line 1, alternatives: found weights that sum to 0.9; expected a sum of 1",
    ),
    "name twice": (
        "alternatives:\n  - {name: a, weight: 0.5}\n  - {name: a, weight: 0.5}",
        "line 3, alternatives[1]: found 'a' a second time",
    ),
    "change of nothing": (
        "alternatives:\n  - name: a\n    weight: 1\n    changes:\n"
        "      - {of: pore_pressure, top: 10 m below sea bed}",
        "line 5, alternatives[0].changes[0]: found both or neither of add and times",
    ),
    "pressure multiplied": (
        "alternatives:\n  - {name: a, weight: 1, changes: [{of: pore_pressure, times: 1.1}]}",
        "found times, of pore_pressure; expected add",
    ),
    "rate added to": (
        "alternatives:\n  - {name: a, weight: 1, changes: [{of: rate_of_penetration, add: 1 m/h}]}",
        "found add, of rate_of_penetration; expected times",
    ),
    "depths upside down": (
        "alternatives:\n  - {name: a, weight: 1, changes: [{of: pore_pressure, add: 9 kg/m3, "
        "top: 30 m below sea bed, bottom: 20 m below sea bed}]}",
        "expected top above bottom",
    ),
    "change of an unknown": (
        "alternatives:\n  - {name: a, weight: 1, changes: [{of: plan.targt, times: 2}]}",
        "found 'targt', of which there is none",
    ),
    "no day": (
        "arrival: {earliest: 31 April, latest: 30 June}",
        "line 1, arrival.earliest: found '31 April'; expected a day of the year",
    ),
    "certain trouble": ("trouble: {chance: 1}", "line 1, trouble.chance: found '1'"),
    "unknown key": (
        "curve: {}",
        "line 1, curve: found the unknown key 'curve'; expected a key of the document. "
        "Did you mean 'curves'",
    ),
    "no YAML": ("curves: [", "uncertainty.yaml, line 2: found text that is not YAML"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_told_with_its_place(name: str, hole: Hole, tmp_path: Path) -> None:
    text, expected = FAULTS[name]
    told = "\n".join(map(str, faults(tmp_path, hole, text + "\n")))
    assert expected in told
    assert told.startswith(("uncertainty.yaml, ", "kicks.csv", "none.csv"))


def test_all_faults_are_told_at_once(hole: Hole, tmp_path: Path) -> None:
    text = (
        "curves: {pore_pressure: {spread: 5}}\n"
        "factors: {bit_life: {distribution: normal, p10: 2, p90: 1}, pace: {distribution: fixed}}\n"
        "numbers: {plan.nothing: {distribution: fixed}}\n"
    )
    lines = [fault.where.split(", ")[1] for fault in faults(tmp_path, hole, text)]
    assert sorted(lines) == ["line 1", "line 2", "line 2", "line 3"]


def test_a_column_that_the_earth_table_does_not_have_is_a_fault(tmp_path: Path) -> None:
    riserless = load_hole(EXAMPLES / "riserless")
    assert riserless.earth.has("collapse_pressure")
    numbers = {k: v for k, v in riserless.earth.numbers.items() if k != "collapse_pressure"}
    bare = Hole(
        riserless.document,
        type(riserless.earth)(
            riserless.earth.file,
            riserless.earth.depth_name,
            numbers,
            riserless.earth.words,
            riserless.earth.units,
            riserless.earth.lines,
        ),
        riserless.sea,
        riserless.tree,
    )
    text = "curves:\n  collapse_pressure: {spread: 5 kg/m3}\n"
    (told,) = faults(tmp_path, bare, text)
    assert "'collapse_pressure', which the table earth.csv does not give" in str(told)
    assert "collapse_pressure" not in load_uncertainty(tmp_path / "none", bare).by_key
