"""Every format says the same in the same order, whatever is in the author's text."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy
from turnchain.compiler.document import (
    Chart,
    ChartLine,
    Document,
    Headings,
    Picture,
    Prose,
    RowText,
    Section,
    Term,
)
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.publish.plain import plain
from turnchain.compiler.wording import document as compiled
from turnchain.lang.source import Source

from .hat import CONTROLS, HAT, HEADINGS
from .wording import MARKDOWN_ENGINES, document_words, html_tree, html_words, text_words, without_rules

HOSTILE = (
    "<script>alert(1)</script>", "<!--", "-->", "<b", "</style>", "]]>", "<?php", "&lt;", "&amp", "&#42;",
    "&", "{{ 7 }}", "{% raw %}", "{# x #}", "{{< nope >}}", "{:.row}", "${x}", "<%= x %>",
    "{::comment}", "{", "}", "*", "**", "***", "_", "__", "`", "```", "~", "~~", "~~~", "|", "||", "$$",
    "[", "]", "](x)", "![a](b)", "[a]: b",
    "[^1]", "[^1]: x", "*[sc]: x", "[TOC]", "(", ")", "\\", "\\*",
    "!", "!!! note", "??? x", ":::",
    ": x", "^", "^^", "#", "##", "#4 yarn", "# ", "12. ", "12) ", "1.", "+ ", "- ", "-", "--", "---",
    "===", "= 24", ">", "> x", "...", "\t", "    ", "  ", "\n", "\r\n", "\n\n", "\n# x", "\n12. x",
    "\v", "\f", "\x1c", "\x85", "\u2028", "\u2029", "\0", "\x02", "\x03", "\x07", "\x1b[2J", "\x7f", "\x9b",
    "\u202e", "\u2066", "\u2069", "\u200f", "\ufeff", "\ufffe", "\ud800", "\u00a0", "\u3000", "\u00ad",
    "%", "%}", "@x", "/", "///", '"', "'", "1/2", "a", "sc", " ", "20 (24)", "ß", "針", "🧶", "👩‍🦰",
    "<https://example.org>", "javascript:alert(1)", "https://example.org/a_b&lt;(c)", "WWW.example.org/a_b",
    "a_b_c", "2*3*4", "*work 2 sc; repeat from *", "[sc, inc](18)",
)  # fmt: skip
texts: SearchStrategy[str] = st.lists(
    st.sampled_from(HOSTILE) | st.text(max_size=3), min_size=1, max_size=6
).map("".join)  # fmt: skip
lists = st.lists(texts, max_size=3).map(tuple)
keys = st.lists(st.builds(Term, texts, texts, st.just("") | texts), max_size=3).map(tuple)
anchors = st.integers(1, 999).map(lambda number: f"row-{number}")
entries = st.lists(
    st.builds(RowText, texts, anchors, texts, st.just("") | texts)
    | st.builds(Prose, st.sampled_from(("start", "note", "finish", "caution")), texts)
    | st.builds(Picture, texts, st.just("") | texts),
    max_size=4,
).map(tuple)
# A square is a character that is no blank; its meaning is shown as a label of the cell.
squares = st.characters(exclude_categories=("Z", "C", "M")).map(
    lambda key: Term(key, "block")
) | st.sampled_from(
    [Term(key, text) for key in "<>&*_`{}[]|#~$\\-+=.:!\"'%@^" for text in ("block", '"<b>&')]
)
charts = st.lists(
    st.builds(
        Chart,
        # A chart has a name, which the wording makes sure of.
        texts.map("Chart {}".format),
        anchors,
        st.lists(
            st.builds(
                ChartLine, st.integers(1, 999).map(str), st.lists(squares, min_size=1, max_size=5).map(tuple)
            ),
            min_size=1,
            max_size=3,
        ).map(tuple),
        texts,
        keys,
    ),
    max_size=2,
).map(tuple)
documents: SearchStrategy[Document] = st.builds(
    Document,
    language=st.sampled_from(("en-US", "en-GB")),
    slug=st.just("hat"),
    title=texts,
    by=texts,
    by_line=st.just(""),
    about=lists,
    headings=st.just(HEADINGS) | st.builds(Headings, *[texts] * 11),
    sizes=lists,
    sizes_note=texts,
    measurements=lists,
    materials=keys,
    gauge=lists,
    abbreviations=keys,
    special_stitches=keys,
    notes=lists,
    cautions=lists,
    sections=st.lists(st.builds(Section, texts, anchors, entries), max_size=2).map(tuple),
    finishing=lists,
    charts=charts,
    pictures=st.lists(st.builds(Picture, texts, texts), max_size=2).map(tuple),
    controls=st.just(CONTROLS),
).map(lambda made: replace(made, by_line=f"by {made.by}"))
FRAGMENT_TAGS = {
    "html", "head", "body", "article", "header", "section", "h2", "h3", "p", "ul", "li", "dl", "div", "dt",
    "dd", "b", "span", "strong", "img", "table", "caption", "tbody", "tr", "th", "td",
}  # fmt: skip
PAGE_TAGS = FRAGMENT_TAGS - {"h3"} | {
    "meta", "title", "style", "main", "h1", "ol", "a", "input", "script", "fieldset", "legend", "label",
}  # fmt: skip
MARKDOWN_TAGS = {
    "html",
    "head",
    "body",
    "h1",
    "h2",
    "p",
    "ul",
    "li",
    "strong",
    "blockquote",
    "pre",
    "code",
    "img",
}


EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.tch"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_reads_alike_in_all_formats(path: Path) -> None:
    analysis = analyse(Source(path.name, path.read_text("utf-8")))
    assert_same_words(compiled(analysis, "US", "full"))


def test_the_hat_reads_alike_in_all_formats() -> None:
    assert_same_words(HAT)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_every_field(text: str) -> None:
    for inside in (text, f"sc {text}{text}"):
        assert_same_words(everywhere(inside))


@settings(max_examples=40)
@given(documents)
def test_any_text_reads_alike_in_all_formats(document: Document) -> None:
    assert_same_words(document)


def assert_same_words(document: Document) -> None:
    """All formats give the document's words, and none makes an element of them."""
    words = document_words(plain(document))
    assert text_words(render(document, "text")) == without_rules(words)
    page, fragment = render(document, "html"), render(document, "fragment")
    for markup, tags in ((page, PAGE_TAGS), (fragment, FRAGMENT_TAGS)):
        assert html_words(markup) == words
        assert tags_in(markup) <= tags
    machines = json.loads(html_tree(page).find("head/script").text)
    shown = " ".join(words)
    assert [told for told in sayings(machines) if " ".join(told.split()) not in shown] == []
    post = render(document, "markdown")
    assert not any(code in post for code in ("{{", "{%", "{#", "{:"))
    for name, engine in MARKDOWN_ENGINES.items():
        shown = engine(post)
        assert html_words(shown) == words, name
        assert tags_in(shown) <= MARKDOWN_TAGS, name


def sayings(data: Any) -> Iterator[str]:
    """The texts of linked data: all but addresses, types and the tag of the language."""
    if isinstance(data, list):
        for each in data:
            yield from sayings(each)
    elif isinstance(data, dict):
        for key, value in data.items():
            if key not in ("@context", "@type", "inLanguage", "url", "image"):
                yield from sayings(value)
    else:
        yield data


def tags_in(markup: str) -> set[str]:
    return set(_tags(markup))


def _tags(markup: str) -> Iterator[str]:
    for element in html_tree(markup).iter():
        yield element.tag if isinstance(element.tag, str) else "comment"


def everywhere(text: str) -> Document:
    """A document that says `text` in every field a maker or a wording can fill."""
    term, plain_term, some = Term(text, text, text), Term(text, text), (text, text)
    row = RowText(text, "piece-row-1", text, text)
    square = Term("X", text)
    chart = Chart(text, "chart", (ChartLine("1", (square, square)),), text, (term,))
    picture = Picture(text, text)
    prose = tuple(Prose(kind, text) for kind in ("start", "note", "caution", "caution", "finish"))
    return Document(
        language="en-US", slug="hat", title=text, by=text, by_line=text, about=some,
        headings=Headings(*[text] * 11), sizes=some, sizes_note=text, measurements=some,
        materials=(term, plain_term), gauge=some, abbreviations=(plain_term, term),
        special_stitches=(term, term), notes=some, cautions=some,
        sections=(Section(text, "piece", (row, *prose, row, picture, row)),), finishing=some,
        charts=(chart, chart), pictures=(picture,), controls=CONTROLS,
    )  # fmt: skip
