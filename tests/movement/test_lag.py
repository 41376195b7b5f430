"""A part that follows the air late: never more than at once, never more for being thicker, and fine enough in time."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from movement import climate, course, finish, lag, slab
from movement.climate import Climate, Room
from movement.errors import RangeError
from movement.journey import YEAR, Journey, Stay, at
from movement.lag import Section, along, season, year
from movement.slab import DIFFUSION, FILM_BARE, FILM_LIMITS, THICKNESS

CHICAGO = climate.from_place(climate.find_place("Chicago"), Room())
NORTHWAY = climate.from_place(climate.find_place("Northway, Alaska"), Room())
TUCSON = climate.from_place(climate.find_place("Tucson, Arizona"), Room())
SHOP = climate.from_moisture(9.0, 12.0)
DIFFUSIONS = np.array(list(DIFFUSION.values()))
LACQUER, EPOXY = finish.find("Lacquer, 2 coats").film, finish.find("Two-part epoxy, 2 coats").film
SECTIONS = [
    Section(0.5),
    Section(6.0, LACQUER),
    Section(12.0, 5.5e-9),
    Section(20.0),
    Section(25.0, EPOXY),
    Section(60.0),
    Section(150.0, 5e-9),
    Section(300.0, EPOXY),
]
sections = st.builds(Section, st.floats(*THICKNESS), st.floats(*FILM_LIMITS))
moistures = st.floats(4, 16)
airs = st.sampled_from([CHICAGO, NORTHWAY, TUCSON, SHOP])


def home(air: Climate, first: date = date(2025, 3, 1)) -> Journey:
    return Journey((Stay("home", air, first),))


def dense(now: float, air: Climate, section: Section) -> tuple[float, float]:
    """Driest and wettest over every fifth day of assembly, four years each, two points a day and more at the start."""
    days = np.unique(np.concatenate([np.geomspace(1e-3, 5, 60), np.arange(0, 4 * YEAR + 0.5, 0.5)]))
    starts = 5.0 * np.arange(73)[:, None, None]
    mean = course.follow(days, at(air, starts + days), section.thickness, DIFFUSIONS, section.film, now)
    settled = course.periodic(
        days[days < YEAR], at(air, days[days < YEAR]), section.thickness, DIFFUSIONS, section.film
    )
    return min(mean.min(), settled.min()), max(mean.max(), settled.max())


# Fine enough


@pytest.mark.parametrize("section", SECTIONS, ids=str)
@pytest.mark.parametrize(("air", "now"), [(NORTHWAY, 9.4), (TUCSON, 6.0)], ids=["Northway", "Tucson"])
def test_a_denser_sampling_finds_the_same_extremes_to_002_percent(air: Climate, now: float, section: Section):
    """The two places' years bend most sharply; a fourth year changes nothing either."""
    found, (low, high) = season(now, air, section), dense(now, air, section)
    assert (found.dry, found.wet) == pytest.approx((min(now, low), max(now, high)), abs=0.02)


@pytest.mark.parametrize("section", SECTIONS, ids=str)
def test_a_journey_with_a_denser_sampling_has_the_same_extremes(section: Section):
    stays = (Stay("shop", SHOP, date(2025, 1, 3)), Stay("store", TUCSON, date(2025, 2, 20)))
    journey = Journey((*stays, Stay("home", NORTHWAY, date(2025, 6, 11))))
    path = journey.path()
    order = np.unique(np.concatenate([np.arange(path.times.size), np.arange(0, path.times.size - 1, 0.1)]))
    times, air = (np.interp(order, np.arange(path.times.size), values) for values in (path.times, path.moisture))
    mean = course.follow(times, air, section.thickness, DIFFUSIONS, section.film, 8.0)
    settled = year(NORTHWAY, section)
    expected = min(mean.min(), settled.low.min()), max(mean.max(), settled.high.max())
    found = along(8.0, journey, section)[0]
    assert (found.year_dry, found.year_wet) == pytest.approx(expected, abs=0.02)


# Never more than at once


@settings(max_examples=40)
@given(moistures, airs, sections)
def test_the_lagged_swing_stays_within_the_air_s_and_today(now: float, air: Climate, section: Section):
    found = season(now, air, section)
    assert min(now, air.dry) - 1e-9 <= found.dry <= now <= found.wet <= max(now, air.wet) + 1e-9


@settings(max_examples=40)
@given(moistures, airs, sections, st.dates(date(2020, 1, 1), date(2030, 1, 1)), st.integers(1, 400))
def test_so_it_does_along_a_journey(now: float, air: Climate, section: Section, first: date, days: int):
    journey = Journey((Stay("shop", SHOP, first), Stay("home", air, first + timedelta(days=days))))
    found, band = along(now, journey, section)
    low, high = journey.extremes()
    assert min(now, low) - 1e-9 <= found.dry <= now <= found.wet <= max(now, high) + 1e-9
    assert np.all(band.low <= band.middle + 1e-9)
    assert np.all(band.middle <= band.high + 1e-9)
    assert found.dry <= band.low.min() + 1e-9
    assert band.high.max() - 1e-9 <= found.wet


def swing(air: Climate, section: Section) -> float:
    found = year(air, section)
    return float(found.high.max() - found.low.min())


@settings(max_examples=60)
@given(airs, st.tuples(st.floats(*THICKNESS), st.floats(*THICKNESS)), st.floats(*FILM_LIMITS))
def test_a_thicker_part_never_swings_wider(air: Climate, thicknesses: tuple[float, float], film: float):
    thin, thick = sorted(thicknesses)
    assert swing(air, Section(thick, film)) <= swing(air, Section(thin, film)) + 1e-9


@settings(max_examples=60)
@given(airs, st.floats(*THICKNESS), st.tuples(st.floats(*FILM_LIMITS), st.floats(*FILM_LIMITS)))
def test_a_better_sealed_part_never_swings_wider(air: Climate, thickness: float, films: tuple[float, float]):
    tight, open_ = sorted(films)
    assert swing(air, Section(thickness, tight)) <= swing(air, Section(thickness, open_)) + 1e-9


@pytest.mark.parametrize("section", SECTIONS, ids=str)
def test_the_swing_of_a_cosine_year_is_the_sine_response(section: Section):
    """The same swing from the closed form for a sine.

    The straight lines between twelve points of a cosine hold sinc²(π/12) of it, 2.3 % less, and short waves that a thin
    part follows up to the points themselves.
    """
    air = Climate(*(np.full(12, 20.0),) * 2, 9 - 2 * np.cos(np.arange(12) * np.pi / 6), 7.0, 11.0)
    whole = 2 * float(np.max(slab.sine_response(section.thickness, DIFFUSIONS, section.film, YEAR)[0]))
    assert whole * np.sinc(1 / 12) ** 2 - 0.005 <= swing(air, section) / 2 <= whole + 0.005


def test_what_a_section_follows_of_a_steady_swing_is_told_from_the_slowest_to_the_fastest():
    """Against a fine sine driven through the modes, for each of the three coefficients."""
    days = np.linspace(0, YEAR, 2001)[:-1]
    section = Section(19.0, 5.5e-9)
    wood = course.periodic(days, 9 + np.sin(2 * np.pi * days / YEAR), section.thickness, DIFFUSIONS, section.film, YEAR)
    told = lag.swing(section)
    followed = (wood.max(axis=1) - wood.min(axis=1)) / 2
    late = days[wood.argmax(axis=1)] - YEAR / 4
    assert (told.least, told.most) == pytest.approx((followed[0], followed[-1]), abs=1e-4)
    assert (told.latest, told.soonest) == pytest.approx((late[0], late[-1]), abs=0.2)
    assert told.least < told.most
    assert told.soonest < told.latest


def test_a_part_is_driest_weeks_after_the_air_and_a_sealed_one_later_still():
    """The bare part's driest day comes after the air's, the sealed one's later still."""
    driest = [float(year(CHICAGO, section).times[year(CHICAGO, section).middle.argmin()]) for section in SECTIONS[:5:2]]
    assert driest == sorted(driest)
    assert driest[0] >= 14
    assert driest[-1] > driest[0] + 10


def test_a_thin_bare_part_takes_nearly_the_whole_swing():
    found = season(8.0, CHICAGO, Section(0.5))
    assert (found.dry, found.wet) == pytest.approx((CHICAGO.dry, CHICAGO.wet), abs=0.02)


def test_no_finish_stops_the_year():
    """Two coats of the tightest finish of the table on 12 mm still let more than half of the swing through."""
    assert swing(CHICAGO, Section(12.0, EPOXY)) > (CHICAGO.wet - CHICAGO.dry) / 2


# What the day of assembly does


def test_a_thick_part_can_pass_its_own_yearly_swing_in_its_first_months():
    section = Section(60.0, EPOXY)
    top = float(year(CHICAGO, section).high.max())
    assert season(top, CHICAGO, section).wet > top + 0.1


@settings(max_examples=30)
@given(moistures, airs, st.sampled_from(SECTIONS), st.dates(date(2020, 1, 1), date(2023, 12, 31)))
def test_any_day_of_assembly_lies_within_the_season_of_an_unknown_one(
    now: float, air: Climate, section: Section, first: date
):
    unknown, known = season(now, air, section), along(now, home(air, first), section)[0]
    assert unknown.dry - 0.02 <= known.dry
    assert known.wet <= unknown.wet + 0.02


@settings(max_examples=30)
@given(airs, st.sampled_from(SECTIONS), st.tuples(moistures, moistures))
def test_more_moisture_today_never_makes_it_drier(air: Climate, section: Section, both: tuple[float, float]):
    drier, wetter = (season(now, air, section) for now in sorted(both))
    assert drier.dry <= wetter.dry + 1e-9
    assert drier.wet <= wetter.wet + 1e-9


# Journeys


@pytest.mark.parametrize("section", SECTIONS[:5], ids=str)
def test_at_home_from_the_start_it_comes_to_the_year_that_repeats(section: Section):
    """2025 to 2027 have no leap day; after two years what is left of the start is under 0.01 % MC in these parts."""
    band = along(9.0, home(CHICAGO, date(2025, 1, 1)), section)[1]
    settled = year(CHICAGO, section)
    late = band.times >= 2 * YEAR
    for found, expected in ((band.low, settled.low), (band.middle, settled.middle), (band.high, settled.high)):
        assert found[late] == pytest.approx(np.interp(band.times[late] % YEAR, settled.times, expected), abs=0.01)


def test_the_band_begins_at_today_s_moisture():
    band = along(9.0, home(CHICAGO), Section(12.0))[1]
    assert (band.low[0], band.middle[0], band.high[0]) == pytest.approx((9, 9, 9))


def test_a_dry_store_on_the_way_counts():
    """Two months in a dry store take a board drier than its home ever does."""
    store = climate.from_moisture(4.0, 4.0)
    direct = Journey((Stay("shop", SHOP, date(2025, 1, 1)), Stay("home", SHOP, date(2025, 6, 1))))
    stored = Journey((*direct.stays[:1], Stay("store", store, date(2025, 3, 1)), *direct.stays[1:]))
    for section in (Section(12.0), Section(12.0, LACQUER)):
        assert along(9.0, direct, section)[0].dry > 8.9
        assert along(9.0, stored, section)[0].dry < 7
    assert along(9.0, stored, Section(12.0, EPOXY))[0].dry > along(9.0, stored, Section(12.0))[0].dry + 1


def test_a_recorded_year_is_followed_day_by_day():
    """A damp fortnight shows in a thin part and hardly in a thick one."""
    daily = np.full(365, 8.0)
    daily[200:214] = 12.0
    flat = np.full(12, 8.0)
    recorded = Climate(flat, flat, flat, 8.0, 12.0, daily=daily)
    assert year(recorded, Section(3.0)).high.max() > 11.9
    assert year(recorded, Section(60.0)).high.max() < 10.1
    assert year(recorded, Section(3.0)).low.min() == pytest.approx(8.0, abs=0.01)


# What is refused


@pytest.mark.parametrize("now", [0.5, 31.0, float("nan")])
def test_moisture_today_has_its_range(now: float):
    for call in (lambda: season(now, CHICAGO, Section(12.0)), lambda: along(now, home(CHICAGO), Section(12.0))):
        with pytest.raises(RangeError, match="moisture content today"):
            call()


def test_a_part_has_its_range_of_thickness_and_film():
    for thickness in (0.4, 301.0):
        with pytest.raises(RangeError, match="thickness"):
            Section(thickness)
    for film in (0.9e-10, 1.1e-5):
        with pytest.raises(RangeError, match="surface coefficient"):
            Section(12.0, film)
    assert Section(12.0).film == FILM_BARE


def test_air_beyond_the_start_of_shrinkage_is_refused():
    wet = Climate(*(np.full(12, 5.0),) * 2, np.full(12, 31.0), 31.0, 31.0)
    for call in (lambda: season(9.0, wet, Section(12.0)), lambda: along(9.0, home(wet), Section(12.0))):
        with pytest.raises(RangeError, match="EMC of the air is 31 %; allowed is 0 to 30 %"):
            call()


def test_the_note_says_what_it_rests_on():
    assert "linear diffusion" in lag.NOTE
    assert "never stops it" in lag.NOTE
