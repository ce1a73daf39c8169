"""Layout: a document as HTML, Markdown or plain text. No counting, no wording.

All formats carry the same words in the same order. A new one is a module with a `render` function and its
line in `FORMATS`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from ..document import Document
from . import html, json, markdown, pdf, text
from .layout import Layout
from .plain import plain

_USUAL = Layout()


def _encoded(text: str, _: Layout) -> bytes:
    return text.encode()


@dataclass(frozen=True, slots=True)
class Format:
    """A way to lay a document out."""

    name: str
    """What the maker asks for: `html`."""
    suffix: str
    """What the published file's name ends with: `.html`."""
    render: Callable[[Document, Layout], str]
    """Lays out a document that went through `plain`."""
    stands_alone: bool = False
    """Whether pictures belong into the file itself."""
    written: Callable[[str, Layout], bytes] = _encoded
    """Makes the file's content of what was laid out."""


FORMATS: Mapping[str, Format] = MappingProxyType(
    {
        made.name: made
        for made in (
            Format("html", ".html", html.render_page, stands_alone=True),
            Format("fragment", ".fragment.html", html.render_fragment),
            Format("markdown", ".md", markdown.render),
            Format("text", ".txt", text.render),
            Format("json", ".json", json.render),
            Format("pdf", ".pdf", html.render_page, stands_alone=True, written=pdf.printed),
        )
    }
)


def render(document: Document, format_name: str, layout: Layout = _USUAL) -> str:
    """The published pattern in one of `FORMATS`, ending in one newline. KeyError for any other name.

    Raises TemplateFault for what is wrong with templates of the publisher's own.
    """
    return FORMATS[format_name].render(plain(document), layout)
