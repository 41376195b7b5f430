"""The species page: searched by any part of a name, every published value shown, and the maker's own species."""

import html
import re
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from fastapi import FastAPI

from movement import species
from movement.parts.base import OwnSpecies
from tests.webapp.reading import Sent
from webapp.documents import ChangedError, MissingError
from webapp.library import matching_species, own_named
from webapp.pages.species import OWN, typed
from webapp.store import Store, TakenError

APPLE = {"name": "Apple, from the garden", "coefficient_tangential": "0.00376", "coefficient_radial": "0.00205"}


@pytest.fixture
def store(app: FastAPI) -> Store:
    found: Store = app.state.store
    return found


def rows(text: str) -> list[list[str]]:
    """The table's cells, as plain text."""
    body = text[text.index("<tbody>") : text.index("</tbody>")]
    lines = re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", line, re.DOTALL) for line in lines]
    return [[html.unescape(re.sub(r"<[^>]+>", " ", cell)).strip() for cell in line] for line in cells]


def facts(text: str) -> list[tuple[str, str]]:
    return re.findall(r"<div><dt>([^<]*)</dt><dd>([^<]*)</dd></div>", html.unescape(text))


def fields(text: str, form: str) -> dict[str, str]:
    """The fields of the form with this class or id, as a browser would send them."""
    [inside] = re.findall(rf'<form [^>]*(?:id|class)="{form}".*?</form>', text, re.DOTALL)
    found = re.findall(r'<input [^>]*name="([^"]*)" value="([^"]*)"', inside)
    return {name: html.unescape(value) for name, value in found}


def test_the_bare_page_lists_every_wood(client: Any) -> None:
    response = client.get("/species")
    assert response.status_code == 200
    assert [line[0] for line in rows(response.text)] == [wood.name for wood in species.catalogue()]


def test_the_published_movement_of_cherry_is_shown_readably(client: Any) -> None:
    """Wood Handbook FPL-GTR-190, Table 13-5, black cherry: C_R 0.00126, C_T 0.00248.

    By its eq. 13-2, 300 mm x 0.00248 x 4 = 2.98 mm.
    """
    [line] = rows(client.get("/species?search=prunus+serotina").text)
    assert line[:4] == ["Cherry, black", "0.248 %", "0.126 %", "3.0 mm"]
    assert line[4].split() == ["Prunus", "serotina", "hardwood"]


def test_in_inches_a_foot_is_the_measure(client: Any) -> None:
    """12 in x 0.00248 x 4 = 0.119 in, which is 7.6/64, to 1/64 in: 1/8."""
    text = client.get("/species?search=prunus+serotina&unit=in").text
    assert "12 in flat-sawn grows" in text
    assert rows(text)[0][3] == '1/8"'


@pytest.mark.parametrize(
    ("search", "name"),
    [
        ("black cherry", "Cherry, black"),
        ("CHER bl", "Cherry, black"),
        ("serotina", "Cherry, black"),
        ("Lärche", "Larch, European"),
        ("larche", "Larch, European"),
        ("quercus rub", "Oak, red: northern red"),
    ],
)
def test_any_part_of_a_name_finds_it(client: Any, search: str, name: str) -> None:
    text = client.get("/species", params={"search": search}).text
    assert name in [line[0] for line in rows(text)]
    assert f'name="search" value="{search}"' in text


def test_nothing_found_is_said(client: Any) -> None:
    response = client.get("/species", params={"search": "<plastic>"})
    assert response.status_code == 200
    assert "None has “&lt;plastic&gt;” in its names." in response.text


def test_the_fragment_is_a_part_of_the_page(client: Any, fragment: dict[str, str]) -> None:
    for address in ("/species?search=oak", "/species/Iroko"):
        page, part = client.get(address).text, client.get(address, headers=fragment).text
        assert "<html" not in part
        assert part[part.index('<div class="stack" id="woods">') : part.index('<div id="status"')].strip() in page
    assert "Iroko is shown." in part


def test_the_fragment_counts_for_a_screen_reader(client: Any, fragment: dict[str, str]) -> None:
    assert ">One wood found.</p>" in client.get("/species?search=serotina+black", headers=fragment).text
    found = len(species.search("oak"))
    assert f">{found} woods found.</p>" in client.get("/species?search=oak", headers=fragment).text


def test_every_wood_has_a_page_at_its_name(client: Any) -> None:
    for wood in species.catalogue():
        response = client.get(f"/species/{quote(wood.name, safe='')}")
        assert response.status_code == 200
        assert f'<h2 id="wood-title">{wood.name}</h2>' in html.unescape(response.text)


def test_another_name_leads_to_the_wood_too(client: Any) -> None:
    assert '<h2 id="wood-title">Cherry, black</h2>' in client.get("/species/black%20cherry").text


def test_a_list_leads_to_pages_that_exist(client: Any) -> None:
    links = re.findall(r'<th scope="row"><a href="([^"]+)">', client.get("/species?search=oak").text)
    assert len(links) == len(species.search("oak"))
    assert all(client.get(html.unescape(link)).status_code == 200 for link in links)


def test_both_values_are_shown_where_they_disagree_and_the_larger_is_used(client: Any) -> None:
    """Iroko: C of FPL-GTR-190 Table 13-5 (from memory); S of the tropical-timber fact sheet: 2.8 and 3.8 % (seen)."""
    text = client.get("/species/Iroko").text
    shown = facts(text)
    assert ("Tangential, per 1 % MC", "0.205 % (used)") in shown
    assert ("Radial, per 1 % MC", "0.153 % (used)") in shown
    assert ("Tangential, per 1 % MC", "0.130 %") in shown
    assert ("Radial, per 1 % MC", "0.095 %") in shown
    assert "Printed as 3.8 % tangential, 2.8 % radial, green to oven-dry." in text
    assert "(quoted from memory)." in text
    assert "(read in the publication)." in text
    assert "Its published values disagree" in text
    assert "extractives" in text


def test_both_sets_of_the_european_table_are_shown(client: Any) -> None:
    """European oak: set A has 0.16 radial and 0.36 tangential, set B 0.20 and 0.35; the larger of each is used."""
    text = client.get("/species/Oak%2C%20European").text
    assert "Printed as 0.36 % tangential, 0.16 % radial, per 1 % MC." in text
    assert "Printed as 0.35 % tangential, 0.20 % radial, per 1 % MC." in text
    used = [value for _, value in facts(text) if value.endswith("(used)")]
    assert used == ["0.360 % (used)", "0.200 % (used)"]


def test_a_wood_without_a_radial_value_says_so(client: Any) -> None:
    lacking = [wood for wood in species.catalogue() if all(entry.radial is None for entry in wood.published)]
    assert lacking
    for wood in lacking:
        text = client.get(f"/species/{quote(wood.name, safe='')}").text
        assert ("Radial, per 1 % MC", "–") in facts(text)
        assert "No radial value is published here" in text


def test_a_wood_leads_to_a_panel_of_it(client: Any) -> None:
    text = html.unescape(client.get("/species/Iroko").text)
    assert 'href="/?species=Iroko"' in text
    assert 'value="Iroko"' in client.get("/?species=Iroko").text


def test_an_unknown_name_is_missing_with_suggestions(client: Any) -> None:
    response = client.get("/species/chery%20black")
    assert response.status_code == 404
    assert "did you mean “Cherry, black”" in html.unescape(response.text)
    assert "Cherry, black" in [line[0] for line in rows(response.text)]


def test_own_coefficients_are_kept_without_a_script(client: Any, store: Store) -> None:
    response = client.post("/species", data=APPLE | {"name": "  Apple,  from the garden "})
    assert response.status_code == 303
    assert response.headers["location"] == "/species/Apple%2C%20from%20the%20garden"
    own = own_named(store, "apple, from the garden")
    assert own == OwnSpecies(name="Apple, from the garden", coefficient_radial=0.00205, coefficient_tangential=0.00376)
    text = client.get(response.headers["location"]).text
    assert "0.376 %" in text
    assert "not checked against a publication" in text
    assert rows(client.get("/species").text)[0][0] == "Apple, from the garden"


def test_own_shrinkages_are_kept(client: Any, store: Store) -> None:
    """Black cherry, Wood Handbook FPL-GTR-190 Table 4-3: S_R 3.7 %, S_T 7.1 %; Table 13-5: C 0.00126, 0.00248."""
    data = {"name": "My cherry", "shrinkage_tangential": "7,1", "shrinkage_radial": "3.7", "start_of_shrinkage": ""}
    assert client.post("/species", data=data).status_code == 303
    own = own_named(store, "My cherry")
    assert own is not None
    assert own.species().coefficient_tangential == pytest.approx(0.00248, abs=5e-6)
    assert own.species().coefficient_radial == pytest.approx(0.00126, abs=5e-6)
    text = client.get("/species/My%20cherry").text
    assert "Entered as 7.1 % tangential, 3.7 % radial, green to oven-dry." in text


def test_an_own_species_can_be_searched_and_sized(client: Any) -> None:
    client.post("/species", data=APPLE | {"botanical_name": "Malus domestica"})
    assert rows(client.get("/species?search=malus+dom").text)[0][0] == APPLE["name"]
    text = client.get("/", params={"species": APPLE["name"]}).text
    assert "0.38 % of the width per 1 % moisture" in text


def test_an_own_species_of_a_table_name_goes_first_and_says_so(client: Any) -> None:
    client.post("/species", data=APPLE | {"name": "black cherry"})
    text = client.get("/species/Black%20CHERRY").text
    assert "<strong>Yours goes first.</strong>" in text
    assert '<h2 id="wood-title">black cherry</h2>' in text
    assert '<h2 id="twin-title">Cherry, black, in the tables</h2>' in text
    assert "Not used while a wood of your own has this name." in text
    used = [value for _, value in facts(text) if value.endswith("(used)")]
    assert used == ["0.376 % (used)", "0.205 % (used)"]
    assert '<h2 id="wood-title">Cherry, black</h2>' in client.get("/species/Cherry%2C%20black").text


def test_swapped_directions_are_pointed_out(client: Any) -> None:
    client.post("/species", data={"name": "Odd", "coefficient_tangential": "0.001", "coefficient_radial": "0.002"})
    assert "check that the two are not swapped" in client.get("/species/Odd").text


def test_an_own_species_is_changed_and_renamed(client: Any, store: Store) -> None:
    client.post("/species", data=APPLE)
    page = client.get("/species/Apple%2C%20from%20the%20garden?edit=true").text
    assert "Change “Apple, from the garden”" in page
    posted = fields(page, "own")
    assert posted["was"] == APPLE["name"]
    assert posted["coefficient_radial"] == "0.00205"
    response = client.post("/species", data=posted | {"name": "Apple", "coefficient_radial": "0.0021"})
    assert response.headers["location"] == "/species/Apple"
    assert [name for name, _ in store.species()] == ["Apple"]
    own = own_named(store, "Apple")
    assert own is not None
    assert own.coefficient_radial == 0.0021


def test_an_own_species_may_change_the_case_of_its_name(client: Any, store: Store) -> None:
    client.post("/species", data=APPLE | {"name": "apple"})
    assert client.post("/species", data=APPLE | {"name": "Apple", "was": "apple"}).status_code == 303
    assert [name for name, _ in store.species()] == ["Apple"]


def shown_form(client: Any) -> dict[str, str]:
    """What the form of the apple's page would send."""
    text = client.get(f"/species/{APPLE['name']}", params={"edit": "yes"}).text
    return Sent(text.partition('<form class="card stack" id="own"')[2]).fields


def test_a_change_made_from_what_others_have_changed_is_told_first(client: Any) -> None:
    client.post("/species", data=APPLE)
    mine, theirs = shown_form(client), shown_form(client)
    assert mine["was"] == APPLE["name"]
    assert client.post("/species", data=theirs | {"coefficient_radial": "0.0019"}).status_code == 303
    response = client.post("/species", data=mine | {"coefficient_radial": "0.0017"})
    assert response.status_code == 422
    assert "This wood was changed elsewhere meanwhile" in response.text
    again = Sent(response.text.partition('<form class="card stack" id="own"')[2]).fields
    assert (again["coefficient_radial"], again["was"]) == ("0.0017", APPLE["name"])
    assert shown_form(client)["coefficient_radial"] == "0.0019"
    assert client.post("/species", data=again).status_code == 303
    assert shown_form(client)["coefficient_radial"] == "0.0017"


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (ChangedError(), "This wood was changed elsewhere meanwhile"),
        (MissingError("Apple"), "This wood was renamed or deleted elsewhere meanwhile"),
        (TakenError("Apple"), "You have a species of this name already"),
    ],
)
def test_what_others_do_while_it_is_kept_is_told(
    client: Any, monkeypatch: pytest.MonkeyPatch, error: Exception, told: str
) -> None:
    def beaten(*_: object) -> None:
        raise error

    monkeypatch.setattr(Store, "save_species", beaten)
    response = client.post("/species", data=APPLE)
    assert response.status_code == 422
    assert told in response.text
    assert Sent(response.text.partition('<form class="card stack" id="own"')[2]).fields["name"] == APPLE["name"]


def test_a_wood_that_others_have_renamed_does_not_come_back_unasked(client: Any) -> None:
    client.post("/species", data=APPLE)
    mine = shown_form(client)
    client.post("/species", data=shown_form(client) | {"name": "Crab apple"})
    response = client.post("/species", data=mine | {"coefficient_radial": "0.0017"})
    assert response.status_code == 422
    assert "This wood was renamed or deleted elsewhere" in response.text
    again = Sent(response.text.partition('<form class="card stack" id="own"')[2]).fields
    assert "was" not in again
    assert client.post("/species", data=again).status_code == 303


@pytest.mark.parametrize("name", [".", "..", "–", "%"])
def test_a_name_without_a_letter_or_a_digit_has_no_address_and_is_refused(client: Any, name: str) -> None:
    response = client.post("/species", data=APPLE | {"name": name})
    assert response.status_code == 422
    assert "with a letter or a digit in it" in response.text


def test_a_species_deleted_while_it_was_changed_is_kept_as_a_new_one(client: Any, store: Store) -> None:
    assert client.post("/species", data=APPLE | {"was": "Pear"}).status_code == 303
    assert [name for name, _ in store.species()] == [APPLE["name"]]


def test_a_deleted_species_can_be_brought_back(client: Any, store: Store) -> None:
    data = {"name": 'Plum "blue" 100%', "shrinkage_tangential": "9.13", "shrinkage_radial": "4.05"}
    client.post("/species", data=data | {"start_of_shrinkage": "28.5", "botanical_name": "Prunus domestica"})
    before = store.species()
    gone = client.post("/species/delete", data={"name": data["name"]})
    assert gone.status_code == 303
    assert store.species() == []
    page = client.get(gone.headers["location"]).text
    assert "was deleted." in page
    assert client.post("/species", data=fields(page, "undo")).status_code == 303
    assert store.species() == before


@pytest.mark.parametrize("gone", ["", "{", "[]", '{"name": "x"}', '{"name": "x", "coefficient_radial": 7}'])
def test_an_offer_to_bring_back_what_cannot_be_read_is_not_made(client: Any, gone: str) -> None:
    response = client.get(f"/species?{urlencode({'gone': gone})}")
    assert response.status_code == 200
    assert 'class="undo"' not in response.text


def test_deleting_what_is_not_there_is_missing(client: Any) -> None:
    assert client.post("/species/delete", data={"name": "Cherry, black"}).status_code == 404
    assert client.post("/species/delete").status_code == 404


C, S = ("coefficient_tangential", "coefficient_radial"), ("shrinkage_tangential", "shrinkage_radial")
BAD = [
    ({"name": ""}, "name", "Fill this in"),
    ({"name": "   "}, "name", "Fill this in"),
    ({"name": "x" * 81}, "name", "80"),
    ({"botanical_name": "x" * 81}, "botanical_name", "80"),
    ({C[0]: "0.248"}, C[0], "0.01"),
    ({C[1]: "-0.001"}, C[1], "0.01"),
    ({C[1]: "lots"}, C[1], "is not a number"),
    ({C[1]: ""}, C[1], "both directions"),
    ({C[0]: "", C[1]: ""}, C[0], "two coefficients, or the two shrinkages"),
    ({S[0]: "7.1", S[1]: "3.7"}, S[0], "not both"),
    ({C[0]: "", C[1]: "", S[0]: "7.1"}, S[1], "both directions"),
    ({C[0]: "", C[1]: "", S[0]: "71", S[1]: "3.7"}, S[0], "15 %"),
    ({C[0]: "", C[1]: "", S[0]: "7.1", S[1]: "0"}, S[1], "15 %"),
    ({"start_of_shrinkage": "12"}, "start_of_shrinkage", "40 %"),
    ({"start_of_shrinkage": "?"}, "start_of_shrinkage", "is not a number"),
]


@pytest.mark.parametrize(("change", "field", "message"), BAD, ids=lambda value: str(value)[:30])
def test_bad_input_is_refused_at_its_field(
    client: Any, store: Store, change: dict[str, str], field: str, message: str
) -> None:
    data = APPLE | {"start_of_shrinkage": "29"} | change
    response = client.post("/species", data=data)
    text = html.unescape(response.text)
    assert response.status_code == 422
    assert store.species() == []
    [words] = re.findall(rf'id="{field}-error"><span class="visually-hidden">Error: </span>(.*?)</p>', text)
    assert message in words
    for name, value in data.items():
        assert f'name="{name}" value="{value}"' in text


def test_a_name_of_ones_own_that_is_taken_is_refused(client: Any, store: Store) -> None:
    client.post("/species", data=APPLE | {"name": "Pear"})
    client.post("/species", data=APPLE)
    before = store.species()
    for data in (APPLE | {"name": "pear"}, APPLE | {"name": "Pear", "was": APPLE["name"]}):
        response = client.post("/species", data=data)
        assert response.status_code == 422
        assert "You have a species of this name already" in response.text
    assert store.species() == before


def test_the_unit_switch_of_a_refused_save_keeps_what_was_typed(client: Any) -> None:
    client.post("/species", data=APPLE)
    response = client.post("/species", data=APPLE | {"coefficient_radial": "x", "was": APPLE["name"]})
    [address] = re.findall(r'<a href="(/species\?[^"]*unit=in)"', response.text)
    text = client.get(html.unescape(address)).text
    assert 'name="coefficient_radial" value="x"' in text
    assert f'name="was" value="{APPLE["name"]}"' in text


def test_what_is_typed_for_an_own_species_names_every_field() -> None:
    own = OwnSpecies(name="Apple", shrinkage_radial_pct=5.9, shrinkage_tangential_pct=10.5, start_of_shrinkage_pct=28.0)
    assert typed(own) == {
        "name": "Apple",
        "botanical_name": "",
        "coefficient_tangential": "",
        "coefficient_radial": "",
        "shrinkage_tangential": "10.5",
        "shrinkage_radial": "5.9",
        "start_of_shrinkage": "28",
    }
    assert list(typed(own)) == [spec.name for spec in OWN]


def test_own_species_are_matched_before_the_tables(store: Store) -> None:
    own = OwnSpecies(name="Oak, bog", coefficient_radial=0.002, coefficient_tangential=0.004)
    store.save_species(own.name, own.model_dump_json())
    assert [wood.name for wood in matching_species(store, "oak")] == [
        "Oak, bog",
        *(w.name for w in species.search("oak")),
    ]
    assert matching_species(store, "bog")[0].name == "Oak, bog"
    assert len(matching_species(store, "")) == 1 + len(species.catalogue())


@pytest.mark.parametrize("typed", ["0.0033", "0,33 %", "0.33%", " .33 % "])
def test_a_coefficient_is_typed_as_a_share_or_in_hundredths(client: Any, store: Store, typed: str) -> None:
    sent = {"name": "Damson", "coefficient_tangential": typed, "coefficient_radial": "0.0015"}
    assert client.post("/species", data=sent).status_code == 303
    own = own_named(store, "Damson")
    assert own is not None
    assert own.coefficient_tangential == pytest.approx(0.0033)


def test_a_coefficient_out_of_range_is_refused_as_it_was_typed(client: Any) -> None:
    own = {"name": "Damson", "coefficient_tangential": "3.3 %", "coefficient_radial": "0.0015"}
    refused = client.post("/species", data=own)
    assert refused.status_code == 422
    assert 'value="3.3 %"' in refused.text
    assert "Allowed is 0 to 0.01 per 1 % MC." in refused.text
