"""What the tables publish on a wood, as movement coefficients with their source."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from movement import tables
from movement.swelling import START_OF_SHRINKAGE, coefficient_from_shrinkage

# % MC: the start of shrinkage that fits the published coefficients of western redcedar, northern white-cedar, redwood
# and apitong (derived), and the words that mark these rows in species_handbook.csv.
LOW_START_OF_SHRINKAGE = 22.0
_LOW_START_MARK = "start of shrinkage 22 %"

_BASES = {
    "coefficient": "Movement coefficient",
    "shrinkage": "Shrinkage",
    "differential swelling": "Differential swelling",
}
_TRUST = (
    ("C_T", "tangential"),
    ("C_R", "radial"),
    ("seen in a secondary", "in a"),
    ("seen", "read in the publication"),
    ("in a quotation", "read in a quotation of it"),
    ("in a chart", "read in a chart that quotes it"),
    ("secondary", "read in a quotation of it"),
    ("(?<!quoted )from memory", "quoted from memory"),
    ("(?<!are )derived", "worked out from other published values"),
)
"""The marks of the tables in plain words, in the order in which they are replaced."""


@dataclass(frozen=True, slots=True)
class Published:
    """Movement coefficients from one source.

    Attributes
    ----------
    radial, tangential : float or None
        Fraction of the dimension at 10 % MC, per 1 % MC; ``None`` where the source gives nothing.
    basis : str
        What the source gives: "coefficient", "shrinkage" or "differential swelling".
    source : str
        The publication; empty where none was read.
    status : str
        How far to trust it: "seen", "secondary", "from memory", "derived" ...
    """

    radial: float | None
    tangential: float | None
    basis: str
    source: str
    status: str

    @property
    def citation(self) -> str:
        """Basis, source and status in one line."""
        return f"{_BASES[self.basis]}: {self.source or 'no publication read'} ({self.trust})"

    @property
    def trust(self) -> str:
        """The status in plain words."""
        return trust(self.status)

    @property
    def values(self) -> str:
        """The coefficients in words."""
        return in_words(self.radial, self.tangential)


def trust(status: str) -> str:
    """How far a figure is to be trusted, in plain words in place of the marks of the tables.

    Example
    -------
    >>> trust("seen"), trust("C_R seen; C_T from memory"), trust("ACGIH exposure limits, seen")
    ('read in the publication', 'radial read in the publication; tangential quoted from memory', \
'ACGIH exposure limits, read in the publication')
    """
    for mark, words in _TRUST:
        status = re.sub(rf"(?<!\w){mark}\b", words, status)
    return status


def in_words(radial: float | None, tangential: float | None) -> str:
    """Two movement coefficients, or the one there is, as a phrase.

    Example
    -------
    >>> in_words(0.00126, 0.00248)
    '0.00126 radial and 0.00248 tangential'
    """
    pairs = (("radial", radial), ("tangential", tangential))
    return " and ".join(f"{value:.5f} {direction}" for direction, value in pairs if value is not None)


def start_of_shrinkage(row: tables.HandbookWood) -> float:
    """MC below which a wood of the handbook shrinks [%]."""
    return LOW_START_OF_SHRINKAGE if _LOW_START_MARK in row.cross_check else START_OF_SHRINKAGE


def in_handbook(row: tables.HandbookWood) -> tuple[Published, ...]:
    """What the handbook publishes on a wood, the coefficient first; a value derived from another in the row is not one.

    Notes
    -----
    Where the tangential value alone is missing it is derived from volume: 1 − S_V = (1 − S_R)(1 − S_T), as if nothing
    shrank along the grain, and marked so.

    Source
    ------
    Wood Handbook, FPL-GTR-190, Tables 4-3, 4-4 and 13-5, as ``data/species_handbook.csv`` has them.
    """
    found = []
    if row.coefficient_status != "derived from S":
        coefficients = row.coefficient_radial, row.coefficient_tangential
        found.append(Published(*coefficients, "coefficient", row.coefficient_source or "", row.coefficient_status))
    if row.shrinkage_status != "derived from the coefficient":
        start, source = start_of_shrinkage(row), row.shrinkage_source or ""
        radial, tangential = row.shrinkage_radial_pct, row.shrinkage_tangential_pct
        coefficients = _from_shrinkage(radial, start), _from_shrinkage(tangential, start)
        found.append(Published(*coefficients, "shrinkage", source, row.shrinkage_status))
        if tangential is None and radial is not None and row.shrinkage_volumetric_pct is not None:
            left = (1 - row.shrinkage_volumetric_pct / 100) / (1 - radial / 100)
            derived = _from_shrinkage(100 * (1 - left), start)
            found.append(Published(None, derived, "shrinkage", f"{source}, volumetric and radial", "derived"))
    return tuple(found)


def in_trade_table(row: tables.EuropeanWood) -> Published:
    """What one set of the European trade table publishes on a wood.

    Source
    ------
    German trade tables after DIN 68100, as ``data/species_europe.csv`` has them.
    """
    radial, tangential = row.radial_pct_per_pct / 100, row.tangential_pct_per_pct / 100
    return Published(radial, tangential, "differential swelling", row.source, row.status)


def radial(entries: Sequence[Published], largest: bool) -> float | None:
    """The first radial coefficient published, or the largest [per 1 % MC]; ``None`` where there is none."""
    return _chosen([entry.radial for entry in entries], largest)


def tangential(entries: Sequence[Published], largest: bool) -> float | None:
    """The first tangential coefficient published, or the largest [per 1 % MC]; ``None`` where there is none."""
    return _chosen([entry.tangential for entry in entries], largest)


def _chosen(values: list[float | None], largest: bool) -> float | None:
    known = [value for value in values if value is not None]
    return max(known) if known and largest else next(iter(known), None)


def _from_shrinkage(shrinkage: float | None, start: float) -> float | None:
    return None if shrinkage is None else float(coefficient_from_shrinkage(shrinkage, start))
