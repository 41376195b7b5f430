"""What to change when a panel cannot work: which rule fails, by how much, and the nearest changes that mend it.

A change is only named after the panel was sized with it and fitted.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil
from typing import Literal, Protocol

from movement.fits import panel, restock
from movement.fits.cutter import DEEP, DEPTH, Cutter
from movement.fits.panel import Hold, PanelFit
from movement.lengths import Direction, round_to
from movement.season import Ratios, Season
from movement.wood import Wood

Change = Literal["recut", "deeper", "pinned", "quartered", "nearer", "divided"]
MOST_PANELS = 6
"""Narrower panels that one is divided into at most; project limit, no source."""
_DEEPER = 10
"""Deeper grooves that are tried at most; project limit, no source."""
_EXACT = 1e-9
_SAME = 1e-6
"""Lengths that differ by less are the same to any tool [mm]."""


class Say(Protocol):
    """Writes a length [mm] in the maker's unit, to the nearest step, up or down."""

    def __call__(self, length: float, /, *, direction: Direction = "nearest") -> str:
        """The length in words."""
        ...


@dataclass(frozen=True, slots=True)
class Bench:
    """What a panel was sized from, so that a change can be tried.

    ``ratios`` gives the width at dry, mid and wet over today's for another wood or season; a recommended width is
    rounded to ``width_step`` [mm] where there is one.
    """

    wood: Wood
    season: Season
    cutter: Cutter
    ratios: Callable[[Season, Wood], Ratios]
    width_step: float | None = None


@dataclass(frozen=True, slots=True)
class Remedy:
    """A change that makes a panel fit.

    Attributes
    ----------
    change : str
        What is done.
    fit : PanelFit
        The panel after it, sized: it fits. Where it is divided, one of the narrower panels.
    text : str
        The change as a sentence for the maker.
    moisture : float
        Moisture content of the stock to use [% MC].
    panels : int
        Panels side by side in place of the one.
    """

    change: Change
    fit: PanelFit
    text: str
    moisture: float
    panels: int = 1


def advice(fit: PanelFit, bench: Bench, say: Say, wider: PanelFit | None = None) -> tuple[str, ...]:
    """Sentences for the maker, the most useful first; empty where the fit works and nothing is unusual.

    Parameters
    ----------
    fit : PanelFit
        The panel as sized.
    bench : Bench
        What it was sized from.
    say : callable
        Writes a length [mm] in the maker's unit.
    wider : PanelFit or None
        The panel in a deeper groove that takes a width in whole steps, as `roomier` finds it.
    """
    if fit.fits:
        return (*_remarks(fit, say), *_whole_steps(fit, bench, say, wider))
    found = tuple(remedy.text for remedy in remedies(fit, bench, say))
    last = () if found else ("Nothing tried here makes it fit: ask for less engagement, gap or tolerance.",)
    return (*_failures(fit, say), *found, *last)


def remedies(fit: PanelFit, bench: Bench, say: Say) -> tuple[Remedy, ...]:
    """The changes that make a panel fit, the nearest first; each was tried. None where it fits already.

    Parameters
    ----------
    fit, bench, say
        As in `advice`.
    """
    if fit.fits:
        return ()
    recut, deeper, pinned = (tuple(way(fit, bench, say)) for way in (_recut, _deeper, _pinned))
    if recut:
        return (*recut, *(one for one in (*deeper, *pinned) if one.fit.width_given))
    limit = min((one.fit.groove for one in deeper), default=None)
    others = (*pinned, *_quartered(fit, bench, say), *_nearer(fit, bench, say))
    gained = (one for one in others if limit is None or one.fit.groove < limit - _EXACT)
    return (*deeper, *gained, *_divided(fit, bench, say))


def _remarks(fit: PanelFit, say: Say) -> Iterator[str]:
    if fit.groove >= DEEP:
        yield (
            f"A groove of {say(fit.groove)} is deeper than the usual 6 to 12 mm (1/4 to 1/2 in; common practice, no "
            "source): check what it leaves of the stile and its tenons."
        )


def roomier(fit: PanelFit, bench: Bench) -> PanelFit | None:
    """The panel in the next groove of the shop's in which a width of whole steps works, where its own holds none."""
    if not fit.fits or bench.width_step is None or fit.width_given or _is_whole(fit.width, bench.width_step):
        return None
    groove = fit.groove
    for _ in range(_DEEPER):
        depth = bench.cutter.choose(groove + _SAME)
        if depth is None:
            return None
        groove, wider = depth, _sized(fit, bench, groove=depth)
        if wider.fits and _is_whole(wider.width, bench.width_step):
            return wider
    return None


def _whole_steps(fit: PanelFit, bench: Bench, say: Say, wider: PanelFit | None) -> Iterator[str]:
    if wider is not None and bench.width_step is not None:
        low, high = say(wider.narrowest, direction="up"), say(wider.widest, direction="down")
        yield (
            f"No width in whole steps of {say(bench.width_step)} works in a groove of {say(fit.groove)}; in one of "
            f"{say(wider.groove)} any from {low} to {high} does."
        )


def _is_whole(length: float, step: float) -> bool:
    return abs(float(round_to(length, step)) - length) < _SAME


def _failures(fit: PanelFit, say: Say) -> Iterator[str]:
    if fit.hold == "one edge" and fit.groove < fit.clearances.fixed - _EXACT:
        yield (
            f"The fixed edge is to sit {say(fit.clearances.fixed)} deep, but the groove is only {say(fit.groove)} deep."
        )
    if fit.margin_dry < -_EXACT:
        yield (
            f"In the driest season it keeps too little: the panel is {say(-fit.margin_dry, direction='up')} too narrow "
            f"to hold {say(fit.clearances.engagement)} of engagement."
        )
    if fit.margin_wet < -_EXACT:
        yield (
            f"In the wettest season it has too little room: the panel is {say(-fit.margin_wet, direction='up')} too "
            f"wide to keep a gap of {say(fit.clearances.gap)}."
        )


def _recut(fit: PanelFit, bench: Bench, say: Say) -> Iterator[Remedy]:
    if not fit.width_given:
        return
    again = _sized(fit, bench, groove=fit.groove)
    if not again.fits:
        return
    span = _span(again, say)
    if fit.width > fit.widest:
        text = f"Plane the panel to {span} wide: at least {say(fit.width - fit.widest, direction='up')} off."
    else:
        more = say(fit.narrowest - fit.width, direction="up")
        text = f"The panel would have to be {span} wide: add {more}, or glue up a new one."
    yield Remedy("recut", again, text, bench.season.now)


def _deeper(fit: PanelFit, bench: Bench, say: Say) -> Iterator[Remedy]:
    if fit.width_given:
        kept = _sized(fit, bench, width=fit.width)
        if kept.fits and kept.groove > fit.groove:
            text = f"Cut the groove {say(kept.groove)} deep: then this panel fits as it is."
            yield Remedy("deeper", kept, text, bench.season.now)
            return
    least = say(fit.least_groove, direction="up")
    again = _sized(fit, bench)
    text = f"Cut the groove {say(again.groove)} deep (at least {least}) and the panel {_span(again, say)} wide."
    if not again.fits and fit.least_groove <= DEPTH[1]:
        again = _sized(fit, bench, groove=fit.least_groove)
        text = f"Cut the groove at least {least} deep: none of the shop's depths is that deep."
    if again.fits:
        yield Remedy("deeper", again, text, bench.season.now)


def _pinned(fit: PanelFit, bench: Bench, say: Say) -> Iterator[Remedy]:
    if fit.hold == "centred":
        return
    widths = (fit.width, None) if fit.width_given else (None,)
    for groove in (fit.groove, None):
        for width in widths:
            again = _sized(fit, bench, hold="centred", groove=groove, width=width)
            if again.fits:
                text = f"Pin the panel at mid-width, or centre it on spacers: then {_enough(fit, again, say)}."
                yield Remedy("pinned", again, text, bench.season.now)
                return


def _quartered(fit: PanelFit, bench: Bench, say: Say) -> Iterator[Remedy]:
    quartered = restock.quartered(bench.wood)
    if quartered is None:
        return
    again = _other_stock(fit, bench, bench.ratios(bench.season, quartered))
    if again.fits:
        text = f"{restock.QUARTERED} {_enough(fit, again, say)}."
        yield Remedy("quartered", again, text, bench.season.now)


def _nearer(fit: PanelFit, bench: Bench, say: Say) -> Iterator[Remedy]:
    near = restock.nearer(bench.season)
    if near is None:
        return
    again = _other_stock(fit, bench, bench.ratios(near, bench.wood))
    if again.fits:
        text = f"{restock.told(bench.season, near)} {_enough(fit, again, say)}."
        yield Remedy("nearer", again, text, near.now)


def _divided(fit: PanelFit, bench: Bench, say: Say) -> Iterator[Remedy]:
    widest = float(panel.widest_sight(fit.groove, fit.hold, fit.ratios.dry, fit.ratios.wet, fit.clearances))
    if widest < panel.SIGHT_WIDTH[0]:
        return
    count = max(2, ceil(fit.sight_width / widest))
    sight = fit.sight_width / count
    if count > MOST_PANELS or sight < panel.SIGHT_WIDTH[0]:
        return
    again = _sized(fit, bench, groove=fit.groove, sight_width=sight)
    if again.fits:
        words = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}[count]
        most = say(widest, direction="down")
        text = f"Make {words} narrower panels with a muntin between them: each up to {most} of sight width."
        yield Remedy("divided", again, text, bench.season.now, count)


def _sized(
    fit: PanelFit,
    bench: Bench,
    *,
    hold: Hold | None = None,
    ratios: Ratios | None = None,
    groove: float | None = None,
    width: float | None = None,
    sight_width: float | None = None,
) -> PanelFit:
    """The panel with a change; groove and width as recommended unless they are given."""
    return panel.fit(
        sight_width or fit.sight_width,
        hold or fit.hold,
        ratios or fit.ratios,
        fit.clearances,
        bench.cutter,
        groove,
        width,
        bench.width_step,
    )


def _other_stock(fit: PanelFit, bench: Bench, ratios: Ratios) -> PanelFit:
    """A new panel of other stock, in this groove where that is deep enough, else in the shop's shallowest that is."""
    same = _sized(fit, bench, ratios=ratios, groove=fit.groove)
    return same if same.fits else _sized(fit, bench, ratios=ratios)


def _enough(fit: PanelFit, again: PanelFit, say: Say) -> str:
    """That a groove is enough, and the width that goes with it."""
    same = abs(again.groove - fit.groove) <= _EXACT
    groove = "this groove is deep enough" if same else f"a groove of {say(again.groove)} is enough"
    return groove if again.width_given else f"{groove}, with the panel {_span(again, say)} wide"


def _span(fit: PanelFit, say: Say) -> str:
    """The widths that fit, rounded inward; the one width where they are too close for that."""
    low, high = say(fit.narrowest, direction="up"), say(fit.widest, direction="down")
    return f"{low} to {high}" if fit.widest - fit.narrowest > 1.0 else say(fit.width)
