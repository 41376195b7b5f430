"""A piece that is shown by a link: to be read, with nothing else to be reached, until the link is ended."""

import html
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from tests.webapp.test_entry import HASH, WORDS
from webapp import otherparts
from webapp.app import create_app
from webapp.database import connected
from webapp.documents import MissingError
from webapp.settings import Settings
from webapp.shares import TOKEN_BYTES, Shares
from webapp.store import Store


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    """An app that asks for a passphrase."""
    app = create_app(Settings(data=tmp_path, database_url="", passphrase_hash=HASH))
    yield app
    app.state.store.close()


@pytest.fixture
def inside(client: Any) -> Any:
    """A client that is in."""
    assert client.post("/enter", data={"passphrase": WORDS}).status_code == 303
    return client


@pytest.fixture
def outside(app: FastAPI, portal: Any, inside: Any) -> Iterator[Any]:
    """A client of the same app that is not."""
    client = type(inside)(app, portal)
    yield client
    client.close()


@pytest.fixture
def piece(app: FastAPI) -> Any:
    """The demo."""
    return app.state.store.pieces()[0]


def make(client: Any, piece: Any, **more: Any) -> str:
    """A new link to a piece."""
    response = client.post(f"/pieces/{piece.id}/shares", **more)
    assert response.status_code == 201
    [link] = re.findall(r'value="(http://shop\.test/shared/[\w-]+)"', response.text)
    return str(link)


def test_a_link_shows_the_piece_to_who_is_not_in(inside: Any, outside: Any, piece: Any) -> None:
    response = outside.get(make(inside, piece))
    assert response.status_code == 200
    assert f"<h1>{piece.name}</h1>" in response.text
    shown = pieces.load(piece.document)
    for _, part in shown.panels():
        assert part.name in response.text
    assert response.text.count('class="elevation"') == len([frame for frame in shown.frames if frame.panels])
    assert "Caution." in response.text
    assert "These are estimates" in response.text
    assert outside.get(f"/pieces/{piece.id}").status_code == 303


def test_it_shows_the_piece_as_it_is_by_now(inside: Any, outside: Any, piece: Any) -> None:
    link = make(inside, piece)
    frame = pieces.load(piece.document).frames[0]
    inside.post(f"/pieces/{piece.id}/frames/{frame.id}/delete")
    assert frame.name not in re.findall("<h2[^>]*>(.*?)</h2>", outside.get(link).text)


def test_parts_that_stand_in_no_frame_are_shown_too(inside: Any, outside: Any, piece: Any) -> None:
    top = {"screw_mm": 4.5, "overhang_front_mm": 20.0, "overhang_back_mm": 5.0}
    tops = [
        {"id": "t1", "kind": "top", "name": "Ash top", "top_width_mm": 500.0, **top, "distances_mm": [100.0]},
        {"id": "t2", "kind": "top", "top_width_mm": 400.0, **top, "distances_mm": []},
    ]
    shown = pieces.load(json.dumps(json.loads(piece.document) | {"parts": tops, "frames": []}))
    kept = inside.app.state.store.add_piece(shown.name, pieces.dump(shown))
    page = outside.get(make(inside, kept)).text
    assert "Ash top" in page
    for line in otherparts.others(shown):
        assert line.title in page
        assert f'<td class="num key">{line.cells["cut_width"]}</td>' in page
        assert " ".join(line.today) in html.unescape(page)
    assert "no parts yet" not in page


def test_an_empty_piece_says_so(inside: Any, outside: Any) -> None:
    location = inside.post("/pieces", data={"name": "Bare"}).headers["location"]
    kept = inside.app.state.store.piece(location.rpartition("/")[2])
    assert "This piece has no parts yet." in outside.get(make(inside, kept)).text


def test_nothing_else_is_reached_from_it(inside: Any, outside: Any, piece: Any) -> None:
    page = outside.get(make(inside, piece)).text
    links = re.findall(r'(?:href|action|formaction|hx-\w+)="([^"]*)"', page)
    assert {link for link in links if not link.startswith(("/static/", "#"))} == {"?unit=mm", "?unit=in"}
    assert "<form" not in page
    for kept in inside.app.state.store.pieces():
        assert kept.id not in page
    assert page == inside.get(make(inside, piece)).text.replace("Log out", "")


def test_it_is_for_nobody_to_index_or_keep(inside: Any, outside: Any, piece: Any) -> None:
    response = outside.get(make(inside, piece))
    assert response.headers["x-robots-tag"] == "noindex, nofollow"
    assert '<meta name="robots" content="noindex, nofollow">' in response.text
    assert response.headers["referrer-policy"] == "no-referrer"
    assert response.headers["cache-control"] == "no-store"


def test_it_can_be_read_in_the_other_unit_which_changes_nothing(inside: Any, outside: Any, piece: Any) -> None:
    link = make(inside, piece)
    assert re.search(r'\d/\d+"', outside.get(f"{link}?unit=in").text.replace("&#34;", '"'))
    assert outside.get(f"{link}?unit=furlong").status_code == 200
    assert inside.app.state.store.piece(piece.id) == piece


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_nothing_can_be_changed_by_it(inside: Any, outside: Any, piece: Any, method: str) -> None:
    link = make(inside, piece)
    assert outside.request(method, link).status_code == 405
    for path in ("/delete", "/shares", "/copy", "/piece.json"):
        assert outside.post(f"{link}{path}").status_code == 404


def test_who_is_not_in_makes_no_link_and_ends_none(inside: Any, outside: Any, piece: Any) -> None:
    link = make(inside, piece)
    [share] = inside.app.state.shares.of(piece.id)
    assert outside.post(f"/pieces/{piece.id}/shares").status_code == 403
    assert outside.post(f"/pieces/{piece.id}/shares/{share.id}/end").status_code == 403
    assert inside.app.state.shares.of(piece.id) == [share]
    assert outside.get(link).status_code == 200


def test_another_site_makes_no_link(inside: Any, piece: Any) -> None:
    response = inside.post(f"/pieces/{piece.id}/shares", headers={"Sec-Fetch-Site": "cross-site"})
    assert response.status_code == 403
    assert inside.app.state.shares.of(piece.id) == []


# the list, and ending


def test_links_are_listed_and_told_once(inside: Any, piece: Any) -> None:
    link = make(inside, piece)
    make(inside, piece)
    page = inside.get(f"/pieces/{piece.id}").text
    assert "Links to share (2)" in page
    assert page.count(">End it<") == 2
    assert link not in page
    assert link.rpartition("/")[2] not in page


def test_a_link_that_only_this_computer_can_open_says_so(client: Any, inside: Any, piece: Any) -> None:
    hint = "This link works on this computer only."
    path = f"/pieces/{piece.id}/shares"
    assert hint not in inside.post(path).text
    local = client.post(path, headers={"Host": "127.0.0.1:8000"})
    assert local.status_code == 201
    assert hint in local.text
    assert hint not in client.get(f"/pieces/{piece.id}").text


def test_a_link_that_was_ended_leads_nowhere_and_the_others_stay(inside: Any, outside: Any, piece: Any) -> None:
    first = make(inside, piece)
    [share] = inside.app.state.shares.of(piece.id)
    second = make(inside, piece)
    response = inside.post(f"/pieces/{piece.id}/shares/{share.id}/end")
    assert (response.status_code, response.headers["location"]) == (303, f"/pieces/{piece.id}#share")
    gone = outside.get(first)
    assert gone.status_code == 404
    assert piece.name not in gone.text
    assert outside.get(second).status_code == 200
    assert inside.post(f"/pieces/{piece.id}/shares/{share.id}/end").status_code == 303  # twice does no harm


def test_a_link_is_made_and_ended_in_the_page(inside: Any, outside: Any, piece: Any, fragment: dict[str, str]) -> None:
    link = make(inside, piece, headers=fragment)
    [share] = inside.app.state.shares.of(piece.id)
    part = inside.post(f"/pieces/{piece.id}/shares/{share.id}/end", headers=fragment)
    assert part.status_code == 200
    assert "<html" not in part.text
    assert 'id="share" open' in part.text
    assert "The link was ended" in part.text
    assert outside.get(link).status_code == 404


def test_a_link_is_ended_through_its_own_piece_only(inside: Any, piece: Any) -> None:
    make(inside, piece)
    [share] = inside.app.state.shares.of(piece.id)
    other = inside.app.state.store.add_piece("Other", piece.document)
    inside.post(f"/pieces/{other.id}/shares/{share.id}/end")
    assert inside.app.state.shares.of(piece.id) == [share]


def test_a_deleted_piece_is_not_shown_until_it_is_brought_back(inside: Any, outside: Any, piece: Any) -> None:
    link = make(inside, piece)
    inside.post(f"/pieces/{piece.id}/delete")
    assert outside.get(link).status_code == 404
    assert inside.post(f"/pieces/{piece.id}/shares").status_code == 404
    inside.post(f"/pieces/{piece.id}/restore")
    assert outside.get(link).status_code == 200


def test_a_copy_has_no_links(inside: Any, piece: Any) -> None:
    make(inside, piece)
    copy = inside.post(f"/pieces/{piece.id}/copy").headers["location"].rpartition("/")[2]
    assert inside.app.state.shares.of(copy) == []


@pytest.mark.parametrize("token", ["x", "%00", "é", "..%2fpieces", "a" * 5000, "' OR 1=1 --"])
def test_a_link_that_nobody_made_leads_nowhere(outside: Any, token: str) -> None:
    assert outside.get(f"/shared/{token}").status_code in (404, 303)


def test_a_piece_that_is_not_there_has_no_link(inside: Any) -> None:
    assert inside.post("/pieces/nothing/shares").status_code == 404


def test_a_name_is_shown_and_not_run(inside: Any, outside: Any, piece: Any) -> None:
    shown = pieces.load(piece.document)
    frame = shown.frames[0].model_copy(update={"name": "<script>alert(1)</script>"})
    named = shown.model_copy(update={"name": "<script>alert(2)</script>", "frames": [frame]})
    kept = inside.app.state.store.add_piece("x", pieces.dump(named))
    assert "<script>alert" not in outside.get(make(inside, kept)).text


# what is kept


def test_a_token_cannot_be_guessed_and_only_its_hash_is_kept(database: str) -> None:
    store = Store(database)
    store.prepare()
    kept = store.add_piece("Dresser", "{}")
    shares = Shares(store.engine)
    assert TOKEN_BYTES * 8 >= 128
    tokens = {shares.make(kept.id) for _ in range(20)}
    assert len(tokens) == 20
    assert all(re.fullmatch(rf"[\w-]{{{TOKEN_BYTES * 4 // 3}}}", token) for token in tokens)
    engine = connected(database)
    with engine.connect() as connection:
        found = " ".join(str(tuple(row)) for row in connection.exec_driver_sql("SELECT * FROM shares"))
    engine.dispose()
    assert not any(token in found for token in tokens)
    assert {shares.piece(token) for token in tokens} == {kept.id}
    assert len(shares.of(kept.id)) == 20
    for token in ("", "x", found):
        with pytest.raises(MissingError):
            shares.piece(token)
    store.close()


def test_what_to_cut_and_to_leave_stand_first(inside: Any, outside: Any, piece: Any) -> None:
    text = outside.get(make(inside, piece)).text
    for head in re.findall(r"<thead>.*?</thead>", text, re.S):
        names = [" ".join(re.sub(r"<[^>]+>", " ", one).split()) for one in re.findall(r"<th .*?</th>", head, re.S)]
        assert [name.removesuffix(" mm") for name in names[:4]] == ["Part", "Count", "Width to cut", "Gap today"]
