"""How a log is laid out."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement.headings import is_humidity, is_temperature, number, unit_of
from movement.layout import HEAD, LogError, Options, encoding, layout

ROWS = ["2025-01-01 00:00,21.5,45", "2025-01-01 00:10,21.4,46", "2025-01-01 00:20,21.3,46"]


def plan(*lines, options=None):
    text = "\n".join(lines).encode()
    return layout(text, options) if options else layout(text)


@pytest.mark.parametrize(
    "name",
    [
        "Temperature",
        "temp_c",
        "Temp.",
        "Temperatur [°C]",
        "Température (°C)",
        "Temperatura",
        "Temperatuur",
        "Lämpötila",
        "Teplota",
        "Hőmérséklet",
        "Sıcaklık",
        "Температура",
        "Θερμοκρασία",
        "温度(℃)",
        "온도",
        "CH1 (F)",
    ],
)
def test_temperature_is_known_in_many_languages(name):
    assert is_temperature(name)
    assert not is_humidity(name)


@pytest.mark.parametrize(
    "name",
    [
        "Humidity",
        "humidity_pct",
        "RH",
        "%RH",
        "R.H. (%)",
        "rel. humidity %",
        "Luftfeuchte",
        "rel. Feuchtigkeit",
        "rF",
        "Humidité relative",
        "HR (%)",
        "Humedad",
        "Umidità",
        "UR",
        "Vochtigheid",
        "Luftfuktighet",
        "Kosteus",
        "Vlhkost",
        "Wilgotność",
        "Влажность",
        "湿度",
        "습도",
        "CH2 (%)",
    ],
)
def test_humidity_is_known_in_many_languages(name):
    assert is_humidity(name)
    assert not is_temperature(name)


@pytest.mark.parametrize(
    "name",
    [
        "Dew point (°C)",
        "Taupunkt (°C)",
        "Point de rosée",
        "Absolute humidity (g/m³)",
        "Battery %",
        "Heat index °F",
        "Time",
    ],
)
def test_other_quantities_are_neither(name):
    assert not is_temperature(name)
    assert not is_humidity(name)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("Temp (°F)", "°F"),
        ("Temp_F", "°F"),
        ("temp f", "°F"),
        ("℃", "°C"),
        ("Celsius", "°C"),
        ("Sensor C (°F)", "°F"),
        ("Temp\ufffdC", "°C"),
        ("Temperature", None),
        ("°C or °F", None),
    ],
)
def test_the_unit_is_read_from_the_heading(text, unit):
    assert unit_of(text) == unit


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("21.5", 21.5),
        ("21,5", 21.5),
        ("−3", -3),
        ("-3.0 °C", -3),
        ("45 %", 45),
        ("70.1°F", 70.1),
        ("2.15e1", 21.5),
        (".5", 0.5),
    ],
)
def test_numbers_are_read_with_their_unit(text, value):
    assert number(text) == value


@pytest.mark.parametrize("text", ["", "---", "NaN", "inf", "1_0", "0x10", "1.2.3", "1,234.5", "12:30", "n/a", "1" * 50])
def test_what_is_no_number_is_nan(text):
    assert number(text) != number(text)


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "utf-8-sig"),
        ("utf-16", "utf-16"),
        ("utf-16-le", "utf-16-le"),
        ("utf-16-be", "utf-16-be"),
        ("latin-1", "cp1252"),
    ],
)
def test_the_encoding_is_found(code, found):
    assert encoding("Zeit;Temperatur °C;Feuchte %\n1;2;3".encode(code)) == found


def test_a_letter_cut_at_the_end_of_the_head_is_still_utf_8():
    assert encoding(("a" * (HEAD - 1) + "°").encode()[:HEAD]) == "utf-8"


@pytest.mark.parametrize(
    "head",
    [b"PK\x03\x04rest", b"\x1f\x8brest", b"\xd0\xcf\x11\xe0rest", b"%PDF-1.7", b"text with one \x00" + b"a" * 100],
)
def test_what_is_no_plain_text_is_refused(head):
    with pytest.raises(LogError, match="plain text"):
        layout(head)


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_the_separator_is_found(separator):
    found = plan(*(line.replace(",", separator) for line in ["time,temp,humidity", *ROWS]))
    assert found.separator == separator
    assert (found.time, found.clock, found.temperature, found.humidity) == (0, None, 1, 2)


def test_columns_parted_by_blanks_are_found():
    found = plan("Date Time Temp RH", "2025-01-01  00:00  21.5  45", "2025-01-01  00:10  21.4  46")
    assert (found.separator, found.time, found.clock, found.temperature, found.humidity) == (" ", 0, 1, 2, 3)


def test_decimal_commas_between_semicolons_are_no_separators():
    assert plan("Zeit;Temperatur;Feuchte", "1.1.2025 00:00;21,5;45,2", "1.1.2025 00:10;21,4;45,3").separator == ";"


def test_columns_are_found_in_any_order_among_others():
    found = plan(
        "No.,Humidity (%),Battery,Dew point (°C),Temperature (°F),Date,Time",
        "1,45,3.1,9.0,70.1,12/31/2025,11:50 PM",
        "2,46,3.1,9.1,70.2,12/31/2025,11:55 PM",
        "3,46,3.1,9.1,70.2,1/1/2026,12:00 AM",
    )
    assert (found.time, found.clock, found.temperature, found.humidity, found.unit) == (5, 6, 4, 1, "°F")


def test_lines_above_the_header_are_passed_over():
    found = plan(
        "Logger export,,",
        "Exported,2025-02-01 12:00,",
        'Unit,"Fahrenheit",',
        "",
        "time,temp,humidity",
        *ROWS,
    )
    assert (found.header_line, found.first_line, found.names) == (5, 6, ("time", "temp", "humidity"))
    assert (found.unit, found.unit_why) == ("°F", "a line above the readings says so")


def test_a_row_of_units_belongs_to_the_header():
    found = plan("Time;Channel 1;Channel 2", ";°F;%RH", *(row.replace(",", ";") for row in ROWS))
    assert found.names == ("Time", "Channel 1 °F", "Channel 2 %RH")
    assert (found.temperature, found.humidity, found.unit) == (1, 2, "°F")


def test_without_a_header_the_order_of_the_numbers_decides_and_says_so():
    found = plan(*ROWS)
    assert (found.header_line, found.first_line, found.temperature, found.humidity) == (None, 1, 1, 2)
    assert any("names no columns" in text for text in found.warnings)
    assert any("by their numbers and order alone" in text for text in found.warnings)


def test_without_a_header_what_cannot_be_humidity_is_temperature():
    found = plan("2025-01-01 00:00,45,-3.5", "2025-01-01 00:10,46,-3.6")
    assert (found.temperature, found.humidity) == (2, 1)


def test_a_temperature_that_rises_evenly_is_no_count_of_rows_once_it_is_named():
    lines = [f"{at},2025-01-01 0{at}:00,{20 + at},45" for at in range(1, 6)]
    assert plan("no,time,temp,humidity", *lines).temperature == 2
    assert (
        plan(*(line.replace(f",{20 + at},", f",2{at * at % 7},") for at, line in enumerate(lines, 1))).temperature == 2
    )


def test_rows_of_failed_readings_before_the_first_good_one_are_still_read():
    assert plan("time,temp,humidity", "2025-01-01 00:00,---,---", *ROWS).first_line == 2


def test_two_temperatures_are_said():
    found = plan("time,Temp max,Temp room,humidity", *(row.replace(",21", ",30,21") for row in ROWS))
    assert found.temperature == 2
    assert any("there is also “Temp max”" in text for text in found.warnings)


@pytest.mark.parametrize("name", ["outdoor HUMIDITY", "4"])
def test_the_maker_chooses_columns_by_name_or_number(name):
    found = plan(
        "time,temp,humidity,outdoor humidity",
        *(row + ",80" for row in ROWS),
        options=Options(humidity=name, unit="°F"),
    )
    assert (found.humidity, found.unit, found.unit_why) == (3, "°F", "as chosen")


def test_a_chosen_column_that_is_missing_is_refused_with_what_there_is():
    with pytest.raises(LogError, match=r"no column “dampness”.*1 “time”, 2 “temp”") as caught:
        plan("time,temp,humidity", *ROWS, options=Options(humidity="dampness"))
    assert caught.value.use == "humidity"


@pytest.mark.parametrize(
    ("options", "use"),
    [
        (Options(time="x"), "date"),
        (Options(clock="x"), "time of day"),
        (Options(temperature="x"), "temperature"),
        (Options(humidity="x"), "humidity"),
    ],
)
def test_a_refused_column_tells_what_it_was_chosen_for(options, use):
    with pytest.raises(LogError) as caught:
        plan("time,temp,humidity", *ROWS, options=options)
    assert caught.value.use == use


def test_one_column_for_both_is_refused():
    with pytest.raises(LogError, match="same column"):
        plan("time,temp,humidity", *ROWS, options=Options(humidity="2", temperature="temp"))


def test_commas_for_columns_and_decimals_are_refused():
    with pytest.raises(LogError, match="decimal sign too") as caught:
        plan("time,temp,humidity", "2025-01-01 00:00,21,5,45,2", "2025-01-01 00:10,21,4,45,3")
    assert caught.value.line == 1


def test_a_header_that_does_not_tell_is_refused_with_what_there_is():
    with pytest.raises(LogError, match=r"No telling which column.*2 “a”"):
        plan("time,a,b,c", *(row + ",7" for row in ROWS))


@pytest.mark.parametrize("text", ["", "\n\n", "hello", "time,temp,humidity", "a,b\n1,2\n3,4", "2025-01-01,5"])
def test_a_file_without_readings_is_refused(text):
    with pytest.raises(LogError, match="No line here has a date"):
        layout(text.encode())


@given(st.binary(max_size=400) | st.text(alphabet='12:-/., ;\t\n"TFC%é', max_size=300).map(str.encode))
def test_no_bytes_raise_anything_but_a_log_error(head):
    with suppress(LogError):
        assert layout(head).first_line >= 1


def test_zeros_in_every_place_are_no_text():
    with pytest.raises(LogError, match="not a log in plain text"):
        layout(bytes(5000))


def test_what_cannot_be_printed_is_not_told():
    with pytest.raises(LogError, match="begins “abc”"):
        layout(b"\x01\x02\r\na\x1bb\x07c\n")
