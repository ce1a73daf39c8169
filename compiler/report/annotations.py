"""Diagnostics as commands of a workflow, `::error file=hat.tch,line=3,col=5::message`: what runs it sets them
beside the lines of a change.
"""

from __future__ import annotations

from collections.abc import Iterable

from ...lang.diagnostics import Diagnostic
from ...lang.source import Source
from .files import SourceOf, by_file

IN_WORDS = {"%": "%25", "\r": "%0D", "\n": "%0A"}
"""How characters are written that tell the command's own parts apart; from memory of the syntax."""

IN_PROPERTIES = {**IN_WORDS, ":": "%3A", ",": "%2C"}


def annotated(diagnostics: Iterable[Diagnostic], source_of: SourceOf) -> str:
    """Return one command each, in the order of their places; empty if there is nothing to say.

    Lines and columns are counted from 1, columns in characters.
    """
    return "\n".join(
        _command(one, source) for source, here in by_file(diagnostics, source_of) for one in here
    )


def _command(diagnostic: Diagnostic, source: Source) -> str:
    start, end = diagnostic.span
    properties = {
        "file": source.name,
        "line": source.line_number(start),
        "endLine": source.line_number(end),
        "col": source.column(start),
        "endColumn": source.column(end),
        "title": diagnostic.name,
    }
    told = ",".join(f"{name}={_escaped(str(value), IN_PROPERTIES)}" for name, value in properties.items())
    words = diagnostic.message
    if diagnostic.sizes:
        words = f"{words} (in size {', '.join(diagnostic.sizes)})"
    message = "\n".join(filter(None, (words, *diagnostic.notes, diagnostic.help)))
    return f"::{diagnostic.severity.value} {told}::{_escaped(message, IN_WORDS)}"


def _escaped(text: str, table: dict[str, str]) -> str:
    return "".join(table.get(char, char) for char in text)
