"""A scatter of sea states is an account of the time, or it is refused with its line."""

from __future__ import annotations

import numpy as np
import pytest
from hole_folder import Folder

from bathybore.base.errors import InputErrors
from bathybore.operations.operability import GivenScatter, given_scatter

HEADER = "significant_wave_height [m],peak_period [s],share_of_time [-]\n"
COUNTS = "significant_wave_height [m],peak_period [s],observations [-]\n"
MONTHS = "significant_wave_height [m],peak_period [s],share_of_time [-],month [-]\n"


def with_scatter(folder: Folder, text: str, more: str = "") -> Folder:
    (folder.path / "scatter.csv").write_text(text, encoding="utf-8")
    place = "  target_radius:"
    return folder.replace(place, f"  scatter: scatter.csv\n{more}{place}")


def loaded(folder: Folder, text: str, more: str = "") -> GivenScatter:
    table = with_scatter(folder, text, more).load().scatter
    assert table is not None
    return given_scatter(table)


def refused(folder: Folder, text: str, more: str = "") -> str:
    with pytest.raises(InputErrors) as caught:
        with_scatter(folder, text, more).load()
    return "\n".join(map(str, caught.value.faults))


def test_shares_of_classes_and_parts_of_them(folder: Folder) -> None:
    found = loaded(folder, HEADER + "1.5,9,0.3\n0.5,7,0.5\n2.5,9,0.15\n2.5,11,0.05\n").whole
    assert found.heights.tolist() == [0.0, 1.0, 2.0, 3.0]
    assert found.shares.sum() == pytest.approx(1.0)
    assert [found.within(h) for h in (0.0, 1.0, 1.5, 2.0, 3.0, 9.0)] == pytest.approx(
        [0.0, 0.5, 0.65, 0.8, 1.0, 1.0]
    )


def test_counts_are_the_same_as_their_shares(folder: Folder) -> None:
    counted = COUNTS + "0.5,7,730\n1.5,9,365\n2.5,9,365\n"
    found = loaded(folder, counted, "  scatter_observations: 1460\n").whole
    assert found.shares.sum(axis=1) == pytest.approx([0.5, 0.25, 0.25])


def test_months_count_by_their_days(folder: Folder) -> None:
    rows = "1,7,1.0,1\n1,7,0.5,2\n3,9,0.5,2\n"
    found = loaded(folder, MONTHS + rows)
    assert [month for month, _ in found.months] == [0, 1]
    rough = 0.5 * 28.25 / (31.0 + 28.25)
    assert found.whole.shares.sum(axis=1) == pytest.approx([1.0 - rough, rough])
    assert found.months[0][1].within(2.0) == 1.0


@pytest.mark.parametrize(
    ("text", "more", "words"),
    [
        (HEADER + "1,7,0.5\n2,9,0.4\n", "", "0.9 in all"),
        (HEADER + "1,7,50\n2,9,50\n", "", "Divide per cent by 100"),
        (HEADER + "1,7,0.5\n2,0,0.5\n", "", "line 3, column peak_period: found 0 s"),
        (HEADER + "1,-7,0.5\n2,9,0.5\n", "", "line 2, column peak_period: found -7 s"),
        (HEADER + "1,7,0.5\n2,9,\n", "", "line 3, column share_of_time: found nothing"),
        (HEADER + "1,7,0.5\n1,7,0.5\n", "", "the class of line 2 again"),
        (HEADER + "1,7,-0.5\n2,9,1.5\n", "", "zero or more"),
        (COUNTS + "1,7,5\n2,9,5\n", "", "the column share_of_time alone"),
        (COUNTS + "1,7,5\n2,9,5\n", "  scatter_observations: 11\n", "10 in all"),
        (HEADER + "1,7,0.5\n2,9,0.5\n", "  scatter_observations: 10\n", "observations alone"),
        (MONTHS + "1,7,0.5,1\n2,9,0.5,13\n", "", "line 3, column month: found 13"),
        (MONTHS + "1,7,1,1\n2,9,0.5,2\n", "", "0.5 in all in month 2"),
    ],
)
def test_what_is_no_account_of_the_time_is_named(
    folder: Folder, text: str, more: str, words: str
) -> None:
    assert words in refused(folder, text, more)


def test_a_netcdf_file_is_sent_to_where_it_is_read(folder: Folder) -> None:
    folder.replace("  target_radius:", "  weather: sea.nc\n  target_radius:")
    with pytest.raises(InputErrors, match="bathybore import") as caught:
        folder.load()
    assert "hole.yaml, line" in caught.value.faults[0].where


def test_current_of_a_series_stands_in_every_row(folder: Folder) -> None:
    header = (
        "time [h],significant_wave_height [m],peak_period [s],wind_speed [m/s],current_speed [m/s]"
    )
    text = f"{header}\n0,1,7,5,0.3\n6,1,7,5,\n"
    (folder.path / "weather.csv").write_text(text, encoding="utf-8")
    folder.replace("  target_radius:", "  weather: weather.csv\n  target_radius:")
    with pytest.raises(InputErrors, match=r"weather\.csv, line 3, column current_speed"):
        folder.load()
    mended = text.replace("0.3\n6,1,7,5,", "0.3\n6,1,7,5,0.4")
    (folder.path / "weather.csv").write_text(mended, encoding="utf-8")
    table = folder.load().weather
    assert table is not None
    assert np.asarray(table.numbers["current_speed"]).tolist() == [0.3, 0.4]
