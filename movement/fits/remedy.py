"""What to change when a panel cannot work: which rule fails, by how much, and the nearest changes that mend it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import ceil

from movement import wood as stock
from movement.fits import panel
from movement.fits.cutter import DEEP, Cutter
from movement.fits.panel import PanelFit
from movement.season import Ratios, Season
from movement.wood import Wood

Say = Callable[[float], str]
"""Writes a length [mm] in the maker's unit."""
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Bench:
    """What a panel was sized from, so that a change can be tried.

    ``ratios`` gives the width at dry, mid and wet over today's for another wood or season.
    """

    wood: Wood
    season: Season
    cutter: Cutter
    ratios: Callable[[Season, Wood], Ratios]


def advice(fit: PanelFit, bench: Bench, say: Say) -> tuple[str, ...]:
    """Sentences for the maker, the most useful first; empty where the fit works and nothing is unusual.

    Parameters
    ----------
    fit : PanelFit
        The panel as sized.
    bench : Bench
        What it was sized from.
    say : callable
        Writes a length [mm] in the maker's unit.
    """
    if fit.fits:
        return tuple(_remarks(fit, say))
    return (*_failures(fit, say), *_remedies(fit, bench, say))


def _remarks(fit: PanelFit, say: Say) -> Iterator[str]:
    if fit.groove >= DEEP:
        yield (
            f"A groove of {say(fit.groove)} is deeper than the usual 6 to 12 mm (1/4 to 1/2 in; common practice, no "
            "source): check what it leaves of the stile and its tenons."
        )


def _failures(fit: PanelFit, say: Say) -> Iterator[str]:
    if fit.hold == "one edge" and fit.groove < fit.clearances.fixed - _EXACT:
        yield (
            f"The fixed edge is to sit {say(fit.clearances.fixed)} deep, but the groove is only {say(fit.groove)} deep."
        )
    if fit.margin_dry < -_EXACT:
        yield (
            f"In the driest season it keeps too little: the panel is {say(-fit.margin_dry)} too narrow to hold "
            f"{say(fit.clearances.engagement)} of engagement."
        )
    if fit.margin_wet < -_EXACT:
        yield (
            f"In the wettest season it has too little room: the panel is {say(-fit.margin_wet)} too wide to keep a gap "
            f"of {say(fit.clearances.gap)}."
        )


def _remedies(fit: PanelFit, bench: Bench, say: Say) -> Iterator[str]:
    if fit.narrowest <= fit.widest and not fit.narrowest <= fit.width <= fit.widest:
        yield from _recut(fit, say)
        return
    yield _deeper(fit, bench.cutter, say)
    yield from _pinned(fit, say)
    yield from _quartered(fit, bench, say)
    yield from _nearer(fit, bench, say)
    yield from _divided(fit, say)


def _recut(fit: PanelFit, say: Say) -> Iterator[str]:
    span = f"{say(fit.narrowest)} to {say(fit.widest)}"
    if fit.width > fit.widest:
        yield f"Plane the panel to {span} wide: at least {say(fit.width - fit.widest)} off."
    else:
        yield f"The panel would have to be {span} wide: add {say(fit.narrowest - fit.width)}, or glue up a new one."


def _deeper(fit: PanelFit, cutter: Cutter, say: Say) -> str:
    depth = cutter.choose(fit.least_groove)
    if depth is None:
        return f"Cut the groove at least {say(fit.least_groove)} deep: none of the shop's depths is that deep."
    return f"Cut the groove {say(depth)} deep (at least {say(fit.least_groove)})."


def _pinned(fit: PanelFit, say: Say) -> Iterator[str]:
    if fit.hold == "centred":
        return
    least = _least(fit, fit.ratios, hold="centred")
    if least <= fit.groove + _EXACT:
        yield "Pin the panel at mid-width, or centre it on spacers: then this groove is deep enough."
    elif least < fit.least_groove - 0.05:
        yield f"Pin the panel at mid-width, or centre it on spacers: then {say(least)} of groove is enough."


def _quartered(fit: PanelFit, bench: Bench, say: Say) -> Iterator[str]:
    quartered = stock.cut(bench.wood.species, 90.0)
    if quartered.across >= bench.wood.across - 1e-6:
        return
    least = _least(fit, bench.ratios(bench.season, quartered))
    enough = "this groove is deep enough" if least <= fit.groove + _EXACT else f"{say(least)} of groove is enough"
    yield f"Use quarter-sawn stock of the same species: then {enough}."


def _nearer(fit: PanelFit, bench: Bench, say: Say) -> Iterator[str]:
    season = bench.season
    near = min(max(season.now, season.year_dry), season.year_wet)
    if near == season.now:
        return
    least = _least(fit, bench.ratios(replace(season, now=near), bench.wood))
    word = "drier" if near < season.now else "less dry"
    yield (
        f"Use {word} stock: at {near:.1f} % moisture content, inside the home's own year, "
        f"{say(least)} of groove is enough."
    )


def _divided(fit: PanelFit, say: Say) -> Iterator[str]:
    widest = float(panel.widest_sight(fit.groove, fit.hold, fit.ratios.dry, fit.ratios.wet, fit.clearances))
    if widest < panel.SIGHT_WIDTH[0]:
        yield (
            f"No panel works in a groove of {say(fit.groove)} with these clearances, however narrow; "
            f"ask for less engagement, gap or tolerance, or cut deeper."
        )
        return
    count = max(2, ceil(fit.sight_width / widest))
    words = {2: "two", 3: "three", 4: "four"}.get(count, str(count))
    yield f"Make {words} narrower panels with a muntin between them: each up to {say(widest)} of sight width."


def _least(fit: PanelFit, ratios: Ratios, hold: panel.Hold | None = None) -> float:
    return float(panel.least_groove(fit.sight_width, hold or fit.hold, ratios.dry, ratios.wet, fit.clearances))
