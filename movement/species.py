"""The woods: movement coefficients with their sources, look-up by name, search, and a maker's own entry."""

import difflib
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from movement import names, published, tables
from movement.errors import require_range
from movement.published import Published
from movement.swelling import (
    COEFFICIENT,
    SHRINKAGE,
    START_OF_SHRINKAGE,
    START_OF_SHRINKAGE_LIMITS,
    coefficient_from_shrinkage,
)

_LIMITS_SOURCE = "limits of this model"
_MOST_SUGGESTIONS = 5
_MOST_LISTED = 24


class UnknownSpeciesError(ValueError):
    """A name that stands for no wood, or for more than one.

    Parameters
    ----------
    name : str
        What was asked for.
    suggestions : tuple of str
        Names of the catalogue, the likeliest first.
    message : str
        What is wrong, in words, with the suggestions.
    """

    def __init__(self, name: str, suggestions: tuple[str, ...], message: str) -> None:
        self.name = name
        self.suggestions = suggestions
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Species:
    """A wood and how much it moves.

    Attributes
    ----------
    name : str
        Unique in the catalogue.
    group : str
        "hardwood", "softwood", "imported", "European trade" or "own".
    coefficient_radial, coefficient_tangential : float
        Fraction of the dimension at 10 % MC, per 1 % MC.
    start_of_shrinkage : float
        MC below which the wood shrinks [%].
    published : tuple of Published
        Everything that the coefficients were chosen from.
    notes : tuple of str
        What to know before choosing this wood.
    """

    name: str
    botanical_name: str
    group: str
    other_names: tuple[str, ...]
    coefficient_radial: float
    coefficient_tangential: float
    start_of_shrinkage: float
    published: tuple[Published, ...]
    notes: tuple[str, ...]

    @property
    def sources(self) -> tuple[str, ...]:
        """Where the coefficients come from, each with its status."""
        return tuple(dict.fromkeys(entry.citation for entry in self.published))

    @property
    def is_published(self) -> bool:
        """Whether a source gives its movement itself, and not only a shrinkage that it can be worked out from."""
        return any(entry.basis != "shrinkage" for entry in self.published)

    @property
    def values(self) -> str:
        """The two coefficients in words."""
        return published.in_words(self.coefficient_radial, self.coefficient_tangential)


@cache
def catalogue() -> tuple[Species, ...]:
    """Every wood of the tables, by name.

    Notes
    -----
    The published coefficient [fraction of the dimension at 10 % MC, per 1 % MC] where there is one, else the one that
    the shrinkage gives. Where two published values disagree, the larger of each direction; ``published`` keeps both.

    Raises
    ------
    TableError
        If a table is broken, or a note, pair or trade name is of a wood that is in no species table.

    Source
    ------
    Wood Handbook, FPL-GTR-190, Tables 4-3, 4-4 and 13-5; German trade tables after DIN 68100.

    Example
    -------
    >>> [wood.name for wood in catalogue() if wood.botanical_name == "Prunus serotina"]
    ['Cherry, black']
    """
    woods = {wood.name: wood for wood in (*_handbook(), *_europe())}
    other_names: dict[str, list[str]] = defaultdict(list)
    for row in tables.read("trade_names").records:
        other_names[row.name].append(row.other_name)
    notes: dict[str, list[str]] = defaultdict(list)
    for note in tables.read("species_notes").records:
        notes[note.name].append(f"{note.note} ({', '.join(filter(None, (note.source, published.trust(note.status))))})")
    for pair in tables.read("species_pairs").records:
        one, other = _known(woods, pair.name), _known(woods, pair.other)
        notes[one.name].append(_comparison(one, other, pair.relation))
        notes[other.name].append(_comparison(other, one, pair.relation))
    for name in (*other_names, *notes):
        _known(woods, name)
    return tuple(
        replace(
            wood,
            other_names=_other_names(wood, other_names[wood.name]),
            notes=(*wood.notes, *notes[wood.name]),
        )
        for wood in sorted(woods.values(), key=lambda wood: names.fold(wood.name))
    )


@lru_cache(1024)  # a page asks for the same few again and again
def find(name: str) -> Species:
    """The wood of that name, whatever the case, accents, spaces and order of its words.

    Parameters
    ----------
    name : str
        A name of the catalogue, or another or botanical name that only one wood has; or the kind alone, such as
        "walnut" or "European ash", where that leaves one wood.

    Raises
    ------
    UnknownSpeciesError
        If no wood has the name, or several have.

    Example
    -------
    >>> find("black cherry").name, find("prunus serotina").name, find("Oak, white").name
    ('Cherry, black', 'Cherry, black', 'Oak, white: white')
    """
    found = _meant(name)
    if len(found) == 1:
        return found[0]
    if found:
        suggestions = tuple(wood.name for wood in found)
        raise UnknownSpeciesError(name, suggestions, _which(name, suggestions))
    if not names.key(name):
        raise UnknownSpeciesError(name, (), "name a wood; search the list for a part of its name")
    suggestions = _suggestions(name)
    hint = f"did you mean {_list(suggestions, 'or')}?" if suggestions else "search the list for a part of its name"
    raise UnknownSpeciesError(name, suggestions, f"no wood in the tables is called “{name}”; {hint}")


def search(text: str, limit: int | None = None) -> tuple[Species, ...]:
    """Woods in whose names every word of the text occurs, the best matches first.

    Parameters
    ----------
    text : str
        Parts of a common, other or botanical name, whatever the case and accents; blank finds every wood.
    limit : int or None
        The most woods to return, at least 1; ``None`` for all.

    Raises
    ------
    RangeError
        If the limit is below 1.

    Example
    -------
    >>> [wood.name for wood in search("serot")]
    ['Cherry, black', 'Pine, pond']
    """
    if limit is not None:
        require_range("number of woods", limit, 1, None)
    sought, exact = names.words(text), _named(text)
    ranked = []
    for wood in catalogue():
        rank = names.rank(sought, (wood.name, " ".join(wood.other_names), wood.botanical_name))
        if wood in exact:
            ranked.append((-1, wood))
        elif rank is not None:
            ranked.append((rank, wood))
    ranked.sort(key=lambda pair: pair[0])
    return tuple(wood for _, wood in ranked[:limit])


def own(
    name: str,
    *,
    coefficient_radial: float | None = None,
    coefficient_tangential: float | None = None,
    shrinkage_radial: float | None = None,
    shrinkage_tangential: float | None = None,
    start_of_shrinkage: float = START_OF_SHRINKAGE,
    botanical_name: str = "",
    source: str = "",
) -> Species:
    """A wood of the maker's own, from its two movement coefficients or its two shrinkages.

    Parameters
    ----------
    name : str
        What the maker calls it.
    coefficient_radial, coefficient_tangential : float or None
        Fraction of the dimension at 10 % MC, per 1 % MC, `swelling.COEFFICIENT`; both or neither.
    shrinkage_radial, shrinkage_tangential : float or None
        Green to oven-dry [%], `swelling.SHRINKAGE`; both or neither.
    start_of_shrinkage : float
        MC below which the wood shrinks [%], `swelling.START_OF_SHRINKAGE_LIMITS`.
    botanical_name, source : str
        As the maker knows them.

    Raises
    ------
    RangeError
        If a number is outside its range.
    ValueError
        If the name is blank, or not exactly one complete pair is given.

    Example
    -------
    >>> wood = own("Apple, from the garden", shrinkage_radial=5.9, shrinkage_tangential=10.5)
    >>> round(wood.coefficient_tangential, 5)
    0.00376
    """
    name = " ".join(name.split())
    if not name:
        raise ValueError("give the wood a name")
    coefficients, shrinkages = (coefficient_radial, coefficient_tangential), (shrinkage_radial, shrinkage_tangential)
    by_coefficient = coefficients != (None, None)
    if by_coefficient == (shrinkages != (None, None)):
        raise ValueError("give either two movement coefficients or two shrinkages, radial and tangential")
    require_range("start of shrinkage", start_of_shrinkage, *START_OF_SHRINKAGE_LIMITS, "%", _LIMITS_SOURCE)
    if by_coefficient:
        radial, tangential = _both(coefficients, "movement coefficient", COEFFICIENT, "per 1 % MC")
    else:
        dry = _both(shrinkages, "shrinkage", SHRINKAGE, "%")
        radial, tangential = (float(coefficient_from_shrinkage(value, start_of_shrinkage)) for value in dry)
    notes: tuple[str, ...] = ()
    if radial > tangential:
        notes = ("Radial is larger than tangential here, which is rare: check that the two are not swapped.",)
    basis = "coefficient" if by_coefficient else "shrinkage"
    entry = Published(radial, tangential, basis, source or "own entry", "not checked against a publication")
    return Species(name, botanical_name, "own", (), radial, tangential, start_of_shrinkage, (entry,), notes)


def _both(
    values: tuple[float | None, float | None], name: str, limits: tuple[float, float], unit: str
) -> tuple[float, float]:
    """A radial and a tangential value, both given and within the limits."""
    radial, tangential = values
    if radial is None or tangential is None:
        raise ValueError(f"the {'radial' if radial is None else 'tangential'} {name} is missing: give both")
    require_range(f"radial {name}", radial, *limits, unit, _LIMITS_SOURCE)
    require_range(f"tangential {name}", tangential, *limits, unit, _LIMITS_SOURCE)
    return radial, tangential


def _handbook() -> Iterator[Species]:
    """The woods of the handbook."""
    for row in tables.read("species_handbook").records:
        entries, disagree, notes = published.in_handbook(row), row.cross_check == "disagree", []
        radial, tangential = published.radial(entries, disagree), published.tangential(entries, disagree)
        if tangential is None:
            raise tables.TableError(f"data/species_handbook.csv: {row.name} has no tangential value")
        if disagree:
            values = "; ".join(f"{entry.citation} gives {entry.values}" for entry in entries)
            notes.append(f"Its published values disagree, and the larger of each direction is used: {values}.")
        if radial is None:
            radial = tangential
            notes.append("No radial value is published here; the tangential one, an upper bound, is used for both.")
        if not any(entry.basis == "coefficient" for entry in entries):
            notes.append(
                "Its movement is worked out from its shrinkage, green to oven-dry: no movement coefficient of it is "
                "published here."
            )
        if all(entry.tangential is None for entry in entries if entry.status != "derived"):
            notes.append(
                "No tangential value is published here; it is derived from the volumetric and the radial shrinkage."
            )
        start = published.start_of_shrinkage(row)
        yield Species(row.name, row.botanical_name, row.group, (), radial, tangential, start, entries, tuple(notes))


def _europe() -> Iterator[Species]:
    """The woods of the European trade table, each with all of its sets."""
    sets: dict[str, list[tables.EuropeanWood]] = defaultdict(list)
    for row in tables.read("species_europe").records:
        sets[row.name].append(row)
    for name, rows in sets.items():
        entries = tuple(published.in_trade_table(row) for row in rows)
        values = "; ".join(entry.values for entry in entries)
        disagree = f"The sets of the table disagree, and the larger of each direction is used: {values}."
        yield Species(
            name,
            rows[0].botanical_name,
            "European trade",
            () if names.words(rows[0].name_de) == names.words(name)[:1] else (rows[0].name_de,),
            max(row.radial_pct_per_pct for row in rows) / 100,
            max(row.tangential_pct_per_pct for row in rows) / 100,
            START_OF_SHRINKAGE,
            entries,
            (disagree,) if len(rows) > 1 else (),
        )


def _known(woods: Mapping[str, Species], name: str) -> Species:
    if name not in woods:
        raise tables.TableError(f"data: {name} has a note, a pair or a trade name, but is in no species table")
    return woods[name]


def _comparison(wood: Species, other: Species, relation: str) -> str:
    return f"Compare {other.name} ({relation}): {other.values} there, {wood.values} here."


def _other_names(wood: Species, trade: list[str]) -> tuple[str, ...]:
    """Every name of a wood but its first: in everyday order, in the trade, in the table."""
    # "Hickory, pecan" is pecan in the trade, so not pecan hickory as well.
    everyday = (name for name in names.everyday(wood.name) if not name.startswith(tuple(trade)))
    return tuple(dict.fromkeys((*everyday, *trade, *wood.other_names)))


@cache
def _index() -> dict[str, tuple[Species, ...]]:
    """Woods by the key of every name they have; a name of the catalogue means that wood only."""
    found: dict[str, dict[str, Species]] = defaultdict(dict)
    for wood in catalogue():
        for name in (*wood.other_names, wood.botanical_name, *names.botanical(wood.botanical_name)):
            found[names.key(name)][wood.name] = wood
    index = {key: tuple(woods.values()) for key, woods in found.items()}
    return index | {names.key(wood.name): (wood,) for wood in catalogue()}


@cache
def _bags() -> dict[str, tuple[Species, ...]]:
    """Woods by the words, in any order, of every name they have."""
    found: dict[str, dict[str, Species]] = defaultdict(dict)
    for wood in catalogue():
        for name in (wood.name, *wood.other_names):
            found[names.bag(name)][wood.name] = wood
    return {key: tuple(woods.values()) for key, woods in found.items()}


def _named(text: str) -> tuple[Species, ...]:
    """The woods that have this whole name, its words in any order."""
    return _index().get(names.key(text)) or _bags().get(names.bag(text), ())


def _meant(text: str) -> tuple[Species, ...]:
    """The woods that a name may mean: those that have it; else, where it names a kind, all that it may stand for."""
    exact = _named(text)
    sought = set(names.words(text))
    if exact or not sought:
        return exact
    loose = [wood for wood in catalogue() if sought <= _all_words(wood)]
    of_kind = [wood for wood in loose if sought.issuperset(names.kind(wood.name))]
    if not of_kind:
        return ()
    return tuple(wood for wood in loose if wood in of_kind or sought.issubset(names.words(wood.name)))


@cache
def _all_words(wood: Species) -> frozenset[str]:
    """The words of every name that a wood has."""
    return frozenset(word for text in (wood.name, *wood.other_names) for word in names.words(text))


def _suggestions(name: str) -> tuple[str, ...]:
    """Names of the catalogue that may be meant: by its words put right; by its letters; else by one of its words."""
    vocabulary = {word for wood in catalogue() for text in (wood.name, *wood.other_names) for word in names.words(text)}
    right = [(difflib.get_close_matches(word, vocabulary, 1, 0.7) or [word])[0] for word in names.words(name)]
    found = [*search(" ".join(right))]
    for key in difflib.get_close_matches(names.key(name), _index(), _MOST_SUGGESTIONS, 0.7):
        found.extend(_index()[key])
    if not found:
        found = [wood for word in right for wood in search(word)]
    return tuple(dict.fromkeys(wood.name for wood in found))[:_MOST_SUGGESTIONS]


def _which(name: str, several: tuple[str, ...]) -> str:
    """Which of several woods is meant."""
    if len(several) <= _MOST_LISTED:
        return f"“{name}” is a name of {_list(several, 'and')}; choose one"
    listed = "; ".join(f"“{one}”" for one in several[:_MOST_LISTED])
    return f"“{name}” is a name of {len(several)} woods: {listed} and {len(several) - _MOST_LISTED} more; choose one"


def _list(things: tuple[str, ...], last: str) -> str:
    """Things in a row, with a word before the last; names hold commas, so semicolons part them."""
    quoted = [f"“{thing}”" for thing in things]
    return f" {last} ".join(filter(None, ("; ".join(quoted[:-1]), quoted[-1])))
