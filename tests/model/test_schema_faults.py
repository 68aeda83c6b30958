"""Every kind of slip in hole.yaml: the fault names file, line, key, found, expected and the fix."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hole_folder import Folder


@dataclass(frozen=True)
class Slip:
    """One slip of the pen in the template, and what must be said about it."""

    name: str
    old: str
    new: str
    key: str
    found: str
    expected: str
    fix: str = ""


SLIPS = [
    Slip(
        "unknown key",
        "  water_depth: 1850 m",
        "  water_dept: 1850 m",
        "site.water_dept",
        "the unknown key 'water_dept'",
        "a key of site",
        "Did you mean 'water_depth'?",
    ),
    Slip(
        "unknown key far from all",
        "  target_radius: 25 m",
        "  target_radius: 25 m\n  xyz: 3",
        "site.xyz",
        "the unknown key 'xyz'",
        "a key of site",
        "Keys not used yet: acoustic_tolerance",
    ),
    Slip(
        "missing key",
        "    beam: 22 m ",
        "    # no beam",
        "vessel.hull.beam",
        "nothing",
        "the key 'beam'",
    ),
    Slip(
        "bare number",
        "water_depth: 1850 m",
        "water_depth: 1850  ",
        "site.water_depth",
        "the bare number 1850",
        "a number with a unit, such as '10 m'",
        "Write the unit beside it.",
    ),
    Slip(
        "unit of another dimension",
        "water_depth: 1850 m",
        "water_depth: 1850 kg",
        "site.water_depth",
        "unit 'kg'",
        "a unit that converts to m",
    ),
    Slip(
        "unknown unit",
        "hook_capacity: 5.3 MN",
        "hook_capacity: 5.3 klbff",
        "vessel.hoist.hook_capacity",
        "'klbff'",
        "a unit such as",
        "Did you mean 'klbf'?",
    ),
    Slip(
        "arithmetic for a unit",
        "water_depth: 1850 m",
        "water_depth: 1850 m**9**9**9",
        "site.water_depth",
        "'m**9**9**9'",
        "a unit such as",
    ),
    Slip(
        "decimal comma",
        "peak_period: 9.5 s",
        "peak_period: 9,5 s",
        "site.environment.peak_period",
        "'9,5 s' with a decimal comma",
        "a decimal point",
        "Write '9.5 s'.",
    ),
    Slip(
        "a word for a number",
        "peak_period: 9.5 s",
        "peak_period: long",
        "site.environment.peak_period",
        "'long'",
        "a number with a unit",
    ),
    Slip(
        "a number of endless length",
        "peak_period: 9.5 s",
        "peak_period: 1e999 s",
        "site.environment.peak_period",
        "'1e999 s'",
        "a finite number",
    ),
    Slip(
        "a list for a number",
        "peak_period: 9.5 s",
        "peak_period: [9.5 s]",
        "site.environment.peak_period",
        "a list of 1",
        "a number with a unit",
    ),
    Slip(
        "no value",
        "peak_period: 9.5 s",
        "peak_period:      ",
        "site.environment.peak_period",
        "no value",
        "a number with a unit",
    ),
    Slip(
        "zero where more is needed",
        "water_depth: 1850 m",
        "water_depth: 0 m   ",
        "site.water_depth",
        "'0 m'",
        "more than 0",
    ),
    Slip(
        "share above one",
        "    #share_of_time_exceeded: 0.1 ",
        "    share_of_time_exceeded: 1.1 ",
        "site.environment.share_of_time_exceeded",
        "'1.1'",
        "less than 1",
    ),
    Slip(
        "unit on a ratio",
        "excess: 0.5 ",
        "excess: 0.5 m",
        "plan.sections[0].casing.cement.excess",
        "unit 'm'",
        "a pure number",
    ),
    Slip(
        "depth without datum",
        "target: 700 m below sea bed",
        "target: 700 m              ",
        "plan.target",
        "'700 m'",
        "a depth with unit and datum",
        "Datums are",
    ),
    Slip(
        "depth as a number",
        "target: 700 m below sea bed",
        "target: 700                ",
        "plan.target",
        "700",
        "a depth with unit and datum",
        "No depth stands without a datum.",
    ),
    Slip(
        "a liner hung nowhere",
        "        #hung_at: wellhead ",
        "        hung_at: welhead ",
        "plan.sections[0].casing.hung_at",
        "'welhead'",
        "'wellhead' or a depth with unit and datum",
        "Did you mean 'wellhead'?",
    ),
    Slip(
        "a word out of a list of words",
        "      returns: sea floor                # sea floor, or riser",
        "      returns: seafloor",
        "plan.sections[0].returns",
        "'seafloor'",
        "'sea floor' or 'riser'",
        "Did you mean 'sea floor'?",
    ),
    Slip(
        "kind of pipe",
        "kind: heavy",
        "kind: heavi",
        "inventory.pipe[hw-5].kind",
        "'heavi'",
        "'pipe', 'heavy' or 'collar'",
        "Did you mean 'heavy'?",
    ),
    Slip(
        "no is a word",
        "          #through_inner_string: false",
        "          through_inner_string: no",
        "plan.sections[0].casing.cement.through_inner_string",
        "'no'",
        "true or false",
        "words in YAML 1.2",
    ),
    Slip(
        "true is no count",
        "      count: 2\n      life: 60 h                        # rotating on bottom",
        "      count: true\n      life: 60 h",
        "inventory.bits[0].count",
        "'true'",
        "a whole number",
    ),
    Slip(
        "half a pump",
        "    count: 2\n    power_each",
        "    count: 2.5\n    power_each",
        "vessel.pumps.count",
        "'2.5'",
        "a whole number",
    ),
    Slip(
        "number for a word",
        "  name: Small Auk (invented)",
        "  name: 12",
        "vessel.name",
        "'12'",
        "text",
        "in quotes",
    ),
    Slip(
        "name with capitals",
        "    - name: open-hole",
        "    - name: Open Hole",
        "plan.sections[1].name",
        "'Open Hole'",
        "small letters, digits and hyphens",
    ),
    Slip(
        "a block where a list belongs",
        "    - diameter: 17 1/2 in               # of the hole it cuts\n      count: 2\n"
        "      life: 60 h                        # rotating on bottom\n"
        "    - diameter: 9 7/8 in\n      count: 3\n      life: 60 h\n",
        "    diameter: 9 7/8 in\n    count: 3\n    life: 60 h\n",
        "inventory.bits",
        "a block of keys",
        "a list",
    ),
    Slip(
        "a word where a block belongs",
        "  switchboards:                         "
        "# name of each board: power its engines can give it\n"
        "    port-board: 8 MW\n    starboard-board: 8 MW\n",
        "  switchboards: two\n",
        "vessel.switchboards",
        "'two'",
        "a block of keys",
    ),
    Slip(
        "both pairs of coordinates",
        "    northing: 5102450 m  ",
        "    latitude: 46 deg\n    longitude: 2 deg\n    northing: 5102450 m  ",
        "site.position",
        "neither or both of the two pairs",
        "either easting and northing, or latitude and longitude",
    ),
    Slip(
        "an edit of nothing",
        "  #step_edits:  ",
        "  step_edits:\n    - {step: surveying, why: none}  ",
        "plan.step_edits[0]",
        "nothing to do",
        "step with remove, duration or move_after",
    ),
    Slip(
        "a step left out and told something else",
        "  #step_edits:  ",
        "  step_edits:\n    - {step: plug, remove: true, duration: 1 h, why: both}  ",
        "plan.step_edits[0]",
        "a step removed and changed in one",
        "remove alone",
    ),
    Slip(
        "fluid not declared",
        "      fluid: sea-water                  # a name of plan.fluids",
        "      fluid: seawater",
        "plan.sections[0].fluid",
        "'seawater'",
        "a name declared in plan.fluids",
        "Did you mean 'sea-water'?",
    ),
    Slip(
        "slurry not declared",
        "slurry: light                 # a name of plan.slurries",
        "slurry: lihgt",
        "plan.sections[0].casing.cement.slurry",
        "'lihgt'",
        "a name declared in plan.slurries",
        "Did you mean 'light'?",
    ),
    Slip(
        "string not declared",
        "string: drilling                  # a name of plan.strings",
        "string: driling",
        "plan.sections[0].string",
        "'driling'",
        "a name declared in plan.strings",
        "Did you mean 'drilling'?",
    ),
    Slip(
        "pipe not declared",
        "- pipe: hw-5",
        "- pipe: hw-6",
        "plan.strings[drilling][1].pipe",
        "'hw-6'",
        "a name declared in inventory.pipe",
        "Did you mean 'hw-5'?",
    ),
    Slip(
        "casing not declared",
        "pipe: casing-1338               # a name of inventory.casing",
        "pipe: casing-1383",
        "plan.sections[0].casing.pipe",
        "'casing-1383'",
        "a name declared in inventory.casing",
        "Did you mean 'casing-1338'?",
    ),
    Slip(
        "switchboard not declared",
        "      switchboard: port-board           # the board that feeds it",
        "      switchboard: prot-board",
        "vessel.thrusters[0].switchboard",
        "'prot-board'",
        "a name declared in vessel.switchboards",
        "Did you mean 'port-board'?",
    ),
    Slip(
        "plug slurry not declared",
        "        slurry: neat\n        #tested",
        "        slurry: quite-other\n        #tested",
        "plan.leaving.plugs[0].slurry",
        "'quite-other'",
        "a name declared in plan.slurries",
        "Declared there: light, neat.",
    ),
]


@pytest.mark.parametrize("slip", SLIPS, ids=[slip.name for slip in SLIPS])
def test_slip_is_told_with_place_found_expected_and_fix(folder: Folder, slip: Slip) -> None:
    before = folder.text()
    after = folder.replace(slip.old, slip.new).text()
    (fault,) = folder.faults()
    assert fault.where == f"hole.yaml, line {_line_of_key(before, after, slip)}, {slip.key}"
    assert fault.found == slip.found
    assert fault.expected.startswith(slip.expected)
    assert slip.fix in fault.fix
    assert bool(slip.fix) <= bool(fault.fix)


def _line_of_key(before: str, after: str, slip: Slip) -> int:
    """Return the line where the key of the slip stands, found without any parser of ours."""
    lines_before, lines_after = before.split("\n"), after.split("\n")
    first = next(
        n
        for n, pair in enumerate(zip(lines_before, lines_after, strict=False))
        if len(set(pair)) > 1
    )
    if slip.name == "a block where a list belongs":
        return next(n for n, text in enumerate(lines_after, 1) if text.startswith("  bits:"))
    if slip.name == "missing key":
        return next(n for n, text in enumerate(lines_after, 1) if text.startswith("  hull:"))
    if slip.name == "both pairs of coordinates":
        return next(n for n, text in enumerate(lines_after, 1) if "  position:" in text)
    key = slip.key.rsplit(".", 1)[-1].split("[")[0]
    if slip.name in ("an edit of nothing", "a step left out and told something else"):
        return first + 2  # the item stands on the line after its list's key
    return next(n for n in range(first, len(lines_after)) if f"{key}:" in lines_after[n]) + 1


def test_every_fault_is_told_at_once(folder: Folder) -> None:
    folder.replace("water_depth: 1850 m", "water_depth: 1850").replace(
        "    beam: 22 m", "    beem: 22 m"
    ).replace("run_on: drilling ", "run_on: driling ")
    folder.replace("5,mud,18.75", "5,mud,abc", "earth.csv").replace("24.0,", "2400,", "sea.csv")
    places = [fault.where for fault in folder.faults()]
    assert [place.split(", ")[-1] for place in places] == [
        "site.water_depth",
        "vessel.hull.beem",
        "plan.conductor.run_on",
        "column pore_pressure",
        "column temperature",
    ]


def test_hundreds_of_faults_are_cut_and_counted(folder: Folder) -> None:
    unknown = "".join(f"unknown_{n}: 1\n" for n in range(500))
    faults = folder.write(folder.text() + "\n" + unknown).faults()
    assert len(faults) == 101
    assert faults[-1].found == "more than 100 faults"


def test_control_characters_do_not_reach_the_terminal(folder: Folder) -> None:
    (fault,) = folder.replace("peak_period: 9.5 s", r'peak_period: "\e[31m9 s"').faults()
    assert "\x1b" not in str(fault)
    assert "\\x1b" in fault.found
