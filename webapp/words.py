"""How a page writes lengths: in its unit, to 0.1 mm or 1/64 in, and to the cautious side where that matters."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Protocol

from movement import lengths, temperatures
from movement.fits.remedy import Say
from movement.lengths import Direction, Unit
from movement.parts.base import Bias

_WAYS: tuple[Direction, ...] = ("nearest", "down", "up")
_EXACT = 1e-9
_FINE: dict[Unit, float] = {"mm": 0.01, "in": lengths.INCH / 1000}
"""The steps of a length that the usual step is too coarse for [mm]."""


def entered(length: float, unit: Unit) -> str:
    """A length that the maker has entered: as a round figure of the unit, else of the other unit, else to the step.

    Example
    -------
    >>> entered(60.0, "in"), entered(1524.0, "in"), entered(3.175, "mm"), entered(60.0, "mm")
    ('60 mm', '60"', '1/8"', '60 mm')
    """
    other: Unit = "in" if unit == "mm" else "mm"
    for one in (unit, other):
        step = lengths.STEPS[one][0]
        if abs(float(lengths.round_to(length, step)) - length) <= _EXACT:
            text = lengths.show(length, one, step, with_unit=False)
            return f'{text}"' if one == "in" else f"{text.removesuffix('.0')} mm"
    return lengths.show(length, unit, lengths.STEPS[unit][0])


def dated(one: date) -> str:
    """A day in words that no country misreads.

    Example
    -------
    >>> dated(date(2026, 3, 4))
    '4 March 2026'
    """
    return f"{one.day} {one:%B %Y}"


class Leaning(Protocol):
    """A sized part whose fit of today leans to one side of the neutral one."""

    bias_mm: float
    bias: Bias
    moisture_now_pct: float
    moisture_mid_pct: float


@dataclass(frozen=True, slots=True)
class Words:
    """Lengths [mm] in words of one unit."""

    unit: Unit

    @property
    def step(self) -> float:
        """The finest that is written [mm]."""
        return lengths.STEPS[self.unit][0]

    @property
    def bench(self) -> Say:
        """Writes the lengths of the core's advice."""
        return partial(lengths.show, unit=self.unit, step=self.step)

    def say(self, length: float) -> str:
        """A length, to the nearest step."""
        return lengths.show(length, self.unit, self.step)

    def least(self, length: float) -> str:
        """A length that must be reached, rounded up."""
        return lengths.show(length, self.unit, self.step, "up")

    def most(self, length: float) -> str:
        """A length that must not be passed, rounded down."""
        return lengths.show(length, self.unit, self.step, "down")

    def entered(self, length: float) -> str:
        """A length that the maker has entered, as it was, as far as that can be told."""
        return entered(length, self.unit)

    def size(self, length: float) -> str:
        """How large a length is; one that is too small for the step is never written as nothing."""
        told = self.say(abs(length))
        return f"< {self.say(self.step)}" if told == self.say(0.0) and abs(length) > _EXACT else told

    def temperature(self, temperature: float) -> str:
        """A temperature [°C] in the scale that goes with the unit."""
        return temperatures.show(temperature, temperatures.SCALES[self.unit])

    def room(self, length: float) -> str:
        """What there is of a gap or an engagement, rounded down: as a decimal where that would leave none of it."""
        near = float(lengths.round_to(length, self.step, "down"))
        return self.fine(length, "down") if near == 0 and length > _EXACT else self.most(length)

    def extremes(self, dry: float, wet: float) -> tuple[str, str]:
        """How wide something is open when driest and when wettest: never wider at its narrowest, nor narrower at its
        widest, than it is.
        """
        return (self.least(dry), self.room(wet)) if dry >= wet else (self.room(dry), self.least(wet))

    def through(self, lengths: Sequence[float], now: str = "") -> tuple[str, str, str]:
        """How wide something is open today, when driest and when wettest; ``now`` says today's where that is given.

        Where today is the driest or the wettest that it will be, both read the same.
        """
        today, dry, wet = lengths
        is_dry, is_wet = abs(today - dry) <= _EXACT, abs(today - wet) <= _EXACT
        driest, wettest = self.extremes(dry, wet)
        if is_dry and is_wet:
            return (now or self.say(today),) * 3
        told = now or (driest if is_dry else wettest if is_wet else self.say(today))
        return told, told if is_dry else driest, told if is_wet else wettest

    def signed(self, length: float) -> str:
        """A length with its sign; one that is too small for the step is never written as nothing."""
        told = self.size(length)
        return told if told.startswith("<") else lengths.show_signed(length, self.unit, self.step)

    def margin(self, length: float) -> str:
        """What is left above a limit, with its sign, rounded down; a shortfall is never written as nothing."""
        return lengths.show_signed(length, self.unit, self.step, "down")

    def fine(self, length: float, direction: Direction = "nearest") -> str:
        """A length finer than the step, as a decimal in either unit."""
        rounded = float(lengths.round_to(length, _FINE[self.unit], direction))
        return f"{rounded:.2f} mm" if self.unit == "mm" else f'{rounded / lengths.INCH:.3f}"'

    def finest(self, length: float, direction: Direction = "nearest") -> str:
        """A length of which not even a decimal of `fine` may be lost, with one decimal more."""
        rounded = float(lengths.round_to(length, _FINE[self.unit] / 10, direction))
        return f"{rounded:.3f} mm" if self.unit == "mm" else f'{rounded / lengths.INCH:.4f}"'

    def leaning(self, made: Leaning, what: str) -> str:
        """The bias of what is left open today, in words.

        Parameters
        ----------
        what : str
            What the bias is of ("each joint", "the reveal that moves").
        """
        now, mid = f"{made.moisture_now_pct:.1f} %", f"{made.moisture_mid_pct:.1f} %"
        if made.bias == "neutral":
            return (
                f"Leave {what} as for a neutral fit: at {now} the wood is near the middle of what it will meet ({mid})."
            )
        drier = made.moisture_now_pct < made.moisture_mid_pct
        size = self.size(made.bias_mm)
        share = f"Leave {what} {size} {made.bias} than a neutral fit"
        if drier != (made.bias == "looser"):
            return f"{share}: the middle of what the wood will meet is {mid}."
        state, wants = ("drier", "swell") if drier else ("wetter", "shrink")
        middle = f"the middle of what it will meet ({mid})"
        return f"{share}: at {now} the wood is {state} than {middle} and will mostly {wants}."

    def within(self, length: float, low: float, high: float, first: Direction = "nearest") -> str:
        """A length that is to lie within a range: finer than the page's step where that would lead out of it.

        Parameters
        ----------
        first : {"nearest", "up", "down"}
            How it is rounded where the range leaves the choice.
        """
        if low > high:
            return self.say(length)
        fine = _FINE[self.unit]
        ways = [(step, way) for step in (self.step, fine) for way in _WAYS]
        if first != "nearest":
            ways = [(self.step, first), (fine, first), *ways]
        for step, way in ways:
            if low - _EXACT <= float(lengths.round_to(length, step, way)) <= high + _EXACT:
                return self.fine(length, way) if step == fine else lengths.show(length, self.unit, step, way)
        return self.fine(length)

    def is_within(self, low: float, high: float) -> bool:
        """Whether a length of the range can be written."""
        return float(lengths.round_to(low, _FINE[self.unit], "up")) <= high + _EXACT

    def works(self, low: float, high: float) -> str:
        """The sizes from low to high, in words."""
        least, most = self.least(low), self.most(high)
        if float(lengths.round_to(low, self.step, "up")) > float(lengths.round_to(high, self.step, "down")):
            least, most = self.fine(low, "up"), self.fine(high, "down")
        return f"only {least} works" if least == most else f"{least} to {most} works"
