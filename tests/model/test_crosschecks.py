"""Sentences that must hold between the parts of a document, each broken once."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hole_folder import Folder


@dataclass(frozen=True)
class Break:
    """A change that breaks one sentence; ``at`` is the line's text in the changed file."""

    name: str
    old: str
    new: str
    at: str
    key: str
    found: str
    expected: str


BREAKS = [
    Break("section above the one before", "bottom: 700 m below sea bed\n      returns",
          "bottom: 400 m below sea bed\n      returns", "bottom: 400 m", "plan.sections[1].bottom",
          "400 m below sea bed",
          "a depth below the bottom of section top-hole, 420 m below sea bed"),
    Break("sections of one depth, other datums", "bottom: 700 m below sea bed\n      returns",
          "bottom: 2281 m below drill floor\n      returns", "bottom: 2281 m",
          "plan.sections[1].bottom", "2281 m below drill floor",
          "a depth below the bottom of section top-hole, 2281 m below drill floor"),
    Break("shoe below its hole", "shoe: 410 m below sea bed", "shoe: 421 m below sea bed",
          "shoe: 421 m", "plan.sections[0].casing.shoe", "421 m below sea bed",
          "a depth at or above the bottom of section top-hole, 420 m below sea bed"),
    Break("shoe above the shoe before", "shoe: 410 m below sea bed", "shoe: 55 m below sea bed",
          "shoe: 55 m", "plan.sections[0].casing.shoe", "55 m below sea bed",
          "a depth below the conductor's shoe, 60 m below sea bed"),
    Break("conductor in the water", "shoe: 60 m below sea bed", "shoe: 60 m below sea level",
          "shoe: 60 m", "plan.conductor.shoe", "60 m below sea level",
          "a depth below the sea bed, 1850 m below sea level"),
    Break("cement below the shoe", "top: 0 m below sea bed ", "top: 411 m below sea bed ",
          "top: 411 m", "plan.sections[0].casing.cement.top", "411 m below sea bed",
          "a depth above the shoe of casing-1338, 410 m below sea bed"),
    Break("cement in the water", "top: 0 m below sea bed ", "top: 5 m above sea bed ",
          "top: 5 m", "plan.sections[0].casing.cement.top", "5 m above sea bed",
          "a depth at or below the sea bed, 0 m below sea bed"),
    Break("tail without depth", "          tail_top: 350 m below sea bed",
          "          # no tail_top",
          " tail_slurry: neat", "plan.sections[0].casing.cement.tail_slurry",
          "tail_slurry without tail_top", "both or neither"),
    Break("tail above the lead", "tail_top: 350 m below sea bed", "tail_top: 5 m above sea bed",
          "tail_top: 5 m", "plan.sections[0].casing.cement.tail_top", "5 m above sea bed",
          "a depth below the top of the cement, 0 m below sea bed"),
    Break("spacer without volume", "          #spacer: pad-mud ", "          spacer: pad-mud ",
          " spacer: pad-mud", "plan.sections[0].casing.cement.spacer",
          "a spacer of no volume", "both spacer and spacer_volume, or neither"),
    Break("liner hung below the shoe above", "        #hung_at: wellhead ",
          "        hung_at: 70 m below sea bed ", "hung_at: 70", "plan.sections[0].casing.hung_at",
          "70 m below sea bed", "a depth above the conductor's shoe, 60 m below sea bed"),
    Break("pilot wider than hole", "      #pilot_bit: 12 1/4 in ", "      pilot_bit: 18 in ",
          " pilot_bit: 18 in", "plan.sections[0].pilot_bit", "18 in",
          "less than the hole diameter, 17.5 in"),
    Break("booster without riser",
          "      #booster_flow_rate: 0 L/min       # into the foot of the riser\n      noz",
          "      booster_flow_rate: 900 L/min\n      noz", " booster_flow_rate: 900",
          "plan.sections[0].booster_flow_rate", "a booster flow without a riser", "returns: riser"),
    Break("sections of one name", "- name: open-hole", "- name: top-hole", "- name: top-hole\n",
          "plan.sections[1].name", "'top-hole' a second time", "another name for each section"),
    Break("casing called as the conductor", "name: casing-1338 ", "name: conductor          ",
          "        name: conductor          ", "plan.sections[0].casing.name",
          "'conductor' a second time",
          "another name for each casing"),
    Break("thrusters of one name", "- name: stern-port", "- name: bow-port",
          " name: bow-port\n      forward: -60",
          "vessel.thrusters[2].name", "'bow-port' a second time", "another name for each thruster"),
    Break("part without length", "      - pipe: hw-5\n        length: 60 m\n",
          "      - pipe: hw-5\n",
          "- pipe: hw-5", "plan.strings[drilling][1].pipe", "no length for 'hw-5'", "a length;"),
    Break("string of nothing", "    open-ended:\n      - pipe: dp-5\n", "    open-ended: []\n",
          "open-ended: []", "plan.strings[open-ended]", "an empty list", "at least 1 in the list"),
    Break("plug upside down", "bottom: 470 m below sea bed", "bottom: 340 m below sea bed",
          "bottom: 340 m", "plan.leaving.plugs[0].bottom", "340 m below sea bed",
          "a depth below its own top, 350 m below sea bed"),
    Break("plug below the hole", "bottom: 470 m below sea bed", "bottom: 710 m below sea bed",
          "bottom: 710 m", "plan.leaving.plugs[0].bottom", "710 m below sea bed",
          "a depth at or above the bottom of section open-hole, 700 m below sea bed"),
    Break("plugs out of order", "    string: open-ended                  # that",
          "      - {top: 500 m below sea bed, bottom: 600 m below sea bed, slurry: neat}\n"
          "    string: open-ended                  # that", "top: 500 m",
          "plan.leaving.plugs[1].bottom", "600 m below sea bed",
          "a depth at or above the top of the plug listed before it (deepest first), 350 m"),
    Break("target below the hole", "target: 700 m below sea bed", "target: 701 m below sea bed",
          "target: 701 m", "plan.target", "701 m below sea bed",
          "a depth at or above the bottom of section open-hole, 700 m below sea bed"),
    Break("flow line above the floor", "flow_line_height: 9 m", "flow_line_height: 12 m",
          "flow_line_height: 12", "vessel.flow_line_height", "12 m",
          "a height not above the drill floor, 11 m"),
    Break("reference system as prose", 'crs: "EPSG:32631"', "crs: UTM zone 31", "crs: UTM",
          "site.position.crs", "'UTM zone 31'", "an authority and its code, such as 'EPSG:32656'"),
    Break("unknown reference system", 'crs: "EPSG:32631"', 'crs: "EPSG:99999"', "crs: ",
          "site.position.crs", "'EPSG:99999'", "a coordinate reference system that is known"),
    Break("geographic system for easting", 'crs: "EPSG:32631"', 'crs: "EPSG:4326"', "crs: ",
          "site.position.crs", "'EPSG:4326', WGS 84", "a projected system in metres"),
    Break("feet for metres", 'crs: "EPSG:32631"', 'crs: "EPSG:2263"', "crs: ",
          "site.position.crs", "'EPSG:2263'", "a projected system in metres"),
    Break("exchanged coordinates", "easting: 431200 m", "easting: 5102450 m", "easting:",
          "site.position.easting", "easting 5102450 m, northing 5102450 m",
          "a point in the area of use of EPSG:32631 (0 to 6 deg east, 0 to 84 north)"),
]  # fmt: skip


@pytest.mark.parametrize("broken", BREAKS, ids=[broken.name for broken in BREAKS])
def test_broken_sentence_is_told(folder: Folder, broken: Break) -> None:
    folder.replace(broken.old, broken.new)
    text = folder.text()
    assert text.count(broken.at) == 1
    line = text[: text.index(broken.at)].count("\n") + 1
    faults = {fault.where: fault for fault in folder.faults()}
    fault = faults[f"hole.yaml, line {line}, {broken.key}"]
    assert plain(fault.found).startswith(broken.found)
    assert plain(fault.expected).startswith(broken.expected)


def plain(text: str) -> str:
    """Take out the narrow spaces between thousands."""
    return text.replace("\u202f", "")


def test_the_sections_of_one_depth_break_only_that(folder: Folder) -> None:
    folder.replace("- name: open-hole", "- name: top-hole")
    assert len(folder.faults()) == 1


def uncomment(text: str, key: str) -> str:
    """Switch on an optional block of the template."""
    lines, inside = [], False
    for line in text.split("\n"):
        if line.startswith(f"  #{key}:"):
            inside = True
        elif not line.startswith("  #  "):
            inside = False
        lines.append(line.replace("#", "", 1) if inside else line)
    return "\n".join(lines)


def with_riser(folder: Folder) -> Folder:
    text = folder.text().replace(
        "      bottom: 700 m below sea bed\n      returns: sea floor",
        "      bottom: 700 m below sea bed\n      returns: riser",
    )
    return folder.write(text)


def test_depths_that_differ_do_not_look_alike(folder: Folder) -> None:
    (fault,) = folder.replace("shoe: 410 m below", "shoe: 420.004 m below").faults()
    assert fault.found == "420.004 m below sea bed"


def test_cement_goes_through_no_tool(folder: Folder) -> None:
    tool = "{pressure_loss: 1 MPa, flow_rate: 2000 L/min, density: 1.00 sg}"
    part = f"- {{pipe: dp-5, length: 20 m, tool: {tool}}}"
    folder.replace("    open-ended:\n", f"    open-ended:\n      {part}\n")
    faults = folder.faults()
    named = [fault.where.rpartition(", ")[2] for fault in faults]
    assert named == ["plan.sections[0].casing.run_on", "plan.leaving.string"]
    assert all("with a motor or measuring tool" in fault.found for fault in faults)


def test_an_open_hole_grows_only_with_a_pilot_bit(folder: Folder) -> None:
    text = folder.text()
    start, end = text.index("      casing:  "), text.index("    - name: open-hole")
    folder.write(text[:start] + text[end:])
    folder.replace("hole_diameter: 9 7/8 in\n      bot", "hole_diameter: 18 1/2 in\n      bot")
    line = folder.line_of("hole_diameter: 18 1/2")
    fault = next(f for f in folder.faults() if "wider than the section above" in f.found)
    assert fault.where == f"hole.yaml, line {line}, plan.sections[1].hole_diameter"
    assert fault.expected == "at most 17.5 in, the hole of section top-hole"
    folder.replace("18 1/2 in\n", "18 1/2 in\n      pilot_bit: 12 1/4 in\n").load()


def test_a_riser_section_needs_riser_preventer_and_tensioners(folder: Folder) -> None:
    with_riser(folder)
    line = folder.line_of("returns: riser")
    faults = folder.faults()
    assert {fault.where for fault in faults} == {
        f"hole.yaml, line {line}, plan.sections[1].returns"
    }
    assert [fault.found for fault in faults] == [
        "'riser', but no inventory.riser",
        "'riser', but no inventory.preventer",
        "'riser', but no vessel.tensioners",
    ]
    text = folder.text()
    for key in ("riser", "preventer", "tensioners"):
        text = uncomment(text, key)
    assert folder.write(text).load().plan.sections[1].returns == "riser"


def test_the_riser_stays_once_it_stands(folder: Folder) -> None:
    text = folder.text()
    for key in ("riser", "preventer", "tensioners"):
        text = uncomment(text, key)
    folder.write(text).replace("returns: sea floor                # sea", "returns: riser # sea")
    (fault,) = folder.faults()
    assert fault.where.endswith("plan.sections[1].returns")
    assert fault.found == "'sea floor' below a section with riser"


def test_a_booster_flow_needs_a_booster_line(folder: Folder) -> None:
    text = folder.text()
    for key in ("riser", "preventer", "tensioners"):
        text = uncomment(text, key)
    with_riser(folder.write(text)).replace("    booster_line_diameter: 3 in ", "    #boost")
    folder.replace(
        "      flow_rate: 2800 L/min", "      flow_rate: 1 m3/s\n      booster_flow_rate: 1 m3/s"
    )
    (fault,) = folder.faults()
    assert fault.where == (
        f"hole.yaml, line {folder.line_of(' booster_flow_rate: 1 m3/s')}, "
        "plan.sections[1].booster_flow_rate"
    )
    assert fault.found == "a booster flow, but no booster line"


@pytest.mark.parametrize(
    ("old", "new", "key", "expected"),
    [
        ("top: 600 m", "top: 400 m", "top", "a depth at or below the shoe of casing-1338, 410 m"),
        ("top: 600 m", "top: 415 m", "top", "a depth at or below the bottom of section top-hole"),
        ("top: 600 m", "top: 705 m", "bottom", "a depth below its own top, 705 m"),
        ("bottom: 700 m below sea bed\n    least", "bottom: 710 m below sea bed\n    least",
         "bottom", "a depth at or above the bottom of section open-hole, 700 m"),
    ],
)  # fmt: skip
def test_coring_lies_in_the_last_open_hole(
    folder: Folder, old: str, new: str, key: str, expected: str
) -> None:
    folder.write(uncomment(uncomment(folder.text(), "coring"), "core_barrel")).replace(old, new)
    wanted = [fault for fault in folder.faults() if fault.where.endswith(f"plan.coring.{key}")]
    assert any(fault.expected.startswith(expected) for fault in wanted)


def test_coring_needs_a_core_barrel(folder: Folder) -> None:
    (fault,) = folder.write(uncomment(folder.text(), "coring")).faults()
    assert fault.where == f"hole.yaml, line {folder.line_of('  coring:')}, plan.coring"
    assert fault.found == "coring, but no inventory.core_barrel"


def test_a_geographic_position(folder: Folder) -> None:
    folder.replace('crs: "EPSG:32631"', 'crs: "EPSG:4326"')
    folder.replace("easting: 431200 m", "latitude: 46 deg").replace(
        "northing: 5102450 m", "longitude: -179.9 deg"
    )
    assert folder.load().site.position.latitude == pytest.approx(0.8028514559173916)
    folder.replace("latitude: 46 deg", "latitude: 96 deg")
    (fault,) = folder.faults()
    assert fault.where.endswith(f"line {folder.line_of('latitude: 96')}, site.position.latitude")
    assert fault.found == "96.00000 deg"


def test_an_area_across_the_180th_meridian(folder: Folder) -> None:
    """NZGD2000 is used from 160.6 deg east to 171.2 deg west."""
    folder.replace('crs: "EPSG:32631"', 'crs: "EPSG:4167"')
    folder.replace("easting: 431200 m", "latitude: -40 deg").replace(
        "northing: 5102450 m", "longitude: -179 deg"
    ).load()
    (fault,) = folder.replace("longitude: -179 deg", "longitude: 20 deg").faults()
    assert "area of use of EPSG:4167" in fault.expected


def test_earth_table_ends_above_the_bottom(folder: Folder) -> None:
    lines = folder.text("earth.csv").rstrip("\n").split("\n")
    folder.write("\n".join(lines[:-2]), "earth.csv")
    (fault,) = folder.faults()
    assert fault.where == f"earth.csv, line {len(lines) - 2}, column depth_below_sea_bed"
    assert fault.found == "the last row at 650 m below sea bed"
    line = folder.line_of("  target:")
    assert (
        fault.expected == f"rows down to 700 m below sea bed (hole.yaml, line {line}, plan.target)"
    )


def test_sea_table_ends_above_the_sea_bed(folder: Folder) -> None:
    folder.replace("1850,2.4", "1849,2.4", "sea.csv")
    (fault,) = folder.faults()
    assert fault.where.endswith("column depth_below_sea_level")
    assert fault.where.startswith("sea.csv, line ")
    assert fault.found.replace("\u202f", "") == "the last row at 1849 m below sea level"
    assert "site.water_depth" in fault.expected


@pytest.mark.parametrize("pressure", ["0", "17.9", "20.1"])
def test_fracture_pressure_at_the_sea_bed_is_that_of_the_sea(folder: Folder, pressure: str) -> None:
    """From 1,000 kg/m3 (18.14 MPa) to 1,065 kg/m3 (19.32 MPa) over 1,850 m, by hand."""
    folder.replace("0,mud,18.70,18.70", f"0,mud,0,{pressure}", "earth.csv")
    (fault,) = folder.faults()
    assert fault.where.endswith("column fracture_pressure")
    assert "18.13 MPa to 19.33 MPa" in fault.expected
