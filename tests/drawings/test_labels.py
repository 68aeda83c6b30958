"""Labels in a column: kept apart, kept inside, moved as little as can be."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.drawings.labels import spread

places = st.floats(-50.0, 150.0, allow_nan=False)
sizes = st.floats(0.5, 8.0)


def edges(centres: list[float], lengths: list[float]) -> list[tuple[float, float]]:
    pairs = sorted(zip(centres, lengths, strict=True))
    return [(centre - 0.5 * size, centre + 0.5 * size) for centre, size in pairs]


@given(st.lists(st.tuples(places, sizes), max_size=12))
def test_no_label_lies_over_another_and_all_lie_in_the_column(
    labels: list[tuple[float, float]],
) -> None:
    wanted, lengths = [w for w, _ in labels], [s for _, s in labels]
    centres = spread(wanted, lengths, 0.0, 100.0)
    ends = edges(centres, lengths)
    for (_, upper), (lower, _) in itertools.pairwise(ends):
        assert upper <= lower + 1e-9
    assert all(start >= -1e-9 and end <= 100.0 + 1e-9 for start, end in ends)


@given(st.lists(st.tuples(places, sizes), min_size=2, max_size=8))
def test_labels_keep_the_order_of_their_places(labels: list[tuple[float, float]]) -> None:
    wanted = [w for w, _ in labels]
    centres = spread(wanted, [s for _, s in labels], 0.0, 100.0)
    order = sorted(range(len(labels)), key=lambda i: wanted[i])
    assert [centres[i] for i in order] == sorted(centres)


def test_labels_that_do_not_touch_stay_where_they_wish() -> None:
    assert spread([10.0, 50.0, 30.0], [4.0, 4.0, 4.0], 0.0, 100.0) == [10.0, 50.0, 30.0]


def test_two_labels_of_one_place_part_evenly() -> None:
    assert spread([50.0, 50.0], [4.0, 6.0], 0.0, 100.0) == pytest.approx([47.5, 52.5])


def test_a_label_at_the_end_pushes_its_neighbour_inwards() -> None:
    assert spread([0.0, 1.0], [4.0, 4.0], 0.0, 100.0) == pytest.approx([2.0, 6.0])


def test_a_full_column_is_packed_from_end_to_end() -> None:
    assert spread([3.0, 3.0, 3.0], [10.0, 10.0, 10.0], 0.0, 30.0) == pytest.approx([5, 15, 25])


def test_labels_longer_than_the_column_are_refused() -> None:
    with pytest.raises(ValueError, match="do not fit"):
        spread([1.0, 2.0], [6.0, 6.0], 0.0, 10.0)


def test_no_other_arrangement_moves_less() -> None:
    """Against every arrangement on a grid: the sum of squared moves is least."""
    wanted, lengths = [4.0, 5.0, 5.5], [3.0, 2.0, 3.0]
    ours = spread(wanted, lengths, 0.0, 12.0)
    least = sum((a - b) ** 2 for a, b in zip(ours, wanted, strict=True))
    grid = [0.25 * i for i in range(49)]
    for at in itertools.product(grid, repeat=3):
        ends = [(c - 0.5 * s, c + 0.5 * s) for c, s in zip(at, lengths, strict=True)]
        apart = all(a[1] <= b[0] for a, b in itertools.pairwise(ends))
        if apart and ends[0][0] >= 0.0 and ends[-1][1] <= 12.0:
            moved = sum((a - b) ** 2 for a, b in zip(at, wanted, strict=True))
            assert moved >= least - 1e-9
