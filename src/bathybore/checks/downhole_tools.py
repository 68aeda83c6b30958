"""Do the tools of the string work at the planned flow, and does its motor turn the bit?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.model.hole import Setting
from bathybore.model.plan import Section
from bathybore.operations.downhole_tools import torque_of_bit
from bathybore.operations.state import HoleState, PartInHole, StringInHole

LEAST = Question(
    "tool-flow-low",
    Discipline.FLOW,
    "Is the planned flow enough for every tool of the string?",
    "More flow, or a tool made for less.",
    "Asked of tools that tell the least flow they work with.",
)
GREATEST = Question(
    "tool-flow-high",
    Discipline.FLOW,
    "Does every tool of the string bear the planned flow?",
    "Less flow, or a tool made for more.",
    "Asked of tools that tell the greatest flow they bear.",
)
TORQUE = Question(
    "motor-torque",
    Discipline.FLOW,
    "Does the motor give the torque that the bit takes, within its rated torque?",
    "Less weight on bit, a bit that bites less, or a stronger motor.",
    "Torque by the bit's friction in the design basis; a bit that catches takes more, and stalls "
    "the motor.",
)


def downhole_tool_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge what the tools of the string tell about themselves; one that tells nothing is not."""
    activity = state.activity
    if activity.string is None or activity.flow_rate is None or activity.section is None:
        return
    step, setting = state.step.name, state.hole.setting
    yield from _flows(step, setting, activity.string, activity.flow_rate)
    yield from _torques(step, setting, activity.string, activity.section)


@kept(SOME)
def _flows(
    step: str, setting: Setting, string: StringInHole, flow: Value
) -> tuple[CheckRecord, ...]:
    """Judge the tool that needs most, and the one that bears least."""
    found = list[CheckRecord]()
    if needs := _told(string, "least_flow_rate"):
        part, least = max(needs, key=lambda one: float(one[1]))
        found.append(_judged(step, setting, LEAST, part, least, flow))
    if bears := _told(string, "greatest_flow_rate"):
        part, most = min(bears, key=lambda one: float(one[1]))
        found.append(_judged(step, setting, GREATEST, part, flow, most))
    return tuple(found)


@kept(SOME)
def _torques(
    step: str, setting: Setting, string: StringInHole, section: Section
) -> tuple[CheckRecord, ...]:
    """Judge the weakest motor: all of them carry the torque of the bit."""
    taken = torque_of_bit(setting, string, section)
    if taken is None:
        return ()
    part, borne = min(_told(string, "rated_torque"), key=lambda one: float(one[1]))
    return (_judged(step, setting, TORQUE, part, taken, borne),)


def _judged(
    step: str, setting: Setting, question: Question, part: PartInHole, demand: Value, has: Value
) -> CheckRecord:
    assert part.tool is not None  # only such parts tell one
    note = f"{part.tool.name.capitalize()} in {part.pipe.name}."
    place, band = setting.depth(part.bottom), setting.basis.tight_band
    return judge(step, question, demand, has, band, place, note=note)


def _told(string: StringInHole, what: str) -> list[tuple[PartInHole, Value]]:
    """Return the parts whose tool tells a number, and the number."""
    tooled = [(part, part.tool) for part in string.parts if part.tool is not None]
    return [
        (part, tool.value(what, "bit_torque" if what == "rated_torque" else "flow_rate"))
        for part, tool in tooled
        if getattr(tool, what) is not None
    ]
