"""What is written about the code keeps up with it."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.routing import APIRoute

from webapp.app import FIRST
from webapp.routes import PAGES

ROOT = Path(__file__).parents[1]
MODULES = sorted((ROOT / "movement").rglob("*.py"))
Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def public(tree: ast.Module | ast.ClassDef, inside: str = "") -> Iterator[tuple[str, Definition]]:
    """Public functions and classes with their dotted names, and the public methods of those classes; no overloads."""
    for node in tree.body:
        if isinstance(node, Definition) and not node.name.startswith("_") and not is_overload(node):
            yield f"{inside}{node.name}", node
            if isinstance(node, ast.ClassDef):
                yield from public(node, f"{node.name}.")


def is_overload(node: Definition) -> bool:
    return any(isinstance(one, ast.Name) and one.id == "overload" for one in node.decorator_list)


def called(node: ast.AST) -> set[str]:
    """Names of what is called in a definition, not counting `self.`."""
    return {call.func.id for call in ast.walk(node) if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)}


def refusing(tree: ast.Module) -> set[str]:
    """Functions and classes of a module that raise `RangeError` themselves or through its private functions."""
    calls: dict[str, set[str]] = {}
    for node in tree.body:
        if isinstance(node, ast.ClassDef):
            # what a class does when it is made; its other methods stand for themselves
            made = [one for one in node.body if isinstance(one, ast.FunctionDef) and one.name.endswith("init__")]
            calls[node.name] = set().union(*(called(one) for one in made))
        elif isinstance(node, Definition):
            calls[node.name] = called(node)
    found = {"require_range", "RangeError"}
    while (
        more := {name for name, names in calls.items() if names & {one for one in found if is_passed_on(one)}} - found
    ):
        found |= more
    return found & set(calls)


def is_passed_on(name: str) -> bool:
    """Whether what a function raises is left to its caller to tell: a public one tells it itself."""
    return name.startswith("_") or name in ("require_range", "RangeError")


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_every_module_function_and_class_says_what_it_is(path: Path) -> None:
    tree = tree_of(path)
    assert ast.get_docstring(tree)
    silent = [name for name, node in public(tree) if not ast.get_docstring(node)]
    assert silent == []


def tells(text: str) -> bool:
    """Whether a docstring tells of the error: under Raises where it lists its parameters, in its sentence where not."""
    if "Parameters\n----" in text:
        return re.search(r"Raises\n-+\n(.|\n)*\bRangeError\b", text) is not None or "Raise `RangeError`" in text
    return "RangeError" in text


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_what_refuses_a_value_says_so(path: Path) -> None:
    tree = tree_of(path)
    able = refusing(tree)
    silent = []
    for name, node in public(tree):
        text = ast.get_docstring(node) or ""
        itself = name in able or ("." in name and bool(called(node) & {"require_range", "RangeError"}))
        if itself and name != "RangeError" and not tells(text):
            silent.append(name)
    assert silent == []


def unnamed(node: Definition) -> list[str]:
    """Arguments that a function's Parameters section leaves out, and names in it that are no argument."""
    section = re.search(r"^Parameters\n-+\n((?:.+\n?|\n(?=    ))*)", ast.get_docstring(node) or "", re.MULTILINE)
    if isinstance(node, ast.ClassDef) or section is None:
        return []
    heads = [line.partition(" : ")[0] for line in section[1].splitlines() if line[:1].strip()]
    told = {name.strip(" *") for head in heads for name in head.split(",")}
    own = node.args
    every = [*own.posonlyargs, *own.args, *own.kwonlyargs, *filter(None, (own.vararg, own.kwarg))]
    return sorted(told ^ {one.arg for one in every if one.arg not in ("self", "cls")})


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_what_lists_its_parameters_names_each(path: Path) -> None:
    assert [f"{name}: {missed}" for name, node in public(tree_of(path)) if (missed := unnamed(node))] == []


def test_the_check_of_parameters_can_fail() -> None:
    tree = ast.parse(
        "def some(a, b, *, c):\n    '''Say.\n\n    Parameters\n    ----------\n    a, b : int\n        Both.\n"
        "\n    Returns\n    -------\n    float\n        It.\n    '''\n"
    )
    assert [unnamed(node) for _, node in public(tree)] == [["c"]]


def test_the_checks_above_can_fail() -> None:
    tree = ast.parse(
        "def _held(x):\n    require_range('x', x, 0, 1)\n"
        "def outer(x):\n    return _held(x)\n"
        "def other(x):\n    return x\n"
        "class Kept:\n    def __post_init__(self):\n        raise RangeError('x', 1, 0, 0)\n"
    )
    assert refusing(tree) == {"_held", "outer", "Kept"}
    assert [name for name, _ in public(tree)] == ["outer", "other", "Kept"]


def test_every_table_is_described() -> None:
    text = (ROOT / "data" / "README.md").read_text(encoding="utf-8")
    tables = sorted(path.name for path in (ROOT / "data").glob("*.csv"))
    assert tables
    assert [name for name in tables if f"| `{name}` |" not in text] == []
    assert sorted(set(re.findall(r"\| `([a-z_]+\.csv)` \|", text))) == tables


def test_every_table_is_described_with_its_number_of_rows() -> None:
    text = (ROOT / "data" / "README.md").read_text(encoding="utf-8")
    for name, rows in re.findall(r"\| `([a-z_]+\.csv)` \| (\d+) \|", text):
        lines = (ROOT / "data" / name).read_text(encoding="utf-8").splitlines()
        assert len([line for line in lines if not line.startswith("#")]) - 1 == int(rows), name


def addresses() -> Iterator[tuple[str, str]]:
    """(page module, address) of every page; its files and what its forms are sent to belong to it."""
    for page in (*FIRST, *PAGES):
        for route in page.router.routes:
            if isinstance(route, APIRoute) and "GET" in route.methods and "." not in route.path:
                yield page.__name__.removeprefix("webapp."), re.sub(r":\w+}", "}", route.path)


@pytest.mark.parametrize(("module", "address"), sorted(addresses()))
def test_every_page_is_named_for_the_next_developer(module: str, address: str) -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert f"`{module.replace('.', '/')}.py`" in text
    assert f"`{address}`" in text


def test_no_page_is_named_that_is_gone() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`pages/([a-z_]+)\.py`", text))
    assert named <= {path.stem for path in (ROOT / "webapp" / "pages").glob("*.py")}


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "data/README.md"])
def test_files_that_are_named_exist(name: str) -> None:
    """Paths in backquotes that begin with a folder of the project."""
    text = (ROOT / name).read_text(encoding="utf-8")
    for path in re.findall(r"`((?:movement|webapp|templates|static|data|tests)/[\w./-]+)`", text):
        assert (ROOT / path).exists() or "NAME" in path, path
