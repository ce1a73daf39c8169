"""Diagnostics sorted for a reader: file by file, and in the order of their places."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from ...lang.diagnostics import Diagnostic
from ...lang.source import Source

SourceOf = Callable[[Diagnostic], Source]
"""Tells which file a diagnostic's spans point into."""


def by_file(
    diagnostics: Iterable[Diagnostic], source_of: SourceOf, sources: Iterable[Source] = ()
) -> tuple[tuple[Source, tuple[Diagnostic, ...]], ...]:
    """Return each file with its diagnostics in the order of their places.

    `sources` come first, even those with nothing to say; further files follow as they are met.
    """
    known = {source.name: source for source in sources}
    found: dict[str, list[Diagnostic]] = {name: [] for name in known}
    for diagnostic in diagnostics:
        source = source_of(diagnostic)
        known.setdefault(source.name, source)
        found.setdefault(source.name, []).append(diagnostic)
    return tuple((known[name], tuple(sorted(here, key=lambda d: d.span))) for name, here in found.items())
