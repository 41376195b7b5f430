"""A hygrometer's log, in the many ways that loggers write it."""

from contextlib import suppress
from datetime import datetime, timedelta
from io import BytesIO
from tempfile import SpooledTemporaryFile

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import hygrometer, readings
from movement.errors import RangeError
from movement.hygrometer import read
from movement.layout import LogError, Options

START = datetime(2025, 1, 10)


def rows(count=400, minutes=60, style="%Y-%m-%d %H:%M", separator=",", comma=False, start=START, fahrenheit=False):
    """Rows of a log that warms and dampens through each day."""
    made = []
    for at in range(count):
        moment = start + timedelta(minutes=minutes * at)
        warmth = 20 + 2 * np.sin(moment.hour / 24 * 2 * np.pi)
        damp = 45 + 3 * np.cos(moment.hour / 24 * 2 * np.pi)
        cells = f"{warmth * 1.8 + 32 if fahrenheit else warmth:.2f}", f"{damp:.1f}"
        cells = tuple(cell.replace(".", ",") for cell in cells) if comma else cells
        made.append(separator.join((moment.strftime(style), *cells)))
    return made


def log(*lines, header="time,temperature,humidity", options=None, code="utf-8"):
    text = "\n".join([header, *lines] if header else lines).encode(code)
    return read(text, options) if options else read(text)


PLAIN = log(*rows())


@pytest.mark.parametrize(
    ("style", "separator", "comma", "header", "dates"),
    [
        ("%Y-%m-%d %H:%M:%S", ",", False, "Time,Temperature_C,RH", "year-month-day, 24-hour clock"),
        ("%Y-%m-%dT%H:%M:%SZ", ",", False, "Time,Temperature (°C),Humidity (%)", "year-month-day, 24-hour clock"),
        ("%d.%m.%Y %H:%M", ";", True, "Zeit;Temperatur [°C];rel. Feuchte [%]", "day.month.year, 24-hour clock"),
        ("%d/%m/%Y %H:%M", ";", True, "Date;Température (°C);Humidité (%)", "day/month/year, 24-hour clock"),
        ("%m/%d/%Y %I:%M %p", ",", False, "Date,Temp (C),RH %", "month/day/year, 12-hour clock with AM and PM"),
        ("%d/%m/%y\t%H:%M:%S", "\t", True, "Fecha\tHora\tTemperatura °C\tHumedad %", "day/month/year, 24-hour clock"),
        ("%d %b %Y %H:%M", ";", False, "Data;Temperatura (°C);Umidità (%)", "the month's name, 24-hour clock"),
        ("%Y%m%d,%H:%M", ",", False, "Datum,Tid,Temperatur °C,Luftfuktighet %", "year, month, day, 24-hour clock"),
    ],
)
def test_the_same_readings_are_read_in_every_style(style, separator, comma, header, dates):
    found = log(*rows(style=style, separator=separator, comma=comma), header=header)
    assert found.understood.dates == dates
    assert found.understood.dates_sure
    assert found.understood.unit == "°C"
    assert found.understood.decimal == ("comma" if comma else "point")
    assert (found.understood.rows, found.understood.used, found.understood.dropped) == (400, 400, ())
    assert found.hours.start == PLAIN.hours.start
    assert found.hours.moisture == pytest.approx(PLAIN.hours.moisture)


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1"])
def test_every_encoding_is_read(code):
    found = log(*rows(), header="Zeit,Temperatur °C,Feuchte %", code=code)
    assert found.understood.unit_why == "the heading of “Temperatur °C” says so"
    assert found.hours.moisture == pytest.approx(PLAIN.hours.moisture)


@pytest.mark.parametrize("mark", ["\n", "\r\n", "\r"])
def test_every_line_end_is_read(mark):
    assert read(mark.join(["time,temp,humidity", *rows()]).encode()).understood.used == 400


def test_quoted_cells_are_read():
    lines = ['"' + line.replace(";", '";"') + '"' for line in rows(separator=";", comma=True)]
    assert log(*lines, header='"time";"temp";"humidity"').hours.moisture == pytest.approx(PLAIN.hours.moisture)


def test_seconds_since_1970_are_read_and_said_to_be_of_greenwich():
    lines = [f"{1736467200 + 3600 * at},20,45" for at in range(200)]
    found = log(*lines)
    assert found.understood.dates == "seconds since 1970"
    assert found.understood.first == np.datetime64("2025-01-10T00:00:00")
    assert any("Greenwich" in text for text in found.understood.warnings)


@pytest.mark.parametrize("header", ["time,temp (°F),humidity", "time,temperature,humidity", None])
def test_fahrenheit_is_known_by_heading_or_by_its_numbers(header):
    found = log(*rows(fahrenheit=True), header=header)
    assert found.understood.unit == "°F"
    assert found.understood.unit_sure
    assert found.hours.moisture == pytest.approx(PLAIN.hours.moisture, abs=2e-3)


def test_celsius_by_its_numbers_is_not_sure_and_says_so():
    assert PLAIN.understood.unit == "°C"
    assert not PLAIN.understood.unit_sure
    assert any("taken for °C" in text for text in PLAIN.understood.warnings)


def test_between_the_two_units_the_log_asks():
    found = log(*(f"2025-01-{day:02} 12:00,40,45" for day in range(1, 15)))
    assert "could be either" in found.understood.unit_why


def test_the_makers_unit_wins():
    found = log(*rows(), header="time,temp °C,humidity", options=Options(unit="°F"))
    assert (found.understood.unit, found.understood.unit_why) == ("°F", "as chosen")
    assert found.hours.temperature[0] == pytest.approx((20 - 32) / 1.8)


def test_ambiguous_dates_are_said_and_can_be_chosen():
    lines = [f"01/02/2025 {hour:02}:00,20,45" for hour in range(24)]
    found = log(*lines)
    assert not found.understood.dates_sure
    assert any("Day first" in text for text in found.understood.warnings)
    other = log(*lines, options=Options(day_first=False))
    assert other.understood.dates_sure
    assert (found.understood.first, other.understood.first) == (
        np.datetime64("2025-02-01T00:00:00"),
        np.datetime64("2025-01-02T00:00:00"),
    )


def test_dates_spoiled_by_a_spreadsheet_are_left_out_and_said():
    lines = [*rows(style="%d/%m/%Y %H:%M"), "12/31/2025 10:00,20,45"]
    found = log(*lines)
    assert [(part.rows, part.first_line) for part in found.understood.dropped] == [(1, 402)]
    assert "no such day" in found.understood.dropped[0].why
    assert not found.understood.dates_sure


@pytest.mark.parametrize(
    ("bad", "why"),
    [
        ("2025-01-11 00:30,-40,45", "sign of failure"),
        ("2025-01-11 00:30,20,999", "sign of failure"),
        ("2025-01-11 00:30,-999,45", "sign of failure"),
        ("2025-01-11 00:30,9999,45", "sign of failure"),
        ("2025-01-11 00:30,20,0", "0 % or less"),
        ("2025-01-11 00:30,20,-3", "0 % or less"),
        ("2025-01-11 00:30,20,104.5", "above 100 %"),
        ("2025-01-11 00:30,---,45", "no number"),
        ("2025-01-11 00:30,20,NaN", "no number"),
        ("2025-01-11 00:30,20,", "no number"),
        ("2025-01-11 00:30,20,error", "no number"),
        ("2025-01-11 00:30,95,45", "temperature outside"),
        ("2025-01-11 00:30,20", "too few columns"),
        ("when?,20,45", "no date"),
        ("2025-01-11 25:30,20,45", "no date"),
        ("2025-02-30 00:30,20,45", "no such day"),
        ("1970-01-01 00:00,20,45", "no such day"),
        ("time,temperature,humidity", "no date"),
        ("Average,20.1,44", "no date"),
    ],
)
def test_a_bad_row_is_left_out_counted_and_never_mended(bad, why):
    lines = rows()
    found = log(*lines[:30], bad, bad, *lines[30:])
    (dropped,) = found.understood.dropped
    assert why in dropped.why
    assert (dropped.rows, dropped.first_line) == (2, 32)
    assert (found.understood.rows, found.understood.used) == (402, 400)
    assert found.hours.moisture == pytest.approx(PLAIN.hours.moisture)


def test_many_bad_rows_are_a_warning():
    found = log(*rows(), *["2025-01-11 00:30,---,---"] * 100)
    assert "20% of the rows cannot be used." in found.understood.warnings


def test_blank_lines_do_not_count():
    assert log(*rows(), "", ",,", "  ").understood.rows == 400


def test_no_row_that_can_be_used_is_refused_with_the_reasons():
    with pytest.raises(LogError, match=r"None of the 2 rows.*2 × a humidity of 0 %"):
        log("2025-01-01 00:00,20,0", "2025-01-01 01:00,20,0")


def test_humidity_in_parts_of_one_is_said():
    found = log(*(f"2025-01-{day:02} 12:00,20,0.45" for day in range(1, 15)))
    assert found.hours.humidity[0] == pytest.approx(45)
    assert any("parts of one" in text for text in found.understood.warnings)


def test_repeated_rows_count_once():
    lines = rows()
    found = log(*lines, *lines[:50])
    assert (found.understood.duplicates, found.understood.used) == (50, 400)


def test_rows_of_one_time_and_other_numbers_are_averaged_and_said():
    found = log(*rows(), "2025-01-10 00:00,30,45")
    assert found.hours.temperature[0] == pytest.approx(25)
    assert any("1 row with the time of another" in text for text in found.understood.warnings)


@pytest.mark.parametrize("turn", [slice(None, None, -1), slice(None, None, 1)])
def test_newest_first_is_no_disorder(turn):
    found = log(*rows()[turn])
    assert not any("order of time" in text for text in found.understood.warnings)
    assert found.hours.moisture == pytest.approx(PLAIN.hours.moisture)


def test_rows_out_of_order_are_sorted_and_said():
    lines = rows()
    found = log(*lines[200:], *lines[:200])
    assert any("turns back 1 times" in text for text in found.understood.warnings)
    assert found.hours.moisture == pytest.approx(PLAIN.hours.moisture)


def test_the_hour_that_summer_time_repeats_is_averaged_and_said():
    before = rows(150, 10, start=datetime(2025, 10, 25, 2, 0))
    after = rows(150, 10, start=datetime(2025, 10, 26, 2, 0))
    found = log(*before, *after)
    assert "In the night of 26 October 2025 an hour comes twice" in " ".join(found.understood.warnings)
    assert not any("order of time" in text for text in found.understood.warnings)
    assert found.understood.gaps == ()


def test_the_hour_that_summer_time_skips_is_said():
    before = rows(150, 10, start=datetime(2025, 3, 29, 1, 0))
    after = rows(150, 10, start=datetime(2025, 3, 30, 3, 0))
    found = log(*before, *after)
    assert "In the night of 30 March 2025 an hour is missing" in " ".join(found.understood.warnings)


def test_times_with_their_distance_from_utc_are_brought_to_one():
    lines = [f"2025-10-26T{hour:02}:{minute:02}:00+02:00,20,45" for hour in range(3) for minute in (0, 30)]
    lines += [f"2025-10-26T{hour:02}:{minute:02}:00+01:00,20,45" for hour in range(2, 24) for minute in (0, 30)]
    found = log(*lines)
    assert found.understood.interval == 30
    assert found.understood.last == np.datetime64("2025-10-27T00:30:00")
    assert any("+02:00" in text for text in found.understood.warnings)


def test_gaps_are_listed_the_longest_first():
    lines = rows()
    found = log(*lines[:50], *lines[60:100], *lines[150:]).understood
    assert [round(gap.days * 24) for gap in found.gaps] == [51, 11]
    assert found.gaps[0].start == np.datetime64("2025-01-14T03:00:00")
    assert found.gap_count == 2


def test_a_reading_a_day_is_joined_and_said():
    found = log(*(f"2025-{month:02}-{day:02},20,45" for month in range(1, 4) for day in range(1, 29)))
    assert found.understood.dates == "year-month-day, no time of day"
    assert any("up to 48 hours" in text for text in found.understood.warnings)
    assert found.hours.known.mean() > 0.95


@pytest.mark.parametrize(
    "lines", [["2025-01-01 00:00,20,45"] * 3, [f"2025-{month:02}-01,20,45" for month in range(1, 13)]]
)
def test_too_few_readings_are_refused(lines):
    with pytest.raises(LogError, match="a log needs"):
        log(*lines)


def test_what_was_understood_is_told_in_words():
    found = log(
        *rows(style="%d.%m.%Y %H:%M", separator=";", comma=True), header="Zeit;Temp. (°C);Feuchte (%)", code="latin-1"
    ).understood
    said = found.summary
    assert said[0].startswith(
        "400 of 400 rows are used, 10 January 2025 to 26 January 2025, a reading every 60 minutes; 5%"
    )
    assert "temperature in column 2 “Temp. (°C)”, humidity in column 3 “Feuchte (%)”" in said[1]
    assert said[2] == "Temperatures in °C: the heading of “Temp. (°C)” says so."
    assert said[3] == "Dates as day.month.year, 24-hour clock: numbers over 12 stand in the first place."
    assert said[4] == "Latin-1 (Windows-1252), columns parted by semicolon, decimal comma."
    assert found.others == ()


def test_columns_that_are_not_used_are_listed():
    found = log(*(row + ",3.1" for row in rows()), header="time,temp,humidity,battery").understood
    assert found.others == ("battery",)
    assert [(column.use, column.number) for column in found.columns] == [
        ("date and time", 1),
        ("temperature", 2),
        ("humidity", 3),
    ]


def test_less_than_a_year_says_what_it_cannot_know():
    assert any("No readings in February, March" in text for text in PLAIN.understood.warnings)
    made = PLAIN.record()
    assert made.measured == (True, *[False] * 11)
    assert any("Not measured: February" in note for note in made.climate.notes)
    assert made.climate.notes[0] == "From a hygrometer's log, 10 January 2025 to 26 January 2025."


def test_less_than_a_week_is_read_and_makes_no_year():
    short = log(*rows(48))
    assert short.understood.used == 48
    with pytest.raises(RangeError, match="fullest week"):
        short.record()


def test_frost_says_what_humidity_is_counted_against():
    found = log(*(f"2025-01-{day:02} 12:00,-5,80" for day in range(1, 15)), header="time,temp °C,humidity")
    assert any("against water" in text for text in found.understood.warnings)
    assert found.hours.phase == "water"


@pytest.mark.parametrize("kind", [BytesIO, SpooledTemporaryFile])
def test_an_open_file_is_read_from_its_start_and_left_open(kind):
    text = "\n".join(["time,temperature,humidity", *rows()]).encode()
    with kind() as file:
        file.write(text)
        assert read(file).understood.used == 400
        assert not file.closed


def test_progress_rises_to_one():
    told = []
    read("\n".join(["time,temperature,humidity", *rows(20_000, 1)]).encode(), progress=told.append)
    assert told == sorted(told)
    assert (len(told), told[-1]) == (3, 1.0)
    assert 0 < told[0] < 1


def test_too_large_a_file_is_refused_before_it_is_read(monkeypatch):
    monkeypatch.setattr(hygrometer, "MOST_BYTES", 1_000_000)
    with pytest.raises(LogError, match="larger than 1 MB"):
        read(b"x" * 1_000_001)


def test_too_many_rows_are_refused(monkeypatch):
    monkeypatch.setattr(readings, "MOST_ROWS", 8_000)
    with pytest.raises(LogError, match="more than 8,000 rows"):
        log(*rows(9_000, 1))


def test_an_open_quotation_mark_is_refused_with_its_line():
    with pytest.raises(LogError, match="quotation mark") as caught:
        log(*rows(), *['"2025-01-10 00:00,20,45'], *rows(9_000, 1))
    assert caught.value.line > 400


def test_rows_that_cannot_be_remembered_are_read_all_the_same(monkeypatch):
    monkeypatch.setattr(readings, "_CACHE", 3)
    assert log(*rows()).hours.moisture == pytest.approx(PLAIN.hours.moisture)


CELL = st.sampled_from(
    [
        "2025-01-01 00:00",
        "01/02/2025 1:00 PM",
        "31.12.2025",
        "23:59",
        "1735689600",
        "20.5",
        "20,5",
        "-40",
        "999",
        "0",
        "100",
        "---",
        "",
        "NaN",
        '"',
        "\x00",
        "temp °F",
        "humidity %",
        "1e99",
        "٣",
        "🌡",
        " ",
        "x" * 200,
    ]
)


@given(
    st.lists(st.lists(CELL, max_size=6), max_size=30),
    st.sampled_from(",;\t| "),
    st.sampled_from(["\n", "\r\n", "\r"]),
    st.sampled_from(["utf-8", "utf-16", "utf-16-le"]),
    st.sampled_from([None, True, False]),
)
def test_no_table_raises_anything_but_a_log_error(table, separator, end, code, day_first):
    text = end.join(separator.join(row) for row in table)
    with suppress(LogError):
        found = read(text.encode(code), Options(day_first=day_first))
        assert 0 < found.understood.used <= found.understood.rows
        assert found.understood.summary


@given(
    st.lists(st.tuples(CELL, CELL, CELL), max_size=40),
    st.binary(max_size=60),
    st.sampled_from([None, "1", "2", "temp"]),
)
def test_no_damage_to_a_log_raises_anything_but_a_log_error(table, tail, column):
    lines = [*rows(30), *(",".join(row) for row in table)]
    text = "\n".join(["time,temp,humidity", *lines]).encode() + b"\n" + tail
    with suppress(LogError):
        found = read(text, Options(temperature=column))
        with suppress(RangeError):
            assert found.record().climate.dry <= found.record().climate.wet
        assert np.isfinite(found.hours.temperature[found.hours.known]).all()


@given(st.binary(max_size=500))
def test_no_bytes_raise_anything_but_a_log_error(text):
    with suppress(LogError):
        assert read(text).hours.known.any()
