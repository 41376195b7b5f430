"""What tests read from a page's HTML: its words, its sections, its form as a browser would send it."""

import html
import re
from html.parser import HTMLParser


def plain(text: str) -> str:
    """A page's words, without its tags."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", text)).split())


def section(text: str, id: str) -> str:
    """The words of the section with this heading."""
    return plain(text.partition(f'aria-labelledby="{id}"')[2].partition("</section>")[0].partition(">")[2])


def refusal(text: str, name: str) -> str:
    """What is said at a field; empty where nothing is."""
    return plain(text.partition(f'id="{name}-error"')[2].partition(">")[2].partition("</p>")[0])


def error(text: str, name: str) -> str:
    """What is said at a field; fails where nothing is."""
    found = re.search(rf'id="{name}-error">(.*?)</p>', text, re.DOTALL)
    assert found, name
    return plain(found[1])


def figure(text: str, name: str) -> str:
    """What a figure of the answer shows."""
    found = re.search(rf"<dt>{name}</dt>(.*?)</div>", text, re.DOTALL)
    assert found, name
    return plain(found[1])


class Sent(HTMLParser):
    """What a browser sends with the only GET form of a page, and every id on the page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.fields: dict[str, str] = {}
        self.ids: list[str] = []
        self._select = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        have = {name: value or "" for name, value in attrs}
        self.ids += [have["id"]] if "id" in have else []
        if tag == "input" and "name" in have and (have.get("type") not in ("radio", "checkbox") or "checked" in have):
            self.fields[have["name"]] = have.get("value", "")
        if tag == "textarea":
            self._area = have["name"]
            self.fields[self._area] = ""
        if tag == "select":
            self._select = have["name"]
        if tag == "option" and self._select and ("selected" in have or self._select not in self.fields):
            self.fields[self._select] = have["value"]

    _area = ""

    def handle_data(self, data: str) -> None:
        if self._area:
            self.fields[self._area] += data.removeprefix("\n")

    def handle_endtag(self, tag: str) -> None:
        self._select = "" if tag == "select" else self._select
        self._area = "" if tag == "textarea" else self._area
