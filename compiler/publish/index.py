"""The index of a folder of patterns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..document import Picture
from .addresses import address
from .style import style
from .templating import filled


@dataclass(frozen=True, slots=True)
class IndexEntry:
    """What the index shows of one pattern."""

    title: str
    page: str
    """Its page, from the index."""
    picture: str
    """Its picture's file, from the index; empty if it has none."""
    picture_words: str
    about: tuple[str, ...]
    sizes: tuple[str, ...]
    language: str
    """The language tag of its words."""


def render_index(title: str, entries: Sequence[IndexEntry]) -> str:
    """A page that leads to every pattern, in the order of their titles."""
    values = {
        "title": title,
        "language": next((entry.language for entry in entries), ""),
        "entries": sorted(entries, key=lambda entry: (entry.title.casefold(), entry.page)),
        **style(),
        "address": lambda file: address(Picture(file, "")),
    }
    return filled("index.html", values)
