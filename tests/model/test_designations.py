"""Pipe and grades that no catalogue holds, and sizes that cannot go into one another."""

from __future__ import annotations

import pytest
from hole_folder import Folder


@pytest.mark.parametrize(
    ("old", "new", "key", "found", "fix"),
    [
        ("size: 13 3/8 in 72 lb/ft", "size: 13 3/8 in 73 lb/ft",
         "inventory.casing[casing-1338].size",
         "'13 3/8 in 73 lb/ft'", "Did you mean '13 3/8 in 7"),
        ("grade: N-80", "grade: N-81", "inventory.casing[casing-1338].grade", "'N-81'",
         "Did you mean 'N-80'?"),
        ("size: 5 in 19.5 lb/ft ", "size: 5 in 18.5 lb/ft ", "inventory.pipe[dp-5].size",
         "'5 in 18.5 lb/ft S-135'", "Did you mean '5 in 19.5 lb/ft S-135'?"),
        ("      #grade: S-135 ", "      grade: S-136 ", "inventory.pipe[dp-5].grade", "'S-136'",
         "Did you mean 'S-135'?"),
        ("size: 5 in 19.5 lb/ft ", "size: 5 in 19.5 lb/ft E-75 ", "inventory.pipe[dp-5].size",
         "'5 in 19.5 lb/ft E-75' of grade S-135", "Write grade: E-75"),
        ("size: 8 in x 2 13/16 in", "size: 8 in x 2 15/16 in", "inventory.pipe[dc-8].size",
         "'8 in x 2 15/16 in'", "Did you mean '8 in x 2 13/16 in'?"),
        ("size: 5 in x 3 in ", "size: 5 in 49.3 lb/ft ", "inventory.pipe[hw-5].size",
         "'5 in 49.3 lb/ft'", ""),
        ("grade: E-75", "grade: E-76", "inventory.pipe[hw-5].grade", "'E-76'",
         "Did you mean 'E-75'?"),
        ("size: 20 in 133 lb/ft ", "size: 20/0 in 133 lb/ft ",
         "inventory.casing[conductor-20].size",
         "'20/0 in 133 lb/ft'", ""),
    ],
)  # fmt: skip
def test_unknown_designation(
    folder: Folder, old: str, new: str, key: str, found: str, fix: str
) -> None:
    folder.replace(old, new)
    (fault,) = folder.faults()
    assert fault.where == f"hole.yaml, line {folder.line_of(new.strip())}, {key}"
    assert fault.found == found
    assert fault.expected
    assert fault.fix.startswith(fix)


def test_a_hole_wider_than_the_bore_above(folder: Folder) -> None:
    """13 3/8 in 72 lb/ft has a wall of 0.514 in (API 5CT): its bore is 12.347 in."""
    folder.replace(
        "hole_diameter: 9 7/8 in\n      bottom", "hole_diameter: 12 3/8 in\n      bottom"
    )
    (fault,) = folder.faults()
    line = folder.line_of("hole_diameter: 12 3/8")
    assert fault.where == f"hole.yaml, line {line}, plan.sections[1].hole_diameter"
    assert fault.found == "12.375 in"
    assert fault.expected == "at most the bore of casing-1338, 12.347 in"
    assert "pilot_bit" in fault.fix
    folder.replace("12 3/8 in\n", "12 3/8 in\n      pilot_bit: 12 1/4 in\n").load()
    folder.replace("pilot_bit: 12 1/4 in\n", "pilot_bit: 12.36 in\n")
    (fault,) = folder.faults()
    assert fault.where.endswith("plan.sections[1].pilot_bit")


def test_a_casing_wider_than_its_hole(folder: Folder) -> None:
    folder.replace("hole_diameter: 17 1/2 in", "hole_diameter: 13 3/8 in")
    (fault,) = folder.faults()
    line = folder.line_of("pipe: casing-1338 ")
    assert fault.where == f"hole.yaml, line {line}, plan.sections[0].casing.pipe"
    assert fault.found == "a pipe of 13.375 in outside diameter"
    assert fault.expected == "less than its hole, 13.375 in"


def test_a_casing_wider_than_the_bore_above(folder: Folder) -> None:
    folder.replace("pipe: casing-1338 ", "pipe: conductor-20 ").replace(
        "hole_diameter: 17 1/2 in", "hole_diameter: 22 in\n      pilot_bit: 17 1/2 in"
    )
    (fault,) = folder.faults()
    assert fault.found == "a pipe of 20 in outside diameter"
    assert fault.expected.startswith("less than the bore of conductor, 18.73 in")


OWN = """size: special
      outside_diameter: {outside}
      wall: {wall}
      linear_mass: 40 kg/m
      tool_joint_diameter: {joint}
"""


def with_own(folder: Folder, outside: str, wall: str, joint: str) -> Folder:
    lines = folder.text().split("\n")
    at = next(n for n, line in enumerate(lines) if "size: 5 in 19.5 lb/ft" in line)
    lines[at] = "      " + OWN.format(outside=outside, wall=wall, joint=joint)
    return folder.write("\n".join(lines))


def test_pipe_that_no_catalogue_lists(folder: Folder) -> None:
    stock = with_own(folder, "5 in", "0.5 in", "6 5/8 in").load().inventory.pipe["dp-5"]
    assert stock.described


def test_pipe_that_cannot_be(folder: Folder) -> None:
    with_own(folder, "5 in", "2.5 in", "4 in")
    wall, joint = folder.faults()
    assert wall.where == f"hole.yaml, line {folder.line_of('wall: 2.5')}, inventory.pipe[dp-5].wall"
    assert (wall.found, wall.expected) == ("2.5 in", "less than half of the outside diameter, 5 in")
    assert joint.where.endswith("inventory.pipe[dp-5].tool_joint_diameter")
    assert (joint.found, joint.expected) == ("4 in", "at least the outside diameter, 5 in")
