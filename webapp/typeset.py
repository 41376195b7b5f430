"""What must not be parted at the end of a line: a number and its unit, a whole number and its fraction."""

import re
from collections.abc import Iterator

NO_BREAK = "\u00a0"
_UNITS = r"%|mm|cm|m|in|°C|°F|g|g/m³|m²/s|d"
_TYPED = ("textarea", "script")
"""Elements whose content is not ours to touch."""
_PAIRS = re.compile(
    rf"[0-9%;] (?:(?<=[0-9] )(?=(?:{_UNITS})(?![\w/°])|[0-9]+/[0-9])"  # 8.0 %, 300 mm, −20 °C, 12 11/32"
    r"|(?<=% )(?=(?:RH|MC)\b)"  # 45 % RH
    r"|(?<=&lt; )(?=[0-9]))"  # < 1/64"
)


def bound(page: str) -> str:
    """A page with no-break spaces where its words have such a pair; tags, and what is typed in them, stay as they are.

    Example
    -------
    >>> bound('<p title="8 %">8 %, 12 11/32&#34; wide</p>').replace(NO_BREAK, "~")
    '<p title="8 %">8~%, 12~11/32&#34; wide</p>'
    """
    # To part a page into tags and words first takes longer than all else that it is made with; pairs are few.
    kept = [span for name in _TYPED for span in _elements(page, name)]
    out, at = [], 0
    for pair in _PAIRS.finditer(page):
        space = pair.end() - 1
        in_tag = page.rfind("<", 0, space) > page.rfind(">", 0, space)
        if not in_tag and not (kept and any(start <= space < end for start, end in kept)):
            out.append(page[at:space])
            at = space + 1
    out.append(page[at:])
    return NO_BREAK.join(out)


def _elements(page: str, name: str) -> Iterator[tuple[int, int]]:
    """Where the elements of a name begin and end; those that are empty are left out."""
    start = page.find(f"<{name}")
    while start >= 0:
        end = page.find(f"</{name}>", start)
        end = len(page) if end < 0 else end
        if page.find(">", start) < end - 1:
            yield start, end
        start = page.find(f"<{name}", end)
