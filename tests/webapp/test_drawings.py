"""A drawing of an edge in its groove: true to scale, in the page's unit, and sane where nothing fits."""

import re
from functools import partial
from itertools import pairwise
from typing import Any

import pytest

from movement import lengths
from movement.fits.panel import HOLDS
from movement.lengths import INCH, Unit
from movement.parts import panel
from movement.parts.climates import MoistureClimate
from movement.parts.panel import PanelRequest, PanelResult
from webapp import drawings
from webapp.drawings import WIDTH, EdgeDrawing


def sized(**more: Any) -> PanelResult:
    asked = {"species": "Cherry, black", "sight_width_mm": 300.0, "moisture_now_pct": 8.0, "hold": "centred"} | more
    year = MoistureClimate(dry_pct=asked.pop("dry", 6.0), wet_pct=asked.pop("wet", 11.0))
    request = PanelRequest.model_validate(asked | {"climate": year})
    return panel.result(request, request.hold, request.groove_depth_mm, request.bench())


def drawn(tongue: float = 6.0, unit: Unit = "mm", **more: Any) -> tuple[EdgeDrawing, PanelResult]:
    result = sized(**more)
    say = partial(lengths.show, unit=unit, step=lengths.STEPS[unit][0])
    return drawings.edge(result, tongue, unit, say), result


CASES = [
    {"hold": hold, "groove_depth_mm": groove, "dry": dry, "wet": wet, "sight_width_mm": sight, "tongue": tongue}
    for hold in HOLDS
    for groove, dry, wet, sight, tongue in (
        (None, 6.0, 11.0, 300.0, 6.0),
        (5.0, 2.0, 20.0, 900.0, 6.0),
        (100.0, 1.0, 28.0, 3000.0, 1.0),
        (1.0, 6.0, 11.0, 10.0, 50.0),
    )
]


@pytest.mark.parametrize("case", CASES)
def test_gap_and_engagement_are_true_to_scale(case: dict[str, Any]) -> None:
    drawing, result = drawn(**case)
    assert drawing.mouth - drawing.bottom == pytest.approx(result.groove_depth_mm * drawing.scale)
    for row in drawing.rows:
        assert row.edge - drawing.bottom == pytest.approx(row.gap * drawing.scale)
        if row.gap >= 0:
            assert drawing.mouth - row.held == pytest.approx(row.engagement * drawing.scale)
    assert drawing.thick == pytest.approx(case["tongue"] * drawing.scale)


@pytest.mark.parametrize("case", CASES)
def test_everything_stands_inside_the_drawing(case: dict[str, Any]) -> None:
    drawing, _ = drawn(**case)
    for row in drawing.rows:
        assert 0 < row.edge < WIDTH
        assert 0 < row.held < WIDTH
        assert 0 < row.top < row.top + drawing.thick + 2 * drawing.rim < drawing.height
    assert 0 < drawing.mouth < WIDTH
    assert 0 < drawing.bar * drawing.scale <= WIDTH / 3


@pytest.mark.parametrize("case", CASES)
def test_no_row_runs_into_the_next(case: dict[str, Any]) -> None:
    drawing, _ = drawn(**case)
    tops = [row.top for row in drawing.rows]
    steps = [after - before for before, after in pairwise(tops)]
    assert all(step > drawing.thick + 2 * drawing.rim + 40 for step in steps)


def test_the_states_are_those_of_the_result() -> None:
    drawing, result = drawn()
    assert [(row.name, row.moisture, row.gap, row.engagement) for row in drawing.rows] == [
        ("Today", result.moisture_now_pct, result.gap_now_mm, result.engagement_now_mm),
        ("Driest", result.moisture_dry_pct, result.gap_dry_mm, result.engagement_dry_mm),
        ("Wettest", result.moisture_wet_pct, result.gap_wet_mm, result.engagement_wet_mm),
    ]


def test_a_fixed_edge_is_drawn_beside_the_moving_one() -> None:
    drawing, result = drawn(hold="one edge", fixed_engagement_mm=5.0)
    fixed = drawing.rows[-1]
    assert (fixed.name, fixed.moisture, fixed.engagement) == ("Fixed edge, all year", None, 5.0)
    assert fixed.gap == pytest.approx(result.groove_depth_mm - 5)
    assert len(drawing.rows) == 4


def test_a_loose_edge_is_drawn_centred_and_slid_over() -> None:
    drawing, _ = drawn(hold="loose")
    assert drawing.is_loose
    assert all(row.slid is not None and row.edge < row.slid < drawing.mouth for row in drawing.rows)
    assert not drawn()[0].is_loose


def test_an_edge_that_is_too_wide_or_out_is_told_so() -> None:
    drawing, result = drawn(groove_depth_mm=5.0, dry=2.0, wet=20.0, sight_width_mm=900.0)
    say = partial(lengths.show, unit="mm", step=0.1)
    today, driest, wettest = (row.trouble(say) for row in drawing.rows)
    assert today == ""
    assert driest == f"{say(-result.engagement_dry_mm)} out of the groove"
    assert wettest == f"{say(-result.gap_wet_mm)} too wide"


@pytest.mark.parametrize(("unit", "mark"), [("mm", r"\d+\.\d\d? mm"), ("in", r'(?:\d+ )?\d+/\d+"|\d+"|0\.\d{3}"')])
def test_the_words_and_the_scale_bar_are_in_the_page_s_unit(unit: Unit, mark: str) -> None:
    drawing, _ = drawn(unit=unit)
    found = re.fullmatch(
        rf"Today: gap ({mark}), engaged ({mark}); Driest: gap ({mark}), engaged ({mark}); "
        rf"Wettest: gap ({mark}), engaged ({mark})",
        drawing.words,
    )
    assert found
    step = 1.0 if unit == "mm" else INCH / 16
    assert drawing.bar / step == pytest.approx(round(drawing.bar / step))


def test_the_words_tell_trouble_too() -> None:
    drawing, _ = drawn(groove_depth_mm=5.0, dry=2.0, wet=20.0, sight_width_mm=900.0)
    assert re.search(r"Driest: [\d.]+ mm out of the groove; Wettest: [\d.]+ mm too wide$", drawing.words)


# the drawing on the page


@pytest.mark.parametrize(
    "query",
    [
        {},
        {"unit": "in", "hold": "loose"},
        {"hold": "one edge", "groove_depth": "6", "moisture_wet": "16"},
        {"groove_depth": "5", "moisture_dry": "2", "moisture_wet": "20", "sight_width": "900"},
    ],
)
def test_the_drawing_is_described_and_numbered_as_the_page_is(still: Any, query: dict[str, str]) -> None:
    text = still.get("/", params=query).text
    svg = text[text.index('<svg class="tall"') : text.index("</svg>", text.index('<svg class="tall"'))]
    assert 'role="img" aria-labelledby="edge-title edge-desc"' in svg
    assert re.search(r'<desc id="edge-desc">Today: [^<]+; Driest: [^<]+; Wettest: [^<]+\.</desc>', svg)
    assert "nan" not in svg
    assert "inf" not in svg
    assert " style=" not in svg
    assert ("&#34;" in svg.partition("</desc>")[2]) is (query.get("unit") == "in")
    assert not re.search(r'(width|height)="-', svg)
