"""What every size found, put together: each place and kind of fault said once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.source import Span
from ..lang.syntax import Number, Row, Tree


def merged(found: Sequence[Sequence[Diagnostic]], sizes: Sequence[str], tree: Tree) -> list[Diagnostic]:
    """Return the diagnostics of all sizes, each place and kind once, naming the sizes it holds in."""
    by_place: dict[tuple[str, Span], list[Diagnostic]] = {}
    for of_size in found:
        for each in of_size:
            by_place.setdefault((each.name, each.span), []).append(each)
    return [_together(group, sizes, tree) for group in by_place.values()]


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
