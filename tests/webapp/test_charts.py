"""The numbers of a chart: scales, ticks, lines with gaps, areas, labels kept apart; and how the template draws them."""

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from webapp import charts
from webapp.charts import Chart, Level, Plot, Range, Scale, Series, Table
from webapp.render import templates

NAN = float("nan")
NUMBERS = Table(("Day", "MC (%)"), (("1", "8.0"), ("2", "8.5")))


def drawn(*plots: Plot, last: float = 11.0) -> Chart:
    return charts.chart(plots, (0.0, last), [(0.0, "J"), (last, "D")], "A year", "It goes up.", NUMBERS)


def test_a_scale_maps_its_ends_and_middle() -> None:
    up = Scale(6, 12, 130, 26)
    assert (up(6), up(9), up(12)) == (130, 78, 26)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0, 100, (0, 50, 100)),
        (26, 60, (20, 30, 40, 50, 60)),
        (5.5, 11.0, (4, 6, 8, 10, 12)),
        (8.01, 8.29, (8.0, 8.1, 8.2, 8.3)),
        (-3, 2, (-4, -2, 0, 2)),
        (0.1, 0.3, (0.1, 0.15, 0.2, 0.25, 0.3)),
        (50, 50, (49, 49.5, 50, 50.5, 51)),
    ],
)
def test_ticks_are_round_and_enclose(low: float, high: float, expected: tuple[float, ...]) -> None:
    assert charts.ticks(low, high) == expected


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6), st.integers(3, 12))
def test_ticks_enclose_any_span_evenly(low: float, span: float, most: int) -> None:
    marks = charts.ticks(low, low + span, most)
    steps = np.diff(marks)
    assert 2 <= len(marks) <= most
    assert marks[0] <= low + 1e-6 * steps[0]
    assert marks[-1] >= low + span - 1e-6 * steps[0]
    assert steps == pytest.approx(steps[0], rel=1e-6)
    assert f"{steps[0]:.3e}".startswith(("1.000", "2.000", "5.000"))


@pytest.mark.parametrize(("low", "high", "most"), [(2, 1, 5), (NAN, 1, 5), (0, math.inf, 5), (0, 1, 2)])
def test_ticks_refuse_what_has_no_span(low: float, high: float, most: int) -> None:
    with pytest.raises(ValueError, match="no ticks"):
        charts.ticks(low, high, most)


def test_a_path_breaks_at_missing_values() -> None:
    assert charts.path([(0, 1), (1, NAN), (2, 3), (3, 4), (4, NAN)]) == "M0 1M2 3L3 4"
    assert charts.path([]) == ""


def test_an_area_breaks_at_missing_values() -> None:
    assert charts.area([(0, 9), (1, 9), (2, NAN), (3, 9)], [1, 2, 3, 4]) == "M0 9L1 9L1 2L0 1ZM3 9L3 4Z"


def test_an_area_needs_as_many_upper_as_lower_values() -> None:
    with pytest.raises(ValueError, match="zip"):
        charts.area([(0, 9), (1, 9)], [1])


def test_labels_far_enough_apart_stay_where_they_are() -> None:
    assert charts.apart([10, 30, 50], 15, 0, 100) == [10, 30, 50]


@given(st.lists(st.floats(-50, 150), max_size=6).map(sorted), st.floats(1, 15))
def test_labels_move_as_little_as_isotonic_regression_says(places: list[float], room: float) -> None:
    """Reference: `scipy.optimize.isotonic_regression`, clipped to the box, is the least-squares answer."""
    shift = room * np.arange(len(places))
    least = isotonic_regression(np.array(places) - shift).x if places else np.array([])
    expected = np.clip(least, 0, 100 - room * (len(places) - 1)) + shift
    assert charts.apart(places, room, 0, 100) == pytest.approx(expected, abs=1e-9)


def test_labels_without_room_for_all_keep_their_distance() -> None:
    assert charts.apart([5, 5, 5], 10, 0, 15) == [-5, 5, 15]


def test_every_place_lies_in_the_view_box() -> None:
    levels = (Level(11.0, "wet"), Level(8.3, "mid"), Level(5.5, "dry", "limit"))
    chart = drawn(
        Plot("RH, %", (Series(range(12), [float(20 + 3 * n) for n in range(12)]),)),
        Plot("MC, %", (Series(range(12), [5.5 + n / 2 for n in range(12)], "second"),), levels, band=(5.5, 11.0)),
    )
    first, second = chart.plots
    assert first.bottom < second.top < second.bottom < chart.height
    for plot in chart.plots:
        assert [place for place, _ in plot.ticks] == sorted((place for place, _ in plot.ticks), reverse=True)
        for line, _ in plot.paths:
            numbers = [float(text) for text in re.findall(r"[\d.]+", line)]
            assert all(chart.left <= x <= chart.right for x in numbers[::2])
            assert all(plot.top <= y <= plot.bottom for y in numbers[1::2])
    assert [(one.text, one.look) for one in second.labels] == [("wet", ""), ("mid", ""), ("dry", "of-limit")]
    assert (second.look, second.paths[0][1]) == ("second", "second")
    assert chart.steps == ((chart.left, "J"), (chart.right, "D"))


def test_labels_of_a_narrow_year_are_kept_apart() -> None:
    levels = tuple(Level(value, f"{value}") for value in (8.0, 8.01, 8.02))
    [plot] = drawn(Plot("MC, %", (Series([0, 11], [4.0, 12.0], label="part"),), levels)).plots
    places = [one.place for one in plot.labels]
    assert [one.text for one in plot.labels] == ["part", "8.02", "8.01", "8.0"]
    assert np.diff(places).min() >= charts.ROOM - 1e-9


def test_a_year_of_days_with_its_range_and_a_line_for_now_is_drawn() -> None:
    days = np.arange(366.0)
    middle = 8 - 3 * np.cos(days * 2 * np.pi / 365)
    middle[100] = NAN
    plot = Plot(
        "MC, %",
        (Series(list(days), list(middle), "second", "panel"), Series([0, 365], [7, 9], "third", "air")),
        levels=(Level(7.5, "now", "now"), Level(12.5, "limit", "limit")),
        ranges=(Range(list(days), list(middle - 1), list(middle + 1)),),
    )
    [one] = drawn(plot, last=365.0).plots
    assert one.paths[0][0].count("M") == 2
    assert one.paths[0][0].count("L") == 363
    assert one.areas[0].count("Z") == 2
    assert one.look == ""
    assert float(one.ticks[0][1]) <= 4 < 12.5 <= float(one.ticks[-1][1])
    assert {label.text for label in one.labels} == {"panel", "air", "now", "limit"}


def test_a_flat_line_sits_in_the_middle() -> None:
    [plot] = drawn(Plot("RH, %", (Series([0, 11], [50, 50]),))).plots
    middle = (plot.top + plot.bottom) / 2
    assert plot.paths[0][0] == f"M40 {middle:g}L322 {middle:g}"


def test_a_plot_without_values_is_refused() -> None:
    with pytest.raises(ValueError, match="no value to draw"):
        drawn(Plot("RH, %", (Series([0, 1], [NAN, NAN]),)))


def test_an_axis_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="later last place"):
        drawn(Plot("RH, %", (Series([0], [50]),)), last=0.0)


def test_the_template_says_in_words_what_it_draws() -> None:
    chart = drawn(Plot("MC of <b>wood</b>, %", (Series([0, 11], [8.0, 8.5], "second"),), (Level(8.5, "wet 8.5"),)))
    template = templates.env.get_template("_chart.html")
    html = template.render(chart=chart, uid="one", csv="/x.csv?a=1&b=2", caption="")
    assert 'role="img" aria-labelledby="one-title one-desc"' in html
    assert '<title id="one-title">A year</title>' in html
    assert '<desc id="one-desc">It goes up.</desc>' in html
    assert "MC of &lt;b&gt;wood&lt;/b&gt;, %" in html
    assert '<path class="series second"' in html
    assert ">wet 8.5</text>" in html
    assert '<th scope="row">2</th><td class="num">8.5</td>' in html.replace("\n", "")
    assert 'href="/x.csv?a=1&amp;b=2"' in html
    assert "style=" not in html


def test_two_charts_on_a_page_share_no_id() -> None:
    chart = drawn(Plot("RH, %", (Series([0, 11], [40, 50]),)))
    template = templates.env.get_template("_chart.html")
    ids = [re.findall(r'\bid="([^"]+)"', template.render(chart=chart, uid=uid)) for uid in ("one", "two")]
    assert len(set(ids[0] + ids[1])) == len(ids[0] + ids[1]) == 4
