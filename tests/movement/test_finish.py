"""Finishes as films: by name, with their source, none of them stopping moisture."""

import pytest

from movement import finish, slab, tables
from movement.finish import BARE, UnknownFinishError, find, finishes


def test_bare_wood_comes_first():
    assert finishes()[0].name == BARE
    assert finishes()[0].film == slab.FILM_BARE


def test_every_row_of_the_table_is_there_once():
    names = [one.name for one in finishes()]
    assert len(names) == len(set(names)) == len(tables.read("film_coefficients").records)


def test_coats_are_part_of_the_name():
    assert find("Shellac, 2 coats").film == 1.2e-8
    assert [one.name for one in finishes() if one.name.startswith("Oil-modified")] == [
        f"Oil-modified urethane varnish, {coats} coats" for coats in (2, 3, 6)
    ]


def test_more_coats_never_let_more_through():
    films = [find(f"Oil-modified urethane varnish, {coats} coats").film for coats in (2, 3, 6)]
    assert films == sorted(films, reverse=True)


@pytest.mark.parametrize("name", ["Linseed oil, 2 coats", "Tung oil, 2 coats", "Paste wax, 3 coats"])
def test_oil_and_wax_are_as_bare(name: str):
    """Their moisture-excluding effectiveness is 0 at 14 days: no damping of a season."""
    assert find(name).film == slab.FILM_BARE


def test_every_film_can_be_used_and_says_how_far_to_trust_it():
    low, high = slab.FILM_LIMITS
    for one in finishes():
        assert low <= one.film <= high
        assert one.status == "derived"
        assert one.source


def test_case_and_spaces_do_not_matter():
    assert find("  two-part EPOXY,  2 coats ") == find("Two-part epoxy, 2 coats")


@pytest.mark.parametrize("name", ["", "Whitewash", "Shellac", "Shellac, 3 coats"])
def test_an_unknown_finish_names_those_that_are_known(name: str):
    with pytest.raises(UnknownFinishError, match=r"Known: Uncoated; .*Shellac, 2 coats") as caught:
        find(name)
    assert f"“{name}”" in str(caught.value)


def test_a_long_name_is_cut_in_the_message():
    with pytest.raises(UnknownFinishError) as caught:
        find("x" * 500)
    assert "x" * 61 not in str(caught.value)


def test_a_film_is_never_a_factor():
    """The same film damps a thin part less than a thick one, so no share of the swing belongs to a finish."""
    film = find("Two-part epoxy, 2 coats").film
    thin, thick = (float(slab.sine_response(thickness, 6.3e-11, film, 365.0)[0]) for thickness in (6.0, 25.0))
    assert thin > thick + 0.2
    assert finish.finishes() is finishes()
