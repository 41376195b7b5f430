"""The switch between millimetres and inches asks the question as it stands by now."""

import html
import re
from typing import Any

import pytest


@pytest.mark.parametrize(
    ("address", "typed", "spelled"),
    [
        ("/", {"sight_width": "411"}, "sight_width=411+mm"),
        ("/stock", {"thickness": "31"}, "thickness=31+mm"),
        ("/board", {"rings": "heart", "heart_depth": "90"}, "heart_depth=90+mm"),
        ("/climate", {"year": "air"}, "year=air"),
        ("/species", {"q": "oak"}, "q=oak"),
        ("/parts/front", {"species": "Beech, American"}, "species=Beech%2C+American"),
        ("/check/groove", {"groove_depths": "9; 11"}, "groove_depths=9+mm%3B+11+mm"),
    ],
)
def test_a_part_of_a_page_brings_the_switch_along(
    still: Any, fragment: dict[str, str], address: str, typed: dict[str, str], spelled: str
) -> None:
    part = still.get(address, params=typed, headers=fragment).text
    found = re.search(r'<nav id="units" hx-swap-oob="innerHTML">(.*?)</nav>', part, re.DOTALL)
    assert found
    links = re.findall(r'href="([^"]+)"', html.unescape(found[1]))
    [other] = [link for link in links if "unit=in" in link]
    assert other.startswith(f"{address}?")
    assert spelled in other
    assert still.get(other).status_code == 200
