"""What the headings and cells of a hygrometer's log say: temperature, humidity, units, numbers."""

import re
import unicodedata
from math import nan
from typing import Literal

Unit = Literal["°C", "°F"]

_NUMBER = re.compile(
    r"([-+−]?)(\d{1,12}(?:[.,]\d{0,15})?|[.,]\d{1,15})(?:e([-+]?\d{1,2}))?"
    r"\s*(?:[°º˚�]?\s*([cf])|(℃)|(℉)|%(?:\s*r\.?h\.?)?)?",
    re.ASCII | re.IGNORECASE,
)
# By sign, by word, by a letter in brackets, by a letter standing alone: the plainer goes first.
_UNITS: tuple[tuple[re.Pattern[str], re.Pattern[str]], ...] = (
    (re.compile(r"[°º˚]\s*C|℃", re.I), re.compile(r"[°º˚]\s*F|℉", re.I)),
    (re.compile("celsius", re.I), re.compile("fahrenh", re.I)),
    (re.compile(r"[(\[]\s*C\s*[)\]]", re.I), re.compile(r"[(\[]\s*F\s*[)\]]", re.I)),
    (re.compile(r"(?<![^\W\d_])C(?![^\W\d_])", re.I), re.compile(r"(?<![^\W\d_])F(?![^\W\d_])", re.I)),
)
_RELATIVE = re.compile(r"%|\b(?:r\.?\s?h|r\.?\s?f|h\.?\s?r|u\.?\s?r)\b\.?", re.I)


def _plain(name: str) -> str:
    """A name without case, accents and runs of blanks."""
    bare = "".join(mark for mark in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(mark))
    return " ".join(bare.replace("_", " ").split())


def _plain_all(*stems: str) -> tuple[str, ...]:
    return tuple(map(_plain, stems))


# The stems of the two names in the languages of Europe and in Chinese, Japanese and Korean, without case and accents.
_TEMPERATURE = _plain_all(
    "temp",
    "tmp",
    "lampotila",
    "homerseklet",
    "teplot",
    "sicaklik",
    "sıcaklık",
    "hitastig",
    "hiti",
    "температур",
    "θερμοκρ",
    "温度",
    "溫度",
    "気温",
    "온도",
)
_HUMIDITY = _plain_all(
    "humid",
    "humed",
    "feucht",
    "umid",
    "vocht",
    "fukt",
    "fugt",
    "kosteus",
    "vlhkost",
    "wilgotn",
    "vlaz",
    "vlag",
    "paratartalom",
    "nem orani",
    "rakastig",
    "umiditate",
    "влажн",
    "волог",
    "υγρασ",
    "湿度",
    "濕度",
    "습도",
)
# Quantities that carry one of those names and are another thing.
_OTHER = _plain_all(
    "dew",
    "taup",
    "rosee",
    "rocio",
    "rugiada",
    "orvalho",
    "dauw",
    "daggp",
    "dugp",
    "duggp",
    "kastepiste",
    "wet bulb",
    "heat index",
    "chill",
    "feels",
    "gefuhlt",
    "ressenti",
    "absolut",
    "abs.",
    "g/m",
    "g/kg",
    "soil",
    "mixing",
    "batt",
    "set point",
    "setpoint",
)
_EXTREME = re.compile(r"\b(?:min|max|low|high|minimum|maximum|alarm)\b")


def number(text: str) -> float:
    """A cell as a number, its unit left off, with point or comma; NaN where it is none.

    Example
    -------
    >>> number("21,5 °C"), number("45%"), number("---")
    (21.5, 45.0, nan)
    """
    text = text.strip()
    found = _NUMBER.fullmatch(text) if len(text) <= 40 else None
    if found is None:
        return nan
    value = float(found[2].replace(",", ".") + (f"e{found[3]}" if found[3] else ""))
    return -value if found[1] in "-−" and found[1] else value


def unit_of(text: str, letters: int = 4) -> Unit | None:
    """The unit of temperature that a text names, the plainest sign first; ``None`` where it names none or both.

    ``letters`` says how far to go: 2 for signs and words, 3 for letters in brackets as well, 4 for any letter alone.

    Example
    -------
    >>> unit_of("Temp_F"), unit_of("Temperature (°C)"), unit_of("C:/logs", letters=2)
    ('°F', '°C', None)
    """
    for celsius, fahrenheit in _UNITS[:letters]:
        found = bool(celsius.search(text)), bool(fahrenheit.search(text))
        if any(found):
            return None if all(found) else "°C" if found[0] else "°F"
    return None


def is_number(text: str) -> bool:
    """Whether a cell is a number."""
    return number(text) == number(text)


def is_temperature(name: str) -> bool:
    """Whether a heading names the temperature of the air.

    Example
    -------
    >>> [is_temperature(name) for name in ("Température", "Lämpötila", "CH1 (°F)", "Taupunkttemperatur")]
    [True, True, True, False]
    """
    plain = _plain(name)
    if _has(plain, _OTHER) or _has(plain, _HUMIDITY):
        return False
    return _has(plain, _TEMPERATURE) or unit_of(name[:80], letters=3) is not None


def is_humidity(name: str) -> bool:
    """Whether a heading names relative humidity.

    Example
    -------
    >>> [is_humidity(name) for name in ("Rel. Feuchte", "Humedad", "%RH", "Absolute humidity", "Battery %")]
    [True, True, True, False, False]
    """
    plain = _plain(name)
    if _has(plain, _OTHER) or _has(plain, _TEMPERATURE):
        return False
    return _has(plain, _HUMIDITY) or bool(_RELATIVE.search(plain))


def is_extreme(name: str) -> bool:
    """Whether a heading names a least, a greatest or an alarm rather than the reading itself."""
    return bool(_EXTREME.search(_plain(name)))


def _has(plain: str, stems: tuple[str, ...]) -> bool:
    return any(stem in plain for stem in stems)
