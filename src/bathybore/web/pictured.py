"""One walk with what is shown of it, made once for everybody who looks at the same."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar, cast

from bathybore.base.errors import Fault
from bathybore.base.units import UnitSystem
from bathybore.operations.mud_account import MudAccount
from bathybore.storage.records import Revision
from bathybore.usecases import riser_in_sea
from bathybore.usecases.circulating import StepCirculation, circulation
from bathybore.usecases.kicking import SectionKick, kicks, sections_with_kicks
from bathybore.usecases.mud_account import account_of
from bathybore.usecases.picturing import picture, scene, verdicts
from bathybore.usecases.riser_told import RiserPart
from bathybore.usecases.scene import Picture, Scene, Verdicts
from bathybore.usecases.station_keeping import Kept, part_of
from bathybore.usecases.steel_choice import SteelChoice, steel_choices
from bathybore.usecases.string_reach import StringReach, string_reach
from bathybore.usecases.walking import Walk, study
from bathybore.web.answers import encoded
from bathybore.web.ledger_page import Judged, judged
from bathybore.web.outlook import Outlook
from bathybore.web.placing_page import Placing, PlacingKind, found_in
from bathybore.web.view import View

Parts = Mapping[str, bytes]
_T = TypeVar("_T")


class Pictured:
    """The walk of a revision; what is shown of it is made when first asked for, and kept.

    Attributes
    ----------
    quick : the walk as it was judged while hands moved
    walk : the same, with the longer questions once they were asked
    """

    def __init__(self, walk: Walk, revision: int) -> None:
        self.quick = walk
        self.walk = walk
        self.revision = revision
        self._lock = threading.Lock()
        self._kept: dict[Hashable, Any] = {}

    def study(self, wanted: Callable[[], bool] = lambda: True) -> bool:
        """Ask the longer questions too, while it is wanted; return whether they were asked."""
        self.walk = study(self.walk, wanted)
        return self.walk.studied

    def scene(self, view: View) -> Scene:
        walk = self.walk
        return self._once(
            ("scene", walk.studied, view),
            lambda: scene(walk, view.step, view.units, view.datum, view.string),
        )

    def picture_parts(self, view: View) -> Parts:
        """Return each part of the scene that waits for no verdict as JSON, by its name."""
        walk, of = self.walk, (view.step, view.units, view.datum)
        return self._once(("picture", *of), lambda: _parts(picture(walk, *of)))

    def verdict_parts(self, view: View) -> Parts:
        """Return the other parts of the scene as JSON, by their name."""
        walk, of = self.walk, (view.step, view.units, view.string)
        return self._once(("verdicts", walk.studied, *of), lambda: _parts(verdicts(walk, *of)))

    def judged(self, units: UnitSystem) -> Judged:
        walk = self.walk
        return self._once(("judged", walk.studied, units), lambda: judged(walk, units))

    def steel(self) -> tuple[SteelChoice, ...]:
        return self._once("steel", lambda: steel_choices(self.walk))

    def string(self) -> StringReach:
        return self._once("string", lambda: string_reach(self.walk))

    def circulation(self, step: str) -> StepCirculation:
        return self._once(("circulation", step), lambda: circulation(self.walk, step))

    def placing(self, kind: PlacingKind) -> tuple[Placing, ...]:
        return self._once(("placing", kind), lambda: found_in(self.walk, kind))

    def kicks(self) -> tuple[SectionKick, ...]:
        """Return the design kick of every section with a riser; none where no riser is run."""
        walk = self.walk
        if not sections_with_kicks(walk):
            return ()
        return self._once(("kicks", walk.studied), lambda: kicks(walk))

    def mud(self) -> MudAccount:
        return self._once("mud", lambda: account_of(self.walk))

    def station(self, part: str) -> Kept | None:
        return self._once(("station", part), lambda: part_of(self.walk, part))

    def riser(self, part: str) -> RiserPart | None:
        return self._once(("riser", part), lambda: riser_in_sea.part_of(self.walk, part))

    def outlook(self, key: Hashable, make: Callable[[], Outlook]) -> Outlook:
        """Return reach and odds for what is uncertain, told apart by ``key``."""
        return self._once(("outlook", key), make)

    def _once(self, key: Hashable, make: Callable[[], _T]) -> _T:
        """Make something once. Two who ask at the same time may both make it: it is the same."""
        with self._lock:
            if key in self._kept:
                return cast("_T", self._kept[key])
        made = make()
        with self._lock:
            return cast("_T", self._kept.setdefault(key, made))


@dataclass(frozen=True)
class Snapshot:
    """The newest revision as it is shown.

    Attributes
    ----------
    revision : the newest; its walk is ``pictured`` unless it has faults
    pictured : the walk of the newest revision that could be walked; None if none ever could
    studied : its longer questions were asked too
    """

    revision: Revision
    faults: tuple[Fault, ...]
    pictured: Pictured | None
    studied: bool = False

    @property
    def can_undo(self) -> bool:
        return self.revision.undo_to is not None

    @property
    def can_redo(self) -> bool:
        return self.revision.redo_to is not None


def _parts(shown: Picture | Verdicts) -> Parts:
    return {name: encoded(part) for name, part in vars(shown).items()}
