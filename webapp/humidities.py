"""A range of relative humidities in words, rounded inward, so that what is read still holds."""

from math import ceil, floor

_EXACT = 1e-9


def inward(low: float, high: float, step: int = 1) -> tuple[int, int] | None:
    """The multiples of a step [%] that lie within a range, its ends; ``None`` where there are none.

    Example
    -------
    >>> inward(33.1, 61.9), inward(33.1, 61.9, 5), inward(41.2, 44.9, 5)
    ((34, 61), (35, 60), None)
    """
    least, most = ceil(low / step - _EXACT) * step, floor(high / step + _EXACT) * step
    return None if least > most else (least, most)


def words(low: float | None, high: float | None) -> str:
    """A range as `survival.humidities` gives it, in few words; empty where there is none.

    Example
    -------
    >>> words(33.1, 61.9), words(0.0, 61.9), words(33.1, 100.0), words(41.2, 41.9)
    ('34 to 61 %', 'up to 61 %', 'from 34 % up', '41.2 to 41.9 %')
    """
    if low is None or high is None:
        return ""
    if low <= 0 and high >= 100:
        return "any humidity"
    whole = inward(low, high)
    if whole is None:
        return f"{low:.1f} to {high:.1f} %"
    if low <= 0:
        return f"up to {whole[1]} %"
    return f"from {whole[0]} % up" if high >= 100 else f"{whole[0]} to {whole[1]} %"
