"""Twelve months of air: from a range, months, a place, a room there, two moisture contents."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from movement import climate, sorption
from movement.air import saturation_pressure
from movement.climate import (
    MONTHS,
    NOTE_MONTHLY,
    ROOM_HUMIDITY,
    ROOM_TEMPERATURE,
    SURPLUS,
    Climate,
    Room,
    UnknownPlaceError,
    find_place,
    from_moisture,
    from_months,
    from_place,
    from_range,
    indoors,
    places,
)
from movement.errors import RangeError
from movement.sorption import NOTE_EXTRAPOLATED

BARE_ROOM = Room(heating=20.0, cooling=None, surplus=0.0, humidifier=None, dehumidifier=None)


def is_whole(year: Climate) -> bool:
    """Twelve months of each, dry and wet the extremes of the months, mid between."""
    shapes = {values.shape for values in (year.temperature, year.humidity, year.moisture)}
    extremes = (year.dry, year.wet) == (float(year.moisture.min()), float(year.moisture.max()))
    return shapes == {(12,)} and extremes and year.mid == (year.dry + year.wet) / 2


# A range


def test_a_range_runs_from_the_dry_january_to_the_wet_july() -> None:
    year = from_range(20.0, 30.0, 24.0, 60.0)
    assert is_whole(year)
    assert (year.temperature[0], year.humidity[0]) == (20.0, 30.0)
    assert (year.temperature[6], year.humidity[6]) == (24.0, 60.0)
    assert (year.dry, year.wet) == (year.moisture[0], year.moisture[6])
    # the cosine is half way in April and October, and each half of the year mirrors the other
    assert (year.temperature[3], year.humidity[3]) == (pytest.approx(22.0), pytest.approx(45.0))
    assert year.humidity[1:6] == pytest.approx(year.humidity[:6:-1])


def test_a_range_settles_where_the_equation_says() -> None:
    year = from_range(21.1, 30.0, 21.1, 65.0)
    # Wood Handbook, FPL-GTR-190, Table 4-2, 70 °F: 30 % RH 6.2 %, 65 % RH 12.0 %
    assert (year.dry, year.wet) == (pytest.approx(6.2, abs=0.06), pytest.approx(12.0, abs=0.06))


def test_a_range_of_one_state_has_no_swing() -> None:
    year = from_range(20.0, 45.0, 20.0, 45.0)
    assert (year.dry, year.wet) == (year.mid, year.mid)


def test_a_dry_state_that_is_the_damper_one_is_refused_with_the_wet_one_as_limit() -> None:
    with pytest.raises(RangeError) as caught:
        from_range(20.0, 60.0, 20.0, 30.0)
    assert caught.value.name == "moisture content in the dry season"
    assert caught.value.value == sorption.equilibrium_moisture(20.0, 60.0)
    assert caught.value.high == sorption.equilibrium_moisture(20.0, 30.0)


def test_warmer_air_of_the_same_humidity_is_the_drier_one() -> None:
    assert from_range(30.0, 50.0, 10.0, 50.0).dry < from_range(30.0, 50.0, 10.0, 50.0).wet
    with pytest.raises(RangeError):
        from_range(10.0, 50.0, 30.0, 50.0)


@given(st.floats(-10, 35), st.floats(0, 100), st.floats(-10, 35), st.floats(0, 100))
def test_no_month_of_a_range_is_outside_its_dry_and_wet(
    one: float, dryness: float, other: float, dampness: float
) -> None:
    ends = [float(sorption.equilibrium_moisture(*air)) for air in ((one, dryness), (other, dampness))]
    assume(ends[0] <= ends[1])
    year = from_range(one, dryness, other, dampness)
    assert is_whole(year)
    assert year.dry <= ends[0] + 1e-12
    assert year.wet >= ends[1] - 1e-12


def test_a_month_between_two_far_temperatures_can_be_the_wettest() -> None:
    year = from_range(34.1, 74.0, -7.5, 70.3)
    assert year.wet > year.moisture[6]


@pytest.mark.parametrize(
    ("state", "name"),
    [
        ((-36.0, 50.0, 20.0, 60.0), "temperature"),
        ((20.0, 50.0, 94.0, 60.0), "temperature"),
        ((20.0, -1.0, 20.0, 60.0), "relative humidity"),
        ((20.0, 50.0, 20.0, 101.0), "relative humidity"),
        ((float("nan"), 50.0, 20.0, 60.0), "temperature"),
        ((20.0, 50.0, 20.0, float("nan")), "relative humidity"),
    ],
)
def test_air_out_of_range_is_refused(state: tuple[float, float, float, float], name: str) -> None:
    with pytest.raises(RangeError) as caught:
        from_range(*state)
    assert caught.value.name == name


# Twelve months


def test_twelve_months_keep_their_air_and_have_their_own_extremes() -> None:
    temperature = np.linspace(15.0, 26.0, 12)
    humidity = np.array([40, 35, 45, 50, 55, 60, 65, 62, 58, 52, 47, 43.0])
    year = from_months(temperature, humidity)
    assert is_whole(year)
    assert np.array_equal(year.temperature, temperature)
    assert np.array_equal(year.humidity, humidity)
    assert year.moisture == pytest.approx(np.asarray(sorption.equilibrium_moisture(temperature, humidity)))
    assert NOTE_MONTHLY in year.notes


@pytest.mark.parametrize("count", [0, 1, 11, 13])
def test_another_number_of_months_is_refused(count: int) -> None:
    for lengths in ((count, 12), (12, count)):
        with pytest.raises(RangeError) as caught:
            from_months(np.full(lengths[0], 20.0), np.full(lengths[1], 50.0))
        assert (caught.value.name, caught.value.value) == ("number of months", count)


@pytest.mark.parametrize("bad", [float("nan"), -1.0, 100.1])
def test_one_bad_month_is_refused(bad: float) -> None:
    humidity = np.full(12, 50.0)
    humidity[7] = bad
    with pytest.raises(RangeError) as caught:
        from_months(np.full(12, 20.0), humidity)
    assert caught.value.name == "relative humidity"


def test_cold_months_are_noted() -> None:
    humidity = np.full(12, 50.0)
    cold = (
        from_months(np.linspace(-10, 20, 12), humidity),
        from_range(-5.0, 40.0, 20.0, 60.0),
        from_place(find_place("Helsinki")),
    )
    for year in cold:
        assert year.doubt == NOTE_EXTRAPOLATED
        assert NOTE_EXTRAPOLATED in year.notes


def test_months_within_the_equations_table_leave_no_doubt() -> None:
    year = from_months(np.linspace(-1.1, 20, 12), np.full(12, 50.0))
    assert year.doubt == ""
    assert NOTE_EXTRAPOLATED not in year.notes
    assert from_place(find_place("Helsinki"), Room()).doubt == ""


# Two moisture contents


def test_stated_moisture_contents_are_kept_to_the_letter() -> None:
    year = from_moisture(6.0, 11.0)
    assert (year.dry, year.wet, year.mid) == (6.0, 11.0, 8.5)
    assert (year.moisture[0], year.moisture[6]) == (pytest.approx(6.0, abs=1e-7), pytest.approx(11.0, abs=1e-7))
    assert np.all(year.temperature == 20.0)
    # the way back: eq. 4-5 at 20 °C
    assert np.asarray(sorption.equilibrium_moisture(20.0, year.humidity)) == pytest.approx(year.moisture)


@pytest.mark.parametrize("dry", [0.5, 8.0, 27.0])
def test_stated_moisture_contents_may_be_the_same(dry: float) -> None:
    assert from_moisture(dry, dry).mid == dry


@pytest.mark.parametrize(
    ("dry", "wet", "name", "low", "high"),
    [
        (0.4, 8.0, "driest moisture content", 0.5, 30.0),
        (6.0, 30.1, "wettest moisture content", 6.0, 30.0),
        (9.0, 8.0, "wettest moisture content", 9.0, 30.0),
        (float("nan"), 8.0, "driest moisture content", 0.5, 30.0),
    ],
)
def test_stated_moisture_contents_out_of_range(dry: float, wet: float, name: str, low: float, high: float) -> None:
    with pytest.raises(RangeError) as caught:
        from_moisture(dry, wet)
    assert (caught.value.name, caught.value.low, caught.value.high) == (name, low, high)


def test_wetter_than_saturated_air_makes_wood_is_refused() -> None:
    with pytest.raises(RangeError) as caught:
        from_moisture(6.0, 29.5)
    assert caught.value.high == pytest.approx(float(sorption.equilibrium_moisture(20.0, 100.0)))


# Places


def test_places_have_names_of_their_own_and_possible_air() -> None:
    names = [place.name for place in places()]
    assert names == sorted(set(names))
    assert len(names) == 20
    for place in places():
        assert place.source
        for values in (place.temperature, place.pressure, place.humidity, place.moisture):
            assert values.shape == (12,)


@pytest.mark.parametrize("asked", ["Helsinki", "helsinki", "  HELSINKI ", "hels"])
def test_a_place_is_found_whatever_the_case_and_by_its_start(asked: str) -> None:
    assert find_place(asked).name == "Helsinki"


@pytest.mark.parametrize("asked", ["", "   ", "Atlantis", "elsinki"])
def test_an_unknown_place_names_the_known_ones(asked: str) -> None:
    with pytest.raises(UnknownPlaceError) as caught:
        find_place(asked)
    assert caught.value.suggestions == tuple(place.name for place in places())
    assert "Helsinki" in str(caught.value)


def test_the_start_of_two_places_names_those_two() -> None:
    with pytest.raises(UnknownPlaceError) as caught:
        find_place("S")
    assert caught.value.suggestions == ("Sand Point, Alaska", "Stockholm", "Sydney")


def test_outdoors_takes_the_mean_of_the_hours_and_not_of_the_months_air() -> None:
    place = find_place("Helsinki")
    year = from_place(place)
    assert is_whole(year)
    assert np.array_equal(year.moisture, place.moisture)
    # the README of the table: the mean month's air gives up to 2.6 % MC less
    short = place.moisture - np.asarray(sorption.equilibrium_moisture(place.temperature, place.humidity))
    assert 0 < short.max() < 3
    assert any("mean of the hours" in note for note in year.notes)
    assert place.source in year.sources[0]


@pytest.mark.parametrize("place", places(), ids=lambda place: place.name)
def test_a_room_anywhere_makes_a_year(place: climate.Place) -> None:
    year = from_place(place, Room())
    assert is_whole(year)
    assert np.all((year.temperature >= 20.0) & (year.temperature <= 25.0))
    assert np.all(year.humidity <= 60.0)
    assert place.source in year.sources[0]


# A room


def test_a_heated_room_by_hand() -> None:
    # Outdoors 5 °C and 80 %: 0.80 × 872.6 = 698.08 Pa. Surplus 2 g/m³ at 25 °C: 0.002 × 461.5 × 298.15 = 275.19 Pa.
    # In the room, 25 °C: (698.08 + 275.19)/3169.7 = 30.71 %. Saturation: ASHRAE Handbook Fundamentals 2017, ch. 1.
    room = Room(heating=25.0, cooling=None, surplus=2.0, humidifier=None, dehumidifier=None)
    temperature, humidity = indoors([5.0], [698.08], room)
    assert temperature == pytest.approx([25.0])
    assert humidity == pytest.approx([30.71], rel=3e-4)  # the book's table and equations differ by that


def test_without_cooling_a_room_follows_a_warm_month() -> None:
    temperature, _ = indoors([5.0, 19.9, 20.1, 31.0], [500.0] * 4, BARE_ROOM)
    assert list(temperature) == [20.0, 20.0, 20.1, 31.0]


def test_cooling_holds_a_warm_month() -> None:
    cooled = Room(20.0, 25.0, 0.0, None, None)
    temperature, humidity = indoors([31.0], [1500.0], cooled)
    assert list(temperature) == [25.0]
    # the same vapour in cooler air is damper: 1500/3169.7
    assert humidity == pytest.approx([47.32], rel=3e-4)


def test_a_humidifier_is_a_floor_and_a_dehumidifier_a_cap() -> None:
    room = Room(20.0, None, 0.0, humidifier=35.0, dehumidifier=55.0)
    pressure = np.array([0.10, 0.35, 0.45, 0.55, 0.90]) * 2338.8  # Pa at 20 °C
    _, humidity = indoors(np.zeros(5), pressure, room)
    assert humidity == pytest.approx([35.0, 35.0, 45.0, 55.0, 55.0], abs=0.01)


rooms = st.builds(
    lambda heating, more, surplus, low, high: Room(
        heating,
        None if more is None else min(heating + more, 35.0),
        surplus,
        low,
        None if high is None else max(high, low or 0),
    ),
    st.floats(*ROOM_TEMPERATURE),
    st.none() | st.floats(0, 10),
    st.floats(*SURPLUS),
    st.none() | st.floats(*ROOM_HUMIDITY),
    st.none() | st.floats(*ROOM_HUMIDITY),
)


def drips(place: climate.Place, room: Room) -> bool:
    """Whether a month's vapour and the room's own pass saturation at the room's temperature."""
    inside = np.clip(place.temperature, room.heating, np.inf if room.cooling is None else room.cooling)
    vapour = place.pressure + room.surplus / 1000 * 461.5 * (inside + 273.15)
    return bool(np.any(vapour > np.asarray(saturation_pressure(inside))))


@given(rooms, st.sampled_from(places()))
def test_a_room_keeps_within_its_settings(room: Room, place: climate.Place) -> None:
    if room.dehumidifier is None and drips(place, room):
        with pytest.raises(RangeError, match="indoor humidity"):
            indoors(place.temperature, place.pressure, room)
        return
    temperature, humidity = indoors(place.temperature, place.pressure, room)
    assert np.all(temperature >= room.heating)
    assert np.all(temperature <= (room.cooling if room.cooling is not None else np.maximum(35, place.temperature)))
    assert np.all(humidity >= (room.humidifier or 0))
    assert np.all(humidity <= (room.dehumidifier or 100))


@given(rooms, st.sampled_from(places()), st.floats(0, 5))
def test_more_water_in_the_room_is_never_drier(room: Room, place: climate.Place, more: float) -> None:
    assume(room.surplus + more <= SURPLUS[1])
    damper = Room(room.heating, room.cooling, room.surplus + more, room.humidifier, room.dehumidifier)
    assume(room.dehumidifier is not None or not drips(place, damper))
    before, after = from_place(place, room), from_place(place, damper)
    assert np.all(after.moisture >= before.moisture - 1e-9)


def test_more_heat_is_drier() -> None:
    place = find_place("Stockholm")
    assert from_place(place, Room(heating=23.0)).dry < from_place(place, Room(heating=18.0)).dry


def test_a_room_that_would_drip_says_what_helps() -> None:
    with pytest.raises(RangeError) as caught:
        from_place(find_place("Tokyo"), Room(20.0, 25.0, 4.0, None, None))
    assert caught.value.name == "indoor humidity"
    assert caught.value.value > 100
    assert "set a dehumidifier, a smaller surplus or a warmer room" in caught.value.source


@pytest.mark.parametrize(
    ("settings", "name"),
    [
        ({"heating": 4.9}, "heating temperature"),
        ({"heating": 35.1}, "heating temperature"),
        ({"heating": 22.0, "cooling": 21.0}, "cooling temperature"),
        ({"cooling": 35.1}, "cooling temperature"),
        ({"surplus": -0.1}, "moisture surplus"),
        ({"surplus": 15.1}, "moisture surplus"),
        ({"humidifier": 9.9}, "humidifier setting"),
        ({"dehumidifier": 90.1}, "dehumidifier setting"),
        ({"humidifier": 50.0, "dehumidifier": 45.0}, "dehumidifier setting"),
        ({"heating": float("nan")}, "heating temperature"),
        ({"dehumidifier": float("nan")}, "dehumidifier setting"),
    ],
)
def test_a_rooms_settings_are_held_to_their_ranges(settings: dict[str, float], name: str) -> None:
    with pytest.raises(RangeError) as caught:
        Room(**settings)
    assert caught.value.name == name


def test_months_are_listed_by_name() -> None:
    year = from_range(20.0, 30.0, 24.0, 60.0)
    listed = climate.month_list(year)
    assert [month[0] for month in listed] == list(MONTHS)
    assert listed[6] == ("July", 24.0, 60.0, year.moisture[6])


@pytest.mark.parametrize("month", range(1, 13))
def test_a_year_is_driest_in_the_month_that_is_told_and_wettest_half_a_year_later(month: int) -> None:
    for told, plain in (
        (climate.from_range(20, 30, 22, 65, month), climate.from_range(20, 30, 22, 65)),
        (climate.from_moisture(6, 11, month), climate.from_moisture(6, 11)),
    ):
        assert int(told.moisture.argmin()) == month - 1
        assert int(told.moisture.argmax()) == (month + 5) % 12
        assert np.roll(told.moisture, 1 - month) == pytest.approx(plain.moisture)
        assert (told.dry, told.wet) == pytest.approx((plain.dry, plain.wet))


@pytest.mark.parametrize("month", [0, 13])
def test_a_month_that_there_is_not_is_refused(month: int) -> None:
    with pytest.raises(RangeError, match="driest month"):
        climate.from_range(20, 30, 22, 65, month)
