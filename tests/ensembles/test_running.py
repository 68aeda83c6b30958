"""Chunks of members: whoever works them out, the result has the same bytes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import cloudpickle
import made_up
import numpy as np
import pytest
from made_up import Recipe

from bathybore.base.errors import InputErrors
from bathybore.ensembles import running
from bathybore.ensembles.drawing import CHUNK
from bathybore.ensembles.running import MOST, run, run_all
from bathybore.ensembles.shapes import Outcome

COUNT = 4 * CHUNK + 7


def as_bytes(outcome: Outcome) -> bytes:
    parts = [getattr(outcome, one.name) for one in fields(Outcome)]
    return b"".join(p.tobytes() if isinstance(p, np.ndarray) else repr(p).encode() for p in parts)


@pytest.fixture(scope="module")
def plain() -> bytes:
    return as_bytes(run(Recipe(), COUNT))


def test_members_follow_one_another(plain: bytes) -> None:
    by_hand = [made_up.outcome(first, CHUNK).days for first in range(0, 4 * CHUNK, CHUNK)]
    whole = run(Recipe(), COUNT)
    assert np.array_equal(whole.days[: 4 * CHUNK], np.concatenate(by_hand))
    assert len(whole.days) == COUNT
    assert set(whole.unjudged) == {n * CHUNK for n in range(5)}
    assert as_bytes(whole) == plain


def test_more_workers_change_nothing(plain: bytes) -> None:
    assert as_bytes(run(Recipe(), COUNT, workers=2)) == plain


@pytest.mark.parametrize("workers", [1, 2])
def test_runs_made_together_are_the_same_runs(workers: int, plain: bytes) -> None:
    told: list[int] = []
    each = (Recipe(), Recipe(seed=2))
    one, other = run_all(each, COUNT, workers=workers, told=told.append)
    assert as_bytes(one) == plain
    assert as_bytes(other) == as_bytes(run(Recipe(seed=2), COUNT))
    assert told == list(range(1, 11))  # five chunks of each


def test_a_process_that_begins_anew_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where a fork will not do: on other systems, or beside other threads."""
    monkeypatch.setattr(running, "_way_to_begin", lambda: "spawn")
    assert as_bytes(run(Recipe(), CHUNK, workers=2)) == as_bytes(run(Recipe(), CHUNK))


def test_a_killed_process_changes_nothing(plain: bytes, tmp_path: Path) -> None:
    deadly = tmp_path / "deadly"
    deadly.touch()
    assert as_bytes(run(Recipe(deadly=str(deadly)), COUNT, workers=2)) == plain
    assert not deadly.exists()  # someone was killed


def test_another_seed_is_another_run(plain: bytes) -> None:
    assert as_bytes(run(Recipe(seed=2), COUNT)) != plain


def test_what_was_finished_is_found_again(plain: bytes, tmp_path: Path) -> None:
    with pytest.raises(KeyboardInterrupt):
        run(Recipe(broken=2 * CHUNK), COUNT, keep=tmp_path / "kept")
    told: list[int] = []
    again = run(Recipe(), COUNT, keep=tmp_path / "kept", told=told.append)
    assert told[0] == 2 * CHUNK  # before anything was worked out
    assert told[-1] == COUNT
    assert as_bytes(again) == plain


def test_a_longer_run_goes_on_from_a_shorter_one(tmp_path: Path) -> None:
    run(Recipe(), 2 * CHUNK, keep=tmp_path)
    told: list[int] = []
    longer = run(Recipe(), 3 * CHUNK, keep=tmp_path, told=told.append)
    assert told[0] == 2 * CHUNK
    assert as_bytes(longer) == as_bytes(run(Recipe(), 3 * CHUNK))


def test_a_folder_of_another_run_is_refused(tmp_path: Path) -> None:
    run(Recipe(), CHUNK, keep=tmp_path)
    with pytest.raises(InputErrors, match="other inputs, another seed or another version"):
        run(Recipe(seed=2), CHUNK, keep=tmp_path)


def test_a_folder_with_other_things_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(InputErrors, match="other files"):
        run(Recipe(), CHUNK, keep=tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == ["letter.txt"]


def test_a_damaged_chunk_is_named(tmp_path: Path) -> None:
    run(Recipe(), CHUNK, keep=tmp_path)
    [chunk] = tmp_path.glob("*.npz")
    chunk.write_bytes(chunk.read_bytes()[:100])
    with pytest.raises(InputErrors, match="damaged chunk"):
        run(Recipe(), CHUNK, keep=tmp_path)


@pytest.mark.parametrize("count", [0, -1, MOST + 1])
def test_a_senseless_number_of_members(count: int) -> None:
    with pytest.raises(InputErrors, match=r"expected 1 to 2,000,000"):
        run(Recipe(), count)


def test_no_scheduler_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "PATIENCE", 0.5)
    with pytest.raises(InputErrors, match="address of a running scheduler"):
        run(Recipe(), CHUNK, scheduler="tcp://127.0.0.1:1")


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    distributed = pytest.importorskip("distributed")
    cloudpickle.register_pickle_by_value(made_up)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
    ) as one:
        yield one
    cloudpickle.unregister_pickle_by_value(made_up)


def test_other_machines_change_nothing(plain: bytes, cluster: Any) -> None:
    assert as_bytes(run(Recipe(), COUNT, scheduler=cluster.scheduler_address)) == plain


def test_a_killed_worker_changes_nothing(plain: bytes, cluster: Any, tmp_path: Path) -> None:
    deadly = tmp_path / "deadly"
    deadly.touch()
    recipe = Recipe(deadly=str(deadly))
    assert as_bytes(run(recipe, COUNT, scheduler=cluster.scheduler_address)) == plain
    assert not deadly.exists()  # someone was killed
