"""Tree to pattern for one size: names looked up, arithmetic done, repeats of rows followed.

What is alike in all sizes is resolved once: a row in which nothing varies is the same object in each size's
plan, and the counter sees that.
"""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass, field, replace

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.measures import Gauge as GaugeMeasure
from ..lang.measures import convert
from ..lang.parser import parsed_statement
from ..lang.source import Span
from ..lang.statements import cut
from ..lang.stitches import Stitch
from ..lang.syntax import (
    Again,
    Body,
    ChartRow,
    Close,
    EdgeName,
    Gauge,
    Let,
    NameValue,
    Number,
    Piece,
    RepeatRows,
    Row,
    Seam,
    Settings,
    Start,
    Statement,
    Tally,
    Text,
    Tree,
    TurningChain,
    Work,
)
from ..lang.syntax import Label as RowLabel
from .charts import charts_of, squares_of
from .faults import Fault, HeldBack, fault, plural
from .items import ALL_STITCHES, Alike, Items, check_row, not_yet
from .makes import deepest
from .plan import (
    AgainPlan,
    Along,
    BracketStep,
    Charted,
    CheckedTotal,
    GroupStep,
    Limit,
    Opening,
    OwnStep,
    PatternPlan,
    PiecePlan,
    Remark,
    RowPlan,
    Shaping,
    SkipStep,
    SpreadStep,
    StartPlan,
    Steps,
    StitchStep,
    Stretch,
    TogetherStep,
)
from .scope import EDGE_NAMES, Definition, Scope
from .values import Arithmetics
from .work import plain_row, plain_step, shaping_of

MOST_ROWS_BY_RULE = 100_000
"""Rows that `row` makes different from one another, in one statement."""


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
    yarn: str | None = None
    """The yarn that the last row was worked with."""
    yarns: list[str] = field(default_factory=list)
    odd_side: str = "rs"
    """The side that faces in rows 1, 3, 5, ..."""

    def side(self, number: int) -> str:
        """Return which side faces, `rs` or `ws`."""
        if number % 2 or not self.node.manner.startswith("turned"):
            return self.odd_side
        return {"rs": "ws", "ws": "rs"}[self.odd_side]

    again: AgainPlan | None = None

    def add(self, stretch: Stretch) -> None:
        """Take in the next rows."""
        first, times, rows = stretch.first, stretch.times, stretch.rows
        self.parts.append(stretch)
        if first is None or times is None:
            self.next_number = None
        else:
            self.spans.append((first, times, rows))
            self.next_number = first + times
        for row in rows:
            if row.yarn is not None and row.yarn not in self.yarns:
                self.yarns.append(row.yarn)
        if rows:
            self.yarn = rows[((times or len(rows)) - 1) % len(rows)].yarn
        if times != 0:
            self.recent = [*self.recent, *(_last_rows(rows, times) if rows else (None,))][-100:]


@dataclass(frozen=True, slots=True)
class Shared:
    """What came out alike for all sizes, handed from size to size."""

    rows: dict[tuple[int, str | None], RowPlan] = field(default_factory=dict)
    """By the place of their statement."""
    items: Alike = field(default_factory=dict)


@dataclass(slots=True)
class _Resolver:
    scope: Scope
    size: int
    shared: Shared
    arithmetic: Arithmetics
    items: Items
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
                    self.items.own(node.name)
        for broken in (self.arithmetic.broken, self.items.broken):
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
            case Start(span=span) if self._is_complete(span, statement, "`start`"):
                pass
            case Row(label=label) if self._is_complete(label.span, statement, "rows"):
                pass
            case Start():
                self._guarded(statement, self._start)
            case Row():
                self._row_statement(statement.node, statement)
            case Text(key="note" | "finish" | "caution") as node:
                if self.piece is not None:
                    self.piece.parts.append(Remark(node, statement.start))
            case Close(span=span):
                self.diagnostics.append(not_yet("`close`", span).diagnostic.shifted(statement.start))
            case Seam(span=span):
                self.diagnostics.append(not_yet("`seam`", span).diagnostic.shifted(statement.start))
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
                    self.items.stitch(setting.name, node.span)
        except Fault as found:
            self._report(found, statement.start)
        first_yarn = next(iter(self.scope.yarns), None)
        yarn = None if first_yarn is None else self.scope.yarn(first_yarn)
        self.piece = _PieceState(node, statement.start, make, yarn=yarn)
        if node.again is not None:
            try:
                self._begin_again(node, node.again, self.piece)
            except Fault as found:
                self._report(found, statement.start)

    def _begin_again(self, node: Piece, again: Again, piece: _PieceState) -> None:
        """Give a piece that is worked like another the rows of that one."""
        piece.start_failed = True
        index = self._piece_index(again.name, again.span)
        like = self.pieces[index]
        if again.edge is not None or again.ratio is not None:
            raise not_yet("`as` on another edge", again.span)
        mirrored = again.mirrored
        if like.again is not None:
            index, mirrored = like.again.index, mirrored != like.again.mirrored
            like = self.pieces[index]
        if again.mirrored and not like.turns:
            raise fault(
                "no-mirror",
                f"{like.node.name} is worked with one side facing all the time: there is no other way round",
                again.span,
                help="leave `mirrored` out, or write rows of its own for this piece",
            )
        piece.node = replace(
            like.node,
            name=node.name,
            title=node.title,
            make=node.make,
            again=again,
            span=node.span,
            name_span=node.name_span,
        )
        piece.start = like.start
        piece.again = AgainPlan(index, mirrored)

    def _piece_index(self, name: str, span: Span) -> int:
        """Return where the piece of that name stands. Raise a fault if it does not stand above."""
        key = name.casefold()
        for index, plan in enumerate(self.pieces):
            if plan.node.name.casefold() == key:
                return index
        below = key in self.scope.pieces
        if self.piece is not None and self.piece.node.name.casefold() == key:
            raise fault("unknown-piece", f"{name} is this piece itself", span, help="name a piece above")
        raise fault(
            "unknown-piece",
            f"piece {name} stands below this line" if below else f"there is no piece {name}",
            span,
            help="name a piece that stands above" if not below else "move this line below that piece",
        )

    def _is_complete(self, span: Span, statement: Statement, what: str) -> bool:
        """Report what stands under a piece that takes all its rows from another."""
        if self.piece is None or self.piece.node.again is None:
            return False
        name = self.piece.node.name
        self.diagnostics.append(
            Diagnostic(
                "out-of-order",
                f"{name} is worked as {self.piece.node.again.name}, so no {what} can stand under it",
                span.shifted(statement.start),
                help=f"take them out, or begin `piece {name}` with a manner such as `turned rows`",
            )
        )
        return True

    def _finish_piece(self) -> None:
        piece = self.piece
        if piece is None:
            return
        if piece.start is None and not piece.start_failed and piece.parts and piece.node.again is None:
            self._report_missing_start(piece)
        parts, again, yarns = tuple(piece.parts), piece.again, tuple(piece.yarns)
        if again is not None:
            again = replace(again, remarks=tuple(each for each in parts if isinstance(each, Remark)))
            parts, yarns = self.pieces[again.index].parts, self.pieces[again.index].yarns
        self.pieces.append(PiecePlan(piece.node, piece.offset, piece.start, parts, piece.make, yarns, again))
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
            along = tuple(map(self._along, node.edges))
            if node.ratio is not None and 0 in node.ratio:
                raise fault("zero-count", "a ratio of nothing gives no places", node.span)
            return StartPlan(
                node, statement.start, "edge", along=along, ratio=node.ratio, rounding=node.rounding
            )
        assert node.count is not None
        count = self.items.positive(node.count, node.span)
        if node.kind == "for":
            return StartPlan(node, statement.start, "for", count)
        assert node.name is not None
        stitch = self.items.stitch(node.name, node.name_span)
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

    def _along(self, node: EdgeName) -> Along:
        """Return an edge of a piece above. Raises Fault."""
        index = self._piece_index(node.piece, node.span)
        name = node.edge.casefold()
        if node.row is None and name not in EDGE_NAMES:
            if name not in self.scope.marks:
                raise fault(
                    "unknown-edge",
                    f"no edge and no run of a piece is called {node.edge}",
                    node.span,
                    help="the edges are `top`, `foundation`, `left`, `right` and `around`; a run gets a name "
                    f"where it is skipped or made: `skip 36 as {node.edge}`",
                )
            name = self.scope.marks[name]
        count = self.items.positive(node.count, node.span) if node.count is not None else 0
        piece = self.pieces[index]
        return Along(
            index,
            piece.title,
            name,
            node.row,
            node.unit or "row",
            piece.in_rounds,
            node.end,
            count,
            node.span,
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
        self._check_unit(node, statement, piece)
        first = node.label.first if node.label.first is not None else piece.next_number
        times: int | None = None
        rows: tuple[RowPlan, ...] = ()
        until: Limit | None = None
        shaping: Shaping | None = None
        try:
            times = self._times(node)
            if isinstance(node.content, RepeatRows) and node.content.limit is not None:
                until = self._limit(node.content)
            elif node.label.until and not isinstance(node.content, Work):
                raise fault(
                    "stray-word",
                    f"`next {node.label.unit}s` does not say how many",
                    node.label.span,
                    help=f"write `next 4 {node.label.unit}s`, or end the line with `until 31 st`",
                )
            if isinstance(node.content, Work):
                shaping, times = self._shaping(node, node.content, times)
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
        piece.add(Stretch(node, statement.start, first, times, rows, total, totals, until, numbered, shaping))

    def _check_unit(self, node: Row, statement: Statement, piece: _PieceState) -> None:
        """Report a round in a piece of rows, and the other way round."""
        label = node.label
        unit = "row" if piece.node.manner.endswith("rows") else "round"
        if label.unit == unit:
            return
        span = label.span.shifted(statement.start)
        said = statement.text[label.span.start : label.span.end]
        right = re.sub(r"(?i)row|round", unit, said)
        self.diagnostics.append(
            Diagnostic(
                "rows-or-rounds",
                f"piece {piece.node.name} is worked in {piece.node.manner}, and this line says {label.unit}",
                span,
                help=f"write `{right}`, or give the piece another manner",
                fix=Fix(f"write `{right}`", (Label(span, right),), safe=False),
            )
        )

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
                return (self._work_row(node, node.content),)
            case Body():
                return self._body_rows(node, node.content, statement, first, times)

    def _body_rows(
        self, node: Row, body: Body, statement: Statement, first: int | None, times: int | None
    ) -> tuple[RowPlan, ...]:
        assert self.piece is not None
        charts = tuple(charts_of(body))
        if charts:
            return self._charted_rows(node, body, charts, first, times)
        key = statement.start, self.piece.yarn
        known = self.shared.rows.get(key)
        if known is not None:
            return (known,)
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
            if self.scope.sizes and not self.arithmetic.varies:
                row = replace(row, in_all_sizes=True)
                self.shared.rows[key] = row
            return (row,)
        finally:
            self.arithmetic.row = None
            self.arithmetic.varies = varies_elsewhere

    def _charted_rows(
        self, node: Row, body: Body, charts: tuple[ChartRow, ...], first: int | None, times: int | None
    ) -> tuple[RowPlan, ...]:
        """Return one row for each row of the charts; of charts that turn, one for each side."""
        assert self.piece is not None
        whole = [chart for chart in charts if chart.row is None]
        for chart in whole:
            squares = self.items.chart(chart)
            if times is not None and squares.height != times:
                first_said = first if first is not None else 1
                unit = node.label.unit
                raise fault(
                    "chart-rows",
                    f"chart {squares.node.name} has {plural(squares.height, 'row')}, and this line works "
                    f"{times}",
                    chart.span,
                    help=f"write `{unit}s {first_said}-{first_said + squares.height - 1}: ...`, or name "
                    f"one row of it: `chart {squares.node.name} row 1`",
                    facts={"expected": squares.height, "found": times},
                )
        turns = self.piece.node.manner.startswith("turned")
        many = times if whole else min(times or 1, 2 if turns else 1)
        if first is None and turns and node.settings.side is None:
            raise fault(
                "row-number",
                "which side faces here is not known, and charts are read from alternate sides",
                node.label.span,
                help=f"write `{node.label.unit} ... rs:` or `ws`",
            )
        if node.settings.side is not None and first is not None:
            self.piece.odd_side = node.settings.side
            self.piece.odd_side = self.piece.side(first)
        rows = []
        try:
            for index in range(many or 0):
                number = None if first is None else first + index
                self.arithmetic.row = number
                side = self.piece.side(number) if number is not None else node.settings.side
                rows.append(self._row_plan(node, body, Charted(node, index + 1, side or "rs")))
        finally:
            self.arithmetic.row = None
        return tuple(rows)

    def _shaping(self, node: Row, work: Work, times: int | None) -> tuple[Shaping, int]:
        """Return how the rows of a `work` change, and how many they are."""
        shaping, wanted = shaping_of(work, plain_step(work, self.items), self.items)
        unit = node.label.unit
        if wanted is None and times is None:
            raise fault(
                "stray-word",
                f"`next {unit}s` does not say how many",
                node.label.span,
                help=f"write `next 4 {unit}s`, or a length that they come to: `over 20 cm`",
            )
        if wanted is not None and times not in (None, wanted):
            raise fault(
                "shaping-missed",
                f"these measures take {plural(wanted, unit)}, and the line says {times}",
                work.span,
                help=f"write `next {unit}s`, and they are counted for you",
                facts={"expected": times or 0, "found": wanted},
            )
        return shaping, wanted if times is None else times  # type: ignore[return-value]

    def _work_row(self, node: Row, work: Work) -> RowPlan:
        """Return the row of a `work` in which nothing changes; it stands for all of them."""
        return replace(self._row_plan(node, plain_row(work)), written=False)

    def _row_plan(self, node: Row, body: Body, charted: Charted | None = None) -> RowPlan:
        assert self.piece is not None
        settings = node.settings
        if settings.yarn is not None:
            self.items.check_yarn(settings.yarn, node.label.span)
        if settings.into is not None or settings.begin is not None or settings.steps:
            raise not_yet("`into`, `begin` and `steps`", node.label.span)
        check_row(body)
        self.items.set_colour(settings.stitch, node.label.span)
        self.items.charted = charted
        try:
            steps = self.items.steps(body)
        finally:
            self.items.colour = self.items.charted = None
        piece = self.piece.node
        return RowPlan(
            unit=node.label.unit,
            body=steps,
            opening=_opening(steps, settings, piece, self.scope),
            side=settings.side,
            yarn=self.scope.yarn(settings.yarn) if settings.yarn is not None else self.piece.yarn,
            loop=settings.loop or piece.loop,
            reads_chains=settings.chains_count or piece.chains_count,
            by_number=node if self.arithmetic.uses_row and charted is None else None,
            charted=charted,
            deepest=deepest(steps),
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
        if not all(row.written for row in repeated):
            raise fault(
                "unknown-row",
                "rows that `work` writes can't be repeated",
                content.span,
                help="go on with another `work`, or give the one above more rows",
            )
        if times != 0 and any(row.by_number for row in repeated):
            repeated = self._renumbered(repeated, content.span, first, times)
        elif self.piece.node.manner.startswith("turned") and any(row.charted for row in repeated):
            repeated = self._turned(repeated, content.span, first)
        settings = node.settings
        if settings.stitch is not None:
            raise fault(
                "stray-word",
                "the rows that are repeated have their stitch already",
                node.label.span,
                help=f"take out `in {settings.stitch}`",
            )
        if settings.yarn is not None:
            self.items.check_yarn(settings.yarn, node.label.span)
        if settings != Settings():
            repeated = tuple(self._with_settings(row, settings) for row in repeated)
        return repeated

    def _turned(self, rows: tuple[RowPlan, ...], span: Span, first: int | None) -> tuple[RowPlan, ...]:
        """Return rows with charts read from the side that faces when they are worked again."""
        assert self.piece is not None
        if first is None:
            raise fault(
                "row-number",
                "which side faces here is not known, and charts are read from alternate sides",
                span,
                help="write how many rows there are before this one",
            )
        turned = []
        # An odd number of rows meets the other side each time: twice as many come round again.
        for index, row in enumerate(rows if len(rows) % 2 == 0 else (*rows, *rows)):
            side = self.piece.side(first + index)
            if row.charted is not None and row.charted.side != side:
                node = row.charted.node
                assert isinstance(node.content, Body)
                again = self._row_plan(node, node.content, replace(row.charted, side=side))
                row = replace(again, yarn=row.yarn, side=None)
            turned.append(row)
        return tuple(turned)

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
                    row = replace(self._row_plan(row.by_number, row.by_number.content), yarn=row.yarn)
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
            yarn=row.yarn if settings.yarn is None else self.scope.yarn(settings.yarn),
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
        return CheckedTotal(self.items.kind(part.name, part.span), count, part.name, part.span)

    def _limit(self, content: RepeatRows) -> Limit:
        assert content.limit is not None
        if content.limit_name is None:
            raise not_yet("`until` with a length", content.span)
        count = self.arithmetic.count(content.limit)
        if content.limit_name.casefold() in ALL_STITCHES:
            return Limit("", count, "", content.span)
        return Limit(
            self.items.kind(content.limit_name, content.span), count, content.limit_name, content.span
        )


def resolve(tree: Tree, scope: Scope, size: int, shared: Shared) -> PatternPlan:
    """Return the pattern in the size of that index, and what could not be worked out.

    `shared` is handed from size to size.
    """
    arithmetic = Arithmetics(size, max(1, len(scope.sizes)), _lets(scope), first_gauge(scope))
    charts, wrong = squares_of(scope)
    items = Items(scope, arithmetic, shared.items, charts=charts)
    resolver = _Resolver(scope, size, shared, arithmetic, items, [*wrong])
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


def _first_stitch(steps: Steps) -> Stitch | None:
    """Return the first stitch that steps make; None if they begin with chains or with words."""
    for step in steps:
        match step:
            case StitchStep(stitch) if not stitch.uses and not stitch.makes:
                continue
            case StitchStep(stitch):
                return stitch
            case BracketStep(body) | GroupStep(body) | TogetherStep(body) | SpreadStep(body):
                return _first_stitch(body)
            case OwnStep(own):
                return _first_stitch(own.body) if isinstance(own.body, tuple) else None
            case SkipStep():
                continue
            case _:
                return None
    return None


def _too_many_by_rule(span: Span) -> Fault:
    return fault(
        "too-large",
        f"`row` makes each of these rows different, and no more than {MOST_ROWS_BY_RULE:,} "
        "such rows can be written out",
        span,
    )
