"""The charts of a part's moisture: the year that repeats, the way home, and the moves marked on it."""

import json
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest

from movement import climate, piece
from movement.exposure import Exposure
from movement.journey import YEAR, Journey, Stay
from movement.lag import Section
from webapp import charts, courses
from webapp.charts import LEFT, RIGHT, Chart, Level, Plot, Series, Table

HOME = climate.from_moisture(6.0, 11.0)
STORE = climate.from_moisture(4.0, 5.0)
WAY = Journey((Stay("Store", STORE, date(2025, 11, 3)), Stay("home", HOME, date(2026, 2, 10))))
SECTION = Section(20.0, 5.5e-9)


def drawn(section: Section | None, way: Journey | None, now: float = 8.0) -> Chart:
    exposure = Exposure(HOME, section, way)
    band, season = exposure.band(now), exposure.season(now)
    return courses.year(band, season) if way is None else courses.way(way, band, season)


def labels(chart: Chart) -> set[str]:
    return {label.text for plot in chart.plots for label in plot.labels}


# The year


def test_at_once_there_is_one_line_for_air_and_part() -> None:
    chart = drawn(None, None)
    assert labels(chart) == {"air, part", "dry 6.0", "mid 8.5", "wet 11.0", "today 8.0"}
    assert len(chart.plots[0].paths) == 1
    assert chart.plots[0].areas == ()


def test_late_there_are_two_lines_and_the_range() -> None:
    chart = drawn(SECTION, None)
    season = Exposure(HOME, SECTION).season(8.0)
    assert labels(chart) == {
        "air",
        "part",
        f"dry {season.dry:.1f}",
        f"mid {season.mid:.1f}",
        f"wet {season.wet:.1f}",
        "today 8.0",
    }
    assert len(chart.plots[0].paths) == 2
    assert len(chart.plots[0].areas) == 1


def test_the_year_s_axis_names_the_months_at_their_middles() -> None:
    steps = drawn(None, None).steps
    assert "".join(name for _, name in steps) == "JFMAMJJASOND"
    assert steps[0][0] == pytest.approx(LEFT + 15.5 / 365 * (RIGHT - LEFT))


def test_the_table_holds_the_months_moisture() -> None:
    table = drawn(None, None).table
    assert table.head == ("Middle of", "Air leads to (%)")
    assert [row[0] for row in table.rows] == list(climate.MONTHS)
    assert [float(row[1]) for row in table.rows] == pytest.approx(HOME.moisture, abs=0.051)


def test_a_late_part_s_table_has_its_range() -> None:
    table = drawn(SECTION, None).table
    assert table.head[1:] == ("Air leads to (%)", "Part, lowest (%)", "Part, middle (%)", "Part, highest (%)")
    for row in table.rows:
        low, middle, high = map(float, row[2:])
        assert low <= middle <= high


@pytest.mark.parametrize(
    ("section", "said"), [(None, "taken to follow it at once"), (SECTION, "the part follows late and damped, between")]
)
def test_the_words_tell_the_spans_and_what_the_fit_counts_with(section: Section | None, said: str) -> None:
    words = drawn(section, None).words
    assert words.startswith("The air leads to 6.0 to 11.0 % moisture content")
    assert said in words
    season = Exposure(HOME, section).season(8.0)
    assert f"{season.dry:.1f} % at the driest and {season.wet:.1f} % at the wettest, today's 8.0 % included" in words


# The way home


def test_the_way_runs_to_the_end_of_the_first_year_at_home() -> None:
    chart = drawn(None, WAY)
    assert chart.words.startswith("Store from 3 November 2025; Home from 10 February 2026. The air leads to 4.0 to")
    assert [name for _, name in chart.steps] == ["Jan 2026", "Apr", "Jul", "Oct", "Jan 2027"]
    assert chart.table.rows[-1][0] == "1 February 2027"


def test_its_moves_are_marked_on_their_days() -> None:
    moves = drawn(None, WAY).moves
    assert [move.name for move in moves] == ["Store", "Home"]
    assert [move.place for move in moves] == pytest.approx([LEFT, LEFT + 99 / (99 + YEAR) * (RIGHT - LEFT)])


def test_its_table_names_the_place_of_every_day_and_takes_the_air_after_a_move() -> None:
    rows = {row[0]: row[1:] for row in drawn(None, WAY).table.rows}
    assert rows["3 November 2025"][0] == rows["1 February 2026"][0] == "Store"
    assert rows["10 February 2026"][0] == rows["1 March 2026"][0] == "Home"
    assert float(rows["1 February 2026"][1]) < 5.1
    assert float(rows["10 February 2026"][1]) >= 6.0


def test_a_place_without_a_name_has_a_number() -> None:
    way = Journey((Stay("", STORE, date(2025, 11, 3)), *WAY.stays[1:]))
    assert drawn(None, way).moves[0].name == "Place 1"


def test_a_way_of_many_years_is_thinned_but_keeps_its_moves() -> None:
    firsts = [date(1995, 1, 1) + timedelta(days=1500 * n) for n in range(19)]
    stays = [Stay(f"Place {n}", STORE, first) for n, first in enumerate(firsts)]
    way = Journey((*stays, Stay("home", HOME, date(2090, 1, 1))))
    exposure = Exposure(HOME, SECTION, way)
    chart = courses.way(way, exposure.band(8.0), exposure.season(8.0))
    assert max(path.count("L") for path, _ in chart.plots[0].paths) < courses.MOST_POINTS + 60
    assert len(chart.moves) == 20
    assert len(chart.table.rows) <= courses.MOST_ROWS + len(stays) + 2


def test_the_air_jumps_at_a_move_and_only_there() -> None:
    chart = drawn(None, WAY)
    points = [tuple(map(float, one.split())) for one in chart.plots[0].paths[0][0][1:].split("L")]
    jumps = [x for (x, y), (after, beyond) in pairwise(points) if after - x < 0.2 and abs(beyond - y) > 5]
    assert jumps == [round(chart.moves[1].place, 1)]


def test_a_piece_s_chart_follows_its_own_moisture_and_way() -> None:
    raw: dict[str, Any] = {
        "format": piece.FORMAT,
        "version": 1,
        "name": "Chest",
        "climate": {"kind": "moisture", "dry_pct": 6.0, "wet_pct": 11.0},
        "defaults": {"moisture_now_pct": 9.5, "following": "lagged", "thickness_mm": 30.0},
    }
    assert "today 9.5" in labels(courses.of(piece.load(json.dumps(raw))))
    stay = {"name": "Store", "first": "2025-11-03", "climate": {"kind": "moisture", "dry_pct": 4.0, "wet_pct": 5.0}}
    chart = courses.of(piece.load(json.dumps(raw | {"stays": [stay], "home_first": "2026-02-10"})))
    assert [move.name for move in chart.moves] == ["Store", "Home"]
    assert "part" in labels(chart)


# Moves in a chart


def moved(*moves: tuple[float, str]) -> Chart:
    plot = Plot("MC, %", (Series((0.0, 100.0), (6.0, 9.0)),), (Level(7.0, "now"),))
    return charts.chart([plot], (0.0, 100.0), [], "A way", "It moves.", Table(("Day",), ()), moves)


def test_names_near_each_other_stand_in_lines_below_each_other() -> None:
    chart = moved((0.0, "Shop"), (4.0, "Store"), (60.0, "Home"))
    heights = [move.height for move in chart.moves]
    assert heights[0] == heights[2] < heights[1]


def test_a_name_at_the_end_stands_left_of_its_line() -> None:
    chart = moved((0.0, "Shop"), (99.0, "Home"))
    assert [move.anchor for move in chart.moves] == ["start", "end"]


def test_without_moves_there_are_none() -> None:
    assert moved().moves == ()
