"""The gallery of examples held against checkers from outside, which find different faults.

axe-core goes by the Web Content Accessibility Guidelines 2.2, levels A and AA, and by good practice; the Nu
checker by the HTML standard.
"""

from __future__ import annotations

import json
import os
import subprocess
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from turnchain.compiler.commands.publish import Choices
from turnchain.compiler.commands.shelf import publish_folder

from ..compiler.test_pictures import PNG
from ..compiler.test_shelf import COASTER

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from ..chromium import Heard

pytestmark = pytest.mark.browser

EXAMPLES = Path(__file__).parents[2] / "examples"
PAGES = [*sorted(path.stem for path in EXAMPLES.glob("*.tch")), "index"]

BARE = (
    "<!DOCTYPE html><html lang=en><meta charset=utf-8><title>A post</title>"
    "<main><h1>A post</h1>\n{}</main></html>"
)
"""A page that brings no style, round a post."""

WHAT_THE_CHECKER_CANNOT_TELL = "violates Content Security Policy"
"""It takes no hash of a style, and takes data for a script. That the policy holds is seen in the browser."""

NARROW = {"width": 320, "height": 640}
"""CSS pixels: the narrowest screen, and a wide one at 400 %, of the guidelines' criterion 1.4.10 Reflow."""

WIDE = {"width": 1280, "height": 900}

SCHEMES = ("light", "dark")
VIEWS = list(product(SCHEMES, (WIDE, NARROW)))


def node_module(name: str) -> Path:
    """Where npm has put a package, whether its folder is told by NODE_PATH or lies above this one."""
    say = f"console.log(require.resolve('{name}/package.json'))"
    found = subprocess.run(["node", "-e", say], capture_output=True, text=True, check=True, env=os.environ)
    return Path(found.stdout.strip()).parent


@pytest.fixture(scope="module")
def gallery(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("gallery")
    outcome = publish_folder(str(EXAMPLES), Choices(("html", "fragment"), str(folder)))
    assert outcome.status == 0, outcome.err
    for fragment in folder.glob("*.fragment.html"):
        fragment.write_text(BARE.format(fragment.read_text("utf-8")), "utf-8")
    return folder


@pytest.fixture(scope="module")
def axe() -> str:
    return (node_module("axe-core") / "axe.min.js").read_text("utf-8")


def test_the_nu_checker_finds_nothing(gallery: Path) -> None:
    pages = sorted(gallery.glob("*.html"))
    assert len(pages) == 2 * len(PAGES) - 1
    assert found_by_nu(pages) == []


def found_by_nu(pages: list[Path]) -> list[Any]:
    jar = node_module("vnu-jar") / "build" / "dist" / "vnu.jar"
    command = ["java", "-jar", str(jar), "--format", "json", *map(str, pages)]
    told = subprocess.run(command, capture_output=True, text=True, check=False)
    found = json.loads(told.stderr)["messages"]
    return [each for each in found if WHAT_THE_CHECKER_CANNOT_TELL not in each["message"]]


@pytest.fixture(scope="module")
def illustrated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The index of a folder of patterns with pictures, published into another."""
    patterns, site = tmp_path_factory.mktemp("patterns"), tmp_path_factory.mktemp("site")
    for name in ("round", "square"):
        (patterns / f"{name}.tch").write_text(COASTER.format(title=f"A {name} coaster", name=name), "utf-8")
        (patterns / f"{name}.png").write_bytes(PNG)
    (patterns / "row.png").write_bytes(PNG)
    outcome = publish_folder(str(patterns), Choices(folder=str(site)))
    assert outcome.status == 0, outcome.err
    return site / "index.html"


@pytest.mark.parametrize(
    ("scheme", "size"), VIEWS, ids=lambda each: each if each in SCHEMES else each["width"]
)
def test_an_index_is_quiet_and_whole(
    page: Page, heard: Heard, illustrated: Path, axe: str, scheme: str, size: dict[str, int]
) -> None:
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.set_viewport_size(size)  # type: ignore[arg-type]
    page.goto(illustrated.as_uri(), wait_until="networkidle")
    assert heard.said == []
    assert sorted(heard.asked) == [
        illustrated.as_uri(),
        *(illustrated.with_name(f"{name}.png").as_uri() for name in ("round", "square")),
    ]
    shown = page.locator("img").evaluate_all("all => all.map(one => one.complete && one.naturalWidth > 0)")
    assert shown == [True, True]
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.evaluate(axe)
    assert violations(page) == []


def test_the_nu_checker_finds_nothing_in_an_index_with_pictures(illustrated: Path) -> None:
    assert found_by_nu(sorted(illustrated.parent.glob("*.html"))) == []


@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing(page: Page, heard: Heard, gallery: Path, axe: str, name: str) -> None:
    for suffix in (".html", ".fragment.html") if name != "index" else (".html",):
        page.goto((gallery / f"{name}{suffix}").as_uri())
        page.evaluate(axe)
        for scheme, size in VIEWS:
            page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
            page.set_viewport_size(size)  # type: ignore[arg-type]
            assert violations(page) == [], f"{name}{suffix}, {scheme}, {size['width']} pixels wide"
            assert heard.said == []
            assert all(address.startswith("file:") for address in heard.asked)


def violations(page: Page) -> list[tuple[str, str, list[Any]]]:
    found = page.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
    return [
        (each["id"], each["help"], [node["target"] for node in each["nodes"]][:3])
        for each in found["violations"]
    ]


def test_the_checkers_do_find_faults(page: Page, gallery: Path, axe: str) -> None:
    page.goto((gallery / "index.html").as_uri())
    page.evaluate(
        "() => Object.assign(document.querySelector('h1').style, {color: '#eee', background: '#fff'})"
    )
    page.evaluate(axe)
    assert "color-contrast" in {name for name, _, _ in violations(page)}
