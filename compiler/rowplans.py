"""Rows as they are written, to rows with every number worked out."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from ..lang.source import Span
from ..lang.syntax import Body, ChartRow, Row, Settings, Statement, Work
from .faults import Fault, fault, plural
from .items import Alike, Items
from .makes import deepest
from .pieces import PieceState
from .plan import Charted, CheckedTotal, Elsewhere, RowPlan, Shaping
from .refusals import check_row, no_beginning
from .turning import opening_of, refuse_typed
from .work import plain_row, plain_step, shaping_of

MOST_ROWS_BY_RULE = 100_000
"""Rows that `row` makes different from one another, in one statement."""


@dataclass(frozen=True, slots=True)
class Shared:
    """What came out alike for all sizes, handed from size to size."""

    rows: dict[tuple[int, str | None], RowPlan] = field(default_factory=dict)
    """By the place of their statement."""
    charts: dict[int, tuple[ChartRow, ...]] = field(default_factory=dict)
    """The charts that rows work, by the place of their statement: of those rows that were looked over."""
    items: Alike = field(default_factory=dict)
    totals: dict[int, tuple[Row, tuple[CheckedTotal, ...]]] = field(default_factory=dict)
    """By the id of their row, which is kept so that it stays its own."""


@dataclass(frozen=True, slots=True)
class RowPlans:
    """What makes the rows of one size."""

    items: Items
    shared: Shared

    def body_rows(
        self,
        piece: PieceState,
        node: Row,
        body: Body,
        statement: Statement,
        first: int | None,
        times: int | None,
    ) -> tuple[RowPlan, ...]:
        """Return the rows worked in turn where a line writes them out. Raises Fault."""
        charts = self._looked_over(body, statement)
        if charts:
            return self._charted_rows(piece, node, body, charts, first, times)
        arithmetic = self.items.arithmetic
        key = statement.start, piece.yarn
        known = self.shared.rows.get(key)
        if known is not None:
            return (known,)
        varied, by_row = arithmetic.varied, arithmetic.by_row
        arithmetic.row = first
        try:
            row = self.row_plan(piece, node, body)
            if arithmetic.by_row > by_row:
                if times is None or times > MOST_ROWS_BY_RULE:
                    raise too_many_by_rule(node.label.span)
                assert first is not None
                rows = [row]
                for number in range(first + 1, first + times):
                    arithmetic.row = number
                    rows.append(self.row_plan(piece, node, body))
                return tuple(rows)
            if self.items.scope.sizes and arithmetic.varied == varied:
                row = replace(row, in_all_sizes=True)
                self.shared.rows[key] = row
            return (row,)
        finally:
            arithmetic.row = None

    def _looked_over(self, body: Body, statement: Statement) -> tuple[ChartRow, ...]:
        """Return the charts that items work, once they are known to stand where they may. Raises Fault."""
        charts = self.shared.charts.get(statement.start)
        if charts is None:
            charts = self.shared.charts[statement.start] = check_row(body)
        return charts

    def _charted_rows(
        self,
        piece: PieceState,
        node: Row,
        body: Body,
        charts: tuple[ChartRow, ...],
        first: int | None,
        times: int | None,
    ) -> tuple[RowPlan, ...]:
        """Return one row for each row of the charts; of charts that turn, one for each side."""
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
        turns = piece.node.manner.startswith("turned")
        many = times if whole else min(times or 1, 2 if turns else 1)
        if first is None and turns and node.settings.side is None:
            raise fault(
                "row-number",
                "which side faces here is not known, and charts are read from alternate sides",
                node.label.span,
                help=f"write `{node.label.unit} ... rs:` or `ws`",
            )
        if node.settings.side is not None and first is not None:
            piece.odd_side = node.settings.side
            piece.odd_side = piece.side(first)
        arithmetic = self.items.arithmetic
        rows = []
        try:
            for index in range(many or 0):
                number = None if first is None else first + index
                arithmetic.row = number
                side = piece.side(number) if number is not None else node.settings.side
                rows.append(self.row_plan(piece, node, body, Charted(node, index + 1, side or "rs")))
        finally:
            arithmetic.row = None
        return tuple(rows)

    def shaping(self, node: Row, work: Work, times: int | None) -> tuple[Shaping, int]:
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
                help=f"write `next {unit}s`, and they are counted for you; where a note has to stand among "
                f"them, write the {unit}s out as they are published",
                facts={"expected": times or 0, "found": wanted},
            )
        return shaping, wanted if times is None else times  # type: ignore[return-value]

    def work_row(self, piece: PieceState, node: Row, work: Work) -> RowPlan:
        """Return the row of a `work` in which nothing changes; it stands for all of them."""
        row = self.row_plan(piece, node, plain_row(work))
        if row.elsewhere is not None:
            raise fault(
                "stray-word",
                "the rows of a `work` begin where the row before them ends",
                row.elsewhere.span,
                help="write the row that begins elsewhere by itself, and go on with `work` after it",
            )
        return replace(row, written=False)

    def row_plan(self, piece: PieceState, node: Row, body: Body, charted: Charted | None = None) -> RowPlan:
        """Return one row. Raises Fault."""
        settings = node.settings
        if settings.yarn is not None:
            self.items.check_yarn(settings.yarn, settings.yarn_span)
        by_row = self.items.arithmetic.by_row
        self.items.set_colour(settings.stitch, node.label.span)
        self.items.charted = charted
        try:
            steps = self.items.steps(body)
        finally:
            self.items.colour = self.items.charted = None
        refuse_typed(steps, settings)
        return RowPlan(
            unit=node.label.unit,
            body=steps,
            opening=opening_of(steps, settings, piece.node, self.items.scope),
            side=settings.side,
            yarn=self.items.scope.yarn(settings.yarn) if settings.yarn is not None else piece.yarn,
            loop=settings.loop or piece.node.loop,
            reads_chains=settings.chains_count or piece.node.chains_count,
            by_number=node if self.items.arithmetic.by_row > by_row and charted is None else None,
            charted=charted,
            elsewhere=self.elsewhere(piece, settings, node.label.span),
            deepest=deepest(steps),
        )

    def elsewhere(self, piece: PieceState, settings: Settings, span: Span) -> Elsewhere | None:
        """Return where a row's settings say that it is worked. Raises Fault."""
        begin, manner = settings.begin, piece.node.manner
        if settings.into is None and begin is None and not settings.steps:
            return None
        said = Elsewhere(settings.into, None, 0, settings.steps, span)
        if settings.steps and not manner.endswith("rows"):
            raise fault(
                "no-steps",
                "a round goes all the way round: there are no steps at its end",
                span,
                help="leave `steps` out",
            )
        if begin is None:
            return said
        said = replace(said, places=begin.places, span=begin.span)
        if manner not in ("joined rounds", "turned rounds"):
            why = (
                "a spiral goes on where it is, and has no join to begin elsewhere than"
                if manner == "spiral rounds"
                else "a row begins where the work is turned or the yarn is joined"
            )
            raise no_beginning(why, begin.span)
        if begin.name is not None:
            return replace(said, begin=self.items.place_ahead(begin.name, begin.span))
        if not begin.places:
            raise fault("zero-count", "`begin 0` is where the round begins anyway", begin.span)
        return said


def too_many_by_rule(span: Span) -> Fault:
    """Return the fault of more rows by one rule than may be written out."""
    return fault(
        "too-large",
        f"`row` makes each of these rows different, and no more than {MOST_ROWS_BY_RULE:,} "
        "such rows can be written out",
        span,
    )
