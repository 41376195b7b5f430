"""A page that nothing was typed on says that its answer is an example."""

from typing import Any

import pytest

PAGES = ("/", "/parts/front", "/check", "/check/room", "/stock", "/board")


@pytest.mark.parametrize("page", PAGES)
def test_an_answer_to_nothing_typed_is_called_an_example(client: Any, page: str) -> None:
    assert client.get(page).text.count("<strong>An example.</strong>") == 1
    assert "An example." in client.get(page, params={"unit": "in"}).text
    assert "An example." not in client.get(page, params={"moisture_wet": "12"}).text
