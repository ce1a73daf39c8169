"""How the house is built: which room may know which, and where the outside libraries may come in."""

from __future__ import annotations

import ast
import re
import subprocess
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ROOMS = ("grammar", "lang", "compiler")
"""From the lowest up: a room may know those before it."""

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", *ROOMS, "examples", "tests"}

ONLY_IN = {
    "lark": ("grammar.tables",),
    "jinja2": ("compiler.publish",),
    "typer": ("compiler.cli",),
    "pygls": ("compiler.editor.protocol", "compiler.editor.answers"),
    "lsprotocol": ("compiler.editor.protocol", "compiler.editor.answers"),
    "pygments": ("lang.highlighting.lexer",),
}
"""Where an outside library may be imported: a module, or a folder with all in it."""


def _modules() -> dict[str, Path]:
    """Return every module by its name within the package, such as `lang.source`."""
    found: dict[str, Path] = {}
    for room in ROOMS:
        for path in (ROOT / room).rglob("*.py"):
            parts = path.relative_to(ROOT).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


MODULES = _modules()


def _outermost(tree: ast.AST) -> Iterator[ast.AST]:
    """Yield the nodes that run when the module is imported: nothing in a function or under TYPE_CHECKING."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            continue
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            continue
        yield node
        yield from _outermost(node)


@cache
def _tree(path: Path) -> ast.AST:
    return ast.parse(path.read_text("utf-8"))


def _imports(name: str, path: Path, *, at_import: bool = False) -> Iterator[str]:
    """Yield what a module imports: the package's modules by their names here, others as they are written."""
    tree = _tree(path)
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    for node in _outermost(tree) if at_import else ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name.removeprefix("turnchain.") for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = ["turnchain", *package.split(".")]
            start = above[: len(above) - node.level + 1] if node.level else []
            source = ".".join([*start, *([node.module] if node.module else [])]).removeprefix("turnchain")
            source = source.removeprefix(".")
            for alias in node.names:
                inner = f"{source}.{alias.name}".removeprefix(".")
                yield inner if inner in MODULES else source


@cache
def _inner(*, at_import: bool = False) -> dict[str, set[str]]:
    return {
        name: {other for other in _imports(name, path, at_import=at_import) if other in MODULES}
        for name, path in MODULES.items()
    }


def _within(name: str, place: str) -> bool:
    return name == place or name.startswith(f"{place}.")


def test_the_walk_sees_the_imports_that_hold_the_house_together() -> None:
    inner = _inner()
    assert "lang.parser" in inner["compiler.pipeline"]
    assert "grammar" in inner["lang.parser"]
    assert "lang.source" in inner["lang.syntax.items"]
    assert "lark" in {*_imports("grammar.tables", MODULES["grammar.tables"])}
    assert "compiler.commands.check" in inner["compiler.cli"]
    assert "compiler.commands.check" not in _inner(at_import=True)["compiler.cli"]


@pytest.mark.parametrize("name", sorted(MODULES))
def test_no_module_knows_a_higher_room(name: str) -> None:
    height = ROOMS.index(name.partition(".")[0])
    higher = [other for other in _inner()[name] if ROOMS.index(other.partition(".")[0]) > height]
    assert higher == []


def test_no_modules_import_one_another_in_a_ring() -> None:
    assert _ring(_inner(at_import=True)) == []


def test_a_ring_is_found() -> None:
    assert _ring({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == ["b", "c", "b"]


def _ring(graph: Mapping[str, set[str]]) -> list[str]:
    """Return the names along the first ring of `graph`, from a name to itself; empty if there is none."""
    done: set[str] = set()

    def ring_from(name: str, trail: list[str]) -> list[str]:
        if name in trail:
            return [*trail[trail.index(name) :], name]
        if name in done:
            return []
        for other in sorted(graph[name]):
            if found := ring_from(other, [*trail, name]):
                return found
        done.add(name)
        return []

    return next((found for name in sorted(graph) if (found := ring_from(name, []))), [])


@pytest.mark.parametrize("library", ONLY_IN)
def test_an_outside_library_comes_in_where_it_belongs(library: str) -> None:
    users = {
        name
        for name, path in MODULES.items()
        if any(_within(imported, library) for imported in _imports(name, path))
    }
    assert users
    assert {name for name in users if not any(_within(name, place) for place in ONLY_IN[library])} == set()


def test_the_top_of_the_repository_holds_the_house_and_no_more() -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("this is no checkout")
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True, encoding="utf-8"
    ).stdout.split("\0")
    top = {path.split("/")[0] for path in listed if path}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL


def _told() -> set[str]:
    """Return the modules that the page for developers names: a table a room, a paragraph an inner folder."""
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    told = set()
    for room, table in re.findall(r"^### Modules of (\w+)\n\n((?:\|.*\n)+)", page, re.MULTILINE):
        told |= {f"{room}.{name}" for name in re.findall(r"^\| `(\w+)` \|", table, re.MULTILINE)}
    for room, folder, names in re.findall(r"^`(\w+)/(\w+)`((?:.+\n)+)", page, re.MULTILINE):
        told |= {f"{room}.{folder}.{name}" for name in re.findall(r"`(\w+)`", names)}
    return told


def test_the_page_for_developers_names_every_module() -> None:
    assert _told() == {name for name, path in MODULES.items() if path.name != "__init__.py"}


def test_the_page_for_developers_names_no_file_that_is_gone() -> None:
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    paths = re.findall(r"`((?:grammar|lang|compiler|tests|examples)/[\w/.]*)`", page)
    assert "tests/lang/lines.txt" in paths
    assert [path for path in paths if not (ROOT / path).exists()] == []
