"""The published pattern as data: every word a reader sees, before any layout.

`wording` fills it, `publish` prints it. All text is plain: whatever an output format would take for markup is
that format's to escape. The author's words are kept as written.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Headings:
    """The heading of each section in the reader's terms."""

    sizes: str
    measurements: str
    materials: str
    gauge: str
    abbreviations: str
    special_stitches: str
    notes: str
    cautions: str
    finishing: str
    charts: str
    making_up: str
    """Where pieces are joined."""


@dataclass(frozen=True, slots=True)
class Controls:
    """What stands on the parts of a page that a reader can set."""

    show: str
    """Over the choice of a size."""
    all_sizes: str
    done: str
    """Beside a row's box to tick."""


@dataclass(frozen=True, slots=True)
class Term:
    """One entry of a key or list: a short word and what it means."""

    term: str
    """What the entry explains: `sc`, `Hook`, `Frill`."""
    meaning: str
    explanation: str = ""
    """How it is worked, in sentences; empty where there is nothing to add."""
    kind: str = ""
    """Of materials: `supply` for what is used up, `tool` for what is used."""


@dataclass(frozen=True, slots=True)
class ChartLine:
    """One row of a chart."""

    label: str
    """Its number, counted from the bottom."""
    squares: tuple[Term, ...]
    """Each square's character and what it stands for, from left to right."""


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart as it is seen from the right side, the top row first."""

    title: str
    anchor: str
    lines: tuple[ChartLine, ...]
    reading: str
    """From which end its rows are read."""
    key: tuple[Term, ...]


@dataclass(frozen=True, slots=True)
class RowText:
    """A row, a round, or like rows merged into one entry."""

    label: str
    """`Row 2`, `Rounds 17-30`, `Next 10 (12) rows`."""
    anchor: str
    """Stands for this row in links, such as `band-row-2`: unique in the pattern; a-z, 0-9 and hyphens."""
    text: str
    """The instructions, ending in a full stop."""
    count: str
    """What the row ends with, without brackets: `19 stitches`, `17 (21) stitches`; empty if nothing is."""
    sizes: tuple[int, ...] = ()
    """Which sizes have it, the first being 1; empty if all have."""


@dataclass(frozen=True, slots=True)
class Prose:
    """A paragraph between rows."""

    kind: str
    """`start`, `shaping`, `stripes`, `measure`, `close`, `seam`, `laid`, `note`, `finish` or `caution`."""
    text: str


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of the author's."""

    file: str
    """Its file, as the author named it from the pattern's folder; once put into a page, a `data:` URL."""
    words: str
    """What it shows, for readers who can't see it."""


@dataclass(frozen=True, slots=True)
class Section:
    """One piece, or how pieces are joined."""

    title: str
    anchor: str
    entries: tuple[RowText | Prose | Picture, ...]


@dataclass(frozen=True, slots=True)
class Document:
    """A whole pattern, ready to be laid out. Empty tuples and strings are left out of the print."""

    language: str
    """The text's language tag: `en-US`."""
    slug: str
    """The title in a-z, 0-9 and hyphens, for file names and the prefix of anchors."""
    title: str
    by: str
    by_line: str
    """`by Ines Calloway`."""
    about: tuple[str, ...]
    """Single facts under the title, each a short sentence: level, whom it is for, terms used."""
    headings: Headings
    sizes: tuple[str, ...]
    sizes_note: str
    """How several sizes are printed in the rows; empty for one size."""
    measurements: tuple[str, ...]
    materials: tuple[Term, ...]
    gauge: tuple[str, ...]
    abbreviations: tuple[Term, ...]
    special_stitches: tuple[Term, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    sections: tuple[Section, ...]
    finishing: tuple[str, ...]
    charts: tuple[Chart, ...]
    """Printed before the first piece."""
    pictures: tuple[Picture, ...]
    """Printed under the title."""
    controls: Controls
    time: str = ""
    """How long it takes in the author's words, which `about` tells too; empty if that is not said."""


def pictures(document: Document) -> Iterator[Picture]:
    """Yield every picture in the order in which it is seen."""
    yield from document.pictures
    for section in document.sections:
        yield from (entry for entry in section.entries if isinstance(entry, Picture))
