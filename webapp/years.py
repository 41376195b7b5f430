"""The fields with which a page asks where the piece will live, and the climate that they describe."""

from collections.abc import Sequence

from movement import climate
from movement.parts.climates import AnyClimate, MoistureClimate, PlaceClimate, RangeClimate, RoomFields
from webapp.forms import Form, Spec
from webapp.library import read_climate
from webapp.refusals import Refusal
from webapp.store import MissingError, Store

KINDS = (
    ("moisture", "Two moisture contents"),
    ("air", "Dry and damp air"),
    ("place", "A heated room"),
    ("outdoors", "Outdoors, covered"),
)
SAVED = ("saved", "A saved climate")
FIELDS = {
    "moisture": ("moisture_dry", "moisture_wet"),
    "air": ("dry_temperature", "dry_humidity", "wet_temperature", "wet_humidity"),
    "place": ("place", "heating", "cooling", "surplus", "humidifier", "dehumidifier"),
    "outdoors": ("place",),
    "saved": ("saved_climate",),
}
"""The fields that each way of telling the year shows; the others keep what was typed, hidden."""

NAMES = tuple(dict.fromkeys(name for names in FIELDS.values() for name in names))
"""Every field of the year, in order."""


def saved(store: Store) -> list[tuple[str, str]]:
    """(handle, name) of every saved climate."""
    return [(kept.id, kept.name) for kept in store.climates()]


def specs(store: Store, kinds: Sequence[tuple[str, str]] = KINDS, *, with_saved: bool = True) -> tuple[Spec, ...]:
    """The fields of the year."""
    named = saved(store) if with_saved else []
    if named:
        kinds = (*kinds, SAVED)
    places = tuple((place.name, f"{place.name}, {place.country}") for place in climate.places())
    return (
        Spec("year", "Where it will live, told by", "choice", default="moisture", options=tuple(kinds)),
        Spec(
            "moisture_dry",
            "Driest moisture content",
            "number",
            "dry_pct",
            "6",
            "Of wood that has settled in the driest season.",
            "%",
        ),
        Spec(
            "moisture_wet",
            "Wettest moisture content",
            "number",
            "wet_pct",
            "11",
            "Of wood that has settled in the dampest season.",
            "%",
        ),
        Spec("dry_temperature", "Driest season: temperature", "number", "dry.temperature_c", "20", "", "°C"),
        Spec("dry_humidity", "Driest season: relative humidity", "number", "dry.humidity_pct", "30", "", "%"),
        Spec("wet_temperature", "Dampest season: temperature", "number", "wet.temperature_c", "22", "", "°C"),
        Spec("wet_humidity", "Dampest season: relative humidity", "number", "wet.humidity_pct", "65", "", "%"),
        Spec(
            "place", "Place", "choice", "place", "Chicago", "The nearest in climate; its typical year.", options=places
        ),
        Spec("heating", "Heated to", "number", "heating_c", "20", "", "°C"),
        Spec("cooling", "Cooled to at most", "number", "cooling_c", "25", "Blank: no cooling.", "°C"),
        Spec(
            "surplus",
            "Moisture surplus",
            "number",
            "surplus_g_m3",
            "2",
            "Water that living adds to the air; homes in winter average 2 to 3 (Alev et al. 2015).",
            "g/m³",
        ),
        Spec("humidifier", "Humidified to at least", "number", "humidifier_pct", "", "Blank: no humidifier.", "%"),
        Spec("dehumidifier", "Dried to at most", "number", "dehumidifier_pct", "60", "Blank: nothing caps it.", "%"),
        Spec(
            "saved_climate",
            "Saved climate",
            "choice",
            default=named[0][0] if named else "",
            options=tuple(named) or (("", "none"),),
        ),
    )


def build(form: Form, store: Store) -> AnyClimate | None:
    """The climate that the form describes, or ``None`` with the refusals at their fields."""
    kind = form.values["year"]
    for name in set(NAMES) - set(FIELDS.get(str(kind), ())):
        form.fields[name].error = ""
    if kind == "moisture":
        return form.build(MoistureClimate)
    if kind == "air":
        states = {
            season: {f"{what}": form.values[f"{season}.{what}"] for what in ("temperature_c", "humidity_pct")}
            for season in ("dry", "wet")
        }
        return form.build(RangeClimate, **states)
    if kind == "place":
        room = form.build(RoomFields)
        return form.build(PlaceClimate, room=room) if room is not None else None
    if kind == "outdoors":
        return form.build(PlaceClimate, room=None)
    if kind == "saved":
        try:
            return read_climate(store.climate(str(form.values["saved_climate"] or "")).document)
        except MissingError:
            form.refuse(Refusal("saved_climate", "This climate is no longer kept here; choose another."))
    return None


def words(chosen: AnyClimate) -> str:
    """One line on the year: where, and how dry and wet the wood gets."""
    year = chosen.year()
    span = f"wood settles between {year.dry:.1f} and {year.wet:.1f} % moisture content"
    if isinstance(chosen, PlaceClimate):
        inside = "outdoors under cover" if chosen.room is None else f"a room heated to {chosen.room.heating_c:g} °C"
        return f"{chosen.place}, {inside}: {span}."
    return f"{span[0].upper()}{span[1:]}."
