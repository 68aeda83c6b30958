"""Drawing members: every quantity from a stream of random numbers of its own.

A stream belongs to one quantity and one chunk of members. So the numbers of a member depend on
neither how many are asked for, nor on who works them out, nor on what else is uncertain.
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import blake2b
from typing import Final

import numpy as np
from scipy.special import ndtri

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors, nearest
from bathybore.base.units import show
from bathybore.ensembles.correlation import scores_together
from bathybore.ensembles.distributions import values_of
from bathybore.ensembles.shapes import Drawn, Flags, Frame, Indices
from bathybore.model.files import shown
from bathybore.model.uncertain import Arrival, Change, Trouble, Uncertain, Uncertainty
from bathybore.operations.columns import gravity
from bathybore.operations.weather_series import DAY, Series, series_of

CHUNK: Final = 512  # members of one stream; part of what a seed means, not to be changed
ALTERNATIVES: Final = "alternatives"
TROUBLE: Final = "trouble"
ARRIVAL: Final = "arrival"
_ARRIVAL_YEAR: Final = "year of arrival"
TROUBLE_FACTOR: Final = "design_basis.trouble_factor"


def draw(
    uncertainty: Uncertainty,
    frame: Frame,
    seed: int,
    first: int,
    count: int,
    other: frozenset[str] = frozenset(),
    other_seed: int | None = None,
) -> Drawn:
    """Draw members ``first`` to ``first + count``.

    Parameters
    ----------
    first : a multiple of CHUNK
    count : 1 to CHUNK
    other : groups of `groups` that are drawn by ``other_seed`` instead

    Raises
    ------
    InputErrors
        An alternative takes a number where it makes no sense, or trouble is told of no step.
    """
    if first % CHUNK or not 0 < count <= CHUNK:
        raise ValueError(f"members {first} to {first + count} are no chunk of {CHUNK}")
    unknown = other - set(groups(uncertainty))
    if unknown or (other and other_seed is None):
        raise ValueError(f"no groups {sorted(unknown)}, or no seed for {sorted(other)}")
    return _Drawing(
        uncertainty, frame, _Streams(seed, first // CHUNK, other, other_seed), count
    ).drawn(first)


def central(uncertainty: Uncertainty, frame: Frame) -> Drawn:
    """Return one member with everything as planned, for comparison with the plan's own walk.

    It arrives in the middle of the time of arrival; trouble takes what the plan's factor says.
    """
    arrival = uncertainty.arrival
    numbers = {
        one.key: np.full(1, one.planned) for one in uncertainty.quantities if one.kind != "curve"
    }
    share = frame.hole.basis.trouble_factor - 1.0
    return Drawn(
        0,
        1,
        planned_curves(frame),
        numbers,
        np.full(1, -1, dtype=np.intp),
        np.full((1, len(frame.states)), share),
        np.full(1, 0.5 * (arrival.earliest + arrival.latest)),
        np.zeros(1, dtype=np.intp),
    )


def quantity_names(uncertainty: Uncertainty) -> tuple[str, ...]:
    """Return the name of everything that is drawn."""
    return tuple(name for group in _grouped(uncertainty).values() for name in group)


def groups(uncertainty: Uncertainty) -> tuple[str, ...]:
    """Return the names of what is drawn independently: quantities, or several that correlate."""
    return tuple(_grouped(uncertainty))


def _grouped(uncertainty: Uncertainty) -> dict[str, tuple[str, ...]]:
    grouped = {" + ".join(group): group for group in uncertainty.groups}
    if uncertainty.alternatives:
        grouped[ALTERNATIVES] = (ALTERNATIVES,)
    grouped[TROUBLE] = (TROUBLE,)
    if uncertainty.arrival.earliest < uncertainty.arrival.latest:
        grouped[ARRIVAL] = (ARRIVAL,)
    return grouped


def planned_curves(frame: Frame) -> dict[str, Array]:
    """Return every column of numbers of the earth table (1, node), NaN where it is not given."""
    earth = frame.hole.earth
    columns = [name for name in earth.numbers if name != earth.depth_name and earth.has(name)]
    return {name: earth.at(name, frame.depth)[None, :] for name in columns}


@dataclass(frozen=True)
class _Streams:
    """Random numbers by quantity, for one chunk of members."""

    seed: int
    chunk: int
    other: frozenset[str]
    other_seed: int | None

    def of(self, name: str, group: str) -> np.random.Generator:
        # a name's digest is the same in every process, which its hash is not
        digest = blake2b(name.encode(), digest_size=8).digest()
        words = (int.from_bytes(digest[:4], "little"), int.from_bytes(digest[4:], "little"))
        seed = self.other_seed if group in self.other else self.seed
        sequence = np.random.SeedSequence(seed, spawn_key=(*words, self.chunk))
        return np.random.Generator(np.random.PCG64(sequence))


class _Drawing:
    """One chunk of members being drawn."""

    def __init__(
        self, uncertainty: Uncertainty, frame: Frame, streams: _Streams, count: int
    ) -> None:
        self.uncertainty, self.frame = uncertainty, frame
        self.streams, self.count = streams, count
        self.scores = self._scores()
        self.alternatives = self._alternatives()

    def drawn(self, first: int) -> Drawn:
        curves = self._curves()
        mended = _mend(curves, self.count)
        numbers = self._numbers()
        trouble, start = self._trouble(numbers), self._start()
        chosen = self.alternatives
        return Drawn(first, self.count, curves, numbers, chosen, trouble, start, mended)

    def _scores(self) -> dict[str, Array]:
        scores: dict[str, Array] = {}
        lengths = {one.key: one.correlation_length for one in self.uncertainty.quantities}
        for group in self.uncertainty.groups:
            generators = {name: self.streams.of(name, " + ".join(group)) for name in group}
            depth, correlations = self.frame.depth, self.uncertainty.correlations
            scores |= scores_together(group, correlations, lengths, depth, generators, self.count)
        return scores

    def _alternatives(self) -> Indices:
        """Return which alternative holds for each member."""
        if not self.uncertainty.alternatives:
            return np.full(self.count, -1, dtype=np.intp)
        reached = np.cumsum([one.weight for one in self.uncertainty.alternatives])
        chance = self.streams.of(ALTERNATIVES, ALTERNATIVES).random(self.count)
        return np.searchsorted(reached[:-1], chance, side="right").astype(np.intp)

    def _changes(self, key: str) -> list[tuple[Flags, Change]]:
        """Return what alternatives change of a quantity, and for which members (member, 1)."""
        return [
            ((self.alternatives == index)[:, None], change)
            for index, one in enumerate(self.uncertainty.alternatives)
            for change in one.changes
            if change.of == key
        ]

    def _curves(self) -> dict[str, Array]:
        """Return the planned curves, with what is uncertain of them drawn."""
        curves = planned_curves(self.frame)
        for one in self.uncertainty.quantities:
            if one.kind == "curve":
                curves[one.key] = self._curve(one, curves[one.key])
        return curves

    def _curve(self, one: Uncertain, planned: Array) -> Array:
        """Return a curve as it is drawn, with what alternatives change of it."""
        depth, foot = self.frame.depth, _foot(one, planned)
        curve = planned if one.certain else self._moved(one, planned)
        for holds, change in self._changes(one.key):
            here = holds & (depth >= change.top) & (depth <= change.bottom)
            if one.is_pressure:
                changed = curve + gravity(self.frame.hole) * depth * change.add
            else:
                changed = foot + (curve - foot) * change.times
            curve = np.where(here, changed, curve)
        return curve

    def _moved(self, one: Uncertain, planned: Array) -> Array:
        """Return a curve with something added, or with what it is above its foot multiplied."""
        depth, moved = self.frame.depth, values_of(one.law, self.scores[one.key])
        if one.profile is not None:
            return np.asarray(planned + np.interp(depth, *one.profile) * moved)
        if one.is_pressure:
            below = np.maximum(depth - one.top, 0.0)
            return planned + gravity(self.frame.hole) * below * moved
        foot = _foot(one, planned)
        return np.asarray(foot + (planned - foot) * moved)

    def _numbers(self) -> dict[str, Array]:
        numbers = {}
        for one in self.uncertainty.quantities:
            if one.kind != "curve":
                value = np.full(self.count, one.planned)
                if not one.certain:
                    value = values_of(one.law, self.scores[one.key])[:, 0]
                numbers[one.key] = self._changed(one, value)
        return numbers

    def _changed(self, one: Uncertain, value: Array) -> Array:
        for holds, change in self._changes(one.key):
            value = np.where(holds[:, 0], value * change.times + change.add, value)
            wrong = [v for v in (value.min(), value.max()) if not one.law.bounds.hold(float(v))]
            if wrong:
                found = f"{one.key} of {show(float(wrong[0]), one.unit)}"
                raise InputErrors.one(change.where, found, one.law.bounds.told(one.unit))
        return value

    def _trouble(self, numbers: dict[str, Array]) -> Array:
        """Return the share of each step's net time that trouble adds (member, step).

        With the chance p a step meets trouble, which then adds a share of its net time that is
        lognormal with mean m and standard deviation v m: ln of it is normal with variance
        s2 = ln(1 + v2) and mean ln m - s2 / 2. The expectation is p m. Where m is not told it
        is (f - 1) / p, so that the expectation is that of the plan, whose trouble factor f
        multiplies the net time of every step.
        """
        states = self.frame.states
        told = self._told_trouble()
        steps = [told.get(state.step.name, told[""]) for state in states]
        factor = self.frame.hole.basis.trouble_factor
        planned = numbers.get(TROUBLE_FACTOR, np.full(self.count, factor))[:, None] - 1.0
        chance = np.array([one.chance for one in steps])
        share = [np.nan if one.mean_share is None else one.mean_share for one in steps]
        mean = np.where(np.isnan(share), planned / chance, share)
        variance = np.log1p(np.array([one.variation for one in steps]) ** 2)
        scores = self.streams.of(TROUBLE, TROUBLE).standard_normal((self.count, len(steps), 2))
        size = mean * np.exp(np.sqrt(variance) * scores[:, :, 1] - 0.5 * variance)
        return np.where(scores[:, :, 0] < ndtri(chance), size, 0.0)

    def _told_trouble(self) -> dict[str, Trouble]:
        names = [state.step.name for state in self.frame.states]
        for name, trouble in self.uncertainty.trouble.items():
            if name and name not in names:
                fix = nearest(name, names) or f"There are: {', '.join(names)}."
                raise InputErrors.one(trouble.where, f"'{shown(name)}'", "a step of the plan", fix)
        return self.uncertainty.trouble

    def _start(self) -> Array:
        """Return when members arrive; where a series of weather is given, when it is known.

        Days that are told are those of every year that the series holds.
        """
        arrival, weather = self.uncertainty.arrival, self.frame.hole.weather
        share = self.streams.of(ARRIVAL, ARRIVAL).random(self.count)
        if weather is None or not arrival.earliest < arrival.latest:
            return np.asarray(arrival.earliest + (arrival.latest - arrival.earliest) * share)
        series = series_of(weather).in_whole_years
        if arrival.any_time:
            return series.calendar(series.time[0] + series.known * share)
        _refuse_unknown(arrival, weather.file, series)
        earliest = series.each_turn(arrival.earliest)
        known = series.known_in(earliest, series.each_turn(arrival.latest))
        chance = self.streams.of(_ARRIVAL_YEAR, ARRIVAL).random(self.count)
        reached = np.cumsum(known)
        year = np.searchsorted(reached[:-1], chance * reached[-1], side="right")
        return series.calendar(series.clock(earliest)[year] + share * known[year])


def _refuse_unknown(arrival: Arrival, file: str, series: Series) -> None:
    """Refuse days of arrival on which the series knows of no weather in any year."""
    days = np.arange(arrival.earliest, arrival.latest - 0.5 * DAY, DAY)
    turns = series.each_turn(0.0)[:, None]
    known = series.known_in(days + turns, days + DAY + turns).max(axis=0)
    unknown = np.flatnonzero(known <= 0.0)
    if len(unknown):
        first = int(days[unknown[0]] // DAY) % 365 + 1
        raise InputErrors.one(
            str(arrival.origin),
            f"{len(unknown)} days of arrival, day {first} of the year the first, on which "
            f"{file} knows of no weather",
            "days that the series holds in one year at least",
            "Tell other days of arrival, or a series that holds these.",
        )


def _foot(one: Uncertain, planned: Array) -> Array | float:
    """Return what of a curve is certain: the temperature of the sea bed."""
    return planned[:, :1] if one.key == "temperature" else 0.0


def _mend(curves: dict[str, Array], count: int) -> Indices:
    """Raise fracture pressure to pore pressure where it was drawn below it; count the nodes.

    Rock cannot be cracked by less than its own pores hold. The member goes on with a window of no
    width there, which ends it; nothing else is changed.
    """
    pore, fracture = curves["pore_pressure"], curves["fracture_pressure"]
    below = fracture < pore
    if below.any():
        curves["fracture_pressure"] = np.maximum(fracture, pore)
    nodes: Indices = np.count_nonzero(np.broadcast_to(below, (count, below.shape[1])), axis=1)
    return nodes
