"""Compiled templates are kept for the next start, and a page is written whether or not they can be."""

import sys
from pathlib import Path
from typing import Any

import jinja2
import pytest
from jinja2 import DictLoader, Environment

from webapp import compiled
from webapp.compiled import Compiled
from webapp.render import templates


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where they are kept."""
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    folder = tmp_path / Path(compiled.__file__).parent.relative_to("/")
    folder.mkdir(parents=True)
    return folder


def written(text: str) -> str:
    """What a template says in an app that has just been started."""
    return Environment(loader=DictLoader({"a.html": text}), bytecode_cache=Compiled()).get_template("a.html").render()


def cannot_compile(*_: Any, **__: Any) -> None:
    raise AssertionError("compiled again")


def test_a_template_is_compiled_once_and_not_at_the_next_start(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert written("{{ 6 * 7 }}") == "42"
    assert len(list(kept.iterdir())) == 1
    monkeypatch.setattr(Environment, "compile", cannot_compile)
    assert written("{{ 6 * 7 }}") == "42"


def test_a_template_of_another_text_is_compiled_anew(kept: Path) -> None:
    assert [written("one"), written("two"), written("two")] == ["one", "two", "two"]
    assert len(list(kept.iterdir())) == 1


def test_another_jinja_compiles_anew(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert written("one") == "one"
    monkeypatch.setattr(jinja2, "__version__", "9.9")
    monkeypatch.setattr(Environment, "compile", cannot_compile)
    with pytest.raises(AssertionError, match="compiled again"):
        written("one")


def test_a_damaged_file_is_made_anew(kept: Path) -> None:
    assert written("one") == "one"
    [path] = kept.iterdir()
    whole = path.read_bytes()
    for damaged in (*(whole[:length] for length in range(0, len(whole), 7)), whole[:30] + whole[40:]):
        path.write_bytes(damaged)
        assert written("one") == "one"
        assert path.read_bytes() == whole


@pytest.mark.usefixtures("kept")
def test_a_page_is_written_where_nothing_can_be_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("")
    for folder in ("file", "missing"):
        monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path / folder))
        assert written("one") == "one"


def test_nothing_is_kept_where_python_is_told_to_keep_nothing(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert written("one") == "one"
    assert list(kept.iterdir()) == []


def test_the_app_keeps_its_own() -> None:
    assert isinstance(templates.env.bytecode_cache, Compiled)
