"""The reach of the hole in a folder, with the spread of an ensemble where one is wanted."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.model.loading import document_file, load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.usecases.odds import OddsOrder, ensemble_of, odds
from bathybore.usecases.reach import Reach, reach, with_spreads

Told = Callable[[str, int, int], None]


def reach_at(
    path: Path, members: int, seed: int, units: UnitSystem, reliefs: bool, told: Told
) -> Reach:
    """Return the reach of the hole in a folder or file.

    Parameters
    ----------
    members : drawn for the spread of every limit; 0 leaves it out

    Raises
    ------
    InputErrors
        The hole or what is uncertain of it cannot be used.
    OrderError
        The plan cannot be walked.
    """
    hole = load_hole(path)
    uncertainty = load_uncertainty(document_file(path).parent, hole)
    ensemble = ensemble_of(hole, uncertainty, seed, told)
    found = reach(hole, uncertainty, units, told, reliefs, ensemble.ledger)
    if not members:
        return found
    drawn = odds(ensemble, OddsOrder(members=members, seed=seed), told).odds
    return with_spreads(found, {one.limit: one.depth for one in drawn.bites}, members)
