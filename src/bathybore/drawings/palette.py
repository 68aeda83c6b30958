"""Colours that colour-blind readers tell apart, and line styles that grey print keeps apart.

The eight colours are those of Okabe and Ito, Color Universal Design (2008). No line is
told from another by its colour alone: style, width or a label differs too.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from bathybore.usecases.pressures import LABELS

BLACK: Final = "#000000"
ORANGE: Final = "#E69F00"
SKY_BLUE: Final = "#56B4E9"
BLUISH_GREEN: Final = "#009E73"
YELLOW: Final = "#F0E442"
BLUE: Final = "#0072B2"
VERMILION: Final = "#D55E00"
REDDISH_PURPLE: Final = "#CC79A7"

INK: Final = "#1A1A1A"
QUIET: Final = "#5A5A5A"  # 6.9 to 1 on white: small print stays legible
FAINT: Final = "#C9C9C9"
WATER: Final = "#E3F1FB"
STEEL: Final = "#222222"
CEMENT: Final = "#BDBDBD"


@dataclass(frozen=True)
class Stroke:
    """How one kind of line is drawn everywhere, and what it is called."""

    label: str
    colour: str
    width: float
    dashes: tuple[float, ...] = ()

    @property
    def style(self) -> str | tuple[float, tuple[float, ...]]:
        return (0.0, self.dashes) if self.dashes else "-"


PORE: Final = Stroke(LABELS["pore"], BLUE, 1.6)
NEEDED: Final = Stroke(LABELS["needed"], BLUE, 0.7)
COLLAPSE: Final = Stroke(LABELS["collapse"], REDDISH_PURPLE, 1.3, (1.0, 1.4))
FRACTURE: Final = Stroke(LABELS["fracture"], VERMILION, 1.6, (7.0, 2.0))
BORNE: Final = Stroke(LABELS["borne"], VERMILION, 0.7, (7.0, 2.0))
AT_REST: Final = Stroke(LABELS["at_rest"], INK, 2.4)
CIRCULATING: Final = Stroke(LABELS["circulating"], BLUISH_GREEN, 1.5, (4.0, 1.5, 1.0, 1.5))
