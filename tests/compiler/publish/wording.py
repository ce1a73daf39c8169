"""The words of a document in reading order, and the words that each format gives its reader."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import cmarkgfm  # type: ignore[import-untyped]
import html5lib  # type: ignore[import-untyped]
import markdown
from markdown_it import MarkdownIt
from turnchain.compiler.document import Document, Picture, RowText

Words = list[str]

MARKDOWN_ENGINES: Mapping[str, Callable[[str], str]] = {
    "markdown-it": MarkdownIt("commonmark").render,
    "cmark-gfm": lambda source: str(cmarkgfm.github_flavored_markdown_to_html(source)),
    "Python-Markdown": markdown.markdown,
    "Python-Markdown with set dashes": lambda source: markdown.markdown(
        source, extensions=["smarty"], extension_configs={"smarty": {"smart_quotes": False}}
    ),
    "Python-Markdown with extras": lambda source: markdown.markdown(
        source, extensions=["extra", "admonition"]
    ),
}


def document_words(document: Document) -> Words:
    """What a reader is to read, for a document that went through `plain`."""
    return " ".join(_phrases(document)).split()


def html_words(markup: str) -> Words:
    """The words of the body as a browser reads it, without the choice of a size."""
    body = html_tree(markup).find("body")
    for section in body.findall(".//section"):
        for choice in section.findall("fieldset"):
            section.remove(choice)
    for picture in body.iter("img"):
        picture.text = f"[{picture.get('alt')}]" if picture.get("alt") else ""
    return "".join(body.itertext()).split()


def html_tree(markup: str) -> Any:
    return html5lib.parse(markup, namespaceHTMLElements=False)


def text_words(text: str) -> Words:
    """The words of plain text, without the lines under headings and the dashes before entries."""
    return without_rules(text.split())


def without_rules(words: Words) -> Words:
    return [word for word in words if not re.fullmatch("-+|=+", word)]


def _phrases(document: Document) -> Iterator[str]:
    headings = document.headings
    yield from (document.title, document.by_line, *document.about)
    yield from (f"[{picture.words}]" for picture in document.pictures if picture.words)
    if document.sizes or document.sizes_note:
        yield from (headings.sizes, *document.sizes, document.sizes_note)
    for heading, entries in (
        (headings.measurements, document.measurements),
        (headings.materials, document.materials),
        (headings.gauge, document.gauge),
        (headings.abbreviations, document.abbreviations),
        (headings.special_stitches, document.special_stitches),
        (headings.notes, document.notes),
        (headings.cautions, document.cautions),
    ):
        if entries:
            yield heading
        for entry in entries:
            yield entry if isinstance(entry, str) else f"{entry.term}: {entry.meaning} {entry.explanation}"
    if document.charts:
        yield headings.charts
    for chart in document.charts:
        yield chart.title
        for squares in chart.lines:
            yield squares.label
            yield from (square.term for square in squares.squares)
        yield chart.reading
        yield from (f"{term.term}: {term.meaning} {term.explanation}" for term in chart.key)
    for section in document.sections:
        yield section.title
        for line in section.entries:
            match line:
                case RowText():
                    yield f"{line.label}: {line.text} {line.count}"
                case Picture():
                    yield f"[{line.words}]" if line.words else ""
                case _:
                    yield line.text
    if document.finishing:
        yield from (headings.finishing, *document.finishing)
