"""The patterns that a command was given, read and analysed, and their diagnostics shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from ...lang.diagnostics import Diagnostic, Severity
from ...lang.source import Source
from .. import files
from ..pipeline import Analysis, analyse


@dataclass(frozen=True, slots=True)
class Loaded:
    """One pattern."""

    name: str
    """As given on the command line."""
    analysis: Analysis
    included: tuple[Path, ...]
    """The files it brings in by `use`, found or not."""
    folder: Path
    """Where its other files are: its own folder, or the one at hand for standard input."""
    read: files.Included
    """Reads those that it brings in."""


def load(name: str) -> Loaded:
    """Return the pattern in the file `name`, or from standard input.

    Raises OSError with words for the maker.
    """
    source = files.read(name)
    folder = Path() if name == files.STANDARD_INPUT else Path(name).parent
    included = files.Included(folder)
    analysis = analyse(source, included)
    return Loaded(name, analysis, included.paths, folder, included)


def load_all(names: Iterable[str]) -> tuple[list[Loaded], list[str]]:
    """Return the patterns that can be read, and a line about each that can't."""
    loaded, problems = [], []
    for name in dict.fromkeys(names):
        try:
            loaded.append(load(name))
        except OSError as error:
            problems.append(unreadable(name, error))
    return loaded, problems


def unreadable(name: str, error: OSError) -> str:
    """Return the line about a file that can't be read."""
    what = "standard input" if name == files.STANDARD_INPUT else files.shown(name)
    return f"turnchain: {what} can't be read: {files.why(error)}"


def report(
    analyses: Sequence[Analysis], format_name: str = "text", *, strict: bool = False, colour: bool = False
) -> str:
    """Return what is wrong with the patterns and what they bring in; if all is well, what there is of it."""
    found, of_file = _found(analyses, strict)
    sources = [each.source for each in analyses]

    def source_of(diagnostic: Diagnostic) -> Source:
        return of_file[id(diagnostic)]

    if format_name == "json":
        from ..report.json import json_text

        return json_text(found, source_of, sources)
    if format_name == "line":
        from ..report.line import lines

        return lines(found, source_of)
    if format_name == "sarif":
        from ..report.sarif import sarif

        return sarif(found, source_of, sources)
    if format_name == "annotations":
        from ..report.annotations import annotated

        return annotated(found, source_of)
    from ..report.text import rich_text, summary

    if found:
        return rich_text(found, source_of, colour)
    return f"{summary((), sources)}, {rows_said(analyses)}" if sources else ""


def _found(analyses: Sequence[Analysis], strict: bool) -> tuple[list[Diagnostic], dict[int, Source]]:
    found: list[Diagnostic] = []
    of_file: dict[int, Source] = {}
    files_seen: set[str] = set()
    for analysis in analyses:
        for source, diagnostics in ((analysis.source, analysis.diagnostics), *analysis.included):
            if source.name in files_seen:
                continue
            files_seen.add(source.name)
            for each in diagnostics:
                one = replace(each, severity=Severity.ERROR) if strict else each
                found.append(one)
                of_file[id(one)] = source
    return found, of_file


def has_warnings(analysis: Analysis) -> bool:
    """Tell whether there is anything to say of a pattern at all."""
    return bool(analysis.diagnostics) or any(found for _, found in analysis.included)


def rows_said(analyses: Sequence[Analysis]) -> str:
    """Return how many rows the patterns have: `23 rows`, in sizes that differ `23/27 rows`."""
    from ..counted import Block

    units: set[str] = set()
    totals: list[int] = []
    for size in range(max((len(each.patterns) for each in analyses), default=0)):
        total = 0
        for analysis in analyses:
            pattern = analysis.patterns[min(size, len(analysis.patterns) - 1)]
            for piece in pattern.pieces:
                for part in piece.parts:
                    if isinstance(part, Block):
                        total += part.times
                        units.add(part.stretch.node.label.unit)
        totals.append(total)
    if len(set(totals)) == 1:
        del totals[1:]
    if len(analyses) > 1:
        del totals[:-1]
    unit = "round" if units == {"round"} else "row"
    return f"{'/'.join(map(str, totals))} {unit}{'' if totals == [1] else 's'}"
