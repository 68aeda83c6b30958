"""The reach of the hole in a folder, with the spread of an ensemble where one is wanted."""

from __future__ import annotations

from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.ensembles.telling import Told
from bathybore.usecases.odds import OddsOrder, ensemble_at, odds
from bathybore.usecases.reach import Reach, reach, with_odds


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
    ensemble = ensemble_at(path, seed, told)
    hole, uncertainty = ensemble.frame.hole, ensemble.uncertainty
    found = reach(hole, uncertainty, units, told, reliefs, ensemble.ledger)
    if not members:
        return found
    return with_odds(found, odds(ensemble, OddsOrder(members=members, seed=seed), told).odds)
