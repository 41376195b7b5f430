"""How a page asks whether a panel follows the air at once or late, and what it then says and draws."""

import html
import re
from typing import Any

import pytest

from movement import finish, lag
from movement.lag import Section
from movement.parts.climates import MoistureClimate
from tests.webapp.reading import plain
from webapp import following
from webapp.forms import Form, bind

HOME = MoistureClimate(dry_pct=6.0, wet_pct=11.0)
LATE = {"following": "lagged", "thickness": "20", "finish": "Two-part epoxy, 2 coats"}


def asked(**typed: str) -> Form:
    form = bind(following.specs("mm"), typed, "mm")
    following.settle(form)
    return form


# The fields


def test_at_once_is_the_default_and_the_cautious_way(still: Any) -> None:
    text = still.get("/").text
    assert re.search(r'name="following" value="equilibrium" checked', text)
    assert "At once is the cautious way." in text
    assert asked().ok


def test_thickness_and_finish_are_shown_only_where_they_count(still: Any) -> None:
    for typed, kind in (({}, 'type="hidden"'), (LATE, 'id="thickness"')):
        assert re.search(rf'<input [^>]*{kind}[^>]*name="thickness"', still.get("/", params=typed).text)


def test_what_was_typed_is_kept_while_hidden(still: Any) -> None:
    text = still.get("/", params=LATE | {"following": "equilibrium", "thickness": "1 1/8 in"}).text
    assert '<input type="hidden" name="thickness" value="1 1/8 in">' in text
    assert '<input type="hidden" name="finish" value="Two-part epoxy, 2 coats">' in text


def test_every_finish_can_be_chosen(still: Any) -> None:
    text = html.unescape(still.get("/", params=LATE).text)
    for one in finish.finishes():
        assert f'<option value="{one.name}"' in text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"thickness": ""}, "Fill this in: a part that follows the air late needs its thickness."),
        ({"thickness": "thick"}, "Allowed is 0.5 to 300 mm."),
        ({"thickness": "0.1"}, "Allowed is 0.5 to 300 mm."),
        ({"thickness": "301"}, "Allowed is 0.5 to 300 mm."),
        ({"finish": "Whitewash"}, "Choose one of Uncoated, "),
        ({"following": "halfway"}, "Choose one of At once: the full swing, Late and damped."),
    ],
)
def test_each_refusal_stands_at_its_field(still: Any, typed: dict[str, str], said: str) -> None:
    answer = still.get("/", params=LATE | typed)
    assert answer.status_code == 422
    [name] = typed
    error = re.search(rf'id="{name}-error">(.*?)</p>', answer.text, re.DOTALL)
    assert error
    assert said in plain(error[1])
    assert "No answer yet." in answer.text


@pytest.mark.parametrize("typed", [{"thickness": "thick"}, {"thickness": ""}, {"finish": "Whitewash"}])
def test_at_once_they_are_not_looked_at(still: Any, typed: dict[str, str]) -> None:
    answer = still.get("/", params=LATE | typed | {"following": "equilibrium"})
    assert answer.status_code == 200
    assert f'value="{next(iter(typed.values()))}"' in answer.text


def test_in_inches_the_default_is_half_an_inch() -> None:
    assert bind(following.specs("in"), {}, "in").values["thickness_mm"] == pytest.approx(12.7)
    assert bind(following.specs("mm"), {}, "mm").values["thickness_mm"] == 12


# The answer


def test_the_late_panel_s_moistures_are_the_core_s(still: Any) -> None:
    text = plain(still.get("/", params=LATE).text)
    season = lag.season(8.0, HOME.year(), Section(20.0, 8.5e-10))
    assert f"the fit counts with {season.dry:.1f} to {season.wet:.1f} % instead of the full 6.0 to 11.0 %" in text
    assert re.search(r"such a part follows \d\d to \d\d %, and \d+ to \d+ days late\.", text)
    assert re.search(rf"Driest {season.dry:.1f} % .* Wettest {season.wet:.1f} %", text)


def test_it_says_that_the_delay_is_derived_and_where_it_comes_from(still: Any) -> None:
    late, full = (plain(still.get("/", params=typed).text) for typed in (LATE, {}))
    for words in ("Derived: the delay rests on", lag.NOTE, following.NOTE_FILM, following.CAPTION):
        assert words in late
        assert words not in full
    assert "never stops it" in late


def test_the_year_s_chart_draws_air_and_part_with_dry_wet_mid_and_today(still: Any) -> None:
    late, full = (still.get("/", params=typed).text.partition('id="numbers-title"')[2] for typed in (LATE, {}))
    season = lag.season(8.0, HOME.year(), Section(20.0, 8.5e-10))
    levels = (f"dry {season.dry:.1f}", f"mid {season.mid:.1f}", f"wet {season.wet:.1f}", "today 8.0")
    for label in (*levels, "air", "part"):
        assert f">{label}</text>" in late
    for label in ("dry 6.0", "mid 8.5", "wet 11.0", "today 8.0", "air, part"):
        assert f">{label}</text>" in full
    assert late.count('<path class="band"') == 1
    assert '<path class="band"' not in full


def test_the_chart_has_its_words_and_its_table(still: Any) -> None:
    late = still.get("/", params=LATE).text.partition('id="numbers-title"')[2]
    words = re.search(r'<desc id="year-desc">(.*?)</desc>', late, re.DOTALL)
    assert words
    assert "The air leads to 6.0 to 11.0 % moisture content; the part follows late and damped" in plain(words[1])
    table = re.search(r"<thead>(.*?)</thead>\s*<tbody>(.*?)</tbody>", late, re.DOTALL)
    assert table
    assert plain(table[1]) == "Middle of Air leads to (%) Part, lowest (%) Part, middle (%) Part, highest (%)"
    assert table[2].count("<tr>") == 12
    assert "January 6.0" in plain(table[2])


def test_the_fragment_is_in_the_whole_page(still: Any, fragment: dict[str, str]) -> None:
    whole = plain(still.get("/", params=LATE).text)
    part = still.get("/", params=LATE, headers=fragment).text
    assert plain(part.partition('id="result">')[2].partition('<div id="status"')[0]) in whole
