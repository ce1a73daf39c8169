"""What every format does first: the document's words, rid of what no print can show.

Line breaks, tabs and runs of spaces become one space, so that an author's text can't break out of its line.
Control characters go, and with them the codes that turn the reading direction of the text around them. Words
left empty are left out. A row's count gets its brackets here, so that all formats have the same ones.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from ..document import Document, RowText, Section

_SPACES = re.compile("[ \t\n\v\f\r\x1c-\x1f\x85\u2028\u2029]+")
_LAST_OF_PLANES = "".join(
    chr(plane + last) for plane in range(0, 0x110000, 0x10000) for last in (0xFFFE, 0xFFFF)
)
# The marks U+200E, U+200F and U+061C stay: they sit in right-to-left names and turn nothing but themselves.
_UNPRINTABLE = re.compile(
    "[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f"  # control characters
    "\u202a-\u202e\u2066-\u2069"  # embedded, overridden and isolated directions
    "\ufeff\ufff9-\ufffb"  # byte order mark, annotation
    "\ud800-\udfff"  # halves of a pair: no file can hold them
    f"\ufdd0-\ufdef{_LAST_OF_PLANES}]"  # never characters
)


def plain(document: Document) -> Document:
    """The document as it is printed, whatever the format."""
    return _bracket_counts(_clean(document))


def clean_text(text: str) -> str:
    """The text on one line, with nothing unprintable in it."""
    if text.isprintable() and "  " not in text:
        return text.strip()
    return _SPACES.sub(" ", _UNPRINTABLE.sub("", text)).strip()


def _clean(value: Any) -> Any:
    if isinstance(value, str):
        return clean_text(value)
    if isinstance(value, int):
        return value
    if isinstance(value, tuple):
        return tuple(entry for entry in map(_clean, value) if entry != "")
    return type(value)(*(_clean(getattr(value, name)) for name in value.__match_args__))


def _bracket_counts(document: Document) -> Document:
    """Round brackets, or square ones in a pattern whose counts already have round ones for its sizes."""
    rows = [row for section in document.sections for row in section.entries if isinstance(row, RowText)]
    opening, closing = "[]" if any("(" in row.count for row in rows) else "()"

    def bracketed(section: Section) -> Section:
        entries = (
            replace(entry, count=f"{opening}{entry.count}{closing}")
            if isinstance(entry, RowText) and entry.count
            else entry
            for entry in section.entries
        )
        return replace(section, entries=tuple(entries))

    return replace(document, sections=tuple(map(bracketed, document.sections)))
