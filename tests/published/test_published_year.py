"""A part through the year, late and damped, against measured wood and interior targets, with source and mark."""

from functools import cache
from typing import NamedTuple

import numpy as np
import pytest

from movement import course, journey, lag
from movement.climate import Room, find_place, from_place
from movement.journey import YEAR
from movement.lag import Section
from movement.slab import DIFFUSION, FILM_BARE

# Beech and ash in a heated room without air conditioning, two years (published study, abstract seen): 5 to 6 % at the
# lowest, on cold winter days; 10.4 to 10.9 % at the highest, in early June; about 1 % above the EMC of the air in
# winter and up to 2.5 % below it in summer; mean RH 44 %.
#
# What the abstract does not say, so that the study cannot be repeated here: where the room was, its temperature, how
# thick the wood was, its finish, and the air from month to month. The rooms below are heated places of ours with a mean
# RH of 38 to 50 %, and the wood is bare and 20 to 60 mm thick, at every diffusion coefficient of the working range. So
# the signs are checked for each of them, and the published figures against all that they span.
#
# Not reproduced: the lowest of 5 %, since a month's mean is milder than its cold days; and the highest in early June.
# Here that comes when the air is dampest or after, from mid-July to early September: a slab that lags cannot turn down
# before the air does, and the months' means know no spell of weather.
ROOMS = (("Helsinki", 2.0), ("Stockholm", 1.0), ("Stockholm", 2.0), ("London", 0.0), ("Aberdeen", 1.0))
THICKNESSES = (20.0, 30.0, 40.0, 60.0)


class Measured(NamedTuple):
    """What the study reports, for one piece of wood."""

    lowest: float
    highest: float
    above_in_winter: float
    below_in_summer: float
    lowest_day: float
    highest_day: float


@cache
def through_the_year(place: str, surplus: float, thickness: float, diffusion: float) -> Measured:
    air = journey.year(from_place(find_place(place), Room(20.0, None, surplus, None, None)))
    days, equilibrium = air.times[:-1], air.moisture[:-1]
    wood = course.periodic(days, equilibrium, thickness, diffusion, FILM_BARE, YEAR)
    winter, summer = (days < 59) | (days >= 334), (days >= 151) & (days < 243)
    return Measured(
        wood.min(),
        wood.max(),
        float((wood - equilibrium)[winter].mean()),
        float((equilibrium - wood)[summer].max()),
        days[wood.argmin()],
        days[wood.argmax()],
    )


ALL = [(*room, thickness, diffusion) for room in ROOMS for thickness in THICKNESSES for diffusion in DIFFUSION.values()]


@pytest.mark.parametrize(("place", "surplus"), ROOMS)
def test_the_rooms_are_about_as_dry_as_the_study_s(place: str, surplus: float) -> None:
    humidity = from_place(find_place(place), Room(20.0, None, surplus, None, None)).humidity
    assert float(humidity.mean()) == pytest.approx(44.0, abs=5.0)


@pytest.mark.parametrize(("place", "surplus", "thickness", "diffusion"), ALL)
def test_wood_is_moister_than_the_air_in_winter_and_drier_in_summer(
    place: str, surplus: float, thickness: float, diffusion: float
) -> None:
    """The signs, for every room, thickness and coefficient; by how much is checked below, over all and for one."""
    found = through_the_year(place, surplus, thickness, diffusion)
    assert found.above_in_winter > 0
    assert found.below_in_summer > 0
    assert found.below_in_summer > found.above_in_winter  # as in the study: the summer's rise is the steeper


@pytest.mark.parametrize(("place", "surplus", "thickness", "diffusion"), ALL)
def test_it_is_driest_in_the_cold_and_dampest_in_the_warm_months(
    place: str, surplus: float, thickness: float, diffusion: float
) -> None:
    found = through_the_year(place, surplus, thickness, diffusion)
    assert found.lowest_day < 120
    assert 195 < found.highest_day < 250


@pytest.mark.parametrize(
    ("what", "published"),
    [
        ("lowest", 6.0),
        ("highest", 10.4),
        ("highest", 10.9),
        ("above_in_winter", 1.0),
        ("below_in_summer", 2.5),
    ],
)
def test_the_measured_figures_lie_within_what_such_rooms_span(what: str, published: float) -> None:
    found = [getattr(through_the_year(*one), what) for one in ALL]
    assert min(found) <= published <= max(found)


def test_the_coldest_days_five_percent_lies_just_below_what_months_give() -> None:
    assert 5.0 < min(through_the_year(*one).lowest for one in ALL) < 5.5


def test_one_room_and_thickness_gives_all_four_at_once_to_half_a_percent() -> None:
    """Derived, fitted: Stockholm, 1 g/m³, 40 mm, between the low and the middle coefficient, as for a wood like beech.

    Place, surplus and thickness were chosen because they fit: it shows that one case can give all four, no more.
    """
    slow, middle = (through_the_year("Stockholm", 1.0, 40.0, DIFFUSION[name]) for name in ("low", "middle"))
    for what, published in (("lowest", 5.5), ("highest", 10.65), ("above_in_winter", 1.0), ("below_in_summer", 2.5)):
        ends = sorted((getattr(slow, what), getattr(middle, what)))
        assert ends[0] - 0.5 <= published <= ends[1] + 0.5


@pytest.mark.parametrize(
    ("place", "room", "low", "high"),
    [
        # Wood Handbook, Table 13-2: most of the USA, single pieces 6 to 10 % (from memory)
        ("Chicago", Room(), 6.0, 10.0),
        # the same: dry southwest, 4 to 9 % (from memory)
        ("Tucson", Room(), 4.0, 9.0),
        # BS 1186-3 (seen): heated to 20 to 24 °C 8 to 12 %
        ("London", Room(21.0), 8.0, 12.0),
        # BS 1186-3 (seen): heated to 12 to 19 °C 10 to 14 %; no cooling, nothing dries the air
        ("Aberdeen", Room(16.0, None, 2.0, None, None), 10.0, 14.0),
    ],
    ids=["Chicago", "Tucson", "London", "Aberdeen, 16 °C"],
)
def test_a_settled_part_is_on_average_what_joinery_is_to_be_made_at(
    place: str, room: Room, low: float, high: float
) -> None:
    """Plausibility, not proof: rooms and thickness are ours, no source.

    The damp warm coast (8 to 13 %) has no place in the table of places.
    """
    band = lag.year(from_place(find_place(place), room), Section(20.0))
    assert low < float(np.trapezoid(band.middle, band.times)) / YEAR < high
