"""Typed text to values: a message with the allowed range at the field, and everything typed kept."""

import pytest

from movement import lengths
from movement.errors import RangeError
from movement.lengths import Unit
from movement.parts.climates import MoistureClimate, RoomFields
from movement.parts.drawer import DrawerRequest
from movement.parts.panel import PanelRequest
from movement.parts.slats import SlatsRequest
from webapp.forms import Form, Spec, bind, number
from webapp.limits import Limit, field_of
from webapp.refusals import Refusal, allowed

SPECS = (
    Spec("species", "Species", "species", default="Cherry, black"),
    Spec("width", "Sight width", "length", "sight_width_mm", "300"),
    Spec("now", "Moisture today", "number", "moisture_now_pct", "8", unit="%"),
    Spec("groove", "Groove depth", "length", "groove_depth_mm"),
    Spec("depths", "Depths", "lengths", "cutter_depths_mm"),
    Spec("hold", "Hold", "choice", default="centred", options=(("centred", "Centred"), ("loose", "Loose"))),
)
YEAR = MoistureClimate(dry_pct=6.0, wet_pct=11.0)


def built(data: dict[str, str], unit: Unit = "mm") -> tuple[Form, PanelRequest | None]:
    form = bind(SPECS, data, unit)
    return form, form.build(PanelRequest, climate=YEAR)


def error(data: dict[str, str], unit: Unit = "mm") -> str:
    form, request = built(data, unit)
    assert request is None
    [(name, message)] = form.errors
    assert name in data
    return message


# reading


def test_absent_fields_take_their_defaults() -> None:
    form, request = built({})
    assert form.ok
    assert request is not None
    assert (request.sight_width_mm, request.moisture_now_pct, request.groove_depth_mm) == (300.0, 8.0, None)


def test_a_bare_number_of_a_length_is_in_the_form_s_unit() -> None:
    _, request = built({"width": "12 1/2"}, "in")
    assert request is not None
    assert request.sight_width_mm == pytest.approx(317.5)


def test_a_length_may_say_its_own_unit() -> None:
    _, request = built({"width": '17 3/8"', "groove": "0,9 cm"})
    assert request is not None
    assert (request.sight_width_mm, request.groove_depth_mm) == (pytest.approx(441.325), pytest.approx(9.0))


def test_lengths_are_parted_by_semicolons() -> None:
    _, request = built({"depths": '6; 1/2"; ; 9,5'})
    assert request is not None
    assert request.cutter_depths_mm == pytest.approx([6.0, 12.7, 9.5])


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("", None),
        ("8", 8.0),
        (" 8.5 ", 8.5),
        ("8,5", 8.5),
        ("8.", 8.0),
        (".5", 0.5),
        ("-1.1", -1.1),
        ("−1.1", -1.1),
        ("+3", 3.0),
        ("8 %", 8.0),
        ("45°", 45.0),
        ("2 g/m³", 2.0),
    ],
)
def test_a_number_is_read_as_the_shop_writes_it(text: str, value: float | None) -> None:
    assert number(text) == value


@pytest.mark.parametrize("text", ["1,000", "12,345", "-1,234", "1,000 %"])
def test_a_number_that_could_be_two_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="could separate thousands"):
        number(text)
    assert (number("0,125"), number("1234,5"), number("1.234")) == (0.125, 1234.5, 1.234)
    assert (number("１２．５％"), number("－３")) == (12.5, -3.0)
    with pytest.raises(ValueError, match="not a number"):
        number("8²")


@pytest.mark.parametrize(
    "text",
    [
        "eight",
        "nan",
        "inf",
        "1e400",
        "1e3",
        "--5",
        "5-",
        "1.2.3",
        "1,2,3",
        "8%%",
        "0x10",
        "8 8",
        "1_000",
        "٣",
        "9" * 99,
    ],
)
def test_what_is_no_plain_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not a number"):
        number(text)


@pytest.mark.parametrize("text", ["1,000", "1.000", "12.500", "2.5", "2,5"])
def test_a_count_is_plainly_whole(text: str) -> None:
    form = bind((Spec("count", "Count", "whole"),), {"count": text}, "mm")
    assert form.fields["count"].error
    assert form.values["count"] is None


def test_a_whole_number_and_a_tick() -> None:
    specs = (Spec("count", "Count", "whole"), Spec("done", "Done", "check"))
    form = bind(specs, {"count": "3", "done": "yes"}, "mm")
    assert form.values == {"count": 3, "done": True}
    form = bind(specs, {"count": "2.5", "done": "no"}, "mm")
    assert form.values == {"count": None, "done": False}
    assert "not a whole number" in form.fields["count"].error


# refusing


@pytest.mark.parametrize(
    ("data", "unit", "said"),
    [
        ({"width": ""}, "mm", "Fill this in; allowed is 10 to 3000 mm."),
        ({"width": "5"}, "mm", "Allowed is 10 to 3000 mm."),
        ({"width": "-300"}, "mm", "Allowed is 10 to 3000 mm."),
        ({"width": "1 km"}, "mm", "Allowed is 10 to 3000 mm."),
        ({"width": "NaN"}, "mm", "Allowed is 10 to 3000 mm."),
        ({"width": "1e400"}, "mm", "Allowed is 10 to 3000 mm."),
        ({"width": "17 3/8"}, "mm", "Allowed is 10 to 3000 mm."),
        ({"width": "1/8"}, "in", 'Allowed is 13/32" to 118".'),
        ({"width": "wide"}, "in", 'Allowed is 13/32" to 118".'),
        ({"now": "99"}, "mm", "Allowed is 1 to 30 %."),
        ({"now": "wet"}, "mm", "Allowed is 1 to 30 %."),
        ({"groove": "500"}, "mm", "Allowed is 1 to 100 mm."),
        ({"depths": "6; 500"}, "mm", "Allowed is 1 to 100 mm."),
        ({"depths": "6; deep"}, "mm", "Allowed is 1 to 100 mm."),
        ({"hold": "glued"}, "mm", "Choose one of Centred, Loose."),
        ({"species": ""}, "mm", "Fill this in."),
        ({"species": "Chery"}, "mm", "Cherry, black"),
    ],
)
def test_a_refusal_says_what_is_allowed_in_the_form_s_unit(data: dict[str, str], unit: Unit, said: str) -> None:
    assert said in error(data, unit)


def test_the_range_shown_in_inches_lies_within_the_range_that_is_allowed() -> None:
    for shown in ('13/32"', '118"'):
        assert built({"width": shown}, "in")[1] is not None


UNITED = [(key, model) for model in (PanelRequest, SlatsRequest, DrawerRequest) for key in model.model_fields]


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_end_of_a_range_is_allowed_as_it_is_written(unit: Unit) -> None:
    form, told = bind((), {}, unit), 0
    for key, model in UNITED:
        limit = field_of(model, key).limit
        if limit.unit != "mm" or limit.low is None or limit.high is None or limit.above:
            continue
        low, _, high = allowed(limit, form.say).partition(" to ")
        assert limit.holds(lengths.read(low, unit)), (key, low)
        assert limit.holds(lengths.read(high, unit)), (key, high)
        told += 1
    assert told > 20


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (2.0, 500.0, '3/32" to 19 1/2"'),
        (10.0, 3000.0, '13/32" to 118"'),
        (0.0, 25.4, '0" to 1"'),
        (295.0, 300.0, '11 5/8" to 11 51/64"'),
    ],
)
def test_a_range_in_inches_has_round_ends_where_it_is_wide(low: float, high: float, said: str) -> None:
    assert allowed(Limit(low, high, "mm"), bind((), {}, "in").say) == said


def test_a_range_in_millimetres_is_rounded_inward_too() -> None:
    assert allowed(Limit(10.001, 20.009, "mm"), bind((), {}, "mm").say) == "10.01 to 20 mm"


def test_text_that_cannot_be_read_is_told_why_before_the_range() -> None:
    assert error({"now": "wet"}) == "“wet” is not a number; write it like 8 or 8.5. Allowed is 1 to 30 %."


def test_every_refusal_is_told_at_once_and_everything_typed_is_kept() -> None:
    data = {"species": "Chery", "width": "wide", "now": "99", "groove": "0", "depths": "x", "hold": "glued"}
    form, request = built(data)
    assert request is None
    assert {name: field.value for name, field in form.fields.items()} == data
    assert [name for name, _ in form.errors] == ["width", "now", "groove", "depths", "hold"]


def test_a_field_is_refused_once() -> None:
    form = bind(SPECS, {"width": "wide"}, "mm")
    form.check(PanelRequest, "climate")
    form.check(PanelRequest, "climate")
    form.build(PanelRequest, climate=YEAR)
    assert form.fields["width"].error.count("Allowed is") == 1


def test_fields_of_another_model_do_not_stop_one_from_being_built() -> None:
    form = bind((*SPECS, Spec("heating", "Heated to", "number", "heating_c", "20")), {"width": "wide"}, "mm")
    assert form.build(RoomFields) == RoomFields()
    assert form.build(PanelRequest, climate=YEAR) is None


def test_the_core_s_own_error_is_put_at_the_field_of_its_quantity() -> None:
    form = bind(SPECS, {}, "in")
    form.refuse_range(RangeError("groove depth", 300.0, 1, 100, "mm"), PanelRequest)
    assert form.errors == [("groove", 'Groove depth is 11 13/16"; allowed is 3/64" to 3 7/8".')]


def test_a_blank_where_null_is_allowed_is_null_and_not_the_default() -> None:
    specs = (Spec("cooling", "Cooled to", "number", "cooling_c"), Spec("heating", "Heated", "number", "heating_c"))
    room = bind(specs, {"cooling": "", "heating": ""}, "mm").build(RoomFields)
    assert room is not None
    assert (room.cooling_c, room.heating_c) == (None, 20.0)


@pytest.mark.parametrize(("unit", "wide"), [("mm", "300"), ("in", "12")])
def test_a_default_that_stands_for_a_blank_is_shown_in_its_place(unit: Unit, wide: str) -> None:
    specs = (
        *SPECS,
        Spec("gap", "Least gap", "length", "least_gap_mm", "1"),
        Spec("angle", "Ring angle", "number", "ring_angle_deg", "45", unit="°"),
    )
    form = bind(specs, {"width": wide, "gap": "", "angle": "", "groove": ""}, unit)
    request = form.build(PanelRequest, climate=YEAR)
    assert request is not None
    assert (request.least_gap_mm, request.ring_angle_deg, request.groove_depth_mm) == (0.5, 0.0, None)
    shown = {name: one.placeholder for name, one in form.fields.items() if one.placeholder}
    assert shown == {"gap": "0.5 mm if blank", "angle": "0° if blank"}


def test_a_refusal_without_a_field_here_stands_at_the_head() -> None:
    form = bind(SPECS, {}, "mm")
    form.refuse(Refusal("frames.0.colour", "No."))
    assert form.errors == [("", "No.")]


def test_a_refusal_is_put_at_the_last_key_of_its_path_that_the_form_has() -> None:
    form = bind(SPECS, {}, "mm")
    form.refuse(Refusal("frames.0.sight_width_mm", "No."))
    assert form.errors == [("width", "No.")]


def test_a_field_keeps_the_keyboard_that_suits() -> None:
    form = bind((*SPECS, Spec("count", "Count", "whole")), {}, "mm")
    keyboards = [form.fields[name].inputmode for name in ("width", "now", "count")]
    assert keyboards == ["text", "decimal", "numeric"]
