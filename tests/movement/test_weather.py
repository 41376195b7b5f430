"""A weather file in the EPW format, outdoors and in a room."""

from contextlib import suppress
from functools import cache
from io import BytesIO

import numpy as np
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from movement import air, climate, weather
from movement.climate import Room
from movement.errors import RangeError
from movement.weather import WeatherError, indoors, read

HEADER = [
    "LOCATION,Harbour Town,North Shore,XYZ,Made for this test,012345,57.20,-2.22,0.0,65.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    'COMMENTS 1,"an open quotation mark',
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday,1/ 1,12/31",
]


@cache
def moments(hours=8760):
    start = np.datetime64("2004-01-01T00" if hours == 8784 else "2001-01-01T00", "h")
    return [moment.item() for moment in start + np.arange(hours)]


def outdoors(hours=8760, mean=8.0):
    """Temperature and humidity of a made-up year, as the file writes them."""
    at = np.arange(hours)
    warmth = mean - 9 * np.cos(2 * np.pi * at / hours) - 4 * np.cos(2 * np.pi * at / 24)
    damp = 78 + 10 * np.cos(2 * np.pi * at / hours) + 8 * np.cos(2 * np.pi * at / 24)
    return warmth.round(1), damp.round()


def rows(warmth, damp, dew=None, steps=1):
    dew = np.full(len(warmth), 99.9) if dew is None else dew
    made = []
    for moment, *air_at in zip(np.repeat(moments(len(warmth) // steps), steps), warmth, dew, damp, strict=True):
        month, day, hour = moment.month, moment.day, moment.hour + 1
        made.append("1999,{},{},{},60,?9?9?9,{:.1f},{:.1f},{:g},101325,0".format(month, day, hour, *air_at))
    return made


def epw(lines, header=HEADER, code="utf-8", mark="\r\n"):
    return mark.join([*header, *lines]).encode(code)


WARMTH, DAMP = outdoors()
PLAIN = read(epw(rows(WARMTH, DAMP)))


def test_the_place_is_read_from_the_first_line():
    assert (PLAIN.city, PLAIN.region, PLAIN.country, PLAIN.source) == (
        "Harbour Town",
        "North Shore",
        "XYZ",
        "Made for this test",
    )
    assert (PLAIN.latitude, PLAIN.longitude, PLAIN.elevation) == (57.2, -2.22, 65.0)
    assert PLAIN.name == "Harbour Town, XYZ"


def test_every_hour_is_read():
    assert PLAIN.hours.temperature == pytest.approx(WARMTH)
    assert PLAIN.hours.humidity == pytest.approx(DAMP)
    assert PLAIN.missing == 0


def test_outdoors_gives_the_means_of_the_hours():
    made = PLAIN.record()
    january = slice(0, 31 * 24)
    assert made.climate.temperature[0] == pytest.approx(WARMTH[january].mean())
    assert made.climate.moisture[0] == pytest.approx(PLAIN.hours.moisture[january].mean())
    assert made.measured == (True,) * 12
    assert len(made.daily) == 365
    assert made.climate.sources[0] == "Weather of Harbour Town, XYZ: Made for this test, hourly EPW file"


def test_a_room_is_warmed_from_the_day_and_keeps_its_water():
    room = Room(heating=20, cooling=None, surplus=2, dehumidifier=None)
    inside = indoors(PLAIN.hours, room)
    day = PLAIN.hours.pressure[:24].mean()
    assert inside.temperature[:24] == pytest.approx(20.0)
    assert inside.pressure[:24] == pytest.approx(day + air.surplus_pressure(2.0, 20.0))


def test_a_room_agrees_with_the_monthly_model_where_the_air_is_steady():
    made = read(epw(rows(np.full(8760, 5.0), np.full(8760, 80.0))))
    room = Room()
    pressure = np.full(12, 0.8 * float(air.saturation_pressure(5.0)))
    temperature, humidity = climate.indoors(np.full(12, 5.0), pressure, room)
    year = made.record(room).climate
    assert year.temperature == pytest.approx(temperature)
    assert year.humidity == pytest.approx(humidity)
    assert (year.dry, year.wet) == pytest.approx((year.moisture[0], year.moisture[0]))


def test_a_heated_room_is_drier_than_outdoors():
    outside, inside = PLAIN.record().climate, PLAIN.record(Room()).climate
    assert inside.dry < outside.dry
    assert inside.wet < outside.wet
    assert "following its daily means" in inside.notes[0]


def test_a_room_that_would_drip_is_refused():
    damp = read(epw(rows(*outdoors(mean=20.0))))
    with pytest.raises(RangeError, match="indoor humidity"):
        damp.record(Room(heating=5, cooling=10, surplus=10, dehumidifier=None))


def test_missing_humidity_comes_from_the_dew_point_and_is_counted():
    psychrolib.SetUnitSystem(psychrolib.SI)
    damp, dew = DAMP.copy(), np.full(8760, 99.9)
    damp[4000:4100] = 999
    dew[4000:4100] = (WARMTH[4000:4100] - 3).round(1)
    found = read(epw(rows(WARMTH, damp, dew)))
    assert (found.derived, found.missing) == (100, 0)
    assert "The humidity of 100 rows comes from their dew point." in found.warnings
    expected = [
        100 * psychrolib.GetRelHumFromTDewPoint(float(warm), float(point))
        for warm, point in zip(WARMTH[4000:4100], dew[4000:4100], strict=True)
    ]
    assert found.hours.humidity[4000:4100] == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("field", "value"), [("warmth", 99.9), ("damp", 999), ("damp", -1), ("damp", 105), ("warmth", -65)]
)
def test_missing_rows_are_left_out_and_counted(field, value):
    warmth, damp = WARMTH.copy(), DAMP.copy()
    (warmth if field == "warmth" else damp)[100:300] = value
    found = read(epw(rows(warmth, damp)))
    assert found.missing == 200
    assert "200 rows without temperature or humidity are left out." in found.warnings
    assert found.hours.known.sum() == 8560


def test_too_many_missing_rows_are_refused():
    damp = DAMP.copy()
    damp[:900] = 999
    with pytest.raises(WeatherError, match="900 of 8,760 rows"):
        read(epw(rows(WARMTH, damp)))


@pytest.mark.parametrize("phase", ["ice", "water"])
def test_what_humidity_below_freezing_is_counted_against_is_found(phase):
    warmth, damp = outdoors(mean=-2.0)
    pressure = damp / 100 * np.asarray(air.saturation_pressure(warmth, phase))
    cold = np.linspace(-60, 60, 12_001)
    dew = np.interp(np.log(pressure), np.log(np.asarray(air.saturation_pressure(cold, phase))), cold).round(1)
    found = read(epw(rows(warmth, damp, dew)))
    assert found.hours.phase == phase
    assert f"Below freezing, the humidity of this file is counted against {phase}." in found.warnings
    assert found.hours.pressure == pytest.approx(pressure)


def test_a_leap_year_and_several_rows_per_hour_are_read():
    leap = read(epw(rows(*outdoors(8784))))
    assert leap.hours.pressure.size == 8784
    quarters = read(epw(rows(np.repeat(WARMTH, 4), np.repeat(DAMP, 4), steps=4)))
    assert quarters.hours.temperature == pytest.approx(WARMTH)


def test_arctic_hours_are_left_out_of_wood_and_kept_for_rooms():
    warmth = WARMTH - 35
    found = read(epw(rows(warmth, DAMP)))
    assert any("hours are left out" in note for note in found.record().climate.notes)
    assert np.isfinite(indoors(found.hours, Room()).moisture).all()


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "latin-1"])
def test_a_city_with_an_accent_is_read(code):
    header = [HEADER[0].replace("Harbour Town", "Århus"), *HEADER[1:]]
    assert read(epw(rows(WARMTH, DAMP), header, code)).city == "Århus"


def test_an_open_file_is_read_from_its_start_and_left_open():
    file = BytesIO(epw(rows(WARMTH, DAMP), mark="\n"))
    file.seek(50)
    assert read(file).hours.pressure.size == 8760
    assert not file.closed


def test_progress_rises_to_one():
    told = []
    read(epw(rows(WARMTH, DAMP)), told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert 0 < told[0] < 0.2


@pytest.mark.parametrize(
    ("text", "why", "line"),
    [
        (b"", "no weather file", 1),
        (b"PK\x03\x04", "no weather file", 1),
        (b"time,temp,humidity\n", "no weather file", 1),
        (b"LOCATION,a,b\nsomething else\n", "lacks its line DESIGN CONDITIONS", 2),
        (epw(rows(WARMTH, DAMP)[:100]), "100 rows; a year has 8,760", None),
        (epw([]), "0 rows; a year has 8,760", None),
        (epw([*rows(WARMTH, DAMP)[:10], "1,2,3"]), "3 fields", 19),
        (epw([*rows(WARMTH, DAMP)[:10], "1999,a,b,c,,,,,,"]), "2 rows|11 rows", None),
        (epw(rows(WARMTH, DAMP)[::-1]), "Month 1, day 1, hour 1 is expected", 9),
        (epw(rows(WARMTH, DAMP), [HEADER[0].replace("57.20", "157.2"), *HEADER[1:]]), "latitude is 157.2", 1),
        (epw(rows(WARMTH, DAMP), [HEADER[0].replace("65.0", "high"), *HEADER[1:]]), "elevation is high", 1),
    ],
)
def test_what_is_no_such_file_is_refused_and_says_where(text, why, line):
    with pytest.raises(WeatherError, match=why) as caught:
        read(text)
    assert caught.value.line == line


def test_a_blank_place_is_zero_as_the_format_says():
    found = read(epw(rows(WARMTH, DAMP), ["LOCATION", *HEADER[1:]]))
    assert (found.name, found.latitude, found.elevation) == ("", 0.0, 0.0)


def test_too_large_a_file_is_refused(monkeypatch):
    monkeypatch.setattr(weather, "MOST_BYTES", 1_000_000)
    with pytest.raises(WeatherError, match="larger than 1 MB"):
        read(b"LOCATION" + b"x" * 1_000_000)


LINES = rows(WARMTH, DAMP)
CELL = st.sampled_from(["", "99.9", "999", "nan", "inf", "-1e9", "20", "x", '"', "\x00", "é" * 30])


@settings(max_examples=40)
@given(
    st.dictionaries(st.integers(0, 8759), st.tuples(st.integers(0, 10), CELL), max_size=5),
    st.lists(CELL, max_size=12),
    st.booleans(),
)
def test_no_damage_raises_anything_but_a_weather_error(damage, location, moved):
    lines = list(LINES)
    for at, (field, cell) in damage.items():
        cells = lines[at].split(",")
        cells[field] = cell
        lines[at] = ",".join(cells)
    header = [",".join(["LOCATION", *location]), *HEADER[1:]] if moved else HEADER
    with suppress(WeatherError):
        assert np.isfinite(read(epw(lines, header)).record(Room()).climate.moisture).all()


@given(st.binary(max_size=300))
def test_no_bytes_raise_anything_but_a_weather_error(tail):
    for text in (tail, b"LOCATION" + tail, epw([]) + tail):
        with suppress(WeatherError):
            assert read(text).hours.known.any()
