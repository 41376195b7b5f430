"""Many panels over many places at once: a catalogue's grooves, widths and gaps by blocks of arrays."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from movement.arrays import Floats, floats
from movement.errors import require_range
from movement.fits import panel
from movement.fits.panel import Clearances, Hold
from movement.lengths import round_to
from movement.swelling import size_ratio

BLOCK = 32_768
"""Rows that are worked at a time: a block's arrays stay in the processor's cache, and memory stays flat."""


@dataclass(frozen=True, slots=True)
class Panels:
    """Panels that are held alike; arrays of shape (n,).

    Attributes
    ----------
    sight_width : ndarray
        [mm], within `panel.SIGHT_WIDTH`.
    now : ndarray
        Moisture content today [% MC], 0 to 30.
    across, start : ndarray
        Movement coefficient of the width [per 1 % MC] and start of shrinkage [% MC].
    step : ndarray
        Grooves are multiples of this [mm].
    """

    hold: Hold
    clearances: Clearances
    sight_width: Floats
    now: Floats
    across: Floats
    start: Floats
    step: Floats


class Years(NamedTuple):
    """Driest and wettest moisture content at each place [% MC], shape (m,)."""

    dry: Floats
    wet: Floats


class Block(NamedTuple):
    """Sized rows: panel and place by index, lengths in mm, shape (k,). Gaps and engagement as in `panel.PanelFit`."""

    panel: np.ndarray[tuple[int], np.dtype[np.int64]]
    place: np.ndarray[tuple[int], np.dtype[np.int64]]
    moisture_dry: Floats
    moisture_wet: Floats
    least_groove: Floats
    groove: Floats
    width: Floats
    gap_now: Floats
    gap_dry: Floats
    gap_wet: Floats
    engagement_dry: Floats
    bias: Floats


def size(panels: Panels, years: Years) -> Block:
    """Size every panel for every place, all at once; rows run through the places of a panel first.

    Raises
    ------
    RangeError
        A width, moisture or coefficient out of range.
    """
    n, m = len(panels.sight_width), len(years.dry)
    require_range("moisture content today", panels.now, 0.0, 30.0, "%")
    now, sight = panels.now[:, None], panels.sight_width[:, None]
    dry, wet = np.minimum(now, years.dry), np.maximum(now, years.wet)
    across, start = panels.across[:, None], panels.start[:, None]
    ratio_dry = floats(size_ratio(across, now, dry, start))
    ratio_wet = floats(size_ratio(across, now, wet, start))
    ratio_mid = floats(size_ratio(across, now, (dry + wet) / 2, start))
    hold, keep = panels.hold, panels.clearances
    least = floats(panel.least_groove(sight, hold, ratio_dry, ratio_wet, keep))
    groove = np.empty_like(least)
    for step in np.unique(panels.step):
        alike = panels.step == step
        groove[alike] = round_to(least[alike], float(step), "up")
    width = floats(panel.even_width(sight, groove, hold, ratio_dry, ratio_wet, keep))
    gap_now = floats(panel.gap(sight, groove, width, hold, keep.fixed))
    rows = (
        dry,
        wet,
        least,
        groove,
        width,
        gap_now,
        floats(panel.gap(sight, groove, width * ratio_dry, hold, keep.fixed)),
        floats(panel.gap(sight, groove, width * ratio_wet, hold, keep.fixed)),
        floats(panel.engagement(sight, groove, width * ratio_dry, hold, keep.fixed)),
        gap_now - floats(panel.gap(sight, groove, width * ratio_mid, hold, keep.fixed)),
    )
    index = np.repeat(np.arange(n), m), np.tile(np.arange(m), n)
    return Block(*index, *(np.broadcast_to(row, (n, m)).ravel() for row in rows))


def blocks(panels: Panels, years: Years, rows: int = BLOCK) -> Iterator[Block]:
    """The same rows as `size`, a block at a time, in the same order.

    Parameters
    ----------
    panels, years
        As in `size`.
    rows : int
        About how many rows a block has; at least one panel's places.

    Returns
    -------
    iterator of Block
        ``panel`` counts from the catalogue's first.
    """
    together = max(1, rows // max(1, len(years.dry)))
    for first in range(0, len(panels.sight_width), together):
        part = slice(first, first + together)
        some = Panels(
            panels.hold,
            panels.clearances,
            panels.sight_width[part],
            panels.now[part],
            panels.across[part],
            panels.start[part],
            panels.step[part],
        )
        block = size(some, years)
        yield block._replace(panel=block.panel + first)


def alike(holds: Sequence[Hold], clearances: Sequence[Clearances]) -> list[tuple[Hold, Clearances, list[int]]]:
    """Panels that are held alike, as (hold, clearances, their indices), in order of first appearance."""
    groups: dict[tuple[Hold, Clearances], list[int]] = {}
    for index, key in enumerate(zip(holds, clearances, strict=True)):
        groups.setdefault(key, []).append(index)
    return [(hold, keep, indices) for (hold, keep), indices in groups.items()]
