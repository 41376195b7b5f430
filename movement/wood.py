"""A part's stock: a species at a ring angle, as the coefficients that the fits need."""

from dataclasses import dataclass

from movement import grain
from movement.species import Species


@dataclass(frozen=True, slots=True)
class Wood:
    """What a part is made of, across its width and through its thickness.

    Attributes
    ----------
    species : Species
        The species that the coefficients are of.
    ring_angle : float
        Between growth rings and wide face [degrees]: 0 flat-sawn, 90 quarter-sawn.
    across, through : float
        Movement coefficient of the width and of the thickness [per 1 % MC, of the dimension at 10 % MC].
    """

    species: Species
    ring_angle: float
    across: float
    through: float

    @property
    def start_of_shrinkage(self) -> float:
        """The moisture content above which nothing moves [% MC]."""
        return self.species.start_of_shrinkage

    @property
    def words(self) -> str:
        """Species and ring angle."""
        return f"{self.species.name}, ring angle {self.ring_angle:g}°"


def cut(species: Species, ring_angle: float) -> Wood:
    """Stock of a species sawn at a ring angle.

    Parameters
    ----------
    species : Species
        The wood.
    ring_angle : float
        0 (flat-sawn) to 90 (quarter-sawn) [degrees].

    Raises
    ------
    RangeError
        Ring angle out of range.
    """
    radial, tangential = species.coefficient_radial, species.coefficient_tangential
    return Wood(
        species,
        ring_angle,
        float(grain.width_coefficient(radial, tangential, ring_angle)),
        float(grain.thickness_coefficient(radial, tangential, ring_angle)),
    )
