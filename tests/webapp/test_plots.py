"""The charts of a year and of a record: what they say, and the names below them."""

import re
from datetime import date

import numpy as np
import pytest
import record_cases

from movement import hygrometer
from movement.parts.climates import MoistureClimate, RecordClimate
from webapp import plots, recorded
from webapp.plots import MOST_BLOCKS, MOST_STEPS


def record(**more: object) -> tuple[hygrometer.Log, RecordClimate]:
    log = hygrometer.read(record_cases.plain(**more))
    return log, recorded.year(log)


def test_months_that_are_all_known_are_one_line() -> None:
    drawn = plots.by_month(MoistureClimate(dry_pct=6, wet_pct=9))
    assert [len(plot.paths) for plot in drawn.plots] == [1, 1]
    assert plots.unmeasured(MoistureClimate(dry_pct=6, wet_pct=9)) == []
    assert "Not measured" not in drawn.words


def test_months_that_are_not_measured_are_dotted_from_the_measured_ones_beside_them() -> None:
    _, year = record(days=200, step=240)
    drawn = plots.by_month(year)
    missing = ["January", "February", "October", "November", "December"]
    assert plots.unmeasured(year) == missing
    assert drawn.words.endswith("Not measured: January, February, October, November, December.")
    [(solid, look), (dotted, dots)] = drawn.plots[1].paths
    assert (look, dots) == ("second", "third")
    assert solid.count("M") == 1
    assert solid.count("L") == 6  # March to September
    assert dotted.count("M") == 2
    assert dotted.count("L") == 2 + 3  # January to March, September to December
    assert drawn.table.rows[0][0] == "January (not measured)"
    assert drawn.table.rows[2][0] == "March"


def test_days_are_drawn_five_at_a_time() -> None:
    _, year = record(days=366, step=240)
    assert year.daily_moisture_pct is not None
    drawn = plots.by_day(year)
    assert drawn is not None
    assert len(drawn.table.rows) == 73
    assert drawn.table.rows[0] == ("3 January", f"{np.mean(year.daily_moisture_pct[:5]):.1f}")
    assert drawn.table.rows[-1][0] == "29 December"
    assert [name for _, name in drawn.steps] == list("JFMAMJJASOND")


def test_there_are_no_days_to_draw_where_they_are_not_known() -> None:
    assert plots.by_day(record(days=200, step=240)[1]) is None


@pytest.mark.parametrize(
    ("days", "together"), [(7, "one day"), (60, "one day"), (61, "one week"), (900, "one week"), (3652, "8 weeks")]
)
def test_a_record_is_drawn_in_points_that_suit_its_length(days: int, together: str) -> None:
    log, year = record(days=days, step=360)
    drawn = plots.along(log.hours, year.year())
    assert plots.together(log.hours) == together
    assert drawn.table.head[0] == f"First day of {together}"
    assert 6 <= len(drawn.table.rows) <= MOST_BLOCKS
    for plot in drawn.plots:
        places = [float(place) for place in re.findall(r"[ML]([\d.]+) ", plot.paths[0][0])]
        assert min(places) >= drawn.left
        assert max(places) <= drawn.right


def test_a_point_is_the_mean_of_its_hours() -> None:
    log, year = record(days=70)
    row = plots.along(log.hours, year.year()).table.rows[1]
    assert row[0] == "8 March 2024"
    assert row[2] == f"{log.hours.moisture[168:336].mean():.1f}"


@pytest.mark.parametrize(
    ("start", "days", "names"),
    [
        (date(2025, 3, 3), 7.0, ["3 Mar", "5 Mar", "7 Mar", "9 Mar"]),
        (date(2025, 3, 3), 59.0, ["3 Mar", "17 Mar", "31 Mar", "14 Apr", "28 Apr"]),
        (date(2025, 12, 31), 61.5, ["Jan 2026", "Feb", "Mar"]),
        (date(2025, 1, 1), 365.0, ["Jan 2025", "Apr", "Jul", "Oct", "Jan 2026"]),
        (date(2024, 3, 10), 300.0, ["May 2024", "Jul", "Sep", "Nov", "Jan 2025"]),
        (date(2015, 1, 1), 3652.0, ["2016", "2018", "2020", "2022", "2024"]),
        (date(1900, 3, 3), 50_000.0, ["1950", "2000"]),
    ],
)
def test_the_names_below_a_record_are_few_and_tell_the_year(start: date, days: float, names: list[str]) -> None:
    found = plots.dates(start, days)
    assert [name for _, name in found] == names
    assert all(0 <= place <= days for place, _ in found)
    assert len(found) <= MOST_STEPS
