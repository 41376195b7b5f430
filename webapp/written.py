"""Parts of pages that are written once and kept: fields by all that they show, and what a template wraps in a call."""

from collections.abc import Callable, Hashable
from typing import Any

from jinja2 import Environment, pass_context
from jinja2.runtime import Context
from markupsafe import Markup

from webapp.caching import Recent
from webapp.forms import Form

FIELDS = ("text_field", "date_field", "select_field", "radio_field", "check_field", "species_field")
"""The macros of _field.html that write the field of a form by its name."""
MOST_FIELDS = 4096
MOST_PARTS = 256
LONGEST = 400
"""A field of a longer text is not kept, so that nobody fills the memory [characters]."""


class _Same:
    """A thing that is told from others by being another one; it is kept, so that no other takes its place."""

    __slots__ = ("thing",)

    def __init__(self, thing: object) -> None:
        self.thing = thing

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.thing is other.thing

    def __hash__(self) -> int:
        return id(self.thing)


def offer(env: Environment) -> None:
    """Give all templates the fields of _field.html, written once each, the macros of _results.html as ``results``, and
    ``written``, to be called around a part.

    ``{% call written("name", thing, …) %}`` keeps the part by what it is called with, which must be all that it shows:
    text as it is, anything else by being the same object, so only what never changes.
    """
    env.globals["written"] = _parts()
    env.globals["results"] = _Macros(env, "_results.html")
    env.globals["error_summary"] = _error_summary
    for name in FIELDS:
        env.globals[name] = _field(env, name)


class _Macros:
    """The macros of a template, which is not read before one of them is asked for."""

    __slots__ = ("_env", "_name")

    def __init__(self, env: Environment, name: str) -> None:
        self._env, self._name = env, name

    def __getattr__(self, macro: str) -> Any:
        return getattr(self._env.get_template(self._name).module, macro)


@pass_context
def _error_summary(context: Context, form: Form, id_prefix: str = "") -> Markup:
    """The macro, where there is anything to tell: its template is not free."""
    if not form.errors:
        return Markup()
    macros = context.environment.get_template("_field.html").make_module({"quiet": context.get("quiet")})
    return macros.error_summary(form, id_prefix)  # type: ignore[attr-defined, no-any-return]


def _parts() -> Callable[..., Markup]:
    recent: Recent[Markup] = Recent(MOST_PARTS)

    def written(*things: object, caller: Callable[[], Markup]) -> Markup:
        key = tuple(one if isinstance(one, str) else _Same(one) for one in things)
        found = recent.recall(key)
        if found is None:
            found = caller()
            recent.keep(key, found)
        return found

    return written


def _field(env: Environment, macro: str) -> Callable[..., Markup]:
    recent: Recent[Markup] = Recent(MOST_FIELDS)

    def written(form: Form, name: str, *looks: Any, **named: Any) -> Markup:
        one = form.fields[name]
        key: Hashable = (
            (name, one.label, one.kind, one.value, one.unit, one.hint, one.error, one.placeholder),
            (tuple(one.options), tuple(one.choices), looks, tuple(named.items())),
        )
        found = recent.recall(key)
        if found is None:
            found = getattr(env.get_template("_field.html").module, macro)(form, name, *looks, **named)
            if len(one.value) + len(one.error) <= LONGEST:
                recent.keep(key, found)
        return found

    return written
