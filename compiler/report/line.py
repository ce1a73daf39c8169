"""Diagnostics one to a line, for editors and build logs: `file:line:column: error[name]: message`."""

from __future__ import annotations

from collections.abc import Iterable

from ...lang.diagnostics import Diagnostic
from ...lang.source import Source
from .files import SourceOf, by_file
from .width import visible


def lines(diagnostics: Iterable[Diagnostic], source_of: SourceOf) -> str:
    """Return one line each, in the order of their places; empty if there is nothing to say.

    Lines and columns are counted from 1, columns in characters.
    """
    return "\n".join(_line(one, source) for source, here in by_file(diagnostics, source_of) for one in here)


def _line(diagnostic: Diagnostic, source: Source) -> str:
    start = diagnostic.span.start
    place = f"{source.name}:{source.line_number(start)}:{source.column(start)}"
    return visible(f"{place}: {diagnostic.severity.value}[{diagnostic.name}]: {diagnostic.message}")
