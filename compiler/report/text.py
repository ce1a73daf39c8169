"""Diagnostics for people at a terminal: the message, the author's line with the counts under it, the sums.

The last line of a report says how much there is in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ...lang.diagnostics import Diagnostic, Label, Severity
from ...lang.source import Source
from .excerpt import Line, Mark, excerpt, marked_lines
from .files import SourceOf, by_file
from .width import visible

NEAR = 3
"""Lines from the fault within which a related place is shown in the same excerpt."""

COLOURS = {
    "error": "1;31",
    "warning": "1;33",
    "message": "1",
    "gutter": "2",
    "tally": "36",
    "related": "34",
    "help": "32",
}
"""The SGR codes (ECMA-48, 8.3.117) of each style."""


def rich_text(diagnostics: Iterable[Diagnostic], source_of: SourceOf, colour: bool = False) -> str:
    """Return all diagnostics in full, in the order of their places, and a summary; empty if there are none.

    With `colour` the text holds terminal colour codes. It has no final line break.
    """
    files = by_file(diagnostics, source_of)
    if not files:
        return ""
    blocks = [_lines(one, source) for source, here in files for one in here]
    every = [one for _, here in files for one in here]
    blocks.append([((summary(every, [source for source, _ in files]), "message"),)])
    return "\n\n".join("\n".join(_printed(line, colour) for line in block) for block in blocks)


def summary(diagnostics: Iterable[Diagnostic], sources: Sequence[Source]) -> str:
    """Return `2 errors, 1 warning in hat.tch`, or `no errors in hat.tch`; several files are only counted."""
    severities = [one.severity for one in diagnostics]
    counts = [(severities.count(each), each.value) for each in Severity]
    found = ", ".join(f"{count} {word}{'s' * (count != 1)}" for count, word in counts if count)
    where = visible(sources[0].name) if len(sources) == 1 else f"{len(sources)} files"
    return f"{found or 'no errors'} in {where}"


def _lines(diagnostic: Diagnostic, source: Source) -> list[Line]:
    style = diagnostic.severity.value
    fault = Mark(diagnostic.span, diagnostic.label, style, "^")
    tallies = [Mark(one.span, one.text, "tally") for one in diagnostic.tallies]
    near, far = _related(diagnostic, source)
    groups = [[fault, *near, *tallies], *far]
    gutter = max(len(str(number)) for marks in groups for number in marked_lines(source, marks))
    result: list[Line] = [
        ((f"{style}[{diagnostic.name}]", style), (f": {visible(diagnostic.message)}", "message"))
    ]
    for marks in groups:
        start = min(max(marks[0].span.start, 0), len(source.text))
        place = f"{visible(source.name)}:{source.line_number(start)}:{source.column(start)}"
        result.append(((" " * gutter + "--> ", "gutter"), (place, "")))
        result.extend(excerpt(source, marks, gutter))
    result += [
        ((" " * gutter + " = ", "gutter"), (visible(words), kind)) for words, kind in _remarks(diagnostic)
    ]
    return result


def _related(diagnostic: Diagnostic, source: Source) -> tuple[list[Mark], list[list[Mark]]]:
    """Return the related places that stand near the fault, and the others grouped by where they stand."""
    first, last = (source.line_number(offset) for offset in diagnostic.span)
    near: list[Mark] = []
    far: list[list[Mark]] = []
    for label in sorted(diagnostic.related, key=lambda one: one.span):
        mark = _related_mark(label)
        number = source.line_number(label.span.start)
        if first - NEAR <= number <= last + NEAR:
            near.append(mark)
        elif far and number - source.line_number(far[-1][-1].span.start) <= NEAR:
            far[-1].append(mark)
        else:
            far.append([mark])
    return near, far


def _related_mark(label: Label) -> Mark:
    return Mark(label.span, label.text, "related", "-")


def _remarks(diagnostic: Diagnostic) -> Iterator[tuple[str, str]]:
    for note in diagnostic.notes:
        yield note, ""
    help_ = diagnostic.help or (diagnostic.fix.title if diagnostic.fix else "")
    if help_:
        yield f"help: {help_}", "help"
    if diagnostic.sizes:
        yield f"in size{'s' * (len(diagnostic.sizes) > 1)} {', '.join(diagnostic.sizes)}", ""


def _printed(line: Line, colour: bool) -> str:
    runs = [(text, COLOURS.get(style, "")) for text, style in line]
    text = "".join(f"\x1b[{code}m{text}\x1b[0m" if colour and code and text else text for text, code in runs)
    return text.rstrip()
