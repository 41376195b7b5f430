"""A number and its unit stay on one line, wherever on a page they stand; what is typed is never touched."""

from typing import Any

import pytest

from webapp.typeset import NO_BREAK, bound


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("8.0 % of", "8.0~% of"),
        ("300 mm wide", "300~mm wide"),
        ("at −20 °C.", "at −20~°C."),
        ("68 °F", "68~°F"),
        ("2 g/m³", "2~g/m³"),
        ("45 % RH", "45~%~RH"),
        ("8 % MC", "8~%~MC"),
        ("12 11/32&#34;", "12~11/32&#34;"),
        ("1/64 in", "1/64~in"),
        ("&lt; 1/64&#34;", "&lt;~1/64&#34;"),
        ("5 boards", "5 boards"),
        ("3 months", "3 months"),
        ("2 mmm", "2 mmm"),
    ],
)
def test_what_belongs_together_is_bound(text: str, shown: str) -> None:
    assert bound(f"<p>{text}</p>").replace(NO_BREAK, "~") == f"<p>{shown}</p>"


@pytest.mark.parametrize(
    "page",
    [
        '<input value="8 % 300 mm">',
        '<option value="8 %">none</option>',
        "<textarea>300 mm, 8 %</textarea>",
        "<script>8 % 3</script>",
    ],
)
def test_what_is_typed_stays_as_it_is(page: str) -> None:
    assert bound(page) == page


@pytest.mark.parametrize("address", ["/?unit=mm", "/?unit=in", "/parts/boards?unit=in", "/check?unit=mm", "/help"])
def test_pages_and_their_parts_are_bound(still: Any, fragment: dict[str, str], address: str) -> None:
    for headers in ({}, fragment):
        response = still.get(address, headers=headers)
        sent = response.content.decode()
        assert NO_BREAK in sent
        assert bound(sent) == sent
        assert int(response.headers["content-length"]) == len(response.content)
