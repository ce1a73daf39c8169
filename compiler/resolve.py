"""Tree to pattern for one size: names looked up, arithmetic done, repeats of rows followed.

What is alike in all sizes is resolved once: a row in which nothing varies is the same object in each size's
plan, and the counter sees that.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field, replace

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.measures import Gauge as GaugeMeasure
from ..lang.measures import convert
from ..lang.parser import parsed_statement
from ..lang.source import Span
from ..lang.statements import cut
from ..lang.stitches import Stitch, other_dialect, vocabulary
from ..lang.syntax import (
    AsFits,
    Body,
    ChartRow,
    Gauge,
    How,
    InOne,
    Item,
    Leave,
    Let,
    NameValue,
    Number,
    Piece,
    Place,
    RepeatRows,
    Row,
    Run,
    Settings,
    Skip,
    Some,
    Spread,
    Start,
    Statement,
    StitchDefinition,
    Tally,
    Text,
    Times,
    Together,
    Tree,
    TurningChain,
    Underside,
    Value,
    Words,
    Work,
)
from ..lang.syntax import Label as RowLabel
from ..lang.syntax import Stop as StopNode
from .faults import Fault, HeldBack, fault
from .plan import (
    BracketStep,
    ChainStep,
    CheckedTotal,
    GroupStep,
    LeaveStep,
    Limit,
    Opening,
    OwnStep,
    OwnStitch,
    PatternPlan,
    PiecePlan,
    Remark,
    RowPlan,
    SaidStep,
    SkipStep,
    StartPlan,
    Step,
    Steps,
    StitchStep,
    Stop,
    Stretch,
    Target,
    TogetherStep,
)
from .scope import Definition, Scope
from .values import DEEPEST, Arithmetics

MOST_ROWS_BY_RULE = 100_000
"""Rows that `row` makes different from one another, in one statement."""

LARGEST_STITCH = 10_000
"""Items in one of the author's stitches."""

ALL_STITCHES = frozenset({"st", "sts", "stitch", "stitches"})


@dataclass(slots=True)
class _PieceState:
    """A piece while its statements are gone through."""

    node: Piece
    offset: int
    make: int
    start: StartPlan | None = None
    parts: list[Stretch | Remark] = field(default_factory=list)
    next_number: int | None = 1
    """None after a stretch that `until` counts."""
    rows_by_number: dict[int, RowPlan | None] = field(default_factory=dict)
    recent: list[RowPlan | None] = field(default_factory=list)
    """The last rows in order, for `repeat last`."""
    spans: list[tuple[int, int, tuple[RowPlan, ...]]] = field(default_factory=list)
    """First number, how many, and the rows worked in turn: one entry a stretch."""
    start_failed: bool = False

    def add(self, stretch: Stretch) -> None:
        """Take in the next rows."""
        first, times, rows = stretch.first, stretch.times, stretch.rows
        self.parts.append(stretch)
        if first is None or times is None:
            self.next_number = None
        else:
            self.spans.append((first, times, rows))
            self.next_number = first + times
        if times != 0:
            self.recent = [*self.recent, *(_last_rows(rows, times) if rows else (None,))][-100:]


Shared = dict[tuple[int, str], object]
"""What came out alike for all sizes, by the statement's place and what it is."""


@dataclass(slots=True)
class _Resolver:
    scope: Scope
    size: int
    shared: Shared
    arithmetic: Arithmetics
    own_stitches: dict[str, tuple[OwnStitch, bool]] = field(default_factory=dict)
    """The author's stitches, and whether they differ from size to size."""
    broken: dict[str, Fault | None] = field(default_factory=dict)
    """The author's stitches that can't be worked out, as `Arithmetics.broken` has it."""
    defining: list[Definition] = field(default_factory=list)
    """The author's stitches being worked out, each for the one before it."""
    diagnostics: list[Diagnostic] = field(default_factory=list)
    pieces: list[PiecePlan] = field(default_factory=list)
    piece: _PieceState | None = None

    # ---- statements ----

    def check_definitions(self) -> None:
        """Work out every `let` and `stitch` once, so that a fault in one is told where it stands."""
        for definition in self.scope.definitions.values():
            node = definition.node
            with suppress(HeldBack):
                if isinstance(node, Let):
                    self.arithmetic.evaluate(NameValue(node.name, node.name_span))
                else:
                    self._own(node.name)
        for broken in (self.arithmetic.broken, self.broken):
            for key, found in broken.items():
                if found is not None:
                    self._report_definition(self.scope.definitions[key], found.diagnostic)

    def _report_definition(self, definition: Definition, found: Diagnostic) -> None:
        if definition.used_at is not None:
            message = f"`{definition.node.name}` of the file brought in can't be worked out: {found.message}"
            found = Diagnostic(found.name, message, definition.used_at, help=found.help, facts=found.facts)
        self.diagnostics.append(found.shifted(0 if definition.used_at is not None else definition.start))

    def _report(self, found: Fault, start: int) -> None:
        """Tell a fault whose places are offsets from `start`, unless it is told elsewhere."""
        if not isinstance(found, HeldBack):
            self.diagnostics.append(found.diagnostic.shifted(start))

    def statement(self, statement: Statement) -> None:
        match statement.node:
            case Piece():
                self._finish_piece()
                self._begin_piece(statement.node, statement)
            case Start():
                self._guarded(statement, self._start)
            case Row():
                self._row_statement(statement.node, statement)
            case Text(key="note" | "finish" | "caution") as node:
                if self.piece is not None:
                    self.piece.parts.append(Remark(node, statement.start))
            case None:
                self._faulty(statement)
            case _:
                pass

    def finished(self) -> PatternPlan:
        self._finish_piece()
        names = self.scope.sizes
        return PatternPlan(names[self.size] if names else "", tuple(self.pieces), tuple(self.diagnostics))

    def _faulty(self, statement: Statement) -> None:
        """Keep what hangs on a statement that could not be read from being complained about."""
        if not statement.faulty:
            return
        word = statement.text.split(None, 1)[0].casefold().rstrip(":,")
        if word == "piece":
            self._finish_piece()
        elif self.piece is not None and word in ("row", "rows", "round", "rounds", "next"):
            self._unread_row(statement, self.piece)
        elif self.piece is not None and word == "start":
            self.piece.start_failed = True

    def _guarded(self, statement: Statement, work: object) -> None:
        try:
            work(statement.node, statement)  # type: ignore[operator]
        except Fault as found:
            self._report(found, statement.start)

    def _begin_piece(self, node: Piece, statement: Statement) -> None:
        make = 1
        try:
            make = self.arithmetic.count(node.make) if node.make is not None else 1
            for setting in node.turning_chains:
                if setting.name is not None:
                    self._stitch(setting.name, node.span)
        except Fault as found:
            self._report(found, statement.start)
        self.piece = _PieceState(node, statement.start, make)

    def _finish_piece(self) -> None:
        piece = self.piece
        if piece is None:
            return
        if piece.start is None and not piece.start_failed and piece.parts:
            self._report_missing_start(piece)
        self.pieces.append(PiecePlan(piece.node, piece.offset, piece.start, tuple(piece.parts), piece.make))
        self.piece = None

    def _report_missing_start(self, piece: _PieceState) -> None:
        if any(isinstance(part, Stretch) for part in piece.parts):
            self.diagnostics.append(
                Diagnostic(
                    "out-of-order",
                    f"piece {piece.node.name} has rows, but nothing to work the first one into",
                    piece.node.name_span.shifted(piece.offset),
                    help="write `start` under the piece: `start 14 ch`, `start ring`, ...",
                )
            )

    def _start(self, node: Start, statement: Statement) -> None:
        piece = self.piece
        if piece is None:
            raise fault(
                "out-of-order",
                "`start` stands before any piece",
                node.span,
                help="write a line such as `piece Band, turned rows` above it",
            )
        if piece.start is not None or piece.start_failed:
            raise fault(
                "out-of-order", "this piece has been started already", node.span, help="keep one `start`"
            )
        if any(isinstance(part, Stretch) for part in piece.parts):
            piece.start_failed = True
            raise fault("out-of-order", "`start` must stand before the first row", node.span)
        piece.start_failed = True
        piece.start = self._start_plan(node, statement)
        piece.start_failed = False

    def _start_plan(self, node: Start, statement: Statement) -> StartPlan:
        if node.kind == "ring":
            return StartPlan(node, statement.start, "ring")
        if node.kind == "edge":
            raise _not_yet("`start along`", node.span)
        assert node.count is not None
        count = self._positive(node.count, node.span)
        if node.kind == "for":
            return StartPlan(node, statement.start, "for", count)
        assert node.name is not None
        stitch = self._stitch(node.name, node.name_span)
        if stitch.family == "chain":
            return StartPlan(node, statement.start, "joined chain" if node.joined else "chain", count)
        if stitch.family != "foundation":
            raise fault(
                "unknown-stitch",
                f"a piece can't start with {node.name}",
                node.name_span,
                help="start with chains (`start 14 ch`), a ring, or a foundation stitch (`start 24 fsc`)",
            )
        return StartPlan(
            node, statement.start, "joined stitches" if node.joined else "stitches", count, stitch
        )

    # ---- rows ----

    def _row_statement(self, node: Row, statement: Statement) -> None:
        piece = self.piece
        if piece is None:
            self.diagnostics.append(
                Diagnostic(
                    "out-of-order",
                    f"this {node.label.unit} stands before any piece",
                    node.label.span.shifted(statement.start),
                    help="write a line such as `piece Band, turned rows` above it",
                )
            )
            return
        first = node.label.first if node.label.first is not None else piece.next_number
        times: int | None = None
        rows: tuple[RowPlan, ...] = ()
        until: Limit | None = None
        try:
            times = self._times(node)
            if isinstance(node.content, RepeatRows) and node.content.limit is not None:
                until = self._limit(node.content)
            elif node.label.until:
                raise fault(
                    "stray-word",
                    f"`next {node.label.unit}s` does not say how many",
                    node.label.span,
                    help=f"write `next 4 {node.label.unit}s`, or end the line with `until 31 st`",
                )
            rows = self._rows(node, statement, first, times)
        except Fault as found:
            self._report(found, statement.start)
        total: tuple[CheckedTotal, ...] = ()
        totals: tuple[tuple[CheckedTotal, ...], ...] = ()
        try:
            total, totals = self._totals(node, first, times)
        except Fault as found:
            self._report(found, statement.start)
        numbered = node.label.first is not None
        piece.add(Stretch(node, statement.start, first, times, rows, total, totals, until, numbered))

    def _unread_row(self, statement: Statement, piece: _PieceState) -> None:
        """Keep of a row that can't be read its numbers and its total: the rows after it go on from them."""
        node = _legible(statement)
        first = node.label.first if node.label.first is not None else piece.next_number
        times: int | None = None
        total: tuple[CheckedTotal, ...] = ()
        totals: tuple[tuple[CheckedTotal, ...], ...] = ()
        with suppress(Fault):
            times = self._times(node)
            total, totals = self._totals(node, first, times)
        numbered = node.label.first is not None
        piece.add(Stretch(node, statement.start, first, times, (), total, totals, numbered=numbered))

    def _times(self, node: Row) -> int | None:
        label = node.label
        if label.until:
            return None
        if label.count is not None:
            return self.arithmetic.count(label.count)
        if label.last is not None:
            assert label.first is not None
            if label.last < label.first:
                raise fault(
                    "row-number",
                    f"the last number, {label.last}, is less than the first, {label.first}",
                    label.span,
                    help="write the smaller number first",
                )
            return label.last - label.first + 1
        return 1

    def _rows(
        self, node: Row, statement: Statement, first: int | None, times: int | None
    ) -> tuple[RowPlan, ...]:
        match node.content:
            case RepeatRows():
                return self._repeated(node, node.content, first, times)
            case Work():
                raise _not_yet("`work`", node.content.span)
            case Body():
                return self._body_rows(node, node.content, statement, first, times)

    def _body_rows(
        self, node: Row, body: Body, statement: Statement, first: int | None, times: int | None
    ) -> tuple[RowPlan, ...]:
        key = (statement.start, "row")
        known = self.shared.get(key)
        if known is not None:
            return (known,)  # type: ignore[return-value]
        varies_elsewhere = self.arithmetic.varies
        self.arithmetic.varies = self.arithmetic.uses_row = False
        self.arithmetic.row = first
        try:
            row = self._row_plan(node, body)
            if self.arithmetic.uses_row:
                if times is None or times > MOST_ROWS_BY_RULE:
                    raise _too_many_by_rule(node.label.span)
                assert first is not None
                rows = [row]
                for number in range(first + 1, first + times):
                    self.arithmetic.row = number
                    rows.append(self._row_plan(node, body))
                return tuple(rows)
            if not self.arithmetic.varies:
                self.shared[key] = row
            return (row,)
        finally:
            self.arithmetic.row = None
            self.arithmetic.varies = varies_elsewhere

    def _row_plan(self, node: Row, body: Body) -> RowPlan:
        assert self.piece is not None
        settings = node.settings
        if settings.yarn is not None:
            self._yarn(settings.yarn, node.label.span)
        steps = self._steps(body)
        piece = self.piece.node
        return RowPlan(
            unit=node.label.unit,
            body=steps,
            opening=_opening(steps, settings, piece, self.scope),
            side=settings.side,
            yarn=settings.yarn,
            loop=settings.loop or piece.loop,
            reads_chains=settings.chains_count or piece.chains_count,
            by_number=node if self.arithmetic.uses_row else None,
        )

    def _repeated(
        self, node: Row, content: RepeatRows, first: int | None, times: int | None
    ) -> tuple[RowPlan, ...]:
        assert self.piece is not None
        if content.back is not None:
            if content.back == 0 or content.back > len(self.piece.recent):
                have = len(self.piece.recent)
                raise fault(
                    "unknown-row",
                    f"the last {content.back} rows are asked for, but only {have} stand before this one",
                    content.span,
                    help="repeat rows that are there already",
                )
            rows = self.piece.recent[-content.back :]
        else:
            assert content.first is not None
            last = content.last if content.last is not None else content.first
            if last < content.first or last - content.first > MOST_ROWS_BY_RULE:
                raise fault("unknown-row", "these are no rows to repeat", content.span)
            rows = [self._row_by_number(number, content) for number in range(content.first, last + 1)]
        if any(row is None for row in rows):
            return ()
        repeated = tuple(row for row in rows if row is not None)
        if times != 0 and any(row.by_number for row in repeated):
            repeated = self._renumbered(repeated, content.span, first, times)
        settings = node.settings
        if settings != Settings():
            repeated = tuple(self._with_settings(row, settings) for row in repeated)
        return repeated

    def _renumbered(
        self, rows: tuple[RowPlan, ...], span: Span, first: int | None, times: int | None
    ) -> tuple[RowPlan, ...]:
        """Return rows worked in turn that reckon with their number, each with the number it now has."""
        if first is None or times is None:
            raise fault(
                "unknown-name", "`row` has no number here: how many rows there are is not known", span
            )
        if times > MOST_ROWS_BY_RULE:
            raise _too_many_by_rule(span)
        numbered = []
        try:
            for number in range(first, first + times):
                row = rows[(number - first) % len(rows)]
                if row.by_number is not None:
                    assert isinstance(row.by_number.content, Body)
                    self.arithmetic.row = number
                    row = self._row_plan(row.by_number, row.by_number.content)
                numbered.append(row)
        except HeldBack:
            raise
        except Fault as found:
            shown = found.diagnostic
            raise fault(
                shown.name, f"as row {self.arithmetic.row}: {shown.message}", span, help=shown.help
            ) from None
        finally:
            self.arithmetic.row = None
        return tuple(numbered)

    def _with_settings(self, row: RowPlan, settings: Settings) -> RowPlan:
        assert self.piece is not None
        return replace(
            row,
            side=settings.side or row.side,
            yarn=settings.yarn or row.yarn,
            loop=settings.loop or row.loop,
            reads_chains=settings.chains_count or row.reads_chains,
            opening=_opening(row.body, settings, self.piece.node, self.scope)
            if settings.turning_chain
            else row.opening,
        )

    def _row_by_number(self, number: int, content: RepeatRows) -> RowPlan | None:
        assert self.piece is not None
        for first, times, rows in reversed(self.piece.spans):
            if first <= number < first + times:
                return rows[(number - first) % len(rows)] if rows else None
        raise fault(
            "unknown-row",
            f"there is no row {number} to repeat",
            content.span,
            help="repeat rows of this piece that stand above this line",
        )

    def _totals(
        self, node: Row, first: int | None, times: int | None
    ) -> tuple[tuple[CheckedTotal, ...], tuple[tuple[CheckedTotal, ...], ...]]:
        if not node.total:
            return (), ()
        arithmetic = self.arithmetic
        varies, arithmetic.uses_row = arithmetic.varies, False
        arithmetic.row = first if first is None or times is None else first + times - 1
        try:
            total = tuple(self._checked(part) for part in node.total)
            if not arithmetic.uses_row or first is None or not times:
                return total, ()
            totals = []
            for number in range(first, first + min(times, MOST_ROWS_BY_RULE)):
                arithmetic.row = number
                totals.append(tuple(self._checked(part) for part in node.total))
            return total, tuple(totals)
        finally:
            arithmetic.row = None
            arithmetic.varies = varies

    def _checked(self, part: Tally) -> CheckedTotal:
        count = self.arithmetic.count(part.count)
        if part.name is None or part.name.casefold() in ALL_STITCHES:
            return CheckedTotal("", count, "", part.span)
        return CheckedTotal(self._kind(part.name, part.span), count, part.name, part.span)

    def _limit(self, content: RepeatRows) -> Limit:
        assert content.limit is not None
        if content.limit_name is None:
            raise _not_yet("`until` with a length", content.span)
        count = self.arithmetic.count(content.limit)
        if content.limit_name.casefold() in ALL_STITCHES:
            return Limit("", count, "", content.span)
        return Limit(self._kind(content.limit_name, content.span), count, content.limit_name, content.span)

    def _kind(self, name: str, span: Span) -> str:
        """Return the kind that a total counts under `name`."""
        key = name.casefold()
        if key in ("sp", "sps"):
            return "sp"
        if key in self.scope.marks:
            return f"as {self.scope.marks[key]}"
        own = self._own(name)
        if own is not None:
            return f"as {own.name}"
        stitch = self._stitch(name, span)
        return "chains" if stitch.family == "chain" else stitch.counts_as

    # ---- items ----

    def _steps(self, body: Body) -> Steps:
        return tuple(step for item in body.items for step in self._item(item))

    def _item(self, item: Item) -> Iterable[Step]:
        match item:
            case Some():
                return self._some(item)
            case Run():
                return (self._run(item),)
            case Times(body, count, span):
                times = self._positive(count, span)
                _refuse_stops_inside(body)
                steps = self._steps(body)
                return (BracketStep(steps, times, span=span),) if times and steps else ()
            case AsFits(body, stop, span):
                steps = self._steps(body)
                _refuse_stops_inside(body)
                return (BracketStep(steps, None, self._stop(stop), span),) if steps else ()
            case InOne(body, place, mark, span):
                steps = self._steps(body)
                return (GroupStep(steps, self._target(place), self._mark(mark), span),) if steps else ()
            case Together(body, mark, span):
                return (TogetherStep(self._steps(body), self._mark(mark), span),)
            case Skip():
                return self._skip(item)
            case Leave(count, span):
                if count is None:
                    return (LeaveStep(None, span),)
                left = self._positive(count, span)
                return (LeaveStep(left, span),) if left else ()
            case Words():
                return (self._words(item),)
            case Spread(span=span):
                raise _not_yet("`spread`", span)
            case Underside(span=span):
                raise _not_yet("`underside`", span)
            case ChartRow(span=span):
                raise _not_yet("`chart`", span)

    def _some(self, item: Some) -> Iterable[Step]:
        self._check_how(item.how, item.span)
        count = 1 if item.count is None else self._positive(item.count, item.span)
        own = self._own(item.name)
        target = self._target(item.place) if item.place is not None else None
        mark = self._mark(item.mark)
        if own is None:
            stitch = self._stitch(item.name, item.name_span)
            if stitch.family == "chain" and target is None:
                return (ChainStep(count, mark, item.span),) if count else ()
        if not count:
            return ()
        if own is not None:
            return (OwnStep(own, count, None, target, mark, item.span),)
        how = item.how
        return (StitchStep(stitch, count, None, target, how.loop, how.yarn, mark, item.span),)

    def _run(self, item: Run) -> Step:
        self._check_how(item.how, item.span)
        stop = self._stop(item.stop)
        own = self._own(item.name)
        if own is not None:
            return OwnStep(own, None, stop, span=item.span)
        stitch = self._stitch(item.name, item.name_span)
        if stitch.uses == 0:
            raise fault(
                "count-order",
                f"{item.name} uses up no places, so it can't be worked `to` anything",
                item.span,
                help=f"say how many: `6 {item.name}`",
            )
        return StitchStep(stitch, None, stop, None, item.how.loop, item.how.yarn, None, item.span)

    def _check_how(self, how: How, span: Span) -> None:
        if how.below is not None:
            raise _not_yet("`below`", span)
        if how.yarn is not None:
            self._yarn(how.yarn, span)

    def _skip(self, item: Skip) -> Iterable[Step]:
        mark = self._mark(item.mark)
        if item.stop is not None:
            return (SkipStep(None, self._stop(item.stop), None, mark, item.span),)
        if item.place is not None:
            target = self._target(Place(item.place, span=item.span))
            return (SkipStep(1, None, target.name or target.kind, mark, item.span),)
        count = 1 if item.count is None else self._positive(item.count, item.span)
        return (SkipStep(count, None, None, mark, item.span),) if count else ()

    def _words(self, item: Words) -> SaidStep:
        makes = tuple(
            (self._made_kind(part.name, part.span), self.arithmetic.count(part.count)) for part in item.makes
        )
        return SaidStep(item.text, self.arithmetic.count(item.over), makes, self._mark(item.mark), item.span)

    def _made_kind(self, name: str | None, span: Span) -> str:
        if name is None or name.casefold() in ALL_STITCHES:
            return "st"
        return self._kind(name, span)

    def _stop(self, stop: StopNode) -> Stop:
        count = self.arithmetic.count(stop.count) if stop.count is not None else 0
        if stop.kind != "place":
            return Stop(stop.kind, count, "", stop.span)
        assert stop.name is not None
        target = self._target(Place(stop.name, span=stop.span))
        if target.kind != "ahead":
            raise fault(
                "unknown-name",
                f"`to {stop.name}` names no place ahead",
                stop.span,
                help="stop at a mark, a kind of stitch or `sp`: `to peak`, `to 2 before peak`",
            )
        return Stop("place", count, target.name, stop.span)

    def _target(self, place: Place) -> Target:
        key = place.name.casefold()
        if place.which is not None:
            if key != "ch":
                raise fault(
                    "unknown-name",
                    f"only chains can be counted out: `{place.name}` can't",
                    place.span,
                    help="write `in 3rd ch`, `in middle ch` or `in each ch`",
                )
            return Target("chain", "ch", place.which, place.span)
        if key in ("st", "same", "top", "ring"):
            return Target(key, key, None, place.span)
        if key in ("gap", "start"):
            raise _not_yet(f"`in {key}`", place.span)
        if key in ("sp", "ch"):
            return Target("ahead", key, None, place.span)
        if key in self.scope.marks:
            return Target("ahead", self.scope.marks[key], None, place.span)
        own = self._own(place.name)
        if own is not None:
            return Target("ahead", own.name, None, place.span)
        stitch = self.scope.vocabulary.find(place.name)
        if stitch is None:
            raise self._unknown(place.name, place.span, "stitch or mark")
        return Target("ahead", stitch.counts_as, None, place.span)

    def _mark(self, mark: str | None) -> str | None:
        return None if mark is None else self.scope.marks.get(mark.casefold(), mark)

    def _yarn(self, name: str, span: Span) -> None:
        if name.casefold() not in self.scope.yarns:
            known = ", ".join(f"`{key.upper()}`" for key in self.scope.yarns)
            raise fault(
                "unknown-name",
                f"no yarn is called `{name}`",
                span,
                help=f"the yarns are {known}" if known else f"add a line such as `yarn {name}: DK, 60 g`",
            )

    def _stitch(self, name: str, span: Span) -> Stitch:
        stitch = self.scope.vocabulary.find(name)
        if stitch is None:
            raise self._unknown(name, span, "stitch")
        return stitch

    def _unknown(self, name: str, span: Span, what: str) -> Fault:
        dialect = self.scope.dialect
        foreign = other_dialect(name, dialect)
        if foreign is not None:
            other = "UK" if dialect == "US" else "US"
            own = foreign.us_source if dialect == "US" else foreign.uk_source
            return fault(
                "dialect-mismatch",
                f"`{name}` is a {other} name, and this pattern is in {dialect} terms",
                span,
                help=f"in {dialect} terms it is `{own}`",
                fix=Fix(f"write `{own}`", (Label(span, own),), safe=False),
            )
        near = self.scope.vocabulary.near(name, (*self.scope.marks.values(), *self._own_names()))
        offer = " or ".join(f"`{each}`" for each in near)
        return fault(
            "unknown-stitch",
            f"there is no {what} called `{name}`",
            span,
            help=f"write {offer}" if offer else f'define it: `stitch {name}: 5 dc in st "how it is worked"`',
            fix=Fix(f"write `{near[0]}`", (Label(span, near[0]),), safe=False) if near else None,
        )

    def _own_names(self) -> tuple[str, ...]:
        return tuple(
            each.node.name
            for each in self.scope.definitions.values()
            if isinstance(each.node, StitchDefinition)
        )

    def _own(self, name: str) -> OwnStitch | None:
        """Return the author's stitch of that name, if there is one. Raises Fault where that fails."""
        key = name.casefold()
        known = self.own_stitches.get(key)
        if known is not None:
            self.arithmetic.varies = self.arithmetic.varies or known[1]
            return known[0]
        definition = self.scope.definitions.get(key)
        if definition is None or not isinstance(definition.node, StitchDefinition):
            return None
        if definition in self.defining:
            raise _defined_by_itself(name, self.defining[-1].node.name_span)
        if key in self.broken:
            raise HeldBack
        if len(self.defining) >= DEEPEST:
            span = self.defining[-1].node.name_span
            raise fault("too-large", f"more than {DEEPEST} stitches are made of one another", span)
        outside, self.arithmetic.varies = self.arithmetic.varies, False
        self.defining.append(definition)
        try:
            own = self._defined(definition, definition.node)
            self.own_stitches[key] = own, self.arithmetic.varies
            return own
        except HeldBack:
            self.broken.setdefault(key, None)
            raise
        except Fault as found:
            self.broken[key] = found
            raise HeldBack from None
        finally:
            self.arithmetic.varies = self.arithmetic.varies or outside
            self.defining.pop()

    def _defined(self, definition: Definition, node: StitchDefinition) -> OwnStitch:
        scope = self.scope
        if definition.dialect != scope.dialect:
            self.scope = replace(scope, dialect=definition.dialect, vocabulary=vocabulary(definition.dialect))
        try:
            match node.body:
                case Body():
                    steps = self._steps(node.body)
                    size = _written_out(steps)
                    if size > LARGEST_STITCH:
                        raise fault(
                            "too-large",
                            f"`{node.name}` has more than {LARGEST_STITCH:,} items, written out",
                            node.name_span,
                            help="repeat with a bracket: `[2 sc, dc] x 12`",
                        )
                    return OwnStitch(node.name, steps, node.explanation, size)
                case Words():
                    return OwnStitch(node.name, self._words(node.body), node.explanation)
        finally:
            self.scope = scope

    def _positive(self, value: Value, span: Span) -> int:
        """Return a count that may come out as 0, but not be written so."""
        count = self.arithmetic.count(value)
        if count == 0 and isinstance(value, Number) and not any(value.values):
            raise fault(
                "zero-count",
                "this works nothing at all",
                span,
                help="leave the item out; a 0 for one of several sizes is welcome: `0/2`",
            )
        return count


def resolve(tree: Tree, scope: Scope, size: int, shared: Shared) -> PatternPlan:
    """Return the pattern in the size of that index, and what could not be worked out.

    `shared` is handed from size to size and keeps what is alike in all of them.
    """
    arithmetic = Arithmetics(size, max(1, len(scope.sizes)), _lets(scope), first_gauge(scope))
    resolver = _Resolver(scope, size, shared, arithmetic)
    resolver.check_definitions()
    for statement in tree.statements:
        resolver.statement(statement)
    return resolver.finished()


def _lets(scope: Scope) -> dict[str, Let]:
    return {
        key: definition.node
        for key, definition in scope.definitions.items()
        if isinstance(definition.node, Let)
    }


def first_gauge(scope: Scope) -> GaugeMeasure | None:
    """Return the pattern's first gauge in the project's measures; None if it states none."""
    for statement in scope.gauges:
        node = statement.node
        assert isinstance(node, Gauge)
        if isinstance(node.stitches, Number) and isinstance(node.rows, Number) and node.length.unit:
            length = convert(node.length.values[0], node.length.unit, "cm")
            return GaugeMeasure(node.stitches.values[0], node.rows.values[0], length, node.name)
    return None


def _legible(statement: Statement) -> Row:
    """Return what can be read of a faulty row: its label and, unless it makes chains, its total."""
    code = cut(statement.text).code
    label, total = code.partition(":")[0], "=" + code.rpartition("=")[2]
    for end in ("" if _CHAINS.search(code) else total, ""):
        node = parsed_statement(f"{label}: sc to end {end}")
        if isinstance(node, Row):
            return replace(node, content=Body(()))
    return Row(RowLabel("row"), Body(()))


_CHAINS = re.compile(r"\bch\b|\"", re.IGNORECASE)


def _last_rows(rows: tuple[RowPlan, ...], times: int | None) -> tuple[RowPlan | None, ...]:
    if times is None:
        return rows[-1:]
    many = min(times, 100)
    return tuple(rows[(times - many + index) % len(rows)] for index in range(many))


def _opening(steps: Steps, settings: Settings, piece: Piece, scope: Scope) -> Opening | None:
    """Return the turning chain of a row: the one stated, or the one its first stitch takes."""
    stated = settings.turning_chain
    if stated is not None:
        return Opening(stated.chains, stated.manner, stated=True, span=stated.span)
    first = _first_stitch(steps)
    if first is None or piece.manner == "spiral rounds":
        return None
    of_all = None
    for setting in piece.turning_chains:
        if setting.name is None:
            of_all = setting.chain
        elif (stitch := scope.vocabulary.find(setting.name)) is not None and stitch.key == first.base:
            return _of_piece(setting.chain)
    if of_all is not None:
        return _of_piece(of_all)
    if not first.turning_chain:
        return None
    return Opening(first.turning_chain, "counts" if first.turning_chain_counts else None, stated=False)


def _of_piece(chain: TurningChain) -> Opening | None:
    return Opening(chain.chains, chain.manner, stated=False) if chain.chains else None


def _written_out(steps: Steps) -> int:
    """Count the items of steps, those of the author's stitches among them written out."""
    size = 0
    for step in steps:
        match step:
            case OwnStep(own):
                size += own.size
            case BracketStep(body) | GroupStep(body) | TogetherStep(body):
                size += _written_out(body)
            case _:
                size += 1
    return size


def _first_stitch(steps: Steps) -> Stitch | None:
    """Return the first stitch that steps make; None if they begin with chains or with words."""
    for step in steps:
        match step:
            case StitchStep(stitch):
                return stitch
            case BracketStep(body) | GroupStep(body) | TogetherStep(body):
                return _first_stitch(body)
            case OwnStep(own):
                return _first_stitch(own.body) if isinstance(own.body, tuple) else None
            case SkipStep():
                continue
            case _:
                return None
    return None


def _refuse_stops_inside(body: Body) -> None:
    for item in body.items:
        stop = item.stop if isinstance(item, Run | AsFits | Skip) else None
        if stop is not None and stop.kind != "place":
            raise fault(
                "stop-in-repeat",
                f"`to {stop.kind}` stands inside a bracket that is repeated",
                stop.span,
                help="inside a bracket stop at a place, `sc to peak`, or say how many: `6 sc`",
            )
        if isinstance(item, Times | AsFits):
            _refuse_stops_inside(item.body)


def _too_many_by_rule(span: Span) -> Fault:
    return fault(
        "too-large",
        f"`row` makes each of these rows different, and no more than {MOST_ROWS_BY_RULE:,} "
        "such rows can be written out",
        span,
    )


def _not_yet(what: str, span: Span) -> Fault:
    return fault(
        "not-yet",
        f"{what} is part of the language, but this version of Turnchain can't work it out",
        span,
        help='say it in a quoted sentence with its counts: `"work as shown" over 6 makes 8 sc`',
    )


def _defined_by_itself(name: str, span: Span) -> Fault:
    return fault(
        "unknown-stitch", f"stitch `{name}` is defined by itself", span, help="make it of other stitches"
    )
