"""The help page, and the links of every page's head."""

import re
from html import unescape

import pytest

from webapp.pages import help as help_page
from webapp.render import NAVIGATION


def test_it_works(client) -> None:
    page = client.get("/help")
    assert page.status_code == 200
    text = unescape(page.text)
    for term, meaning in help_page.TERMS:
        assert term in text
        assert meaning in text


def test_the_words_of_the_bench_are_among_the_terms() -> None:
    told = " ".join(term for term, _ in help_page.TERMS).lower()
    for word in ("muntin", "haunch", "end play", "cup", "proud", "sticker", "rift", "heart", "bark side"):
        assert word in told


def test_the_example_is_worked_and_agrees_with_its_own_page(client) -> None:
    page = client.get("/help").text
    # Wood Handbook, Table 13-5, black cherry: 0.00248; worked by hand in README.md
    for figure in ("0.248 %", "0.99502", "1.00748", "6.93 mm", "<strong>7 mm", "<strong>310.1 mm", "<strong>1.94 mm"):
        assert figure in page
    link = re.search(r'href="(/\?species=[^"]+)"', page)
    assert link is not None
    opened = client.get(link.group(1).replace("&amp;", "&"))
    assert opened.status_code == 200
    assert "7.0 mm" in opened.text or "7 mm" in opened.text


def test_it_shows_the_cautions_and_calls_nothing_safe(client) -> None:
    page = client.get("/help").text
    assert "Wood dust harms" in page
    assert "ask the local authority or a licensed professional" in page
    assert "is safe" not in page


@pytest.mark.parametrize(("label", "href"), NAVIGATION)
def test_every_page_of_the_head_opens(client, label: str, href: str) -> None:
    page = client.get(href)
    assert page.status_code == 200
    assert f'href="{href}" aria-current="page"' in page.text
    assert label in page.text


def test_fragment_is_part_of_the_page(client, fragment) -> None:
    part = client.get("/help", headers=fragment).text.strip()
    assert part in client.get("/help").text
