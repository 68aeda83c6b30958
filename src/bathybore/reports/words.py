"""Sentences that every programme carries, whatever its numbers."""

from __future__ import annotations

from typing import Final

from bathybore.checks.record import Status

WHO_DECIDES: Final = (
    "The tool advises; the licensed engineer, the vessel's procedures and the coastal state's "
    "rules decide."
)

# Common practice of the trade; each stands in every programme, whatever the checks say.
STANDING_CAUTIONS: Final = (
    "Shallow gas: without a preventer there is nothing to close. If gas flows, leave: keep the "
    "vessel free to move off, and do not wait for a measurement.",
    "Narrow margins: where pore and fracture pressure lie close, a trip, a connection or a full "
    "annulus of cuttings is enough to leave the window. Watch returns and pits, not the plan.",
    "Losing station with pipe across the shear rams: know at every moment what stands in the "
    "preventer and whether it can be cut. Collars, casing and tool joints mostly cannot.",
    "Hydrates: gas and cold water make ice in choke and kill lines and on connectors. Displace and "
    "inhibit before the flow stops, not after.",
    "High-pressure tests: nobody near the line, volumes small, pressure in steps, one person "
    "in charge.",
    "Simultaneous lifting: two cranes, or a crane over a string in the water, only under one plan "
    "and one voice.",
)

SIGN: Final = {
    str(Status.HOLDS): "●",
    str(Status.TIGHT): "▲",
    str(Status.FAILS): "✖",
    str(Status.NOT_JUDGED): "?",
    str(Status.OUTSIDE_VALIDITY): "!",
}
