"""Names of woods: compared without regard to case, accents and spaces, turned into everyday order, searched."""

import re
import unicodedata


def fold(text: str) -> str:
    """Text in small letters without accents."""
    decomposed = unicodedata.normalize("NFKD", text)
    return "".join(letter for letter in decomposed if not unicodedata.combining(letter)).casefold()


def words(text: str) -> tuple[str, ...]:
    """The folded words and numbers of a text, split at spaces, hyphens and punctuation.

    Example
    -------
    >>> words("Yellow-poplar"), words("Lärche")
    (('yellow', 'poplar'), ('larche',))
    """
    return tuple(re.findall(r"[^\W_]+", fold(text)))


def key(text: str) -> str:
    """What is left of a name to compare it by: its letters and numbers.

    Example
    -------
    >>> key("Cherry, black") == key("  CHERRY black ") == "cherryblack"
    True
    """
    return "".join(words(text))


def bag(text: str) -> str:
    """The folded words of a text in alphabetical order: the same for "white oak", "Oak, white" and "OAK white".

    Example
    -------
    >>> bag("Oak, white") == bag("white oak") == "oak white"
    True
    """
    return " ".join(sorted(words(text)))


def kind(name: str) -> tuple[str, ...]:
    """The words of the kind of wood that a name of the tables opens with.

    Example
    -------
    >>> kind("Oak, white: white"), kind("Douglas-fir, coast"), kind("Teak (European trade table)")
    (('oak',), ('douglas', 'fir'), ('teak',))
    """
    return words(re.split(r"[,(:]", name, maxsplit=1)[0])


def everyday(name: str) -> tuple[str, ...]:
    """Other names that a name of the tables contains: its words in everyday order, and what stands in brackets.

    Example
    -------
    >>> everyday("Cherry, black"), everyday("Oak, red: northern red"), everyday("Cedar, western redcedar")
    (('black cherry',), ('northern red oak',), ('western redcedar',))
    >>> everyday("Utile (sipo)"), everyday("Oak, red: commercial (group)")
    (('Utile', 'sipo'), ())
    """
    bracket = re.fullmatch(r"(.*) \((.*)\)", name)
    if bracket:
        outside, inside = bracket.groups()
        if inside == "group" or "table" in inside:
            return ()
        return (*(everyday(outside) or (outside,)), inside)
    kind, comma, which = name.partition(", ")
    if not comma or '"' in name:
        return ()
    which = which.rpartition(": ")[2]
    return (which,) if fold(which).endswith(fold(kind)) else (f"{which} {_inside(kind)}",)


def botanical(text: str) -> tuple[str, ...]:
    """The single botanical names in the botanical column of a table.

    Example
    -------
    >>> botanical("Quercus robur/petraea"), botanical("Intsia bijuga; I. palembanica")
    (('Quercus robur', 'Quercus petraea'), ('Intsia bijuga', 'Intsia palembanica'))
    """
    found: list[str] = []
    genus = ""
    for part in re.split(r"[;/]", re.sub(r"\(.*?\)", "", text)):
        first, *rest = part.split()
        if rest and not first.endswith("."):
            genus = first
        found.append(" ".join((genus, *rest)) if rest else f"{genus} {first}")
    return tuple(found)


def rank(sought: tuple[str, ...], texts: tuple[str, ...]) -> int | None:
    """How well texts, the most important first, hold every sought word: 0 is best, ``None`` where one is missing.

    Notes
    -----
    Each word counts its first place: as a word of the first text 0, the start of one 1, a part of one 2; in the second
    text 3, 4, 5; and so on. The rank is the sum.

    Example
    -------
    >>> rank(("red", "oak"), ("Oak, red: pin", "Quercus palustris")), rank(("palu",), ("Oak", "Quercus palustris"))
    (0, 4)
    """
    split = [words(text) for text in texts]
    total = 0
    for word in sought:
        places = (
            3 * position + place for position, found in enumerate(split) if (place := _place(word, found)) is not None
        )
        best = next(places, None)
        if best is None:
            return None
        total += best
    return total


def _place(word: str, found: tuple[str, ...]) -> int | None:
    if word in found:
        return 0
    if any(other.startswith(word) for other in found):
        return 1
    return 2 if any(word in other for other in found) else None


def _inside(kind: str) -> str:
    """A kind of wood as it stands inside a name: small letters, but Douglas-fir keeps its capital."""
    return kind if "-" in kind else kind.lower()
