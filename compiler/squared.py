"""The squares of charts, and the colours of a row, as steps: each is so many of the row's stitch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..lang.source import Span
from ..lang.stitches import Stitch, vocabulary
from ..lang.syntax import ChartRow, Run, Some
from .charts import Squares
from .faults import HeldBack, fault, plural
from .names import Names
from .plan import Charted
from .steps import MeshStep, OwnStep, OwnStitch, Step, Steps, StitchStep, Stop


@dataclass(slots=True)
class Squared(Names):
    """What squares and colours come to in one size."""

    charts: Mapping[str, Squares] = field(default_factory=dict, kw_only=True)
    """The charts that are in order."""
    colour: Stitch | OwnStitch | None = field(default=None, init=False)
    """What the colours of the row at hand are worked in."""
    charted: Charted | None = field(default=None, init=False)
    """How the row at hand reads its charts."""

    def is_mesh(self, name: str) -> bool:
        """Tell whether a chart has spaces and blocks."""
        chart = self.charts.get(name.casefold())
        return chart is not None and chart.mesh

    def chart(self, item: ChartRow) -> Squares:
        """Return the chart that an item names. Raises Fault if there is none that can be worked."""
        chart = self.charts.get(item.name.casefold())
        if chart is not None:
            return chart
        if item.name.casefold() in self.scope.charts:
            raise HeldBack
        raise fault(
            "unknown-name",
            f"no chart is called `{item.name}`",
            item.span,
            help=f"write its squares: `chart {item.name}: . = space, X = block`, and the rows under it",
        )

    def _chart_row(self, item: ChartRow, on_post: bool) -> Steps:
        chart = self.chart(item)
        charted = self.charted
        if charted is None:
            raise fault(
                "stray-word",
                "a chart can't be worked here",
                item.span,
                help="work it in a row of a piece: `row 5: chart Heart row 1`",
            )
        row = item.row if item.row is not None else charted.row
        if not 1 <= row <= chart.height:
            raise fault(
                "chart-rows",
                f"chart {chart.node.name} has {plural(chart.height, 'row')}, so it has no row {row}",
                item.span,
                help=f"its rows are numbered from 1 at the bottom to {chart.height}",
                facts={"expected": chart.height, "found": row},
            )
        runs = chart.runs(row, charted.side)
        if chart.mesh:
            mesh = MeshStep(runs, self._mesh_stitch(item.span), item.span)
            return (mesh,) if on_post else (self._post(item.span), mesh)
        return tuple(self._square(name, count, item.span) for name, count in runs)

    def _as_colour(self, name: str) -> str | None:
        """Return the yarn that an item names; None if it names a stitch, as a yarn's name must not."""
        yarn = self.scope.yarn(name)
        return None if yarn is None or self.scope.vocabulary.find(name) is not None else yarn

    def _square(self, name: str, count: int, span: Span) -> Step:
        yarn = self._as_colour(name)
        if yarn is not None:
            return self._coloured(Some(name, span=span), count, yarn)
        own = self.own(name)
        if own is not None:
            return OwnStep(own, count, span=span)
        return StitchStep(self.stitch(name, span), count, span=span)

    def _mesh_stitch(self, span: Span) -> Stitch:
        """Return what the posts of a mesh are: the row's stitch, else that of most filet."""
        if isinstance(self.colour, OwnStitch):
            raise fault(
                "stray-word", f"a mesh can't be made of {self.colour.name}", span, help="write `in dc`"
            )
        found = self.colour or vocabulary("US").find("dc")
        assert found is not None
        return found

    def _post(self, span: Span) -> StitchStep:
        return StitchStep(self._mesh_stitch(span), span=span)

    def set_colour(self, name: str | None, span: Span) -> None:
        """Take a row's stitch for its colours. Raises Fault if it is not worked one to a place."""
        self.colour = None
        if name is None:
            return
        own = self.own(name)
        stitch = self.stitch(name, span) if own is None else None
        if stitch is not None and (stitch.uses, stitch.makes) != (1, 1):
            raise fault(
                "stray-word",
                f"`in {name}` can't be the stitch of a row's colours: a colour is one stitch in one place",
                span,
                help=f"write the stitch out: `2 {name} with W`",
            )
        self.colour = own or stitch

    def _coloured(self, item: Some | Run, count: int | None, yarn: str, stop: Stop | None = None) -> Step:
        """Return so many of the row's stitch in a yarn."""
        if self.colour is None:
            raise fault(
                "missing-stitch",
                f"`{item.name}` is a yarn, and the row does not say in which stitch its colours are worked",
                item.span,
                help=f"name the stitch before the colon, `row 3 in sc: ...`, or here: `6 sc with {yarn}`",
            )
        if item.how.yarn is not None:
            raise fault("used-twice", "the yarn of these stitches is said twice", item.span)
        place = item.place if isinstance(item, Some) else None
        target = self._target(place) if place is not None else None
        mark = self._mark(item.mark) if isinstance(item, Some) else None
        if isinstance(self.colour, OwnStitch):
            return OwnStep(self.colour, count, stop, target, mark, item.span, yarn)
        return StitchStep(self.colour, count, stop, target, item.how.loop, yarn, mark, item.span)
