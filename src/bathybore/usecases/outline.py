"""The hole to scale after a step: what was drilled, what stands, hangs and fills it."""

from __future__ import annotations

from bathybore.operations.state import CasingInPlace, HoleState, PartInHole
from bathybore.operations.steps import StepKind
from bathybore.usecases.scene import Cut, HoleSection, Layer, Part, RiserTube, Span, Steel

# steps whose string is pulled again before they end; it is shown where it was judged
_WORKED_WITH = frozenset(
    (
        StepKind.DRILL,
        StepKind.CORE,
        StepKind.TEST_SHOE,
        StepKind.CIRCULATE,
        StepKind.WIPER_TRIP,
    )
)


def drilled(state: HoleState) -> tuple[Cut, ...]:
    """Return the holes that were drilled, cased since or not, from the sea bed down."""
    cuts, top = [], float(state.hole.sea_bed)
    for casing in state.casings:
        shoe = float(casing.shoe)
        cuts.append(Cut(casing.name, top, shoe, float(casing.hole_diameter), True))
        top = shoe
    for piece in state.open_hole:
        ends = float(piece.top), float(piece.bottom)
        cuts.append(Cut(piece.section, *ends, float(piece.diameter), False))
    return tuple(cuts)


def hole_section(state: HoleState) -> HoleSection:
    """Return the hole as a step leaves it, but with the string it was judged with.

    A string that drills, cores or tests a shoe is pulled before the step ends; the hole is
    judged with it at its deepest, so it is drawn there, in the fluid that it worked in. After
    a release or a plug nothing hangs in the hole.
    """
    activity = state.activity
    string, layers = state.string, state.layers
    if state.step.kind in _WORKED_WITH:
        string, layers = activity.string, activity.layers or state.layers
    hanging = () if state.hanging_casing is None else (_steel(state.hanging_casing, False),)
    return HoleSection(
        bottom=float(state.bottom),
        cuts=drilled(state),
        steel=(*(_steel(casing, True) for casing in state.casings), *hanging),
        layers=tuple(
            Layer(one.name, one.fluid.density, float(one.top), float(one.bottom)) for one in layers
        ),
        string_name=string.name if string is not None else "",
        string=tuple(_part(one) for one in reversed(string.parts)) if string is not None else (),
        riser=_riser(state),
        plugs=tuple(
            Span(f"plug {number}", float(plug.top), float(plug.bottom))
            for number, plug in enumerate(state.plugs, start=1)
        ),
        core=_core(state),
    )


def _steel(casing: CasingInPlace, standing: bool) -> Steel:
    cemented = casing.cement_top is not None
    return Steel(
        name=casing.name,
        pipe=casing.pipe.designation,
        top=float(casing.top),
        shoe=float(casing.shoe),
        outside_diameter=float(casing.pipe.outside_diameter),
        inside_diameter=float(casing.pipe.inside_diameter),
        hole_diameter=float(casing.hole_diameter),
        conductor=casing.is_conductor,
        standing=standing,
        cement_top=float(casing.cement_top) if casing.cement_top is not None else None,
        cement_bottom=float(casing.shoe) if cemented else None,
    )


def _part(part: PartInHole) -> Part:
    pipe = part.pipe
    return Part(
        name=pipe.designation,
        kind=pipe.stock.kind,
        top=float(part.top),
        bottom=float(part.bottom),
        outside_diameter=float(pipe.outside_diameter),
        inside_diameter=float(pipe.inside_diameter),
    )


def _riser(state: HoleState) -> RiserTube | None:
    riser, stock = state.riser, state.hole.inventory
    if riser is None:
        return None
    inside = float(riser.inside_diameter)
    return RiserTube(
        top=float(riser.top),
        preventer_top=float(riser.bottom) - (stock.preventer.height if stock.preventer else 0.0),
        bottom=float(riser.bottom),
        outside_diameter=stock.riser.outside_diameter if stock.riser is not None else inside,
        inside_diameter=inside,
    )


def _core(state: HoleState) -> Span | None:
    coring = state.hole.plan.coring
    if coring is None or state.cored <= 0.0:
        return None
    return Span("core", float(state.hole.z(coring.top)), float(state.hole.z(coring.bottom)))
