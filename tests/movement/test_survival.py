"""Humidities survived: by hand, the forward rule undone, open ends, a whole piece's narrowest span."""

from dataclasses import replace
from math import inf

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from spread_cases import STOCK

from movement import season as seasons
from movement import sorption, species, wood
from movement.errors import RangeError
from movement.fits import panel, survival
from movement.fits.panel import HOLDS, Clearances, Hold
from movement.fits.survival import NOTE_DRY, NOTE_NONE, NOTE_WET, Span
from movement.season import between
from movement.swelling import size_ratio
from movement.wood import Wood

KEEP = Clearances(4, 0.5, 0.5, 6)
CHERRY = species.find("Cherry, black")

holds = st.sampled_from(HOLDS)
stocks = st.builds(lambda angle: wood.cut(CHERRY, angle), st.floats(0, 90))


# By hand: 300 mm wide at 10 % MC, C 0.0025, sight 288, groove 8, centred. Dry: 300 D − 0.5 = 288 + 8, D = 0.9883333:
# 10 − 0.0116667/0.0025 = 5.33333 %. Wet: 300 D + 0.5 = 288 + 16 − 1, D = 1.0083333: 13.33333 %. For real: out at 288,
# D = 0.96 and −6 %: never; bound at 304, D = 1.0133333: 15.33333 %.
def test_a_panel_worked_by_hand() -> None:
    found = survival.moistures(288, 8, 300, "centred", KEEP, STOCK, 10)
    assert (found.low, found.high) == (pytest.approx(16 / 3), pytest.approx(40 / 3))
    strict = survival.moistures(288, 8, 300, "centred", KEEP, STOCK, 10, strict=True)
    assert strict.low == -inf
    assert strict.high == pytest.approx(46 / 3)


# The least groove for a season, with the width of even margins, survives exactly that season.
@given(
    hold=holds,
    stock=stocks,
    sight=st.floats(50, 900),
    now=st.floats(4, 20),
    year=st.lists(st.floats(3, 20), min_size=2, max_size=2, unique=True).map(sorted),
)
def test_a_fit_with_no_margin_survives_its_own_season(
    hold: Hold, stock: Wood, sight: float, now: float, year: list[float]
) -> None:
    season = between(now, *year)
    ratios = seasons.across(season, stock)
    groove = float(panel.least_groove(sight, hold, ratios.dry, ratios.wet, KEEP))
    assume(1 <= groove <= 100 and not (hold == "one edge" and groove == KEEP.fixed))
    width = float(panel.even_width(sight, groove, hold, ratios.dry, ratios.wet, KEEP))
    found = survival.moistures(sight, groove, width, hold, KEEP, stock, now)
    assert found.low == pytest.approx(season.dry, abs=1e-6)
    assert found.high == pytest.approx(season.wet, abs=1e-6)


# At the ends of the span the forward rules give just the clearances asked for; strictly, just nothing.
@given(
    hold=holds,
    stock=stocks,
    sight=st.floats(50, 900),
    more=st.floats(-5, 40),
    groove=st.floats(6, 20),
    now=st.floats(3, 20),
)
def test_at_its_ends_the_forward_rules_give_just_what_is_asked(
    hold: Hold, stock: Wood, sight: float, more: float, groove: float, now: float
) -> None:
    width = sight + more
    for strict, keep in ((False, KEEP), (True, Clearances(0, 0, 0, KEEP.fixed))):
        found = survival.moistures(sight, groove, width, hold, KEEP, stock, now, strict)
        for moisture, dry in ((found.low, True), (found.high, False)):
            if abs(moisture) == inf:
                continue
            size = width * float(size_ratio(stock.across, now, moisture, stock.start_of_shrinkage))
            made = size - keep.tolerance if dry else size + keep.tolerance
            rule = panel.engagement if dry else panel.gap
            left = float(rule(sight, groove, made, hold, KEEP.fixed))
            # `panel.engagement` halves for a centred panel, `panel.gap` for a centred or a loose one.
            asked = keep.engagement if dry else keep.gap
            assert left == pytest.approx(asked, abs=1e-8)


def test_strictly_more_is_survived() -> None:
    for hold in HOLDS:
        kept = survival.moistures(280, 14, 300, hold, KEEP, STOCK, 10)
        strict = survival.moistures(280, 14, 300, hold, KEEP, STOCK, 10, strict=True)
        assert strict.low <= kept.low
        assert strict.high >= kept.high


# Handbook equation both ways: the humidity is the one whose equilibrium the span ends at.
@given(low=st.floats(3, 12), more=st.floats(0, 10), temperature=st.floats(0, 35))
def test_humidities_are_those_that_hold_the_wood_at_its_ends(low: float, more: float, temperature: float) -> None:
    found = survival.humidities(Span(low, low + more), temperature)
    assert found.low is not None
    assert found.high is not None
    assert sorption.equilibrium_moisture(temperature, found.low) == pytest.approx(low, abs=1e-6)
    assert sorption.equilibrium_moisture(temperature, found.high) == pytest.approx(low + more, abs=1e-6)
    assert found.notes == ()


def test_open_ends_are_0_and_100_with_a_note() -> None:
    assert survival.humidities(Span(-inf, inf)) == survival.Humidities(0.0, 100.0, (NOTE_DRY, NOTE_WET))
    assert survival.humidities(Span(6, 29.5)).high == 100  # beyond what air of 20 °C can do: 28.8 %
    assert survival.humidities(Span(0, 10)).notes == (NOTE_DRY,)


@pytest.mark.parametrize("span", [Span(10, 9), Span(inf, inf), Span(-inf, -inf), Span(29.5, inf), Span(-3, -1)])
def test_where_nothing_is_survived_there_is_no_humidity(span: Span) -> None:
    assert survival.humidities(span) == survival.Humidities(None, None, (NOTE_NONE,))


@pytest.mark.parametrize(("moisture", "humidity"), [(-inf, 0), (0, 0), (40, 100), (inf, 100)])
def test_beyond_what_air_can_do_a_humidity_is_0_or_100(moisture: float, humidity: float) -> None:
    assert survival.humidity_at(moisture) == humidity


def test_wood_that_does_not_move_survives_everything_or_nothing() -> None:
    still = replace(STOCK, across=0.0)
    assert survival.moistures(288, 8, 300, "centred", KEEP, still, 10) == Span(-inf, inf)
    assert survival.moistures(288, 8, 290, "centred", KEEP, still, 10).empty
    assert survival.moistures(288, 8, 310, "centred", KEEP, still, 10).empty


# Above the start of shrinkage nothing swells further: a panel with more room than that never binds.
def test_a_panel_that_soaking_cannot_fill_never_binds() -> None:
    assert survival.moistures(288, 20, 300, "centred", KEEP, STOCK, 10).high == inf
    assert survival.moistures(288, 8, 200, "centred", KEEP, STOCK, 10).low == inf


def test_together_panels_survive_what_each_does() -> None:
    assert survival.intersection([Span(4, 11), Span(6, inf), Span(-inf, 12)]) == Span(6, 11)
    assert survival.intersection([]) == Span(-inf, inf)
    assert survival.intersection([Span(4, 6), Span(7, 9)]).empty


@pytest.mark.parametrize(
    ("name", "more"),
    [
        ("sight width", {"sight_width": 9.0}),
        ("groove depth", {"groove": 0.5}),
        ("panel width", {"width": 4000.0}),
        ("moisture content today", {"now": 31.0}),
    ],
)
def test_a_value_out_of_range_is_refused(name: str, more: dict[str, float]) -> None:
    asked = {"sight_width": 288.0, "groove": 8.0, "width": 300.0, "now": 10.0} | more
    with pytest.raises(RangeError, match=f"^{name} is"):
        survival.moistures(hold="centred", clearances=KEEP, wood=STOCK, **asked)  # type: ignore[arg-type]
