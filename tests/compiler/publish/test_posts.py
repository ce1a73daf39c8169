"""What goes onto a blog, of every example and of patterns made up: read alike by all, and left as it is."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from pathlib import Path

import nh3
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from turnchain.compiler.document import Document
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from ...reader.made_up import patterns
from .hat import HAT
from .test_same_words import HOSTILE
from .wording import MARKDOWN_ENGINES, html_words, text_words, without_rules

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.tch"))
WAYS = list(product(("US", "UK", "DE"), ("full", "short")))

# What WordPress leaves in a post of an author without the right to unfiltered markup, as far as a text needs
# it: wordpress-develop, src/wp-includes/kses.php, $allowedposttags.
ELEMENTS_OF_A_POST = {
    "p", "h1", "h2", "h3", "h4", "h5", "h6", "section", "article", "header", "footer", "div", "span",
    "ol", "ul", "li", "dl", "dt", "dd", "table", "caption", "thead", "tbody", "tfoot", "tr", "th", "td",
    "b", "strong", "i", "em", "s", "mark", "kbd", "code", "pre", "sub", "sup", "small", "figure", "img", "a",
}  # fmt: skip
ATTRIBUTES_OF_A_POST = {
    "*": {"class", "id", "title", "role", "lang", "dir"},
    "img": {"src", "alt"},
    "a": {"href"},
}

IN_THE_HEAD = ("by ", "level ", "for ", "notions ", "note ", "caution ", "picture a.png: ")
"""Lines in which a maker writes words of her own, before the first piece."""

IN_A_PIECE = ("note ", "caution ", "picture b.png: ")

SQUARES = "X*_`|#<>&~$-+@%"


def words() -> st.SearchStrategy[str]:
    """A maker's words on one line, whatever they mean to a browser, a Markdown engine or a site generator."""
    wild = st.sampled_from([each for each in HOSTILE if each.isprintable() and each.strip()])
    letters = st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=3)
    some = st.lists(wild | letters, min_size=1, max_size=4).map(" ".join)
    return some.filter(lambda each: not each.startswith("#"))  # a comment


@st.composite
def written(draw: st.DrawFn) -> str:
    """A made-up pattern, and a maker's words in its head and between its rows."""
    head, piece = draw(patterns()).split("\npiece ")

    def lines(kinds: tuple[str, ...]) -> list[str]:
        chosen = draw(st.lists(st.sampled_from(kinds), unique=True, max_size=5))
        return [f"{kind}{draw(words())}" for kind in chosen]

    square = draw(st.sampled_from(SQUARES))
    drawn = [
        f"  {draw(st.text(f'.{square}', min_size=4, max_size=4))}" for _ in range(draw(st.integers(0, 3)))
    ]
    chart = [f"chart Plain: . = A, {square} = B", *drawn] if drawn else []
    yarns = [f"yarn {name}: {draw(words())}" for name in "AB"]
    rows = piece.splitlines()
    at = draw(st.integers(2, len(rows)))
    rows[at:at] = lines(IN_A_PIECE)
    last = [f"finish {draw(words())}", ""]
    return "\n".join((head, *yarns, *lines(IN_THE_HEAD), *chart, f"piece {rows[0]}", *rows[1:], *last))


@pytest.mark.parametrize(("terms", "form"), WAYS)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_goes_onto_a_blog_as_it_is(path: Path, terms: str, form: str) -> None:
    analysis = analyse(Source(path.name, path.read_text("utf-8")))
    assert_goes_onto_a_blog(document(analysis, terms, form))


@settings(max_examples=80, suppress_health_check=[HealthCheck.filter_too_much])
@given(written(), st.sampled_from(WAYS))
def test_a_made_up_pattern_goes_onto_a_blog_as_it_is(text: str, way: tuple[str, str]) -> None:
    analysis = analyse(Source("pattern.tch", text))
    assume(not analysis.has_errors)
    assert_goes_onto_a_blog(document(analysis, *way))


def test_wild_words_go_onto_a_blog_as_they_are() -> None:
    assert_goes_onto_a_blog(replace(HAT, title="<script>\"5 > 3\" & 'x'</script>"))


def assert_goes_onto_a_blog(pattern: Document) -> None:
    text = text_words(render(pattern, "text"))
    post, fragment = render(pattern, "markdown"), render(pattern, "fragment")
    for name, engine in MARKDOWN_ENGINES.items():
        assert without_rules(html_words(engine(post))) == text, name
    assert without_rules(html_words(fragment)) == text
    assert one_spelling(sanitised(fragment)) == one_spelling(fragment)


def sanitised(markup: str) -> str:
    """What a blog leaves of it."""
    return nh3.clean(
        markup,
        tags=ELEMENTS_OF_A_POST,
        attributes=ATTRIBUTES_OF_A_POST,
        clean_content_tags={"script", "style"},
    )


def one_spelling(markup: str) -> str:
    """The markup with each character that has several spellings in one of them, as sanitisers change them."""
    for spelled, character in (("&#34;", '"'), ("&quot;", '"'), ("&#39;", "'"), ("&nbsp;", "\xa0")):
        markup = markup.replace(spelled, character)
    return markup
