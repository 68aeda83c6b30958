"""Members by the chunk: here, on more cores, on other machines; kept on the way, merged in order.

A chunk is worked out from its number alone, so who worked it out, when, and how often he had
to begin again leaves no trace in the result: same inputs and seed, same bytes.
"""

from __future__ import annotations

import ctypes
import gc
import json
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, fields
from functools import cache
from importlib import import_module
from io import BytesIO
from itertools import islice
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Final, Literal, Protocol
from zipfile import BadZipFile

import numpy as np

from bathybore import __version__
from bathybore.base.errors import InputErrors
from bathybore.ensembles.drawing import CHUNK
from bathybore.ensembles.shapes import Outcome

MOST: Final = 2_000_000  # members whose outcomes stay below a gigabyte
_STAMP: Final = "run.json"
PATIENCE: Final = 10.0  # s to find a scheduler
_TRIES: Final = 4  # how often a broken set of workers is begun again
_TRIM_THRESHOLD: Final = -1  # glibc's M_TRIM_THRESHOLD and M_MMAP_THRESHOLD, of malloc.h
_MMAP_THRESHOLD: Final = -3
_AHEAD: Final = 4  # chunks a worker has before it: enough never to wait, few to hold


class Recipe(Protocol):
    """What a chunk is worked out from."""

    @property
    def stamp(self) -> str:
        """Return what tells these inputs from all others."""

    def chunk(self, first: int, count: int) -> Outcome:
        """Return what became of some members."""


Told = Callable[[int], None]


def run(
    recipe: Recipe,
    count: int,
    *,
    workers: int = 1,
    scheduler: str = "",
    keep: Path | None = None,
    told: Told = lambda done: None,
) -> Outcome:
    """Return what became of the first ``count`` members.

    Parameters
    ----------
    workers : processes on this machine
    scheduler : address of a Dask scheduler whose workers do it instead
    keep : folder that finished chunks are written to, and found in when the run begins again
    told : called with the number of members done so far

    Raises
    ------
    InputErrors
        Too many members, no such scheduler, or a folder that another run has left its chunks in.
    """
    if not 1 <= count <= MOST:
        raise InputErrors.one("members", str(count), f"1 to {MOST:,}")
    if workers < 1:
        raise InputErrors.one("workers", str(workers), "1 or more")
    jobs = _jobs(0, count)
    kept = _Kept(keep, recipe.stamp) if keep is not None else None
    done = {} if kept is None else {job: one for job in jobs if (one := kept.find(job)) is not None}
    open_jobs = [job for job in jobs if job not in done]
    finished = sum(members for _, _, members in done)
    told(finished)
    work = _far((recipe,), scheduler) if scheduler else _here((recipe,), workers)
    for job, outcome in work(open_jobs):
        if kept is not None:
            kept.write(job, outcome)
        done[job] = outcome
        finished += job[2]
        told(finished)
    return merged([done[job] for job in jobs])


def run_all(
    recipes: Sequence[Recipe],
    count: int,
    *,
    workers: int = 1,
    scheduler: str = "",
    told: Told = lambda done: None,
) -> list[Outcome]:
    """Return what became of the first ``count`` members of each recipe, as `run` one by one.

    Workers are begun once for all of them.

    Parameters
    ----------
    told : called with the number of chunks done so far
    """
    done = dict[Job, Outcome]()
    each = [_jobs(number, count) for number in range(len(recipes))]
    work = _far(recipes, scheduler) if scheduler else _here(recipes, workers)
    for job, outcome in work([job for jobs in each for job in jobs]):
        done[job] = outcome
        told(len(done))
    return [merged([done[job] for job in jobs]) for jobs in each]


Job = tuple[int, int, int]  # number of the recipe, first member and how many
_Work = Callable[[list[Job]], Iterator[tuple[Job, Outcome]]]


def _jobs(recipe: int, count: int) -> list[Job]:
    return [(recipe, first, min(CHUNK, count - first)) for first in range(0, count, CHUNK)]


def _here(recipes: Sequence[Recipe], workers: int) -> _Work:
    def one_by_one(jobs: list[Job]) -> Iterator[tuple[Job, Outcome]]:
        for job in jobs:
            yield job, _chunk_of(recipes, *job)

    def side_by_side(jobs: list[Job]) -> Iterator[tuple[Job, Outcome]]:
        todo = list(jobs)
        for left in reversed(range(_TRIES)):
            try:
                for job, outcome in _in_processes(recipes, workers, todo):
                    todo.remove(job)
                    yield job, outcome
                return
            except BrokenProcessPool:  # a worker was killed: what it had is done again
                if not left:
                    raise

    return one_by_one if workers == 1 else side_by_side


def _in_processes(
    recipes: Sequence[Recipe], workers: int, jobs: list[Job]
) -> Iterator[tuple[Job, Outcome]]:
    """Work out chunks in processes of their own: threads would wait for one another."""
    with ProcessPoolExecutor(
        min(workers, len(jobs) or 1),
        mp_context=get_context(_way_to_begin()),
        initializer=_take,
        initargs=(recipes,),
    ) as pool:
        futures = {pool.submit(_taken_chunk, *job): job for job in jobs}
        try:
            for future in as_completed(futures):
                yield futures[future], future.result()
        finally:
            pool.shutdown(cancel_futures=True)


def _way_to_begin() -> Literal["fork", "spawn"]:
    """Return how worker processes begin.

    One that is forked has imported everything and knows the plan, which costs another some
    seconds. Beside other threads a fork may inherit a lock that nobody will ever open.
    """
    return "fork" if sys.platform == "linux" and threading.active_count() == 1 else "spawn"


_TAKEN: list[Sequence[Recipe]] = []  # of a worker process


def _take(recipes: Sequence[Recipe]) -> None:
    _TAKEN[:] = [recipes]
    gc.freeze()  # what a fork inherits need not be looked through, nor copied for that


def _taken_chunk(recipe: int, first: int, count: int) -> Outcome:
    return _chunk_of(_TAKEN[0], recipe, first, count)


def _far(recipes: Sequence[Recipe], address: str) -> _Work:
    """Spread chunks over the workers of a scheduler; one that dies has its chunks done again."""
    try:
        engine: Any = import_module("distributed")
    except ImportError as error:
        fix = "Install it with: pip install 'bathybore[cluster]'"
        raise InputErrors.one("--scheduler", "no distributed", "the package", fix) from error

    def spread(jobs: list[Job]) -> Iterator[tuple[Job, Outcome]]:
        try:
            client = engine.Client(address, timeout=PATIENCE, set_as_default=False)
        except (OSError, ValueError, TimeoutError) as error:
            found = f"'{address}': {error}"
            wanted = "the address of a running scheduler, such as tcp://10.0.0.5:8786"
            raise InputErrors.one("--scheduler", found, wanted) from error
        with client:
            hands = _hands(client, address)
            # hashed by their contents they would take seconds, for a name that nobody asks for
            [shared] = client.scatter([tuple(recipes)], broadcast=True, hash=False)
            waiting, places = iter(jobs), dict[Any, Job]()

            def hand_out(count: int) -> list[Any]:
                futures = []
                for job in islice(waiting, count):
                    future = client.submit(_far_chunk, shared, *job, pure=False, retries=3)
                    places[future.key] = job
                    futures.append(future)
                return futures

            answers = engine.as_completed(hand_out(_AHEAD * hands), loop=client.loop)
            for future in answers:
                job = places.pop(future.key)
                outcome = future.result()
                future.release()
                for more in hand_out(1):
                    answers.add(more)
                yield job, outcome

    return spread


def _chunk_of(recipes: Sequence[Recipe], recipe: int, first: int, count: int) -> Outcome:
    return recipes[recipe].chunk(first, count)


def _far_chunk(recipes: Sequence[Recipe], recipe: int, first: int, count: int) -> Outcome:
    _hold_freed_memory()
    return _chunk_of(recipes, recipe, first, count)


@cache
def _hold_freed_memory() -> None:
    """Let this process keep memory that it has freed, for the next array.

    Whoever starts a Dask worker has the C library give memory back at once, so that every array
    of a chunk is fetched anew, page by page: that takes twice as long as the chunk itself.
    """
    library = ctypes.CDLL(None) if sys.platform == "linux" else None
    if library is not None and hasattr(library, "mallopt"):  # of glibc
        library.mallopt(_TRIM_THRESHOLD, 1 << 28)
        library.mallopt(_MMAP_THRESHOLD, 1 << 25)


def _version() -> str:
    return __version__


def _hands(client: Any, address: str) -> int:
    """Return how many tasks the workers take at a time, once all are known to be of this version.

    Raises
    ------
    InputErrors
        There are no workers, or one runs another version, whose numbers may be others.
    """
    versions = client.run(_version)
    if not versions:
        raise InputErrors.one(
            "--scheduler",
            f"'{address}' without workers",
            "at least one worker",
            f"Start one with: dask worker {address} --nthreads 1",
        )
    others = sorted({f"{one} at {where}" for where, one in versions.items() if one != __version__})
    if others:
        raise InputErrors.one(
            "--scheduler", f"Bathybore {', '.join(others)}", f"workers of version {__version__}"
        )
    return sum(client.nthreads().values())


def merged(outcomes: list[Outcome]) -> Outcome:
    """Return outcomes of members that follow one another as one."""
    first = outcomes[0]
    if len(outcomes) == 1:
        return first
    arrays = {name: np.concatenate([getattr(o, name) for o in outcomes]) for name in _ARRAYS}
    unjudged = {member: why for one in outcomes for member, why in one.unjudged.items()}
    return Outcome(first=first.first, unjudged=unjudged, **arrays)


_ARRAYS: Final = tuple(one.name for one in fields(Outcome) if one.name not in ("first", "unjudged"))


@dataclass(frozen=True)
class _Kept:
    """Finished chunks in a folder, each whole or not there."""

    folder: Path
    stamp: str

    def __post_init__(self) -> None:
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise _not_writable(self.folder, error) from error
        place = self.folder / _STAMP
        if place.exists():
            if _stamp_in(place) != self.stamp:
                raise InputErrors.one(
                    str(self.folder),
                    "chunks of a run with other inputs, another seed or another version",
                    "an empty folder, or that of this very run",
                    "Name another folder, or delete this one.",
                )
            return
        if any(self.folder.iterdir()):
            raise InputErrors.one(str(self.folder), "other files", "a new or an empty folder")
        _write(place, json.dumps({"stamp": self.stamp}).encode())

    def _place(self, job: Job) -> Path:
        return self.folder / f"members-{job[1]:07d}-{job[2]}.npz"

    def find(self, job: Job) -> Outcome | None:
        place = self._place(job)
        if not place.exists():
            return None
        try:
            with np.load(BytesIO(place.read_bytes()), allow_pickle=False) as data:
                arrays = {name: data[name] for name in _ARRAYS}
                told = json.loads(str(data["unjudged"]))
        except (OSError, ValueError, KeyError, BadZipFile) as error:
            found = f"a damaged chunk: {error}"
            raise InputErrors.one(str(place), found, "a chunk as written", "Delete it.") from error
        return Outcome(first=job[1], unjudged={int(k): v for k, v in told.items()}, **arrays)

    def write(self, job: Job, outcome: Outcome) -> None:
        data, arrays = BytesIO(), {name: getattr(outcome, name) for name in _ARRAYS}
        np.savez(data, unjudged=np.array(json.dumps(outcome.unjudged)), **arrays)
        _write(self._place(job), data.getvalue())


def _stamp_in(place: Path) -> str:
    try:
        return str(json.loads(place.read_text("utf-8"))["stamp"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise InputErrors.one(str(place), "no stamp of a run", "the file a run wrote") from error


def _write(place: Path, data: bytes) -> None:
    draft = place.with_suffix(".draft")
    try:
        draft.write_bytes(data)
        draft.replace(place)
    except OSError as error:
        raise _not_writable(place, error) from error


def _not_writable(place: Path, error: OSError) -> InputErrors:
    found = error.strerror or "it cannot be written"
    return InputErrors.one(str(place), found, "a folder that can be written")
