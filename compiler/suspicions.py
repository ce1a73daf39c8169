"""Warnings: what is legal, but likely not meant."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence, Set
from fractions import Fraction

from ..lang.diagnostics import Diagnostic, Fix, Label, Severity
from ..lang.source import Span
from ..lang.syntax import Body, Chart, Gauge, Hook, RepeatRows, Statement, Text, Tree, Yarn
from .counted import Block, CountedPattern, CountedRow
from .flat import measured_doubtfully
from .makes import places_used
from .mentions import Mentions, mentions
from .plan import Stretch
from .scope import Scope, items_of
from .seams import doubtful_seams
from .steps import LeaveStep


def suspicions(tree: Tree, scope: Scope, patterns: Sequence[CountedPattern]) -> tuple[Diagnostic, ...]:
    """Return every warning about a pattern, its places offsets into the source."""
    return (
        *_unusual_hook(scope),
        *_unusual_gauge(scope, patterns[0]),
        *_untold_pictures(scope),
        *_unused(tree, scope, patterns),
        *_unused_size(tree, scope, patterns),
        *_empty_runs(tree, scope, patterns),
        *_left_to_fit(scope, patterns),
        *measured_doubtfully(scope.dialect, patterns),
        *doubtful_seams(patterns),
    )


def _warning(
    name: str,
    message: str,
    span: Span,
    help_: str,
    *,
    related: tuple[Label, ...] = (),
    notes: tuple[str, ...] = (),
    sizes: tuple[str, ...] = (),
    fix: Fix | None = None,
) -> Diagnostic:
    return Diagnostic(
        name, message, span, Severity.WARNING, related=related, notes=notes, help=help_, sizes=sizes, fix=fix
    )


# ---- the hook ----------------------------------------------------------------------------------------------


def _unusual_hook(scope: Scope) -> Iterator[Diagnostic]:
    if not scope.hooks or not scope.yarns:
        return
    from ..lang.measures import convert, hook_is_usual, yarn_class

    statement = scope.hooks[0]
    assert isinstance(statement.node, Hook)
    size = statement.node.size
    if size.unit is None:
        return
    sizes = [convert(value, size.unit, "mm") for value in size.values]
    known = [
        (line, found)
        for line in scope.yarns.values()
        if isinstance(line.node, Yarn) and (found := yarn_class(" ".join(line.node.lines)))
    ]
    if not known or all(any(hook_is_usual(yarn, mm) for _, yarn in known) for mm in sizes):
        return
    line, yarn = known[0]
    assert isinstance(line.node, Yarn)
    least, most = yarn.hook
    usual = f"{float(least):g} to {float(most):g} mm" if most is not None else f"{float(least):g} mm or more"
    yield _warning(
        "unusual-hook",
        f"this hook is more than a size off the range that is usual for {yarn.name.lower()} yarn",
        size.span.shifted(statement.start),
        "keep it if it makes the fabric you want: the ranges are guidelines",
        related=(Label(line.node.span.shifted(line.start), "for this yarn"),),
        notes=(f"the Craft Yarn Council's guideline for {yarn.name.lower()} yarn is {usual}",),
    )


FINEST, COARSEST = 15, Fraction(1, 6)
"""Stitches in a centimetre beyond which a gauge is likely a slip. Common practice, no source."""


def _unusual_gauge(scope: Scope, pattern: CountedPattern) -> Iterator[Diagnostic]:
    if pattern.gauges.incomplete:
        return
    for statement, gauge in zip(scope.gauges, pattern.gauges, strict=True):
        node = statement.node
        assert isinstance(node, Gauge)
        many = gauge.stitches_in(1)
        if gauge.counted or COARSEST <= many <= FINEST:
            continue
        span = node.length.span.shifted(statement.start)
        written = f"{'/'.join(map(str, node.length.values))} cm"
        in_cm = node.length.unit == "mm" and COARSEST <= many / 10 <= FINEST
        yield _warning(
            "unusual-gauge",
            f"this gauge comes to {float(many):.3g} stitches in a centimetre",
            span,
            f"write `{written}` if centimetres are meant"
            if in_cm
            else "look at its numbers and its unit again",
            fix=Fix(f"write `{written}`", (Label(span, written),), safe=False) if in_cm else None,
        )


# ---- pictures ----------------------------------------------------------------------------------------------


def _untold_pictures(scope: Scope) -> Iterator[Diagnostic]:
    statements = scope.texts.get("picture", ())
    if statements:
        from .pictures import picture
    for statement in statements:
        assert isinstance(statement.node, Text)
        if not picture(statement.node).words:
            yield _warning(
                "untold-picture",
                "readers who can't see this picture are not told what it shows",
                statement.node.span.shifted(statement.start),
                "say it after a colon: `picture hat.jpg: The hat on a peg, its brim turned up`",
            )


# ---- what is named and never used --------------------------------------------------------------------------


def _unused(tree: Tree, scope: Scope, patterns: Sequence[CountedPattern]) -> Iterator[Diagnostic]:
    named = scope.definitions or scope.marks or scope.charts or len(scope.yarns) > 1
    # What a faulty line would have used is not known; a file without pieces is there for others to use.
    if not named or not scope.pieces or any(each.faulty for each in tree.statements):
        return
    used = mentions(tree, {*scope.definitions, *scope.marks, *scope.yarns, *scope.charts})
    yield from _unused_definitions(scope, used, _offered(patterns))
    yield from _unused_marks(tree, scope, used, patterns)
    for key, statement in scope.charts.items():
        if key not in used.rows and isinstance(statement.node, Chart):
            yield _warning(
                "unused-chart",
                f"no row works chart {statement.node.name}",
                statement.node.name_span.shifted(statement.start),
                f"work it, `rows 1-{len(statement.node.rows) or 1}: chart {statement.node.name}`, "
                "or take it out",
            )
    if len(scope.yarns) > 1:
        worked = used.rows | {yarn.casefold() for piece in patterns[0].pieces for yarn in piece.plan.yarns}
        for key, statement in scope.yarns.items():
            node = statement.node
            # What notes say a yarn is for is not known.
            told = key in used.prose and not used.rows & scope.yarns.keys()
            if key not in worked and not told and isinstance(node, Yarn):
                yield _warning(
                    "unused-yarn",
                    f"no row is worked with yarn {node.name}",
                    node.span.shifted(statement.start),
                    f"work a row with it, `row 5 with {node.name}: ...`, or take the line out",
                )


def _offered(patterns: Sequence[CountedPattern]) -> frozenset[str]:
    """Return the names that are offered in place of unknown ones: they may be meant there."""
    unknown = (
        found for pattern in patterns for found in pattern.diagnostics if found.name.startswith("unknown-")
    )
    return frozenset(word.casefold() for found in unknown for word in re.findall(r"`(\w+)`", found.help))


def _unused_definitions(scope: Scope, used: Mentions, offered: Set[str]) -> Iterator[Diagnostic]:
    from ..lang.syntax import BodyFit, Let

    for key, definition in scope.definitions.items():
        if not definition.own_file or key in used.rows | offered or isinstance(definition.node, BodyFit):
            continue
        is_let = isinstance(definition.node, Let)
        name = definition.node.name
        yield _warning(
            "unused-let" if is_let else "unused-stitch",
            f"`{name}` is defined, and nothing uses it",
            definition.node.name_span.shifted(definition.start),
            f"write `{name}` where it is meant, or take the line out",
        )


def _unused_marks(
    tree: Tree, scope: Scope, used: Mentions, patterns: Sequence[CountedPattern]
) -> Iterator[Diagnostic]:
    laid = [piece.grid for pattern in patterns for piece in pattern.pieces if piece.plan.laid is not None]
    if None in laid:
        # The corners of a grid that can't be laid are not known.
        return
    corners = {grid.corner.casefold() for grid in laid if grid is not None}
    wanted = {key for key in scope.marks if key not in used.rows | used.prose | corners}
    for statement in tree.statements if wanted else ():
        content = getattr(statement.node, "content", getattr(statement.node, "body", None))
        if not isinstance(content, Body):
            continue
        for item in items_of(content):
            mark = getattr(item, "mark", None)
            if mark is not None and mark.casefold() in wanted:
                wanted.discard(mark.casefold())
                yield _warning(
                    "unused-mark",
                    f"`{mark}` is marked, and nothing is worked there",
                    item.span.shifted(statement.start),
                    f"work into it, `in {mark}` or `to {mark}`, or take out `as {mark}`",
                )


# ---- sizes -------------------------------------------------------------------------------------------------


def _unused_size(tree: Tree, scope: Scope, patterns: Sequence[CountedPattern]) -> Iterator[Diagnostic]:
    if len(scope.sizes) < 2 or not any(piece.parts for piece in patterns[0].pieces):
        return
    if any(pattern.diagnostics for pattern in patterns) or _hook_varies(scope):
        return
    listed = scope.texts["sizes"][0].start
    if any(each.faulty for each in tree.statements) or any(
        each.start < listed for each in scope.pieces.values()
    ):
        return
    groups: list[list[CountedPattern]] = []
    for pattern in patterns:
        for group in groups:
            if group[0].pieces == pattern.pieces:
                group.append(pattern)
                break
        else:
            groups.append([pattern])
    alike = [[each.size for each in group] for group in groups if len(group) > 1]
    if not alike:
        return
    statement = scope.texts["sizes"][0]
    node = statement.node
    assert node is not None
    first = alike[0]
    yield _warning(
        "unused-size",
        f"sizes {', '.join(first[:-1])} and {first[-1]} are worked alike",
        node.span.shifted(statement.start),
        "give a number that tells them apart, such as `start 14/16 ch`, or list one of them",
        notes=tuple(f"sizes {', '.join(more[:-1])} and {more[-1]} are alike too" for more in alike[1:]),
    )


def _hook_varies(scope: Scope) -> bool:
    return any(isinstance(each.node, Hook) and len(set(each.node.size.values)) > 1 for each in scope.hooks)


# ---- rows --------------------------------------------------------------------------------------------------


def _blocks(patterns: Sequence[CountedPattern]) -> Iterator[tuple[CountedPattern, Block]]:
    for pattern in patterns:
        for piece in pattern.pieces:
            for part in piece.parts:
                if isinstance(part, Block):
                    yield pattern, part


def _empty_runs(tree: Tree, scope: Scope, patterns: Sequence[CountedPattern]) -> Iterator[Diagnostic]:
    found: dict[Span, tuple[str, list[str]]] = {}
    for pattern, block in _blocks(patterns):
        start = block.stretch.start
        for row in block.rows:
            for step in row.idle:
                statement = next(each for each in tree.statements if each.start == start)
                span, said = _said_run(block.stretch, row, step.span, statement)
                sizes = found.setdefault(span.shifted(start), (said, []))[1]
                if pattern.size not in sizes:
                    sizes.append(pattern.size)
    for span, (said, sizes) in found.items():
        yield _warning(
            "empty-run",
            f"{said} comes to nothing",
            span,
            "leave it out, or change what stands before it, if something should be worked here",
            sizes=tuple(sizes) if len(sizes) < len(scope.sizes) else (),
        )


def _said_run(stretch: Stretch, row: CountedRow, span: Span, statement: Statement) -> tuple[Span, str]:
    """Return where to show an item that came to nothing, and what to call it."""
    content = stretch.node.content
    if isinstance(content, RepeatRows):
        # The item is written in the row that is repeated: what is shown is that it is repeated here.
        return content.span, f"a part of {row.plan.unit} {row.number}"
    return span, f"`{' '.join(statement.text[span.start : span.end].split())}`"


def _left_to_fit(scope: Scope, patterns: Sequence[CountedPattern]) -> Iterator[Diagnostic]:
    """Find totals that say nothing: all items are counted out, and `leave rest` takes whatever is over."""
    found: dict[Span, list[int]] = {}
    for _, block in _blocks(patterns):
        row = block.rows[0] if block.rows else None
        step = row.plan.body[-1] if row is not None and row.plan.body else None
        if row is None or not isinstance(step, LeaveStep) or step.count is not None:
            continue
        stretch = block.stretch
        if not isinstance(stretch.node.content, Body) or all(part.kind for part in stretch.total):
            continue
        left = row.worked[-1].count
        if left and places_used(row.plan.body[:-1]) is not None:
            found.setdefault(step.span.shifted(stretch.start), []).append(left)
    for span, counts in found.items():
        many = str(counts[0]) if len(set(counts)) == 1 else "/".join(map(str, counts))
        one_each = len(counts) in (1, len(patterns))
        yield _warning(
            "left-to-fit",
            "the total of this row is right whatever the row before gives: `leave rest` takes what is over",
            span,
            f"write `leave {many}`, so that a slip in a row before shows here",
            fix=Fix(f"write `leave {many}`", (Label(span, f"leave {many}"),), safe=False)
            if one_each
            else None,
        )
