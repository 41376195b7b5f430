"""The fields that tell how a file of recorded air is read: of a log, of a weather file, and what is dry and wet."""

from collections.abc import Sequence
from typing import Annotated, Any

from movement.climate import Room
from movement.layout import LogError, Options
from movement.parts.climates import RoomFields
from movement.parts.fields import Described, bounded
from movement.records import EXTREMES, HIGH_EXTREME, LOW_EXTREME
from webapp import years
from webapp.forms import Form, Spec
from webapp.recorded import Kind
from webapp.store import Store

BY_THE_FILE = ("", "as the file says")
COLUMNS = {
    "date": "time_column",
    "time of day": "clock_column",
    "temperature": "temperature_column",
    "humidity": "humidity_column",
}
"""The field of each column that can be chosen, by its use."""
LowPercentile = Annotated[float, bounded(LOW_EXTREME, "%", "Percentile of the weekly means that is dry")]
HighPercentile = Annotated[float, bounded(HIGH_EXTREME, "%", "Percentile of the weekly means that is wet")]
WHOLE = (0.0, 100.0)
"""The percentiles of the lowest and the highest week."""

LOG = (
    Spec("temperatures", "Temperatures in", "choice", options=(BY_THE_FILE, ("C", "°C"), ("F", "°F"))),
    Spec(
        "dates",
        "Dates like 1/2/2025",
        "choice",
        options=(BY_THE_FILE, ("day", "day first"), ("month", "month first")),
    ),
    Spec("time_column", "Column of date and time", hint="A heading, or a number from 1; blank: as it was found."),
    Spec("clock_column", "Column of the time of day", hint="Where it has one of its own."),
    Spec("temperature_column", "Column of temperature"),
    Spec("humidity_column", "Column of humidity"),
)
WHERE = Spec(
    "where",
    "Where it will stand",
    "choice",
    default="room",
    options=(("room", "A heated room there"), ("outdoors", "Outdoors, covered")),
)
DRY_AND_WET = (
    Spec(
        "extremes",
        "Dry and wet are",
        "choice",
        default="usual",
        hint="Of the means of seven days that begin each day.",
        options=(
            ("usual", f"percentiles {EXTREMES[0]:g} and {EXTREMES[1]:g}"),
            ("all", "the lowest and the highest"),
            ("own", "percentiles of your own"),
        ),
    ),
    Spec("dry_percentile", "Percentile for dry", "number", default="5", unit="%"),
    Spec("wet_percentile", "Percentile for wet", "number", default="95", unit="%"),
)


class Percentiles(Described):
    """The percentiles of the weekly means that are dry and wet."""

    dry_percentile: LowPercentile
    wet_percentile: HighPercentile

    @property
    def pair(self) -> tuple[float, float]:
        """Both."""
        return self.dry_percentile, self.wet_percentile


def specs(kind: Kind, store: Store) -> tuple[Spec, ...]:
    """The fields of a kind of file."""
    if kind == "log":
        return (*LOG, *DRY_AND_WET)
    room = [spec for spec in years.specs(store, with_saved=False) if spec.name in years.ROOM]
    return (WHERE, *room, *DRY_AND_WET)


def shown(form: Form) -> Sequence[str]:
    """The fields that matter for what is chosen, those of a log apart; the others keep what was typed, hidden."""
    names = [WHERE.name] if WHERE.name in form.fields else []
    if "where" in form.fields and form.fields["where"].value == "room":
        names += years.ROOM
    names.append("extremes")
    return [*names, *(spec.name for spec in DRY_AND_WET[1:])] if form.fields["extremes"].value == "own" else names


def options(form: Form) -> Options:
    """What the maker decides of a log."""
    value: dict[str, Any] = form.values
    if "temperatures" not in value:
        return Options()
    units: dict[Any, Any] = {"C": "°C", "F": "°F"}
    return Options(
        unit=units.get(value["temperatures"]),
        day_first={"day": True, "month": False}.get(value["dates"]),
        time=value["time_column"],
        clock=value["clock_column"],
        temperature=value["temperature_column"],
        humidity=value["humidity_column"],
    )


def room(form: Form) -> Room | None:
    """The room at a weather file's place, None for outdoors; what is refused stands at its fields."""
    if form.values.get("where") != "room":
        for name in years.ROOM:
            if name in form.fields:
                form.fields[name].error = ""
        return None
    fields = form.build(RoomFields)
    return fields.room() if fields else None


def extremes(form: Form) -> tuple[float, float]:
    """The percentiles for dry and wet; what is refused stands at its fields."""
    chosen = form.values["extremes"]
    if chosen == "own":
        percentiles = form.build(Percentiles)
        return percentiles.pair if percentiles else EXTREMES
    for spec in DRY_AND_WET[1:]:
        form.fields[spec.name].error = ""
    return WHOLE if chosen == "all" else EXTREMES


def refuse(form: Form, error: LogError) -> None:
    """Put what is wrong with a log at the field of the column that is to blame, else at the file."""
    name = COLUMNS.get(error.use, "file")
    form.fields[name].error = str(error)
