"""One template, as a whole page or, where a part of the page asks for it, as one of its blocks."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast
from urllib.parse import urlencode

from fastapi import Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, Response
from jinja2_fragments.fastapi import Jinja2Blocks

from movement import lengths, temperatures
from movement.lengths import Unit
from webapp import cautions
from webapp.assets import asset, folder
from webapp.caching import Answers, tag_of
from webapp.compiled import Compiled
from webapp.forms import Form
from webapp.library import Shelf, shelf
from webapp.store import Store
from webapp.typeset import bound
from webapp.written import offer

UNITS: tuple[Unit, ...] = ("mm", "in")
UNIT_COOKIE = "unit"
_YEAR = 31_536_000
_UNITED = ("length", "lengths", "temperature")
"""Kinds of fields whose bare numbers mean what the page's unit says."""


@dataclass(frozen=True, slots=True)
class Link:
    """A link of the page's frame."""

    label: str
    href: str
    current: bool = False
    post: bool = False


NAVIGATION = (
    ("One panel", "/"),
    ("Other parts", "/parts"),
    ("Pieces", "/pieces"),
    ("Check", "/check"),
    ("Climate", "/climate"),
    ("Stock", "/stock"),
    ("Board", "/board"),
    ("Species", "/species"),
    ("Help", "/help"),
)

templates = Jinja2Blocks(directory=folder("templates"))
templates.env.trim_blocks = True
templates.env.lstrip_blocks = True
templates.env.auto_reload = False
templates.env.bytecode_cache = Compiled()
offer(templates.env)
templates.env.globals["dust"] = cautions.DUST


def is_partial(request: Request) -> bool:
    """Whether the request wants a block and not the whole page."""
    return request.headers.get("HX-Request-Type") == "partial"


def unit_of(request: Request) -> Unit:
    """The unit that lengths are shown in: the address's, else the one last chosen, else mm."""
    for asked in (request.query_params.get("unit"), request.cookies.get(UNIT_COOKIE)):
        if asked in UNITS:
            return asked
    return "mm"


def render(
    request: Request,
    template: str,
    page: Any,
    *,
    block: str = "sheet",
    unit: Unit | None = None,
    status: int = 200,
    unit_links: Sequence[Link] | None = None,
    headers: Mapping[str, str] | None = None,
) -> Response:
    """Render a page's template.

    Parameters
    ----------
    template : str
        File name in templates/.
    page : object
        The page's context, ``page`` in the template.
    block : str
        The block that is rendered alone when a fragment is asked for; it fills the element with that id.
    unit : str
        What lengths are shown in.
    status : int
        HTTP status.
    unit_links : sequence of Link
        The unit switch; the same address with ``unit=`` where ``None``.
    """
    unit = unit or unit_of(request)
    partial = is_partial(request) and block in templates.env.get_template(template).blocks
    context = {
        "page": page,
        "unit": unit,
        "partial": partial,
        "example": not set(request.query_params) - {"unit"},
        "quiet": request.headers.get("Asked-By") == "change",
        "asset": asset,
        "nav": _navigation(request.url.path),
        "unit_links": switch(request, unit) if unit_links is None else unit_links,
    }
    response = templates.TemplateResponse(
        request,
        template,
        context,
        status_code=status,
        headers=dict(headers or {}),
        block_name=block if partial else None,
    )
    response.body = response.render(bound(bytes(response.body).decode()))
    response.headers["content-length"] = str(len(response.body))
    keep_unit(request, response, unit)
    return cast(HTMLResponse, response)


def keep_unit(request: Request, response: Response, unit: Unit) -> None:
    """Have the browser remember the unit that the address asks for."""
    if request.query_params.get("unit") in UNITS and request.cookies.get(UNIT_COOKIE) != unit:
        secure = request.url.scheme == "https"
        response.set_cookie(UNIT_COOKIE, unit, max_age=_YEAR, samesite="lax", httponly=True, secure=secure)


async def recall(request: Request, unit: Unit, make: Callable[[Shelf], Response]) -> Response:
    """The answer to a question asked before, or the one that is made now.

    What is at hand is answered at once, without the way to another thread and back; what must be made, or asked of a
    database that is not a file of this machine, is not, since others would have to wait for it.

    Parameters
    ----------
    unit : str
        What lengths are shown in.
    make : callable
        Makes the answer from what is kept, on which, with the address and the unit, all of it depends.
    """
    answers: Answers = request.app.state.answers
    store: Store = request.app.state.store
    known = shelf(store) if store.is_at_hand else await run_in_threadpool(shelf, store)
    is_in = getattr(request.state, "is_in", False)
    key = (request.url.path, request.url.query, unit, is_partial(request), is_in, known.edition)
    found = answers.recall(key)
    if found is not None:
        body, tag = found
        response: Response = HTMLResponse(body, headers={"ETag": tag})
        keep_unit(request, response, unit)
        return response
    response = await run_in_threadpool(make, known)
    if response.status_code == 200:
        body = bytes(response.body)
        response.headers["ETag"] = tag_of(body)
        answers.keep(key, (body, response.headers["ETag"]))
    return response


def switch(request: Request, unit: Unit, form: Form | None = None, steps: Collection[str] = ()) -> list[Link]:
    """The unit switch of a page whose state is its address.

    A bare number of a length or a temperature keeps its meaning: the other unit's address spells out the unit it was
    typed in. ``steps`` are fields of a rounding step: the other unit has as many, and takes the one in the same place.
    """
    links = []
    for other in UNITS:
        query = dict(request.query_params) | {"unit": other}
        if other != unit:
            query |= {name: _step(query[name], unit, other) for name in steps if name in query}
        if form is not None and other != unit:
            query |= {name: text for name, text in spelled(form, unit).items() if name in request.query_params}
        links.append(Link(other, f"{request.url.path}?{urlencode(query)}", other == unit))
    return links


def piece_switch(request: Request, href: str, unit: Unit) -> list[Link]:
    """The unit switch of a page of a piece at ``href``: the piece is switched, and the same page shown again."""
    url = request.url
    back = f"{url.path}?{url.query}" if url.query else url.path
    shown = {"back": back} if request.method == "GET" and back != href else {}
    return [Link(one, f"{href}/unit?{urlencode({'unit': one, **shown})}", one == unit, post=True) for one in UNITS]


def _step(text: str, unit: Unit, other: Unit) -> str:
    """A rounding step of a unit as that of the other; what is no step stays as it is."""
    own, others = ([f"{step:.12g}" for step in lengths.STEPS[one]] for one in (unit, other))
    return dict(zip(own, others, strict=True)).get(text, text)


def spelled(form: Form, unit: Unit) -> dict[str, str]:
    """What is typed in the fields of lengths and temperatures, by name, with the unit that a bare number there has."""
    found = {}
    for one in form.fields.values():
        if one.kind in _UNITED and one.value.strip() and not one.error:
            own = temperatures.SCALES[unit] if one.kind == "temperature" else unit
            found[one.name] = "; ".join(_spelled(part, own) for part in one.value.split(";") if part.strip())
    return found


def _spelled(text: str, unit: str) -> str:
    bare = text.strip().removesuffix("°") if unit in temperatures.SCALES.values() else text.strip()
    return bare if bare[-1] in "\"'″′”’℃℉" or bare[-1].isalpha() else f"{bare} {unit}"


def _navigation(path: str) -> list[Link]:
    def current(href: str) -> bool:
        return path == href if href == "/" else path == href or path.startswith(f"{href}/")

    return [Link(label, href, current(href)) for label, href in NAVIGATION]
