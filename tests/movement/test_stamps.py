"""Dates and times as loggers write them."""

from datetime import UTC, date, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import stamps
from movement.stamps import NONE, clock, day, epoch, order, split

EPOCH = date(1970, 1, 1).toordinal()


@pytest.mark.parametrize(
    "text",
    [
        "2025-12-31",
        "2025/12/31",
        "2025.12.31",
        "20251231",
        "31.12.2025",
        "31/12/2025",
        "31-12-25",
        "31. 12. 2025",
        "31 Dec 2025",
        "31-Dec-25",
        "31. Dezember 2025",
        "31 de diciembre de 2025",
        "31 décembre 2025",
        "Dec 31, 2025",
        "December 31 2025",
    ],
)
def test_a_date_is_read_in_every_style(text):
    found = day(text)
    assert found.day_first == date(2025, 12, 31).toordinal() - EPOCH
    assert found.month_first == (NONE if found.open else found.day_first)


def test_a_date_that_could_be_either_is_read_both_ways():
    found = day("03/04/2025")
    assert found.open
    assert (found.day_first, found.month_first) == tuple(
        date(2025, *parts).toordinal() - EPOCH for parts in ((4, 3), (3, 4))
    )


@pytest.mark.parametrize(
    "text", ["", "21.5", "12:30", "2025-13", "1/2/3/2025", "31.12-2025", "---", "31 Xyz 2025", "1" * 60]
)
def test_what_is_no_date_is_none(text):
    assert day(text) is None


@pytest.mark.parametrize("text", ["2025-02-30", "2025-13-01", "31.11.2025", "1989-12-31", "2101-01-01", "99.99.2025"])
def test_a_day_that_does_not_exist_or_lies_outside_the_years_is_marked(text):
    assert day(text).day_first == NONE


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("00:00", 0),
        ("9:05", 32_700),
        ("23:59:30", 86_370),
        ("23.59", 86_340),
        ("23:59:30.250", 86_370),
        ("12:00 AM", 0),
        ("12:30 pm", 45_000),
        ("11:59PM", 86_340),
        ("1:00 a.m.", 3_600),
        ("24:00", 86_400),
        ("0930", 34_200),
        ("093015", 34_215),
    ],
)
def test_a_time_of_day_is_read_in_every_style(text, seconds):
    assert clock(text).seconds == seconds


@pytest.mark.parametrize(
    "text", ["", "25:00", "24:01", "12:60", "13:00 PM", "0:00 AM", "12", "noon", "1:2:3:4", "1" * 60]
)
def test_what_is_no_time_of_day_is_none(text):
    assert clock(text) is None


@pytest.mark.parametrize(
    ("text", "offset"), [("12:00Z", 0), ("12:00+01:00", 3600), ("12:00 -0530", -19_800), ("12:00 UTC+02:00", 7200)]
)
def test_the_distance_from_utc_is_read(text, offset):
    assert clock(text).offset == offset


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("2025-12-31T23:59:00Z", ("2025-12-31", "23:59:00Z")),
        ("31.12.2025, 23:59", ("31.12.2025", "23:59")),
        ("12/31/2025 11:59 PM", ("12/31/2025", "11:59 PM")),
        ("31.12.2025 23.59", ("31.12.2025", "23.59")),
        ("OCT 31 2025 09:30", ("OCT 31 2025", "09:30")),
        ("20251231T2359", ("20251231", "2359")),
        ("31 Dec 2025", ("31 Dec 2025", "")),
        ("23:59", ("", "23:59")),
    ],
)
def test_date_and_time_in_one_cell_are_parted(text, parts):
    assert split(text) == parts


@given(st.datetimes(datetime(1990, 1, 1), datetime(2100, 12, 31)))
def test_iso_stamps_come_back(moment):
    head, tail = split(moment.strftime("%Y-%m-%d %H:%M:%S"))
    assert day(head).day_first * 86_400 + clock(tail).seconds == int(
        moment.replace(microsecond=0, tzinfo=UTC).timestamp()
    )


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1735689600", 1735689600),
        ("1735689600000", 1735689600),
        ("1735689600.5", 1735689600.5),
        ("631152000", 631152000),
    ],
)
def test_a_count_of_seconds_or_milliseconds_is_read(text, seconds):
    assert epoch(text) == seconds


@pytest.mark.parametrize("text", ["", "21.5", "123456789", "99999999999999", "-1735689600"])
def test_other_numbers_are_no_count_of_seconds(text):
    assert epoch(text) is None


def decide(texts, chosen=None):
    days = [day(text) for text in texts]
    one, two = (np.array([getattr(found, name) for found in days], np.intc) for name in ("day_first", "month_first"))
    return order(one, two, np.zeros(len(days), np.intc), chosen)


def test_a_number_over_twelve_settles_the_order():
    assert decide(["1/2/2025", "13/2/2025"])[::2] == (True, True)
    assert decide(["2/1/2025", "2/13/2025"])[::2] == (False, True)


def test_a_short_log_is_ordered_so_that_it_runs_on():
    assert decide([f"{number}/2/2025" for number in range(1, 10)])[::2] == (True, True)
    assert decide([f"2/{number}/2025" for number in range(1, 10)])[::2] == (False, True)


def test_newest_first_is_ordered_as_well():
    assert decide([f"2/{number}/2025" for number in range(9, 0, -1)])[::2] == (False, True)


def test_dates_that_fit_either_way_are_not_sure():
    assert decide(["1/2/2025"] * 5)[::2] == (True, False)


def test_dates_alike_either_way_are_sure():
    assert decide(["1/1/2025", "2/2/2025"]).sure


def test_dates_of_both_kinds_follow_the_more_and_are_not_sure():
    assert decide(["13/2/2025", "14/2/2025", "2/15/2025"])[::2] == (True, False)


def test_the_makers_word_settles_the_order():
    assert decide(["13/2/2025"], chosen=False) == (False, "as chosen", True)


def test_no_dates_at_all_are_in_order():
    nothing = np.array([], np.intc)
    assert stamps.order(nothing, nothing, nothing).sure
