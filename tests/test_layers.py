"""Imports run one way: no floor knows the one above it, and the core knows no web."""

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

# From the ground up. A module may import its own floor and those below it.
FLOORS: tuple[tuple[str, ...], ...] = (
    # what reads and writes, and knows no wood
    (
        *("errors", "arrays", "tables", "lengths", "temperatures", "names", "roots"),
        # texts of instruments and files
        *("headings", "stamps", "layout", "readings", "understood"),
    ),
    # air, wood and what is published of them
    ("air", "sorption", "species", "published", "finish"),
    # how wood moves, and the air of a year
    (
        "swelling",
        "grain",
        "endgrain",
        "glueup",
        "climate",
        "records",
        "hygrometer",
        "weather",
        "slab",
        "course",
        "settling",
        "stock",
    ),
    # one part: its stock, its moisture, how sure both are
    ("wood", "season", "spread", "journey", "lag", "exposure"),
    # the rules of fit, pure geometry
    ("fits",),
    # what is described in JSON and what comes back
    ("parts",),
    # many parts
    ("piece", "gap_table", "prospects", "catalogue", "batch"),
)

# A species' coefficient comes from its shrinkage.
UP = {("movement.species", "movement.swelling"), ("movement.published", "movement.swelling")}

# The web, its templates and its store.
FOREIGN = {
    "webapp",
    "fastapi",
    "starlette",
    "uvicorn",
    "jinja2",
    "jinja2_fragments",
    "sqlalchemy",
    "multipart",
    "httpx",
}


def modules(package: str) -> dict[str, Path]:
    """Every module of a package, by its dotted name."""
    found = {}
    for path in sorted((ROOT / package).rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


CORE, WEB = modules("movement"), modules("webapp")
KNOWN = CORE | WEB


def imported(source: str, known: dict[str, Path]) -> Iterator[str]:
    """The names that a module imports, wherever in it; a name from a package is the module of that name, if any."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            for alias in node.names:
                full = f"{node.module}.{alias.name}"
                yield full if full in known else str(node.module)


GRAPH = {name: set(imported(path.read_text(encoding="utf-8"), KNOWN)) for name, path in KNOWN.items()}


def floor(name: str) -> int | None:
    """The floor of a module of the core; the package itself is on none, nor is what FLOORS does not name."""
    part = name.partition(".")[2].partition(".")[0]
    return next((number for number, names in enumerate(FLOORS) if part in names), None)


def test_every_module_of_the_core_has_its_floor() -> None:
    placed = {name for names in FLOORS for name in names}
    there = {name.split(".")[1] for name in CORE if "." in name}
    assert there - placed == set(), "say in FLOORS, and in DEVELOPERS.md, where the new module stands"
    assert placed - there == set(), "FLOORS names a module that is gone"


@pytest.mark.parametrize("name", sorted(CORE))
def test_no_module_imports_a_higher_floor(name: str) -> None:
    own = floor(name)
    for other in GRAPH[name] & set(CORE):
        above = floor(other)
        if own is not None and above is not None and (name, other) not in UP:
            assert above <= own, f"{name} imports {other}"


def test_the_exceptions_are_needed() -> None:
    assert all(other in GRAPH[name] for name, other in UP)


@pytest.mark.parametrize("name", sorted(CORE))
def test_the_core_knows_no_web(name: str) -> None:
    assert {one.partition(".")[0] for one in GRAPH[name]} & FOREIGN == set()


@pytest.mark.parametrize("name", sorted(CORE))
def test_the_rules_of_fit_are_pure(name: str) -> None:
    """The geometry takes numbers: neither files nor the models of JSON."""
    if name.startswith("movement.fits"):
        outside = {one.partition(".")[0] for one in GRAPH[name]} & {
            "pydantic",
            "pandas",
            "json",
            "csv",
            "pathlib",
            "io",
        }
        assert outside == set()


def test_no_module_imports_itself_by_way_of_others() -> None:
    inner = {name: {one for one in GRAPH[name] & set(KNOWN) if one != name} for name in KNOWN}
    try:
        order = list(TopologicalSorter(inner).static_order())
    except CycleError as error:
        pytest.fail(f"imports run in a circle: {' → '.join(error.args[1])}")
    assert len(order) == len(KNOWN)


def test_the_pages_are_imported_by_the_app_alone() -> None:
    for name in WEB:
        pages = {one for one in GRAPH[name] if one.startswith("webapp.pages.")}
        assert not pages or name in ("webapp.app", "webapp.routes") or name.startswith("webapp.pages."), name


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("import movement.air", {"movement.air"}),
        ("from movement import air", {"movement.air"}),
        ("from movement.air import dew_point", {"movement.air"}),
        ("def late():\n    from webapp import app", {"webapp.app"}),
        ("if TYPE_CHECKING:\n    import fastapi.routing as r", {"fastapi.routing"}),
    ],
)
def test_an_import_is_seen_however_it_is_written(source: str, found: set[str]) -> None:
    assert set(imported(source, KNOWN)) == found
