"""How each limit is filled in every picture: colour and hatching, so that grey print tells them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from matplotlib.axes import Axes
from matplotlib.patches import Patch

from bathybore.drawings import palette
from bathybore.drawings.picture import foot_legend
from bathybore.ensembles.shapes import Limit


@dataclass(frozen=True)
class Fill:
    """How an area is filled; edges and hatching are drawn in ink."""

    colour: str
    hatch: str = ""

    def drawn(self) -> dict[str, Any]:
        """Return it as the drawing library wants it."""
        return {
            "facecolor": self.colour,
            "edgecolor": palette.INK,
            "hatch": self.hatch,
            "linewidth": 0.4,
        }


FILLS: Final[dict[Limit, Fill]] = {
    Limit.WINDOW: Fill(palette.VERMILION),
    Limit.CAVING: Fill(palette.REDDISH_PURPLE, "...."),
    Limit.DIAMETER: Fill(palette.BLUE),
    Limit.PIPE: Fill(palette.SKY_BLUE, "////"),
    Limit.CASING: Fill("#9A9A9A", "||||"),
    Limit.HOIST: Fill(palette.ORANGE, "xxxx"),
    Limit.PUMPS: Fill(palette.BLUISH_GREEN, "----"),
    Limit.CLEANING: Fill(palette.YELLOW, "...."),
    Limit.RISER: Fill(palette.SKY_BLUE),
    Limit.PREVENTER: Fill("#4D4D4D"),
    Limit.HEAT: Fill(palette.ORANGE),
    Limit.STOCK: Fill(palette.YELLOW, r"\\\\"),
    Limit.WEATHER: Fill(palette.WATER, "xxxx"),
    Limit.DAYS: Fill(palette.BLUISH_GREEN),
    Limit.OTHER: Fill("#FFFFFF", "////"),
}


def limit_legend(paper: Axes, limits: dict[Limit, str], y: float, columns: int) -> None:
    """Set a frameless legend of limits, each with its words, centred ``y`` mm down the sheet."""
    handles = [Patch(**FILLS[limit].drawn(), label=words) for limit, words in limits.items()]
    foot_legend(paper, handles, y, columns, handlelength=2.4, handleheight=1.1, columnspacing=1.4)
