"""Posts built into sites by site generators as they come, and read in a browser: the words of the text."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict

import pytest
from turnchain.compiler.document import Document, RowText, Term
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.publish.front_matter import generators
from turnchain.compiler.publish.layout import Layout
from turnchain.compiler.publish.plain import plain
from turnchain.compiler.publish.text import squares
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = [pytest.mark.sites, pytest.mark.browser]

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

SHOWN = """() => {
  const post = document.querySelector("main, [role=main], .entry-content");
  post.querySelector("footer.post-info")?.remove();
  const said = selector => [...post.querySelectorAll(selector)].map(one => one.innerText);
  return {
    title: document.title,
    headings: [...document.querySelectorAll("h1")].map(one => one.innerText),
    text: post.innerText,
    lists: [...post.querySelectorAll("ul, ol")].map(list => [...list.children].map(one => one.innerText)),
    charts: said("pre"),
  };
}"""


class Shown(TypedDict):
    """What a browser shows of a built page; the rest but the first two is the post's own."""

    title: str
    headings: list[str]
    text: str
    lists: list[list[str]]
    charts: list[str]


@pytest.fixture(params=[path.stem for path in EXAMPLES])
def name(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture
def shown(page: Page, site: Site, name: str) -> Shown:
    # A theme may ask for type from elsewhere; what it does without is what is read.
    page.route(lambda url: not url.startswith("file:"), lambda route: route.abort())
    page.goto(site.page(name).as_uri(), wait_until="domcontentloaded")
    return page.evaluate(SHOWN)


def said(text: str) -> str:
    return " ".join(text.translate(SET_TYPE).split())


def test_the_page_says_what_the_text_says(site: Site, shown: Shown, name: str) -> None:
    text = render(documents()[name], "text")
    if not site.heading:
        text = text.removeprefix(documents()[name].title)
    assert words(said(shown["text"])) == words(said(text))


def words(text: str) -> list[str]:
    """The words of a text, without the lines under headings and the dashes before entries."""
    return [word for word in text.split() if not re.fullmatch("-+|=+", word)]


def test_every_list_is_whole_and_every_row_ends_with_its_count(shown: Shown, name: str) -> None:
    assert [[said(entry) for entry in entries] for entries in shown["lists"]] == [
        [said(entry) for entry in entries] for entries in lists(plain(documents()[name])) if entries
    ]


def lists(pattern: Document) -> Iterator[list[str]]:
    """The lists of a post in the order in which they are read."""
    yield list(pattern.about)
    yield list(pattern.sizes)
    yield list(pattern.measurements)
    yield from map(entries_of, (pattern.materials, pattern.abbreviations, pattern.special_stitches))
    yield list(pattern.notes)
    yield from (entries_of(chart.key) for chart in pattern.charts)
    for section in pattern.sections:
        for rows, together in groupby(section.entries, lambda entry: isinstance(entry, RowText)):
            if rows:
                yield [f"{row.label}: {row.text} {row.count}" for row in together if isinstance(row, RowText)]


def entries_of(terms: Sequence[Term]) -> list[str]:
    return [f"{term.term}: {term.meaning} {term.explanation}" for term in terms]


def test_every_chart_keeps_its_squares_in_line(shown: Shown, name: str) -> None:
    assert [chart.rstrip("\n").split("\n") for chart in shown["charts"]] == [
        squares(chart) for chart in plain(documents()[name]).charts
    ]


def test_the_title_is_a_heading_once(shown: Shown, name: str) -> None:
    assert [said(heading) for heading in shown["headings"]].count(documents()[name].title) == 1
    assert documents()[name].title in said(shown["title"])
