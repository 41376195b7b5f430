"""What other stock would do for a part that cannot work, in sentences."""

from collections.abc import Callable, Iterator

from movement.fits import restock
from movement.parts.base import Bench
from movement.season import Ratios


def quartered(bench: Bench) -> Ratios | None:
    """How the width stands against today's in quarter-sawn stock; ``None`` where that moves no less."""
    flat = restock.quartered(bench.wood)
    return None if flat is None else bench.ratios(bench.season, flat)


def other_stock(bench: Bench, enough: Callable[[Ratios], str]) -> Iterator[str]:
    """Quarter-sawn stock, and drier or less dry stock, where either helps; ``enough`` says what is enough then."""
    if (flat := quartered(bench)) is not None:
        yield f"{restock.QUARTERED} {enough(flat)}."
    if (near := restock.nearer(bench.season)) is not None:
        yield f"{restock.told(bench.season, near)} {enough(bench.ratios(near, bench.wood))}."
