"""Finishes as films that slow moisture down, by name and number of coats."""

from dataclasses import dataclass
from functools import cache

from movement import tables

BARE = "Uncoated"


class UnknownFinishError(ValueError):
    """A finish that the table does not hold."""


@dataclass(frozen=True, slots=True)
class Finish:
    """A finish and its surface coefficient.

    Attributes
    ----------
    name : str
        Name and coats, "Shellac, 2 coats".
    film : float
        Surface coefficient [m/s].
    source, status : str
        Where it comes from and how far it can be trusted.
    """

    name: str
    film: float
    source: str
    status: str


@cache
def finishes() -> tuple[Finish, ...]:
    """Every finish of ``data/film_coefficients.csv``, bare wood first."""
    return tuple(
        Finish(
            f"{row.name}, {row.coats} coats" if row.coats else row.name,
            row.surface_coefficient_m_s,
            row.source,
            row.status,
        )
        for row in tables.read("film_coefficients").records
    )


def find(name: str) -> Finish:
    """The finish of that name, whatever the case.

    Raises
    ------
    UnknownFinishError
        When there is none.
    """
    for finish in finishes():
        if finish.name.casefold() == " ".join(name.split()).casefold():
            return finish
    known = "; ".join(finish.name for finish in finishes())
    raise UnknownFinishError(f"No finish here is called “{name[:60]}”. Known: {known}.")
