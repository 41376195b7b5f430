"""The fields with which a page asks where the piece will live, and the climate that they describe."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from pydantic import ValidationError

from movement import climate, temperatures
from movement.lengths import Unit
from movement.parts.climates import (
    AirState,
    AnyClimate,
    MoistureClimate,
    MonthsClimate,
    PlaceClimate,
    RangeClimate,
    RecordClimate,
    RoomFields,
)
from webapp.forms import Form, Kind, Spec, bind
from webapp.library import Shelf, saved_climate, shelf
from webapp.posted import as_typed
from webapp.refusals import Refusal, from_validation
from webapp.store import Store

KINDS = (
    ("moisture", "Two moisture contents"),
    ("air", "Dry and damp air"),
    ("place", "A heated room"),
    ("outdoors", "Outdoors, covered"),
)
SAVED = ("saved", "A saved climate")
MONTHS = ("months", "Twelve months")
RECORD = "record"
"""A year that was read from a file; it has no fields of its own."""
MONTH_NAMES = tuple(f"month_{month}_{what}" for month in range(1, 13) for what in ("temperature", "humidity"))
"""The fields of twelve months of air, for the pages that ask for them."""
FIELDS = {
    "moisture": ("moisture_dry", "moisture_wet", "driest_month"),
    "air": ("dry_temperature", "dry_humidity", "wet_temperature", "wet_humidity", "driest_month"),
    "place": ("place", "heating", "cooling", "surplus", "humidifier", "dehumidifier"),
    "outdoors": ("place",),
    "saved": ("saved_climate",),
    "months": MONTH_NAMES,
}
"""The fields that each way of telling the year shows; the others keep what was typed, hidden."""

NAMES = tuple(dict.fromkeys(name for names in FIELDS.values() for name in names if name not in MONTH_NAMES))
"""Every field of the year but the months, in order."""

ROOM = FIELDS["place"][1:]
"""The fields of a room, wherever it is."""


def saved(store: Store | Shelf) -> list[tuple[str, str]]:
    """(handle, name) of every saved climate."""
    return [(kept.id, kept.name) for kept in shelf(store).climates]


def specs(
    store: Store | Shelf,
    kinds: Sequence[tuple[str, str]] = KINDS,
    *,
    with_saved: bool = True,
    with_months: bool = False,
) -> tuple[Spec, ...]:
    """The fields of the year: with the climates that are kept, with twelve months to type."""
    kinds = (*kinds, MONTHS) if with_months else tuple(kinds)
    named = tuple(saved(store)) if with_saved else ()
    return _specs((*kinds, SAVED) if named else kinds, named, with_saved, with_months)


@lru_cache(64)
def _specs(
    kinds: tuple[tuple[str, str], ...], named: tuple[tuple[str, str], ...], with_saved: bool, with_months: bool
) -> tuple[Spec, ...]:
    months = tuple((str(number), name) for number, name in enumerate(climate.MONTHS, start=1))
    places = tuple((place.name, f"{place.name}, {place.country}") for place in climate.places())
    return (
        Spec("year", "Where it will live, told by", "choice", default="moisture", options=kinds),
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
            "Of wood that has settled in the wettest season.",
            "%",
        ),
        Spec("dry_temperature", "Driest season: temperature", "temperature", "dry.temperature_c", "20"),
        Spec("dry_humidity", "Driest season: relative humidity", "number", "dry.humidity_pct", "30", "", "%"),
        Spec("wet_temperature", "Wettest season: temperature", "temperature", "wet.temperature_c", "22"),
        Spec("wet_humidity", "Wettest season: relative humidity", "number", "wet.humidity_pct", "65", "", "%"),
        Spec(
            "driest_month",
            "Driest in",
            "choice",
            default="1",
            hint="The wettest half a year later; for what follows the air late, and for the way home.",
            options=months,
        ),
        Spec(
            "place", "Place", "choice", "place", "Chicago", "The nearest in climate; its typical year.", options=places
        ),
        Spec("heating", "Heated to", "temperature", "heating_c", "20"),
        Spec("cooling", "Cooled to at most", "temperature", "cooling_c", "25", "Blank: no cooling."),
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
        *(_saved_specs(named) if with_saved else ()),
        *(_month_specs() if with_months else ()),
    )


def _saved_specs(named: Sequence[tuple[str, str]]) -> tuple[Spec, ...]:
    first = named[0][0] if named else ""
    options = tuple(named) or (("", "none"),)
    return (Spec("saved_climate", "Saved climate", "choice", default=first, options=options),)


def _month_specs() -> tuple[Spec, ...]:
    keys = [f"months.{month}.{key}" for month in range(12) for key in ("temperature_c", "humidity_pct")]
    labels = [f"{month}: {what}" for month in climate.MONTHS for what in ("temperature", "relative humidity")]
    kinds: tuple[tuple[Kind, str], ...] = (("temperature", ""), ("number", "%")) * 12
    return tuple(
        Spec(name, label, kind, key, unit=unit)
        for name, label, key, (kind, unit) in zip(MONTH_NAMES, labels, keys, kinds, strict=True)
    )


def build(form: Form, store: Store | Shelf) -> AnyClimate | None:
    """The climate that the form describes, or ``None`` with the refusals at their fields."""
    kind = form.values["year"]
    for name in {*NAMES, *MONTH_NAMES} - set(FIELDS.get(str(kind), ())):
        if name in form.fields:
            form.fields[name].error = ""
    if kind == "moisture":
        return form.build(MoistureClimate, driest_month=_month(form))
    if kind == "air":
        dry, wet = air(form, "dry"), air(form, "wet")
        return form.build(RangeClimate, dry=dry, wet=wet, driest_month=_month(form)) if dry and wet else None
    if kind == "months":
        months = [air(form, f"months.{month}") for month in range(12)]
        return form.build(MonthsClimate, months=months) if all(months) else None
    if kind == "place":
        room = form.build(RoomFields)
        return form.build(PlaceClimate, room=room) if room is not None else None
    if kind == "outdoors":
        return form.build(PlaceClimate, room=None)
    if kind == "saved":
        found = saved_climate(store, str(form.values["saved_climate"] or ""))
        if found is None:
            form.refuse(Refusal("saved_climate", "This climate is no longer kept here; choose another."))
        return found
    return None


def carried(form: Form) -> dict[str, str]:
    """What was typed to tell the year, for the address of a page that asks for it alike."""
    return {name: form.fields[name].value for name in ("year", *NAMES) if name in form.fields}


def _month(form: Form) -> int:
    """The month chosen; January where that was refused, which stops the form anyway."""
    return int(str(form.values["driest_month"] or 1))


def air(form: Form, path: str) -> AirState | None:
    """The air typed in the fields under a path ("dry", "months.3"), or ``None`` with the refusals at its fields."""
    values = {key: form.values[f"{path}.{key}"] for key in AirState.model_fields}
    try:
        return AirState.model_validate({key: value for key, value in values.items() if value is not None})
    except ValidationError as error:
        for refusal in from_validation(error, AirState, form.say):
            form.refuse(replace(refusal, field=f"{path}.{refusal.field}"))
    return None


def typed(chosen: AnyClimate, unit: Unit = "mm") -> dict[str, str]:
    """What is typed into the fields of a page in this unit to describe this climate: the way back from `build`.

    A record has no fields: the page that shows it must have it from where it is kept.
    """
    if isinstance(chosen, RecordClimate):
        return {"year": RECORD}
    if isinstance(chosen, MoistureClimate):
        ends = _texts(moisture_dry=chosen.dry_pct, moisture_wet=chosen.wet_pct)
        return {"year": "moisture", **ends, "driest_month": str(chosen.driest_month)}
    if isinstance(chosen, RangeClimate):
        states = {"dry": chosen.dry, "wet": chosen.wet}
        return {"year": "air", "driest_month": str(chosen.driest_month)} | _air_texts(states, unit)
    if isinstance(chosen, MonthsClimate):
        states = {f"month_{number}": air for number, air in enumerate(chosen.months, start=1)}
        return {"year": "months"} | _air_texts(states, unit)
    if chosen.room is None:
        return {"year": "outdoors", "place": chosen.place}
    room = chosen.room
    return {"year": "place", "place": chosen.place} | _texts(
        heating=_warmth(room.heating_c, unit),
        cooling="" if room.cooling_c is None else _warmth(room.cooling_c, unit),
        surplus=room.surplus_g_m3,
        humidifier=room.humidifier_pct,
        dehumidifier=room.dehumidifier_pct,
    )


def _warmth(temperature: float, unit: Unit) -> str:
    """A temperature [°C] as typed in a page of this unit."""
    return temperatures.typed(temperature, temperatures.SCALES[unit])


def with_months(data: Mapping[str, str], store: Store, unit: Unit = "mm") -> dict[str, str]:
    """The data, and where it asks for twelve months but none is typed, those of the heated room that it describes.

    Temperatures are rounded to a tenth of a degree of the page's scale, and humidities to whole per cent.
    """
    if data.get("year") != MONTHS[0] or any(name in data for name in MONTH_NAMES):
        return dict(data)
    fields = specs(store, with_saved=False)
    room = build(bind(fields, {**data, "year": "place"}, unit), store)
    room = room or build(bind(fields, {"year": "place"}, unit), store)
    assert room is not None
    year = room.year()
    months = zip(year.temperature, year.humidity, strict=True)
    scale = temperatures.SCALES[unit]
    texts = [text for warmth, damp in months for text in (f"{temperatures.degrees(warmth, scale):.1f}", f"{damp:.0f}")]
    return {**data, **dict(zip(MONTH_NAMES, texts, strict=True))}


def _air_texts(states: Mapping[str, AirState], unit: Unit) -> dict[str, str]:
    texts: dict[str, str] = {}
    for name, air in states.items():
        texts[f"{name}_temperature"] = _warmth(air.temperature_c, unit)
        texts[f"{name}_humidity"] = as_typed(air.humidity_pct)
    return texts


def _texts(**values: str | float | None) -> dict[str, str]:
    return {name: value if isinstance(value, str) else as_typed(value) for name, value in values.items()}


def words(chosen: AnyClimate, unit: Unit = "mm") -> str:
    """The year in a sentence or two: where, how dry and wet the wood gets, and what makes that doubtful."""
    year = chosen.year()
    span = f"wood settles between {year.dry:.1f} and {year.wet:.1f} % moisture content"
    if isinstance(chosen, PlaceClimate):
        inside = "outdoors under cover" if chosen.room is None else _room_words(chosen.room, unit)
        span = f"{chosen.place}, {inside}: {span}."
    elif isinstance(chosen, RecordClimate):
        missing = unrecorded(chosen)
        span = (
            f"{'Part of a year of recorded air' if missing else 'A recorded year of air'}: {span}. {missing}".rstrip()
        )
    else:
        span = f"{span[0].upper()}{span[1:]}."
    return f"{span} {year.doubt}".rstrip()


def unrecorded(chosen: AnyClimate) -> str:
    """What is not known of a year of which only a part was recorded; empty of any other."""
    measured = sum(month.measured for month in chosen.months) if isinstance(chosen, RecordClimate) else 12
    if measured == 12:
        return ""
    rest = "the other month brings" if measured == 11 else f"the other {12 - measured} months bring"
    return f"What {rest} is not known: the driest or the wettest may be missing."


def doubt_on_the_way(home: AnyClimate, stays: Iterable[AnyClimate]) -> str:
    """What makes the moistures of a place on the way doubtful; empty where nothing does, or the home's words say it."""
    return "" if home.year().doubt else next((doubt for stay in stays if (doubt := stay.year().doubt)), "")


def figures(chosen: AnyClimate, unit: Unit = "mm") -> Sequence[tuple[str, float, str]]:
    """Name, moisture [%] and remark of dry, wet and mid."""
    year = chosen.year()
    dry, wet = int(year.moisture.argmin()), int(year.moisture.argmax())
    return (
        ("Dry", year.dry, _when(chosen, dry, unit)),
        ("Wet", year.wet, _when(chosen, wet, unit)),
        ("Mid", year.mid, "the neutral fit"),
    )


def _when(chosen: AnyClimate, month: int, unit: Unit) -> str:
    """The month of an extreme, where the months are real ones, and its air."""
    year, name = chosen.year(), climate.MONTHS[month]
    if isinstance(chosen, RecordClimate):
        return f"{name} is at {year.moisture[month]:.1f} % in the mean"
    scale = temperatures.SCALES[unit]
    warmth = f"{temperatures.degrees(float(year.temperature[month]), scale):.0f} {scale}"
    air = f"{year.humidity[month]:.0f} % RH at {warmth}"
    if isinstance(chosen, MoistureClimate | RangeClimate):
        return air
    if isinstance(chosen, PlaceClimate) and chosen.room is None:
        return name
    return f"{name}, {air}"


def _room_words(room: RoomFields, unit: Unit) -> str:
    """What a room's air is held to: an assumed cap on dampness decides the wet end, so it stands beside the answer."""
    scale = temperatures.SCALES[unit]
    held = [f"a room heated to {temperatures.show(room.heating_c, scale)}"]
    if room.cooling_c is not None:
        held.append(f"cooled to {temperatures.show(room.cooling_c, scale)}")
    if room.humidifier_pct is not None:
        held.append(f"humidified to {room.humidifier_pct:g} %")
    if room.dehumidifier_pct is not None:
        held.append(f"dried to {room.dehumidifier_pct:g} %")
    return ", ".join(held)
