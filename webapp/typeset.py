"""What must not be parted at the end of a line: a number and its unit, a whole number and its fraction."""

import re

NO_BREAK = "\u00a0"
_UNITS = r"%|mm|cm|m|in|°C|°F|g|g/m³|m²/s|d"
_TEXTS = re.compile(r"(<textarea\b.*?</textarea>|<script\b.*?</script>|<[^>]*>)", re.DOTALL | re.IGNORECASE)
_SPACES = re.compile(
    rf"(?<=[0-9]) (?=(?:{_UNITS})(?![\w/°]))"  # 8.0 %, 300 mm, −20 °C
    r"|(?<=%) (?=(?:RH|MC)\b)"  # 45 % RH
    r"|(?<=[0-9]) (?=[0-9]+/[0-9])"  # 12 11/32"
    r"|(?<=&lt;) (?=[0-9])"  # < 1/64"
)
_BEFORE_A_UNIT = re.compile(r'(?<=[0-9"″;]) (?=<span class="unit">)')


def bound(page: str) -> str:
    """A page with no-break spaces where its words have such a pair; tags, and what is typed in them, stay as they are.

    Example
    -------
    >>> bound('<p title="8 %">8 %, 12 11/32&#34; wide</p>').replace(NO_BREAK, "~")
    '<p title="8 %">8~%, 12~11/32&#34; wide</p>'
    """
    pieces = _TEXTS.split(page)
    pieces[::2] = [_SPACES.sub(NO_BREAK, text) if " " in text else text for text in pieces[::2]]
    return _BEFORE_A_UNIT.sub(NO_BREAK, "".join(pieces))
