"""Posts built into sites by site generators as they come: the pages say what the text says, row by row."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import html5lib
import pytest
from turnchain.compiler.document import Document, RowText
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.publish.front_matter import generators
from turnchain.compiler.publish.layout import Layout
from turnchain.compiler.publish.plain import plain
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

pytestmark = pytest.mark.sites

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.tch"))

DAY = "2026-01-05"

SET_TYPE = str.maketrans({"‘": "'", "’": "'", "“": '"', "”": '"', "–": "-", "\N{NO-BREAK SPACE}": " "})
"""What generators that set type make of the marks of a text."""


@cache
def documents() -> Mapping[str, Document]:
    return {
        path.stem: document(analyse(Source(path.name, path.read_text(encoding="utf-8"))), "US", "full")
        for path in EXAMPLES
    }


def run(program: str, *words: str, folder: Path) -> None:
    """Run a program that pip installed beside this Python, or one on the path."""
    beside = Path(sys.executable).with_name(program)
    command = [str(beside) if beside.exists() else program, *words]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


# ---- the sites ---------------------------------------------------------------------------------------------
# Each takes the folder to build in, and gives back where the page of a post stands.


def hugo(folder: Path) -> Callable[[str], Path]:
    (folder / "hugo.toml").write_text('title = "A maker"\n[taxonomies]\n')
    layouts = folder / "layouts" / "_default"
    layouts.mkdir(parents=True)
    for layout in ("single.html", "list.html"):
        (layouts / layout).write_text(
            "<!DOCTYPE html><title>{{ .Title }}</title><h1>{{ .Title }}</h1><main>{{ .Content }}</main>"
        )
    posts(folder / "content", "hugo")
    run("hugo", "--quiet", folder=folder)
    return lambda name: folder / "public" / documents()[name].slug / "index.html"


def pelican(folder: Path) -> Callable[[str], Path]:
    (folder / "settings.py").write_text(
        'SITENAME = "A maker"\nTIMEZONE = "UTC"\nDEFAULT_LANG = "en"\nARTICLE_SAVE_AS = "{slug}.html"\n'
        "FEED_ALL_ATOM = CATEGORY_FEED_ATOM = TRANSLATION_FEED_ATOM = None\n"
        "AUTHOR_FEED_ATOM = AUTHOR_FEED_RSS = None\n"
    )
    posts(folder / "content", "pelican")
    run("pelican", "content", "--output", "public", "--settings", "settings.py", folder=folder)
    return lambda name: folder / "public" / f"{documents()[name].slug}.html"


def mkdocs(folder: Path) -> Callable[[str], Path]:
    (folder / "mkdocs.yml").write_text("site_name: A maker\nuse_directory_urls: false\n")
    posts(folder / "docs", "mkdocs")
    (folder / "docs" / "index.md").write_text("# A maker\n")
    run("mkdocs", "build", "--quiet", folder=folder)
    return lambda name: folder / "site" / f"{name}.html"


def jekyll(folder: Path) -> Callable[[str], Path]:
    (folder / "_config.yml").write_text(
        "title: A maker\ndefaults: [{scope: {path: ''}, values: {layout: post}}]\npermalink: /:title.html\n"
    )
    (folder / "_layouts").mkdir()
    (folder / "_layouts" / "post.html").write_text(
        "<!DOCTYPE html><title>{{ page.title | escape }}</title><h1>{{ page.title | escape }}</h1>"
        "<main>{{ content }}</main>"
    )
    posts(folder / "_posts", "jekyll")
    run("jekyll", "build", "--quiet", "--future", folder=folder)
    return lambda name: folder / "_site" / f"{name}.html"


def eleventy(folder: Path) -> Callable[[str], Path]:
    posts(folder / "content", "eleventy")
    (folder / "content" / "_includes").mkdir()
    (folder / "content" / "_includes" / "post.html").write_text(
        "<!DOCTYPE html><title>{{ title | escape }}</title><main>{{ content }}</main>"
    )
    (folder / "content" / "content.json").write_text('{"layout": "post.html"}')
    run("eleventy", "--quiet", "--input=content", "--output=_site", folder=folder)
    return lambda name: folder / "_site" / name / "index.html"


def posts(folder: Path, generator: str) -> None:
    folder.mkdir()
    front = generators()[generator]
    layout = Layout(front_matter=front, date=DAY)
    for name, pattern in documents().items():
        post = render(pattern, "markdown", layout)
        (folder / front.file_name(name, DAY)).write_text(post, encoding="utf-8")


SITES = (hugo, pelican, mkdocs, jekyll, eleventy)


@dataclass(frozen=True, slots=True)
class Site:
    page: Callable[[str], Path]
    heading: bool
    """Whether the posts have their titles themselves."""


@pytest.fixture(scope="module", params=SITES, ids=lambda made: made.__name__)
def site(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Site:
    name = request.param.__name__
    return Site(request.param(tmp_path_factory.mktemp(name)), generators()[name].heading)


# ---- what a reader sees ------------------------------------------------------------------------------------


@pytest.fixture(params=[path.stem for path in EXAMPLES])
def name(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture
def page(site: Site, name: str) -> Any:
    return html5lib.parse(site.page(name).read_text(encoding="utf-8"), namespaceHTMLElements=False)


@pytest.fixture
def post(page: Any) -> Any:
    """The element of a built page that holds the post."""
    (holder,) = (
        one
        for one in page.iter()
        if one.tag == "main" or one.get("role") == "main" or one.get("class") == "entry-content"
    )
    for line in holder.findall("footer[@class='post-info']"):
        holder.remove(line)
    return holder


def said(element: Any) -> str:
    return " ".join("".join(shown(element)).translate(SET_TYPE).split())


def shown(element: Any) -> Iterator[str]:
    if isinstance(element.tag, str):  # no comment
        yield element.text or ""
        for inner in element:
            yield from shown(inner)
            yield inner.tail or ""


def test_the_page_says_what_the_text_says(site: Site, post: Any, name: str) -> None:
    text = render(documents()[name], "text").translate(SET_TYPE)
    if not site.heading:
        text = text.removeprefix(documents()[name].title)
    assert words(said(post)) == words(text)


def words(text: str) -> list[str]:
    """The words of a text, without the lines under headings and the dashes before entries."""
    return [word for word in text.split() if not re.fullmatch("-+|=+", word)]


def test_every_row_is_an_entry_of_its_own_with_its_count_at_the_end(post: Any, name: str) -> None:
    rows = [
        f"{row.label}: {row.text} {row.count}".strip()
        for section in plain(documents()[name]).sections
        for row in section.entries
        if isinstance(row, RowText)
    ]
    entries = [said(one) for one in post.iter("li")]
    assert [entry for entry in entries if entry in {row.translate(SET_TYPE) for row in rows}] == [
        row.translate(SET_TYPE) for row in rows
    ]


def test_the_title_is_a_heading_once(page: Any, name: str) -> None:
    headings = [said(one) for one in page.iter("h1")]
    assert headings.count(documents()[name].title) == 1
    assert documents()[name].title in said(page.find("head/title"))
