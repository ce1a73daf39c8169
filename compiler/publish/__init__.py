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
from .plain import plain


def _encoded(text: str, _: str) -> bytes:
    return text.encode()


@dataclass(frozen=True, slots=True)
class Format:
    """A way to lay a document out."""

    name: str
    """What the maker asks for: `html`."""
    suffix: str
    """What the published file's name ends with: `.html`."""
    render: Callable[[Document], str]
    """Lays out a document that went through `plain`."""
    stands_alone: bool = False
    """Whether pictures belong into the file itself."""
    written: Callable[[str, str], bytes] = _encoded
    """Makes the file's content of what was laid out, for a kind of paper."""


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


def render(document: Document, format_name: str) -> str:
    """The published pattern in one of `FORMATS`, ending in one newline. KeyError for any other name."""
    return FORMATS[format_name].render(plain(document))
