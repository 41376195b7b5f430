"""A scale of relative humidity with what a panel survives on it."""

from webapp.drawing.sheet import WIDTH, Drawing, Pen, at
from webapp.words import Words

_LEFT, _RIGHT = 12.0, WIDTH - 12.0
_TOP, _BOTTOM = 28.0, 60.0
_TICKS = (0, 20, 40, 60, 80, 100)
TITLE = "The room's relative humidity"


def humidity(
    kept: tuple[float, float] | None, out: float | None, bound: float | None, labels: tuple[str, str, str], words: Words
) -> Drawing:
    """The scale from 0 to 100 %.

    Parameters
    ----------
    kept : (low, high) or None
        Humidities that keep what is asked for [%]; ``None`` where there are none.
    out, bound : float or None
        Below which it comes out, above which it binds [%]; ``None`` where it never does.
    labels : (kept, out, bound)
        The same in words; empty for what there is not.
    """
    pen = Pen(words)
    pen.box(_LEFT, _TOP, _RIGHT, _BOTTOM, "part")
    if out is not None:
        pen.box(_LEFT, _TOP, _place(out), _BOTTOM, "part", "end")
    if bound is not None:
        pen.box(_place(bound), _TOP, _RIGHT, _BOTTOM, "part", "other")
    middle = WIDTH / 2
    if kept is not None:
        pen.box(_place(kept[0]), _TOP, _place(kept[1]), _BOTTOM, "void")
        middle = (_place(kept[0]) + _place(kept[1])) / 2
    pen.text(middle, 15.0, "", "middle", strong=labels[0])
    for tick in _TICKS:
        pen.draw(f"M{at(_place(tick))} {at(_BOTTOM)}v6", "dim")
        pen.text(_place(tick), _BOTTOM + 22, f"{tick} %" if tick else "0", "middle")
    pen.text(0.0, _BOTTOM + 48, labels[1])
    pen.text(WIDTH, _BOTTOM + 48, labels[2], "end")
    told = "; ".join(label for label in labels if label)
    caption = "Shaded: what is asked for is kept. Hatched: it comes out at the dry end, or binds at the damp one."
    return pen.done(TITLE, told, caption, _BOTTOM + 58)


def _place(humidity: float) -> float:
    return _LEFT + min(max(humidity, 0.0), 100.0) / 100 * (_RIGHT - _LEFT)
