"""What the pages share that ask where a part will live, how it follows the air, and how sure it is to be."""

from collections.abc import Mapping, Sequence
from urllib.parse import urlencode

from movement.parts.climates import AnyClimate
from webapp import doubts, following, years
from webapp.doubts import Fold
from webapp.forms import Form


class AsksYear:
    """A page's context that has the fields of a year in its ``form``, and the ``year`` that they tell."""

    __slots__ = ()
    form: Form
    year: AnyClimate | None

    @property
    def year_shown(self) -> Sequence[str]:
        """The fields of the chosen way to tell the year."""
        return years.FIELDS.get(self.form.fields["year"].value, ())

    @property
    def year_fields(self) -> Sequence[str]:
        """Every field of the year, in order."""
        return years.NAMES

    @property
    def year_words(self) -> str:
        """One line on the year."""
        return years.words(self.year, self.form.unit) if self.year else ""


class AsksSureness(AsksYear):
    """A page's context whose form also asks how the part follows the air, and what is in doubt."""

    __slots__ = ()

    @property
    def late_shown(self) -> Sequence[str]:
        """The fields that the chosen way to follow the air shows."""
        return following.shown(self.form)

    @property
    def late_fields(self) -> Sequence[str]:
        """The fields that only one way to follow the air shows."""
        return following.LATE

    @property
    def doubts(self) -> Fold:
        """The fields of what is in doubt."""
        return doubts.fold(self.form)


def kept_at(key: str, query: Mapping[str, str]) -> str:
    """The address where what a question of a kind of part is about is kept in a piece."""
    return f"/keep/{key}?{urlencode(dict(query))}"
