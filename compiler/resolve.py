"""Tree to pattern for one size: names looked up, arithmetic done, repeats of rows followed.

What is alike in all sizes is resolved once: a row in which nothing varies is the same object in each size's
plan, and the counter sees that.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace

from ..lang.diagnostics import Diagnostic
from ..lang.measures import convert
from ..lang.parser import line_word
from ..lang.source import Span
from ..lang.syntax import (
    Again,
    BodyFit,
    Close,
    Laid,
    Let,
    NameValue,
    Piece,
    RepeatRows,
    Row,
    Seam,
    Start,
    Statement,
    Text,
    Tree,
)
from .charts import squares_of
from .faults import Fault, HeldBack, fault, plural
from .fits import FitPlan, planned
from .gauged import gauges_of
from .items import Items
from .kept import Lately, PlannedRow
from .misplaced import after_close, under_complete, without_start, wrong_unit
from .pieces import PieceState, piece_index
from .plan import (
    AgainPlan,
    Closing,
    MakingUp,
    PatternPlan,
    PiecePlan,
    Remark,
    SeamPlan,
    Stretch,
)
from .rowlines import stretch_of, unread_stretch
from .rowplans import RowPlans, Shared
from .salvage import is_row
from .scope import Definition, Scope
from .starts import again_start, laid_plan, seam_plan, start_plan
from .values import Arithmetics


@dataclass(slots=True)
class _Resolver:
    scope: Scope
    size: int
    arithmetic: Arithmetics
    items: Items
    plans: RowPlans
    diagnostics: list[Diagnostic] = field(default_factory=list)
    pieces: list[PiecePlan] = field(default_factory=list)
    piece: PieceState | None = None
    astray: bool = False
    """Whether it is told already that what stands here stands under no piece."""
    laid: set[int] = field(default_factory=set)
    """The pieces that are laid in a grid."""
    seams: list[SeamPlan | Remark] = field(default_factory=list)
    """Those that stand together here."""
    making_up: list[MakingUp] = field(default_factory=list)
    held_back: int = 0
    """How many faults are told elsewhere."""
    kept: Lately[PlannedRow] | None = None
    above: tuple[tuple[str, str], ...] = ()
    """Names and titles of the pieces above the one at hand."""

    # ---- statements ----

    def check_definitions(self) -> None:
        """Work out every `let` and `stitch` once, so that a fault in one is told where it stands."""
        for definition in self.scope.definitions.values():
            node = definition.node
            with suppress(HeldBack):
                if isinstance(node, Let | BodyFit):
                    self.arithmetic.evaluate(NameValue(node.name, node.name_span))
                else:
                    self.items.own(node.name)
        for broken in (self.arithmetic.broken, self.items.broken):
            for key, found in broken.items():
                if found is not None:
                    self._report_definition(self.scope.definitions[key], found)

    def _report_definition(self, definition: Definition, found: Diagnostic) -> None:
        if definition.used_at is not None:
            message = f"`{definition.node.name}` of the file brought in can't be worked out: {found.message}"
            found = Diagnostic(found.name, message, definition.used_at, help=found.help, facts=found.facts)
        self.diagnostics.append(found.shifted(0 if definition.used_at is not None else definition.start))

    def _report(self, found: Fault, start: int) -> None:
        """Tell a fault whose places are offsets from `start`, unless it is told elsewhere."""
        if isinstance(found, HeldBack):
            self.held_back += 1
        else:
            self.diagnostics.append(found.diagnostic.shifted(start))

    def statement(self, statement: Statement) -> None:
        match statement.node:
            case Row(label=label):
                if not self._is_complete(label.span, statement, "rows"):
                    self._row_statement(statement.node, statement)
            case Piece():
                self._finish_piece()
                self._finish_seams()
                self._begin_piece(statement.node, statement)
            case Start(span=span) if self._is_complete(span, statement, "`start`"):
                pass
            case Start():
                self._guarded(statement, self._start)
            case Text(key="picture" | "note" | "finish" | "caution") as node:
                if self.piece is not None:
                    self.piece.parts.append(Remark(node, statement.start))
                elif self.seams:
                    self.seams.append(Remark(node, statement.start))
            case Close(span=span) if self._is_complete(span, statement, "`close`"):
                pass
            case Close():
                self._guarded(statement, self._close)
            case Seam():
                self._finish_piece()
                self._guarded(statement, self._seam)
            case None:
                self._faulty(statement)
            case Text() if self.piece is not None and not self.piece.parts:
                # Told where names are gathered; it may have been meant for the start.
                self.piece.start_failed = True
            case _:
                pass

    def finished(self) -> PatternPlan:
        self._finish_piece()
        self._finish_seams()
        names = self.scope.sizes
        return PatternPlan(
            names[self.size] if names else "",
            tuple(self.pieces),
            tuple(self.diagnostics),
            tuple(self.making_up),
            self.scope.has_joins,
            self.arithmetic.gauges,
            tuple(self._fits()),
        )

    def _fits(self) -> Iterator[FitPlan]:
        """Yield the parts of the body that the pattern fits, those with a fault left out."""
        for definition in self.scope.definitions.values():
            fit = definition.node
            if isinstance(fit, BodyFit) and fit.name.casefold() not in self.arithmetic.broken:
                with suppress(Fault):
                    body, work = (
                        convert(each.number, each.unit or "cm", "cm")
                        for each in (self.arithmetic.body(fit), self.arithmetic.fitted_to(fit))
                    )
                    yield planned(fit, body, work, self.size, self.scope.sizes)

    @property
    def _outside(self) -> str:
        return "after the seams of the pieces above" if self.pieces else "before any piece"

    def _faulty(self, statement: Statement) -> None:
        """Keep what hangs on a statement that could not be read from being complained about."""
        if not statement.faulty:
            return
        word = line_word(statement.text)
        if word == "piece":
            self._finish_piece()
            self._finish_seams()
            self.astray = True
        elif self.piece is not None and is_row(statement):
            stretch = unread_stretch(self.plans, self.piece, statement)
            self.piece.misnumbered |= stretch.times is None
            self.piece.add(stretch)
        elif self.piece is not None and (word == "start" or (not word and not self.piece.parts)):
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
        self.above = tuple((plan.node.name, plan.title) for plan in self.pieces)
        self.piece = PieceState(node, statement.start, make, yarn=yarn)
        self.astray = False
        if node.laid is not None:
            self.piece.start_failed = True
            try:
                self._lay(node.laid, self.piece)
            except Fault as found:
                self._report(found, statement.start)
        if node.again is not None:
            try:
                self._begin_again(node, node.again, self.piece)
            except Fault as found:
                self._report(found, statement.start)

    def _begin_again(self, node: Piece, again: Again, piece: PieceState) -> None:
        """Give a piece that is worked like another the rows of that one."""
        piece.start_failed = True
        index = piece_index(again.name, again.span, self.pieces, piece, self.scope)
        like = self.pieces[index]
        if like.laid is not None:
            raise fault(
                "unknown-piece",
                f"{again.name} is laid of motifs, and not worked in rows",
                again.span,
                help=f"lay another: `piece {node.name}, 6 x 8 of Square, joined at corner`",
            )
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
        piece.start = again_start(again, piece.offset, like, self.pieces, piece, self.items)
        piece.again = AgainPlan(index, mirrored)

    def _lay(self, node: Laid, piece: PieceState) -> None:
        """Lay motifs in a grid; of a motif that does not say how often it is made, as many as are laid."""
        laid = laid_plan(node, self.pieces, piece, self.items)
        motif = self.pieces[laid.index]
        if motif.node.make is None:
            before = motif.make if laid.index in self.laid else 0
            self.pieces[laid.index] = replace(motif, make=before + laid.motifs)
        elif motif.make < laid.motifs:
            raise fault(
                "motif-count",
                f"{laid.across} x {laid.high} are {laid.motifs} motifs, and {motif.node.name} is made "
                f"{plural(motif.make, 'time')}",
                node.span,
                help=f"write `make {laid.motifs}`, or leave it out: a motif is made as often as it is laid",
                facts={"expected": laid.motifs, "found": motif.make},
            )
        self.laid.add(laid.index)
        piece.laid = laid

    def _is_complete(self, span: Span, statement: Statement, what: str) -> bool:
        """Report what stands under a piece that takes all its rows from another."""
        if self.piece is None or (self.piece.node.again is None and self.piece.node.laid is None):
            return False
        self.diagnostics.append(under_complete(self.piece, span.shifted(statement.start), what))
        return True

    def _finish_piece(self) -> None:
        piece = self.piece
        if piece is None:
            return
        if piece.start is None and not piece.start_failed and piece.parts and piece.node.again is None:
            self.diagnostics += without_start(piece)
        parts, again, yarns = tuple(piece.parts), piece.again, piece.yarns
        laid = piece.laid
        if laid is not None:
            laid = replace(laid, remarks=tuple(each for each in parts if isinstance(each, Remark)))
        if again is not None:
            again = replace(again, remarks=tuple(each for each in parts if isinstance(each, Remark)))
            parts, yarns = self.pieces[again.index].parts, self.pieces[again.index].yarns
        self.pieces.append(
            PiecePlan(piece.node, piece.offset, piece.start, parts, piece.make, yarns, again, laid)
        )
        self.piece = None

    def _seam(self, node: Seam, statement: Statement) -> None:
        self.seams.append(seam_plan(node, statement, self.pieces, self.items))

    def _finish_seams(self) -> None:
        if self.seams:
            self.making_up.append(MakingUp(len(self.pieces), tuple(self.seams)))
        self.seams = []

    def _start(self, node: Start, statement: Statement) -> None:
        piece = self.piece
        if piece is None and self.astray:
            raise HeldBack
        if piece is None:
            self.astray = True
            raise fault(
                "out-of-order",
                f"`start` stands {self._outside}",
                node.span,
                help="write a line such as `piece Band, turned rows` above it",
                facts={"line": "piece"},
            )
        if piece.start is not None or piece.start_failed:
            raise fault(
                "out-of-order", "this piece has been started already", node.span, help="keep one `start`"
            )
        if any(isinstance(part, Stretch) for part in piece.parts):
            piece.start_failed = True
            raise fault(
                "out-of-order",
                "`start` must stand before the first row",
                node.span,
                help="move the line up, right under the line of the piece",
            )
        piece.start_failed = True
        piece.start = start_plan(node, statement, self.pieces, piece, self.items)
        piece.start_failed = False

    def _close(self, node: Close, statement: Statement) -> None:
        """End a piece by drawing its last round together. Raises Fault."""
        piece = self.piece
        if piece is None:
            if self.astray:
                raise HeldBack
            raise fault("out-of-order", "`close` stands before any piece", node.span)
        if piece.closed:
            raise fault(
                "after-close", f"{piece.node.name} is closed already", node.span, help="keep one `close`"
            )
        why = ""
        if piece.node.manner.endswith("rows"):
            why = "rows go from side to side, so there is no last round to draw together"
        elif not any(isinstance(part, Stretch) and part.times != 0 for part in piece.parts):
            why = "there is no round yet to draw together"
        if why:
            raise fault(
                "nothing-to-close",
                why,
                node.span,
                help="`close` stands after the last round of a ball or a hat",
            )
        piece.closed = True
        piece.parts.append(Closing(node, statement.start))

    # ---- rows ----

    def _row_statement(self, node: Row, statement: Statement) -> None:
        piece = self.piece
        if piece is None:
            self._report_outside(node, statement)
            return
        if piece.closed:
            self.diagnostics.append(after_close(piece, node.label.span.shifted(statement.start)))
            return
        first = node.label.first if node.label.first is not None else piece.next_number
        piece.misnumbered |= piece.next_number not in (None, first)
        key = id(node), id(piece.node), first
        kept = None if self.kept is None else self.kept.get(key)
        if (
            kept is not None
            and kept.yarn == piece.yarn
            and kept.side == piece.odd_side
            and kept.above == self.above
        ):
            piece.odd_side = kept.side_after
            piece.add(kept.stretch.at(statement.start))
            return
        told, yarn, side = len(self.diagnostics) + self.held_back, piece.yarn, piece.odd_side
        self.diagnostics += wrong_unit(piece, node, statement)
        stretch = stretch_of(self.plans, piece, node, statement, first, self._report)
        sound = stretch.rows and len(self.diagnostics) + self.held_back == told
        # What rows repeat is not written in their line.
        if self.kept is not None and sound and not isinstance(node.content, RepeatRows):
            side_after = piece.odd_side
            row = PlannedRow(piece.node, yarn, side, self.above, statement.text, stretch, side_after)
            self.kept.put(key, row)
        piece.add(stretch)

    def _report_outside(self, node: Row, statement: Statement) -> None:
        if not self.astray:
            self.astray = True
            self.diagnostics.append(
                Diagnostic(
                    "out-of-order",
                    f"this {node.label.unit} stands {self._outside}",
                    node.label.span.shifted(statement.start),
                    help="write a line such as `piece Band, turned rows` above it",
                    facts={"line": "piece"},
                )
            )


def resolve(
    tree: Tree, scope: Scope, size: int, shared: Shared, kept: Lately[PlannedRow] | None = None
) -> PatternPlan:
    """Return the pattern in the size of that index, and what could not be worked out.

    `shared` is handed from size to size, `kept` from analysis to analysis.
    """
    arithmetic = Arithmetics(size, max(1, len(scope.sizes)), scope.lets, size_names=scope.sizes)
    charts, wrong = squares_of(scope)
    items = Items(scope, arithmetic, shared.items, charts=charts)
    arithmetic.gauges, not_measured = gauges_of(items)
    faults = [*wrong, *not_measured]
    resolver = _Resolver(scope, size, arithmetic, items, RowPlans(items, shared), faults, kept=kept)
    items.above = resolver.pieces
    resolver.check_definitions()
    for statement in tree.statements:
        resolver.statement(statement)
    return resolver.finished()
