"""One diagnostic for one mistake: what every size found, put together and said once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.source import Source, Span
from ..lang.syntax import Number, Row, Tree
from .faults import UNKNOWN


def merged(found: Sequence[Sequence[Diagnostic]], sizes: Sequence[str], tree: Tree) -> list[Diagnostic]:
    """Return the diagnostics of all sizes, each place and kind once, naming the sizes it holds in."""
    by_place: dict[tuple[str, Span], list[Diagnostic]] = {}
    for of_size in found:
        for each in of_size:
            by_place.setdefault((each.name, each.span), []).append(each)
    return [_together(group, sizes, tree) for group in by_place.values()]


_OF_ONE_CAUSE = UNKNOWN | {"unknown-piece"}
_MOST_LINES = 5


def told_once(found: Sequence[Diagnostic], source: Source) -> list[Diagnostic]:
    """Return the diagnostics with what has one cause told at its first place; the fix mends every place."""
    by_cause: dict[object, list[Diagnostic]] = {}
    for each in found:
        no_sizes = each.name == "size-count" and each.facts.get("expected") == 1
        cause = (each.name, each.message) if no_sizes or each.name in _OF_ONE_CAUSE else id(each)
        by_cause.setdefault(cause, []).append(each)
    return [_at_first_place(group, source) for group in by_cause.values()]


def _at_first_place(group: list[Diagnostic], source: Source) -> Diagnostic:
    first, *others = sorted(group, key=lambda each: each.span)
    if not others:
        return first
    fixes = [each.fix for each in (first, *others) if each.fix is not None]
    fix = first.fix and replace(first.fix, edits=tuple(edit for each in fixes for edit in each.edits))
    lines = list(dict.fromkeys(source.line_number(each.span.start) for each in others))
    said = ", ".join(map(str, lines[:_MOST_LINES]))
    more = f" and {len(lines) - _MOST_LINES} more" if len(lines) > _MOST_LINES else ""
    note = f"the same in line{'s' if len(lines) > 1 else ''} {said}{more}"
    return replace(first, notes=(*first.notes, note), fix=fix)


def _together(group: list[Diagnostic], sizes: Sequence[str], tree: Tree) -> Diagnostic:
    first = group[0]
    in_sizes = tuple(dict.fromkeys(size for each in group for size in each.sizes))
    notes = first.notes
    for other in group[1:]:
        if other.message != first.message and other.sizes != first.sizes:
            notes = (*notes, f"in size {', '.join(other.sizes)}: {other.message}")
    shown = in_sizes if len(in_sizes) < len(sizes) else ()
    if len(notes) > len(first.notes):
        shown = in_sizes
    one = replace(first, notes=notes, sizes=shown)
    return _with_total(one, group, sizes, tree) if first.name == "stated-total" else one


def _with_total(one: Diagnostic, group: list[Diagnostic], sizes: Sequence[str], tree: Tree) -> Diagnostic:
    """Offer the total that was counted, in every size that was counted otherwise than stated."""
    number = _stated_number(one.span, tree)
    if number is None:
        return one
    values = list(number.values)
    many = max(1, len(sizes))
    if len(values) == 1:
        values *= many
    if len(values) != many:
        return one
    for each in group:
        found = each.facts["found"]
        assert isinstance(found, int)
        values[sizes.index(each.sizes[0]) if each.sizes else 0] = found
    text = str(values[0]) if len(set(values)) == 1 else "/".join(map(str, values))
    start = one.span.start
    end = start + (number.span.end - number.span.start)
    span = Span(start, end)
    return replace(
        one,
        help=f"write `{text}`, or change what is worked" if len(values) > 1 else one.help,
        fix=Fix(f"write `{text}`", (Label(span, text),), safe=False),
    )


def _stated_number(span: Span, tree: Tree) -> Number | None:
    for statement in tree.statements:
        if statement.start <= span.start < statement.start + len(statement.text):
            if isinstance(statement.node, Row):
                for part in statement.node.total:
                    if part.span.shifted(statement.start) == span and isinstance(part.count, Number):
                        return part.count
            return None
    return None
