"""A climate from a file: what is understood is shown first, can be told otherwise, and is kept under a name."""

import gzip
import html
import io
import os
import re
import threading
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import httpx
import pytest
import record_cases
from fastapi import FastAPI

from movement import hygrometer
from movement.climate import Room
from movement.layout import Options
from webapp import recorded, uploads
from webapp.app import create_app
from webapp.documents import MissingError
from webapp.library import read_climate
from webapp.settings import Settings
from webapp.uploads import Uploads

PLAIN = record_cases.plain()
EPW = record_cases.epw()


@pytest.fixture(autouse=True)
def _none_kept(app: FastAPI) -> None:
    """Clear away the climates that a new store starts with."""
    for kept in app.state.store.climates():
        app.state.store.delete_climate(kept.id)


def send(client: Any, content: bytes, name: str = "workshop_2024.csv") -> httpx.Response:
    return client.post("/climate/file", files={"file": (name, content)})


def look(client: Any, address: str, **more: Any) -> httpx.Response:
    """The page of a file, when it is read."""
    until = time.monotonic() + 30
    while True:
        response = client.get(address, **more)
        if 'id="reading"' not in response.text or time.monotonic() > until:
            return response


def sent(client: Any, content: bytes, name: str = "workshop_2024.csv", **options: str) -> tuple[str, httpx.Response]:
    """The address of a file that was sent in, and its page with these options."""
    response = send(client, content, name)
    assert response.status_code == 303, response.text
    address = response.headers["location"]
    told = parse_qs(urlsplit(address).query)
    return address, look(client, urlsplit(address).path, params={"name": told["name"][0], **options})


def shown(response: httpx.Response) -> str:
    return html.unescape(response.text)


def figures(response: httpx.Response) -> list[float]:
    return [float(value) for value in re.findall(r'<dd class="value">([\d.]+)', response.text)]


def hidden(text: str, form: str) -> dict[str, str]:
    """The hidden fields of the form with this id."""
    [inside] = re.findall(rf'<form [^>]*id="{form}".*?</form>', text, re.DOTALL)
    found = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)"', inside)
    return {name: html.unescape(value) for name, value in found}


def files(app: FastAPI) -> list[Path]:
    return list(app.state.settings.uploads.glob("*"))


# what is understood


def test_the_bare_page_asks_for_a_file(client: Any) -> None:
    response = client.get("/climate/file")
    assert response.status_code == 200
    assert "<h1>A climate from a file</h1>" in response.text
    assert 'method="post" action="/climate/file" enctype="multipart/form-data"' in response.text
    assert '<input type="file" id="file" name="file"' in response.text


def test_the_climate_page_leads_here_and_stays_marked(client: Any) -> None:
    assert 'href="/climate/file"' in client.get("/climate").text
    assert '<a href="/climate" aria-current="page">' in client.get("/climate/file").text


@pytest.mark.parametrize("style", record_cases.STYLES)
def test_a_log_is_understood_before_anything_is_kept(client: Any, app: FastAPI, style: str) -> None:
    made, words = record_cases.STYLES[style]
    _, response = sent(client, made())
    text = shown(response)
    assert response.status_code == 200
    assert "720 of 720 rows are used, 1 March 2024 to 30 March 2024, a reading every 60 minutes" in text
    for word in words:
        assert word in text, word
    year = hygrometer.read(made()).record().climate
    assert figures(response) == pytest.approx([year.dry, year.wet, year.mid], abs=0.051)
    assert app.state.store.climates() == []


def test_columns_unit_dates_rows_gaps_and_warnings_are_all_told(client: Any) -> None:
    lines = record_cases.german(days=60).decode("cp1252").split("\r\n")
    lines[5:7] = ["1.13.2024;00:00;20,0;9,3;45,0", lines[6].rpartition(";")[0] + ";170,0"]
    del lines[400:700]
    text = shown(sent(client, "\n".join(lines).encode("cp1252"))[1])
    assert "1,138 of 1,140 rows are used" in text
    for use, column in (("Date", 1), ("Time of day", 2), ("Temperature", 3), ("Humidity", 5)):
        assert re.search(rf"<dt>{use}</dt><dd>column {column} “", text), use
    assert "<dt>Not used</dt><dd>“Taupunkt (°C)”</dd>" in text
    assert "1 row: a humidity above 100 %; first in line 7." in text
    assert "first in line 6." in text
    assert re.search(r"<h3>Gaps</h3>\s*<ul>\s*<li>\d+ March 2024 to \d+ March 2024: 12\.\d days\.</li>", text)
    assert "Please check." in text
    assert "No readings in January, February, May," in text
    months = r"March \d+ % measured, April \d+ % measured, nothing in 10 months"
    assert re.search(rf"<dt>Months with gaps</dt><dd>{months}</dd>", text)


def test_months_that_were_not_measured_are_marked(client: Any) -> None:
    text = shown(sent(client, PLAIN)[1])
    assert "Dotted: not measured, January, February, April," in text
    assert '<th scope="row">January (not measured)</th>' in text
    assert '<th scope="row">March</th>' in text


def test_the_path_of_the_record_is_drawn_with_its_gaps_open(client: Any) -> None:
    lines = record_cases.plain(days=100, step=240).decode().split("\n")
    del lines[200:320]
    text = sent(client, "\n".join(lines).encode())[1].text
    [chart] = re.findall(r'<svg[^>]*aria-labelledby="record-chart-title.*?</svg>', text, re.DOTALL)
    paths = re.findall(r'<path class="series [^"]*" d="([^"]*)"', chart)
    assert [path.count("M") for path in paths if "h28" not in path] == [2, 2]
    assert "Jan" not in chart
    assert "First day of one week" in text


def test_ten_years_are_drawn_in_a_hundred_points(client: Any) -> None:
    text = shown(sent(client, record_cases.plain(days=3650, step=720))[1])
    assert "First day of 8 weeks" in text
    assert "Each point is the mean of 8 weeks" in text
    assert "2026</text>" in text


def test_a_weather_file_tells_its_place(client: Any) -> None:
    text = shown(sent(client, EPW, "harbour.epw")[1])
    assert "A year outdoors in Harbour Town, XYZ: 8,760 of 8,760 hours are known." in text
    assert "<dd>57.20° N, 2.22° W, 65 m above the sea</dd>" in text
    assert "Made for this test" in text
    assert "Each point is the mean of five days." in text


def test_a_weather_file_is_known_by_its_first_line_whatever_it_is_called(client: Any) -> None:
    assert "A year outdoors in Harbour Town" in sent(client, EPW, "data.txt")[1].text


# told otherwise


def test_the_address_is_the_whole_question(client: Any) -> None:
    address, first = sent(client, PLAIN, extremes="own", dry_percentile="40", dates="day")
    again = look(client, f"{urlsplit(address).path}?extremes=own&dry_percentile=40&dates=day&name=workshop+2024")
    assert again.text == first.text
    assert figures(again) != figures(look(client, address))


@pytest.mark.parametrize(
    ("options", "extremes"),
    [
        ({}, (2.0, 98.0)),
        ({"extremes": "all"}, (0.0, 100.0)),
        ({"extremes": "own", "dry_percentile": "10", "wet_percentile": "80,5"}, (10.0, 80.5)),
    ],
)
def test_what_counts_as_dry_and_wet_can_be_chosen(
    client: Any, options: dict[str, str], extremes: tuple[float, float]
) -> None:
    year = hygrometer.read(PLAIN).record(extremes).climate
    assert figures(sent(client, PLAIN, **options)[1]) == pytest.approx([year.dry, year.wet, year.mid], abs=0.051)


def test_the_unit_can_be_told(client: Any) -> None:
    bare = PLAIN.replace("Temperature (°C)".encode(), b"Temperature")
    address, unsure = sent(client, bare)
    assert '<details id="misread" open>' in unsure.text
    assert "Temperatures are taken for °C" in unsure.text
    told = look(client, f"{urlsplit(address).path}?temperatures=F")
    assert "<dd>°F: as chosen</dd>" in told.text
    assert '<option value="F" selected>°F</option>' in told.text
    year = hygrometer.read(bare, Options(unit="°F")).record().climate
    assert figures(told)[0] == pytest.approx(year.dry, abs=0.051)


def test_the_order_of_dates_can_be_told(client: Any) -> None:
    rows = [f"{day:02}/{month:02}/2024,20,45" for month in range(1, 13) for day in range(1, 13)]
    log = "\n".join(["date,temperature °C,humidity", *rows]).encode()
    address, day = sent(client, log, dates="day")
    month = look(client, f"{urlsplit(address).path}?dates=month")
    assert "day/month/year" in day.text
    assert "month/day/year" in month.text


def test_columns_can_be_chosen_by_name_or_number(client: Any) -> None:
    lines = PLAIN.decode().split("\n")
    log = "\n".join([f"{lines[0]},Outdoor humidity (%)", *(f"{line},80" for line in lines[1:])]).encode()
    address, response = sent(client, log)
    assert "column 3" in response.text
    assert '<details id="misread">' in response.text
    for chosen in ("Outdoor humidity (%)", "4"):
        told = look(client, urlsplit(address).path, params={"humidity_column": chosen})
        assert "<dt>Humidity</dt><dd>column 4 “Outdoor humidity (%)”</dd>" in shown(told)
        assert '<details id="misread" open>' in told.text
        assert '<option value="Relative humidity (%)">' in told.text


def test_outdoors_and_a_room_are_two_years(client: Any) -> None:
    address, room = sent(client, EPW, "harbour.epw", heating="21", surplus="3")
    outdoors = look(client, f"{urlsplit(address).path}?where=outdoors&heating=21")
    found = recorded.read("epw", io.BytesIO(EPW), Options())
    inside = recorded.year(found, Room(heating=21.0, surplus=3.0))
    assert figures(room)[:2] == pytest.approx([inside.dry_pct, inside.wet_pct], abs=0.051)
    assert figures(outdoors)[1] > figures(room)[1]
    assert "what this page starts from, chosen by us, no source" in room.text
    assert "what this page starts from" not in outdoors.text
    assert '<input type="hidden" name="heating" value="21">' in outdoors.text
    assert "Outdoors under cover in Harbour Town, XYZ." in outdoors.text


BAD_OPTIONS = [
    (PLAIN, "a.csv", {"extremes": "own", "dry_percentile": "60"}, "dry_percentile", "0 to 49 %"),
    (PLAIN, "a.csv", {"extremes": "own", "wet_percentile": "x"}, "wet_percentile", "is not a number"),
    (PLAIN, "a.csv", {"extremes": "own", "wet_percentile": ""}, "wet_percentile", "Fill this in"),
    (PLAIN, "a.csv", {"humidity_column": "dampness"}, "humidity_column", "3 “Relative humidity (%)”"),
    (PLAIN, "a.csv", {"humidity_column": "2", "temperature_column": "2"}, "humidity_column", "same column"),
    (PLAIN, "a.csv", {"time_column": "9"}, "time_column", "no column “9”"),
    (PLAIN, "a.csv", {"clock_column": "x"}, "clock_column", "no column “x”"),
    (PLAIN, "a.csv", {"temperatures": "K"}, "temperatures", "Choose one of"),
    (EPW, "a.epw", {"heating": "50"}, "heating", "5 to 35 °C"),
    (EPW, "a.epw", {"where": "attic"}, "where", "Choose one of"),
    (EPW, "a.epw", {"humidifier": "70", "dehumidifier": "40"}, "dehumidifier", "70 to 90 %"),
]


@pytest.mark.parametrize(("content", "name", "options", "field", "said"), BAD_OPTIONS, ids=lambda one: str(one)[:24])
def test_a_bad_option_is_refused_at_its_field(
    client: Any, content: bytes, name: str, options: dict[str, str], field: str, said: str
) -> None:
    _, response = sent(client, content, name, **options)
    assert response.status_code == 422
    [words] = re.findall(rf'id="{field}-error"><span class="visually-hidden">Error: </span>(.*?)</p>', shown(response))
    assert said in words
    assert figures(response) == []
    if re.search(rf'<input type="text" id="{field}"', response.text):
        assert f'name="{field}" value="{options[field]}"' in response.text


def test_a_refused_option_still_shows_what_was_understood(client: Any) -> None:
    text = sent(client, PLAIN, extremes="own", dry_percentile="60")[1].text
    assert "How the file was understood" in text
    assert "720 of 720 rows are used" in text


def test_options_that_are_not_shown_do_no_harm(client: Any) -> None:
    assert sent(client, PLAIN, dry_percentile="x")[1].status_code == 200
    assert sent(client, EPW, "a.epw", where="outdoors", heating="x")[1].status_code == 200


def test_a_room_that_would_drip_is_refused_where_it_can_be_mended(client: Any) -> None:
    damp = record_cases.epw(mean=20.0)
    options = {"heating": "5", "cooling": "10", "surplus": "10", "dehumidifier": ""}
    response = sent(client, damp, "damp.epw", **options)[1]
    assert response.status_code == 422
    [words] = re.findall(r'id="dehumidifier-error">(.*?)</p>', response.text)
    assert "allowed is 0 to 100 %" in words


# files that cannot be read


def zipped() -> bytes:
    """A small archive of a large file."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("log.csv", b"0" * 50_000_000)
    return out.getvalue()


BROKEN_EPW = EPW.replace(b"1999,2,1,1,60", b"1999,2,2,1,60")
BAD_FILES = [
    ("nothing.csv", b"no readings here", "No line here has a date"),
    ("bomb.zip", zipped(), "compressed file"),
    ("log.csv.gz", gzip.compress(PLAIN), "compressed file"),
    ("sheet.xlsx", zipped(), "a workbook or a document"),
    ("paper.pdf", b"%PDF-1.7 " + b"x" * 100, "compressed file"),
    ("photo.csv", bytes(range(256)) * 400, "not a log in plain text"),
    ("zeros.csv", bytes(100_000), "not a log in plain text"),
    ("page.csv", b"<!doctype html><title>x</title>", "No line here has a date"),
    ("short.csv", record_cases.plain(days=3), "Hours with readings in the fullest week is 72 h"),
    ("log.epw", PLAIN, "Line 1: This is no weather file"),
    ("broken.epw", BROKEN_EPW, "Line 753: Month 2, day 1, hour 1 is expected here."),
    ("half.epw", EPW[: EPW.index(b"1999,7,1,1,")], "rows; a year has 8,760 hours"),
    ("large.epw", EPW.ljust(21_000_000), "larger than 20 MB"),
]


@pytest.mark.parametrize(("name", "content", "said"), BAD_FILES, ids=[name for name, *_ in BAD_FILES])
def test_a_file_that_cannot_be_used_is_refused_in_words_at_its_field(
    client: Any, app: FastAPI, name: str, content: bytes, said: str
) -> None:
    _, response = sent(client, content, name)
    assert response.status_code == 422
    [words] = re.findall(r'id="file-error"><span class="visually-hidden">Error: </span>(.*?)</p>', shown(response))
    assert said in words
    assert 'aria-invalid="true"' in response.text
    assert app.state.store.climates() == []


@pytest.mark.parametrize(
    ("sending", "said"),
    [
        ({"files": {"file": ("", b"")}}, "Choose a file first."),
        ({"data": {"file": "text"}}, "Choose a file first."),
        ({"data": {}}, "Choose a file first."),
        ({"files": {"other": ("a.csv", PLAIN)}}, "Choose a file first."),
        ({"files": {"file": ("empty.csv", b"")}}, "“empty.csv” is empty."),
    ],
    ids=["none", "text", "nothing", "other", "empty"],
)
def test_a_form_without_a_file_is_refused_at_the_field(client: Any, app: FastAPI, sending: Any, said: str) -> None:
    response = client.post("/climate/file", **sending)
    assert response.status_code == 422
    [words] = re.findall(r'id="file-error"><span class="visually-hidden">Error: </span>(.*?)</p>', shown(response))
    assert words == said
    assert files(app) == []


def test_an_old_file_of_many_megabytes_that_is_no_log_is_refused_in_words(client: Any) -> None:
    response = sent(client, os.urandom(50_000_000), "film.csv")[1]
    assert response.status_code == 422
    assert "not a log in plain text" in response.text


@pytest.fixture
def small(tmp_path: Path, portal: Any, client: Any) -> Iterator[Any]:
    """A client of an app that takes small files."""
    app = create_app(Settings(data=tmp_path / "small", database_url="", body_limit=2000, upload_limit=100_000))
    small = type(client)(app, portal)
    yield small
    small.close()
    app.state.store.close()


def test_a_file_that_is_too_large_is_refused_at_the_field(small: Any) -> None:
    response = send(small, b"x" * 200_000)
    assert response.status_code == 422
    assert "larger than 100 kB" in re.findall(r'id="file-error">(.*?)</p>', response.text)[0]
    assert files(small.app) == []


def test_only_files_may_be_larger_than_other_bodies(small: Any) -> None:
    assert sent(small, PLAIN)[1].status_code == 200
    assert len(PLAIN) > 2000
    for address in ("/climate", "/climate/file/x", "/pieces"):
        assert small.post(address, data={"name": "x" * 3000}).status_code == 413
    assert small.post("/pieces/import", files={"file": ("a.json", PLAIN)}).status_code == 413
    assert small.post("/api/v1/climate", json={"kind": "x" * 3000}).status_code == 413


def test_a_full_disk_is_told(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(uploads.shutil, "copyfileobj", full)
    response = send(client, PLAIN)
    assert response.status_code == 422
    assert "the disk is full or cannot be written" in response.text
    assert files(client.app) == []


# keeping


def test_a_climate_is_kept_under_a_name_and_the_file_is_let_go(client: Any, app: FastAPI) -> None:
    address, page = sent(client, PLAIN, extremes="all")
    assert 'id="name" name="name" value="workshop 2024"' in page.text
    assert len(files(app)) == 1
    response = client.post(urlsplit(address).path, data=hidden(page.text, "keep") | {"name": "Workshop,  upstairs"})
    assert response.status_code == 303
    [kept] = app.state.store.climates()
    assert response.headers["location"] == f"/climate?saved={kept.id}"
    assert kept.name == "Workshop, upstairs"
    found = recorded.read("log", io.BytesIO(PLAIN), Options())
    assert read_climate(kept.document) == recorded.year(found, None, (0.0, 100.0))
    assert files(app) == []
    opened = client.get(response.headers["location"])
    assert figures(opened) == figures(page)
    assert "720 of 720 rows are used" in opened.text


def test_a_year_of_a_room_is_kept(client: Any, app: FastAPI) -> None:
    address, page = sent(client, EPW, "harbour.epw", heating="22")
    client.post(urlsplit(address).path, data=hidden(page.text, "keep") | {"name": "Harbour"})
    [kept] = app.state.store.climates()
    found = recorded.read("epw", io.BytesIO(EPW), Options())
    assert read_climate(kept.document) == recorded.year(found, Room(heating=22.0))
    opened = client.get(f"/climate?saved={kept.id}").text
    assert (
        "A room heated to 22 °C (71.6 °F), cooled to at most 25 °C (77 °F), 2 g/m³ more water than outdoors, "
        "dried to at most 60 %." in opened
    )


@pytest.mark.parametrize(("name", "said"), [("", "Fill this in"), ("x" * 81, "80"), ("Hall", "already")])
def test_a_bad_name_is_refused_and_nothing_is_lost(client: Any, app: FastAPI, name: str, said: str) -> None:
    app.state.store.save_climate("Hall", '{"kind": "moisture", "dry_pct": 6, "wet_pct": 9}')
    address, page = sent(client, PLAIN, extremes="all")
    response = client.post(urlsplit(address).path, data=hidden(page.text, "keep") | {"name": name})
    assert response.status_code == 422
    assert said in re.findall(r'id="name-error">(.*?)</p>', response.text)[0]
    assert f'id="name" name="name" value="{name}"' in response.text
    assert '<option value="all" selected>' in response.text
    assert figures(response) == figures(page)
    assert len(files(app)) == 1
    assert len(app.state.store.climates()) == 1


def test_what_was_shown_is_kept_even_where_the_file_is_gone(client: Any, app: FastAPI) -> None:
    address, page = sent(client, PLAIN)
    app.state.uploads.discard(urlsplit(address).path.rpartition("/")[2])
    posted = hidden(page.text, "keep")
    assert client.post(urlsplit(address).path, data=posted | {"name": ""}).status_code == 422
    assert client.post(urlsplit(address).path, data=posted | {"name": "Workshop"}).status_code == 303
    [kept] = app.state.store.climates()
    assert read_climate(kept.document) == recorded.year(recorded.read("log", io.BytesIO(PLAIN), Options()))


def test_a_file_name_is_shown_harmlessly_and_cut(client: Any) -> None:
    _, page = sent(client, PLAIN, "<b>" + "long " * 40 + ".csv")
    assert "<b>" not in page.text
    [name] = re.findall(r'id="name" name="name" value="([^"]*)"', page.text)
    assert html.unescape(name).startswith("<b>long long")
    assert len(html.unescape(name)) <= 80


# while it is read


def test_progress_is_shown_while_a_file_is_read(
    client: Any, monkeypatch: pytest.MonkeyPatch, fragment: dict[str, str]
) -> None:
    """Without a script the browser asks again by itself; with one, the part of the page does."""
    go = threading.Event()

    def slow(kind: Any, stream: Any, options: Any, progress: Any) -> Any:
        progress(0.42)
        go.wait(30)
        return hygrometer.read(stream, options, progress)

    monkeypatch.setattr(uploads.recorded, "read", slow)
    address = send(client, PLAIN).headers["location"]
    page = client.get(address)
    assert page.status_code == 200
    assert '<progress max="1" value="0.42"' in page.text
    assert '<noscript><meta http-equiv="refresh" content="1"></noscript>' in page.text
    assert re.search(r'hx-get="/climate/file/[^"]*" hx-trigger="every 1s"', page.text)
    part = client.get(address, headers=fragment)
    assert "42 % is read." in part.text
    assert 'id="status"' not in part.text
    go.set()
    done = look(client, address)
    assert "720 of 720 rows are used" in done.text
    assert "http-equiv" not in done.text


def test_a_file_is_read_once_for_all_that_does_not_change_its_reading(
    client: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    reads: list[Options] = []
    real = recorded.read

    def counted(kind: Any, stream: Any, options: Options, progress: Any) -> Any:
        reads.append(options)
        return real(kind, stream, options, progress)

    monkeypatch.setattr(uploads.recorded, "read", counted)
    address, _ = sent(client, PLAIN)
    for query in ("extremes=all", "extremes=own&dry_percentile=5", "dates=day", "extremes=all&dates=day"):
        look(client, f"{urlsplit(address).path}?{query}")
    assert reads == [Options(), Options(day_first=True)]


def test_the_fragment_is_a_part_of_the_page(client: Any, fragment: dict[str, str]) -> None:
    address, page = sent(client, PLAIN)
    part = look(client, address, headers=fragment).text
    assert "<html" not in part
    assert part.startswith("<title>")
    body = part[part.index('<div class="stack" id="sheet">') : part.index('<div id="status"')]
    assert body.strip() in page.text
    assert 'hx-swap-oob="innerHTML"><p>The file is read. Dry ' in part


# where it lies


@pytest.mark.parametrize("token", ["x", "A" * 32, "..%2fseasonal-panel-fit", "%2e%2e", "*"])
def test_a_file_that_is_not_here_is_asked_for_again(client: Any, token: str) -> None:
    response = client.get(f"/climate/file/{token}")
    assert response.status_code == 404
    if "%2f" not in token and "%2e" not in token:
        assert "files that are not kept stay for a day" in response.text
        assert '<input type="file"' in response.text


def test_a_file_lies_where_only_this_program_may_read_it(client: Any, app: FastAPI) -> None:
    address, _ = sent(client, PLAIN)
    [path] = files(app)
    assert path.read_bytes() == PLAIN
    assert path.stat().st_mode & 0o077 == 0
    assert path.parent.stat().st_mode & 0o077 == 0
    assert urlsplit(address).path == f"/climate/file/{path.stem}"
    assert len(path.stem) == 32


def test_files_go_after_a_day_and_when_there_are_too_many(tmp_path: Path) -> None:
    folder = tmp_path / "uploads"
    here = Uploads(folder)
    assert not folder.exists()
    taken = [here.keep(io.BytesIO(b"%d" % at), "a.csv") for at in range(uploads.MOST_FILES + 2)]
    assert len(list(folder.iterdir())) == uploads.MOST_FILES
    old = time.time() - uploads.LIFE - 60
    os.utime(here.find(taken[-1].token).path, (old, old))
    again = Uploads(folder)
    with pytest.raises(MissingError):
        again.find(taken[-1].token)
    assert len(list(folder.iterdir())) == uploads.MOST_FILES - 1
    for one in taken:
        again.discard(one.token)
    assert list(folder.iterdir()) == []


def test_a_file_that_goes_while_it_waits_to_be_read_is_missing(tmp_path: Path) -> None:
    here = Uploads(tmp_path)
    upload = here.keep(io.BytesIO(PLAIN), "a.csv")
    here.discard(upload.token)
    with pytest.raises(MissingError):
        here.reading(upload, Options()).found(30)
    here.close()


def test_the_readings_that_were_not_looked_at_for_the_longest_are_forgotten(tmp_path: Path) -> None:
    here = Uploads(tmp_path)
    upload = here.keep(io.BytesIO(PLAIN), "a.csv")
    options = [Options(humidity="3", clock=name) for name in (None, "", " ", "  ", "   ")]
    first = here.reading(upload, options[0])
    assert here.reading(upload, options[0]) is first
    for one in options[1:]:
        here.reading(upload, one)
    assert here.reading(upload, options[0]) is not first
    here.close()
