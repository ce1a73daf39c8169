"""Plain text, for mail and for hosts that take nothing else: one row a line, however long."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..document import Chart, Document, Picture, Prose, RowText, Section, Term
from .layout import Layout


def render(document: Document, _: Layout) -> str:
    """The pattern with underlined headings."""
    return "\n\n".join(_blocks(document)) + "\n"


def _blocks(document: Document) -> Iterator[str]:
    headings = document.headings
    yield _underlined(document.title, "=")
    yield from filter(None, (document.by_line, "\n".join(document.about)))
    yield from _pictures(document.pictures)
    yield from _under(headings.sizes, [_list(document.sizes), document.sizes_note])
    yield from _under(headings.measurements, [_list(document.measurements)])
    yield from _under(headings.materials, [_key(document.materials)])
    yield from _under(headings.gauge, document.gauge)
    yield from _under(headings.abbreviations, [_key(document.abbreviations)])
    yield from _under(headings.special_stitches, [_key(document.special_stitches)])
    yield from _under(headings.notes, [_list(document.notes)])
    yield from _under(headings.cautions, document.cautions)
    charts = [block for chart in document.charts for block in _chart(chart)]
    yield from _under(headings.charts, charts)
    for section in document.sections:
        yield _underlined(section.title, "-")
        yield from _piece(section)
    yield from _under(headings.finishing, document.finishing)


def _pictures(pictures: Sequence[Picture]) -> Iterator[str]:
    yield from (f"[{picture.words}]" for picture in pictures if picture.words)


def _under(heading: str, blocks: Sequence[str]) -> Iterator[str]:
    if any(blocks):
        yield _underlined(heading, "-")
        yield from filter(None, blocks)


def _underlined(heading: str, line: str) -> str:
    return f"{heading}\n{line * len(heading)}"


def _list(entries: Sequence[str]) -> str:
    return "\n".join(f"- {entry}" for entry in entries)


def _key(terms: Sequence[Term]) -> str:
    return "\n".join(
        f"{term.term}: {term.meaning}" + (f"\n    {term.explanation}" if term.explanation else "")
        for term in terms
    )


def squares(chart: Chart) -> list[str]:
    """A chart's rows as lines, each with its number; squares have a blank between them."""
    wide = max((len(line.label) for line in chart.lines), default=0)
    return [
        " ".join([f"{line.label:>{wide}} ", *(square.term for square in line.squares)])
        for line in chart.lines
    ]


def _chart(chart: Chart) -> tuple[str, ...]:
    return chart.title, "\n".join(squares(chart)), chart.reading, _key(chart.key)


def _piece(section: Section) -> Iterator[str]:
    rows: list[str] = []
    for entry in section.entries:
        match entry:
            case RowText():
                rows.append(" ".join(filter(None, (f"{entry.label}:", entry.text, entry.count))))
            case Picture():
                if rows:
                    yield "\n".join(rows)
                    rows = []
                yield from _pictures((entry,))
            case Prose():
                if rows:
                    yield "\n".join(rows)
                    rows = []
                yield entry.text
    if rows:
        yield "\n".join(rows)
