"""Moisture through a thickness against published solutions and a published wetting test."""

import numpy as np
import pytest

from movement.settling import settling
from movement.slab import FILM_BARE, roots, sine_response, step_response, weights
from movement.tables import Film, Finish, read

# Film coefficients that were fitted to a 14-day figure; oils and wax, 0 at 14 days, are as bare and fitted to nothing.
FITTED = [
    film for film in read("film_coefficients").records if film.fitted_to and film.surface_coefficient_m_s < FILM_BARE
]


def test_half_and_nine_tenths_of_a_change() -> None:
    """Crank (1975), ch. 4, values recomputed: with the faces held, half at Dt/L² = 0.04918 and 90 % at 0.21202."""
    half, ninety = settling(20.0, 2e-11)
    days = 0.020**2 / 2e-11 / 86_400
    assert round(float(half / days), 5) == 0.04918
    assert round(float(ninety / days), 5) == 0.21202


@pytest.mark.parametrize(
    ("biot", "published"),
    [
        (0.1, (0.3111, 3.1731, 6.2991, 9.4354, 12.5743, 15.7143)),
        (1.0, (0.8603, 3.4256, 6.4373, 9.5293, 12.6453, 15.7713)),
        (10.0, (1.4289, 4.3058, 7.2281, 10.2003, 13.2142, 16.2594)),
        (100.0, (1.5552, 4.6658, 7.7764, 10.8871, 13.9981, 17.1093)),
    ],
)
def test_roots_of_the_film_series(biot: float, published: tuple[float, ...]) -> None:
    """Roots of β tan β = L in the textbooks' table (Crank, Table 4.2; Carslaw and Jaeger), from memory."""
    assert roots(1 / biot, 6).round(4).tolist() == list(published)


@pytest.mark.parametrize(("biot", "published"), [(0.1, 1.0161), (1.0, 1.1191), (10.0, 1.2620), (100.0, 1.2731)])
def test_first_term_of_the_film_series(biot: float, published: float) -> None:
    """Coefficients C₁ of the one-term approximation for a plane wall, heat-transfer textbooks, from memory.

    They are of the middle; of the mean they are C₁ sin β/β.
    """
    resistance = np.array(1 / biot)
    beta = roots(resistance, 1)
    assert round(float((weights(beta, resistance) * beta / np.sin(beta))[0]), 4) == published


@pytest.mark.parametrize(
    ("thickness", "diffusion", "film", "amplitude", "lag"),
    [(12.7, 2e-11, None, 0.988, 7.7), (19.0, 5e-11, 5.5e-9, 0.905, 25.2), (25.4, 2e-11, 2e-9, 0.481, 60.3)],
)
def test_a_year_s_swing_comes_through_damped_and_late(
    thickness: float, diffusion: float, film: float | None, amplitude: float, lag: float
) -> None:
    """Standard linear diffusion, recomputed apart from this code: amplitude ratio and lag of the mean MC."""
    found, late = sine_response(thickness, diffusion, film, 365.0)
    assert (round(float(found), 3), round(float(late), 1)) == (amplitude, lag)


def measured_on(film: Film) -> Finish:
    return next(row for row in read("finishes").records if (row.finish, row.coats) == (film.fitted_to, film.coats))


def exclusion(film: float, days: list[float]) -> np.ndarray:
    """1 − uptake finished/uptake bare [%]."""
    finished, bare = (np.asarray(step_response(15.9, 2e-10, coefficient, days)) for coefficient in (film, FILM_BARE))
    return 100 * (1 - finished / bare)


# How far off the figures of 1 and 7 days are, in whole points as printed: more than the half point of their rounding,
# since the fit has one diffusion coefficient for all the wood and one resistance for each film, the same at every
# moisture and time (a simplification of ours), and nothing but the 14 days to fix it.
OFF = {
    ("Lacquer", 2): (2, 6),
    ("Spar varnish", 2): (5, 2),
    ("Shellac", 2): (5, 2),
    ("Oil-modified urethane varnish", 2): (2, 5),
    ("Oil-modified urethane varnish", 3): (1, 2),
    ("Oil-modified urethane varnish", 6): (1, 3),
    ("Two-component polyurethane varnish", 2): (0.5, 2),
    ("Two-part epoxy", 2): (0.5, 1),
}


@pytest.mark.parametrize("film", FITTED, ids=lambda film: f"{film.name} {film.coats}")
def test_exclusion_of_finishes_at_one_and_seven_days_is_predicted(film: Film) -> None:
    """Wood Handbook FPL-GTR-190, Table 16-3, and a chart after the same tests, on 15.9 mm ponderosa pine.

    The diffusion coefficient, 2e-10 m²/s, and those of the films are derived; the films are fitted to 14 days alone.
    """
    measured = measured_on(film)
    off = exclusion(film.surface_coefficient_m_s, [1.0, 7.0]) - (
        measured.exclusion_1_day_pct,
        measured.exclusion_7_day_pct,
    )
    assert (np.abs(off) <= OFF[film.name, film.coats]).all(), off


@pytest.mark.parametrize("film", FITTED, ids=lambda film: f"{film.name} {film.coats}")
def test_the_fit_gives_back_the_fourteen_days_that_it_was_made_to(film: Film) -> None:
    """A round trip, no proof of the physics: it holds the table of films to the figures of the same source.

    Printed to 1 point. Shellac is 0.72 off: its coefficient has two digits, and half its last one makes 1.1 points.
    """
    fitted = exclusion(film.surface_coefficient_m_s, [14.0])
    assert fitted == pytest.approx(
        [measured_on(film).exclusion_14_day_pct], abs=0.75 if film.name == "Shellac" else 0.5
    )


def test_the_fit_gives_back_the_eight_percent_of_lacquer_that_it_was_made_to() -> None:
    """The same round trip, nitrocellulose lacquer, two coats, with its coefficient 2.1e-8 m/s (derived) written out."""
    finished, bare = (float(step_response(15.9, 2e-10, film, 14.0)) for film in (2.1e-8, FILM_BARE))
    assert round(100 * (1 - finished / bare)) == 8
