"""One diagnostic for one mistake: what has one cause, anywhere in the pattern, is told at one place."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence, Set
from dataclasses import replace
from itertools import pairwise

from ..lang.diagnostics import Diagnostic, Fix, Label, Severity
from ..lang.source import Source, Span
from ..lang.syntax import Row, Statement, Text, Tree
from .faults import UNKNOWN
from .underway import MISFITS

_NAMED = re.compile(r"`(\w+)`|\bpiece (\w+)")
_NAMES = UNKNOWN | {"unknown-piece", "unknown-square"}
_OF_A_ROW = MISFITS | {
    "row-number",
    "stated-total",
    "rows-do-not-fit",
    "until-missed",
}
_VALUES = re.compile(r"[0-9.]+(?:/[0-9.]+)+")
_MOST_LINES = 5
_ALIKE = frozenset(
    {
        "the values of several sizes stand with `/` between them",
        "the values of several sizes stand without blanks",
    }
)
"""What is said of a way to write that a whole pattern is likely to have."""


def told_once(found: Iterable[Diagnostic], tree: Tree, source: Source) -> list[Diagnostic]:
    """Return the diagnostics with what has one cause told at its first place; the fix mends every place."""
    by_cause: dict[object, list[Diagnostic]] = defaultdict(list)
    found = _of_sizes(list(found), tree, source)
    misnumbered = {_row_at(each.span.start, tree) for each in found if each.name == "row-number"}
    for each in found:
        by_cause[_cause(each, tree, misnumbered)].append(each)
    return [_at_first_place(group, source) for group in by_cause.values()]


def told_of_lines(found: Iterable[Diagnostic], tree: Tree, source: Source) -> list[Diagnostic]:
    """Return what is said of lines that can't be read, with one slip made line after line told once."""
    by_cause: dict[object, list[Diagnostic]] = defaultdict(list)
    starts = {each.start for each in tree.statements}
    for each in _joined(list(found), tree, source):
        alike = each.span.start in starts or each.message in _ALIKE
        by_cause[(each.name, each.message) if alike else id(each)].append(each)
    return [_at_first_place(group, source) for group in by_cause.values()]


def _joined(found: list[Diagnostic], tree: Tree, source: Source) -> list[Diagnostic]:
    """Say of a line that ends with a comma, and of the next that begins with no word of the language, what
    joins them: the next is to be indented."""
    by_start = {each.start: each for each in tree.statements if each.faulty}
    for first, second in pairwise(tree.statements):
        broken = [each for each in found if first.start <= each.span.start < first.start + len(first.text)]
        after = [each for each in found if each.span.start == second.start and second.start in by_start]
        ends = len(first.text.rstrip()) + first.start
        if len(broken) != 1 or len(after) != 1 or first.text.rstrip()[-1:] != ",":
            continue
        if broken[0].span.end != ends or source.line_number(ends) + 1 != source.line_number(second.start):
            continue
        at = Span(second.start, second.start)
        advice = "indent this line: put two blanks before it"
        found = [each for each in found if each not in (broken[0], after[0])]
        found.append(
            Diagnostic(
                "stray-word",
                "the line above ends with a comma, and goes on here",
                after[0].span,
                help=advice,
                fix=Fix(advice, (Label(at, "  "),), safe=True),
            )
        )
    return found


def name_in(found: Diagnostic) -> str:
    """Return the name that a message is about, its case folded."""
    named = _NAMED.search(found.message)
    return (named[1] or named[2]).casefold() if named else ""


def _cause(found: Diagnostic, tree: Tree, misnumbered: Set[int | None]) -> object:
    """Return what two diagnostics share if one mistake made both."""
    if found.severity is not Severity.ERROR:
        return id(found)
    if found.name in _NAMES:
        return name_in(found) or found.message
    if found.name == "rows-or-rounds":
        return found.name, found.message
    if found.name == "missing-header":
        return found.name, found.facts.get("line")
    if found.name == "uneven-ratio":
        return found.name, tuple(found.facts.items())
    row = _row_at(found.span.start, tree)
    of_the_row = row is not None and (found.name in _OF_A_ROW or row in misnumbered)
    return row if of_the_row else id(found)


def _row_at(place: int, tree: Tree) -> int | None:
    """Return where the row begins that a place lies in."""
    index = bisect_right(tree.statements, place, key=lambda each: each.start)
    statement = tree.statements[index - 1] if index else None
    return statement.start if statement is not None and isinstance(statement.node, Row) else None


def _at_first_place(group: list[Diagnostic], source: Source) -> Diagnostic:
    first, *others = sorted(group, key=lambda each: each.span)
    if not others:
        return first
    line = source.line_number(first.span.start)
    if first.name not in _NAMES and all(source.line_number(each.span.start) == line for each in others):
        return replace(first, notes=(*first.notes, *(f"and {each.message}" for each in others)))
    fixes = [each.fix for each in (first, *others) if each.fix is not None]
    fix = first.fix and replace(first.fix, edits=tuple(edit for each in fixes for edit in each.edits))
    return replace(first, notes=(*first.notes, f"the same in {_lines(others, source)}"), fix=fix)


def _lines(found: Sequence[Diagnostic], source: Source) -> str:
    lines = list(dict.fromkeys(source.line_number(each.span.start) for each in found))
    said = ", ".join(map(str, lines[:_MOST_LINES]))
    more = f" and {len(lines) - _MOST_LINES} more" if len(lines) > _MOST_LINES else ""
    return f"line{'s' if len(lines) > 1 else ''} {said}{more}"


# ---- sizes -------------------------------------------------------------------------------------------------


def _of_sizes(found: list[Diagnostic], tree: Tree, source: Source) -> list[Diagnostic]:
    """Return the diagnostics with one for the line `sizes` if it is the line that is wrong."""
    named = next((each for each in tree.statements if _names_sizes(each)), None)
    if named is not None and any(_lies_in(each, named) for each in found):
        return [each for each in found if not _hangs_on_sizes(each)]
    miscounted = sorted(
        (each for each in found if each.name == "size-count" and _hangs_on_sizes(each)),
        key=lambda each: each.span,
    )
    if named is not None and miscounted and (bare := _without_commas(miscounted, named)) is not None:
        return [*(each for each in found if not _hangs_on_sizes(each)), bare]
    numbers = {(each.facts["found"], each.facts["expected"]) for each in miscounted}
    if len(miscounted) < 2 or len(numbers) > 1 or _agrees(miscounted[0].facts["expected"], source.text):
        return found
    left = [each for each in found if not _hangs_on_sizes(each)]
    return [*left, _wrong_sizes(miscounted, named, source)]


def _without_commas(miscounted: Sequence[Diagnostic], named: Statement) -> Diagnostic | None:
    """Return the diagnostic for a line `sizes` whose one name has a word for each value that is given."""
    assert isinstance(named.node, Text)
    text = " ".join(named.node.lines)
    words = text.split()
    given = {each.facts["found"] for each in miscounted}
    if "," in text or given != {len(words)}:
        return None
    right, span = ", ".join(words), named.node.span.shifted(named.start)
    return Diagnostic(
        "size-count",
        "one size is named here: commas stand between sizes",
        span,
        help=f"write `sizes {right}`",
        fix=Fix(f"write `sizes {right}`", (Label(span, f"sizes {right}"),), safe=False),
        facts=miscounted[0].facts,
    )


def _agrees(sizes: int | str, text: str) -> bool:
    """Tell whether any number has as many values as there are sizes."""
    return sizes != 1 and any(found.count("/") + 1 == sizes for found in _VALUES.findall(text))


def _names_sizes(statement: Statement) -> bool:
    return isinstance(statement.node, Text) and statement.node.key == "sizes"


def _lies_in(found: Diagnostic, statement: Statement) -> bool:
    return statement.start <= found.span.start < statement.start + len(statement.text)


def _hangs_on_sizes(found: Diagnostic) -> bool:
    return found.facts.get("line") == "sizes"


def _wrong_sizes(alike: Sequence[Diagnostic], named: Statement | None, source: Source) -> Diagnostic:
    """Return the one diagnostic for numbers that agree with one another, and not with the line `sizes`."""
    first = alike[0]
    given, expected = first.facts["found"], first.facts["expected"]
    if named is None:
        return replace(first, notes=(f"the same in {_lines(alike[1:], source)}",))
    assert isinstance(named.node, Text)
    sizes = "one size is" if expected == 1 else f"{expected} sizes are"
    return Diagnostic(
        "size-count",
        f"{sizes} named here, but numbers for {given} are given",
        named.node.span.shifted(named.start),
        notes=(f"they stand in {_lines(alike, source)}",),
        help=f"name {given} sizes with commas between them, or give numbers for "
        f"{'one' if expected == 1 else expected}",
        facts=first.facts,
    )
