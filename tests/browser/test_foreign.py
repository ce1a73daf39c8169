"""A fragment pasted into pages with styles of their own: it is still read row by row."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from turnchain.compiler.document import RowText
from turnchain.compiler.publish import render
from turnchain.compiler.publish.plain import plain

from .test_pages import EXAMPLES, published

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = [pytest.mark.browser, pytest.mark.sites]

PLACE = "The pattern comes here"
"""The one paragraph of a post that a theme is tried with."""


def run(folder: Path, *command: str) -> None:
    subprocess.run([sys.executable, "-m", *command], cwd=folder, check=True, capture_output=True)


def mkdocs(folder: Path) -> Path:
    """A page in the theme that this generator has by itself."""
    (folder / "mkdocs.yml").write_text("site_name: A maker\nuse_directory_urls: false\n")
    (folder / "docs").mkdir()
    (folder / "docs" / "index.md").write_text(f"# A post\n\n{PLACE}\n")
    run(folder, "mkdocs", "build", "--quiet")
    return folder / "site" / "index.html"


def pelican(folder: Path) -> Path:
    """A page in the theme that this generator has by itself."""
    (folder / "settings.py").write_text(
        'SITENAME = "A maker"\nTIMEZONE = "UTC"\nARTICLE_SAVE_AS = "{slug}.html"\nRELATIVE_URLS = True\n'
        "FEED_ALL_ATOM = CATEGORY_FEED_ATOM = TRANSLATION_FEED_ATOM = None\n"
        "AUTHOR_FEED_ATOM = AUTHOR_FEED_RSS = None\n"
    )
    (folder / "content").mkdir()
    (folder / "content" / "post.md").write_text(f"Title: A post\nDate: 2026-01-05\nSlug: post\n\n{PLACE}\n")
    run(folder, "pelican", "content", "--output", "public", "--settings", "settings.py")
    return folder / "public" / "post.html"


def reset(folder: Path) -> Path:
    """A page that takes every element's own look away and floats each block."""
    file = folder / "reset.html"
    file.write_text(
        "<!DOCTYPE html><html lang=en><meta charset=utf-8><title>A post</title><style>"
        "* { margin: 0; padding: 0; border: 0; font: inherit; list-style: none; border-collapse: collapse; }"
        "article, section, header, div, h1, h2, h3, p, ul, li, dl, dt, dd, table, img { float: left; }"
        f"body {{ font: 16px/1.5 sans-serif; }}</style><main><h1>A post</h1><p>{PLACE}</p></main></html>"
    )
    return file


@pytest.fixture(scope="module", params=(mkdocs, pelican, reset), ids=lambda made: made.__name__)
def theme(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    make: Callable[[Path], Path] = request.param
    return make(tmp_path_factory.mktemp(make.__name__))


LAID_OUT = """() => {
  const post = document.querySelector("article.pattern");
  const box = one => { const r = one.getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom]; };
  // A table is one thing here: a theme may set its caption under it, as some do.
  const leaves = [...post.querySelectorAll("h2, h3, p, li, dt, dd, table")];
  return {
    leaves: leaves.map(one => ({what: one.tagName + ": " + one.textContent.slice(0, 40), box: box(one)})),
    rows: [...post.querySelectorAll(".pattern-rows > li")].map(one => one.innerText),
    lines: [...post.querySelectorAll("tr")].map(row => [...row.cells].map(box)),
  };
}"""


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_structure_stays_readable(page: Page, theme: Path, path: Path) -> None:
    document = published(path)
    place = f"<p>{PLACE}</p>"
    text = theme.read_text(encoding="utf-8")
    assert text.count(place) == 1
    pasted = theme.with_name("pasted.html")
    pasted.write_text(text.replace(place, render(document, "fragment")), encoding="utf-8")
    # A theme may ask for type from elsewhere; what it does without is what is tried.
    page.route(lambda url: not url.startswith("file:"), lambda route: route.abort())
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(pasted.as_uri(), wait_until="domcontentloaded")
    found = page.evaluate(LAID_OUT)

    assert [" ".join(row.split()) for row in found["rows"]] == [
        " ".join(f"{row.label}: {row.text} {row.count}".split())
        for section in plain(document).sections
        for row in section.entries
        if isinstance(row, RowText)
    ]
    assert out_of_order(found["leaves"]) == []
    for cells in found["lines"]:
        assert len({round(top) for _, top, _, _ in cells}) == 1, "the cells of a line stand side by side"
        lefts = [left for left, *_ in cells]
        assert lefts == sorted(set(lefts))


def out_of_order(leaves: list[dict[str, Any]]) -> list[tuple[str, str]]:
    """What stands over what comes before it, or before it: to its left at the same height, or above it."""
    wrong = []
    for one, other in pairwise(leaves):
        (_, top, right, bottom), (left, next_top, _, _) = one["box"], other["box"]
        if next_top < bottom - 1 and not (left >= right - 1 and next_top >= top - 1):
            wrong.append((one["what"], other["what"]))
    return wrong
