"""Items to steps in one size: what each of them names is looked up, and its sums are done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ..lang.source import Span
from ..lang.stitches import Stitch, vocabulary
from ..lang.syntax import (
    PLAIN,
    AsFits,
    Body,
    Branch,
    ChartRow,
    How,
    InOne,
    Item,
    Join,
    Leave,
    Number,
    Over,
    Place,
    Run,
    Skip,
    Some,
    Spread,
    StitchDefinition,
    Times,
    Together,
    Underside,
    Value,
    Words,
)
from .charts import ends_in_mesh
from .evenly import laid_over
from .fabric import PICOT, SPACE
from .faults import fault, plural
from .makes import picots, picots_closed
from .names import ALL_STITCHES
from .pieces import piece_index
from .plan import PiecePlan, Stretch
from .refusals import odd_crossed, refuse_each, refuse_edges_inside, refuse_places_inside, refuse_stops_inside
from .scope import Definition, items_of
from .spread import check_spread
from .squared import Squared
from .steps import (
    BracketStep,
    BranchStep,
    ChainStep,
    GroupStep,
    Joint,
    LeaveStep,
    OwnStep,
    OwnStitch,
    SaidStep,
    SkipStep,
    SpreadStep,
    Step,
    Steps,
    StitchStep,
    Target,
    TogetherStep,
    UndersideStep,
)

LARGEST_STITCH = 10_000
"""Items in one of the author's stitches."""


Alike = dict[int, tuple[Body, tuple[Steps | Item, ...]]]
"""What bodies come to, by their id, which the body kept makes lasting: the steps of what is alike in all
sizes and, between them, the items that vary."""


@dataclass(slots=True)
class Items(Squared):
    """The items of a pattern in one size."""

    alike: Alike
    above: Sequence[PiecePlan] = ()
    """The pieces that stand above the row at hand."""

    def steps(self, body: Body, *, on_post: bool = False) -> Steps:
        """Return the steps that items come to, `on_post` if a mesh's post stands before. Raises Fault."""
        if self.charted is not None:
            return self._steps_of_charts(body, on_post)
        steps: list[Step] = []
        if self.arithmetic.sizes == 1:
            for item in body.items:
                steps += self._item(item)
            return picots_closed(tuple(steps))
        known = self.alike.get(id(body))
        if known is None:
            return self._steps_of_first_size(body)
        parts = known[1]
        if len(parts) == 1 and isinstance(parts[0], tuple):
            return parts[0]
        for part in parts:
            steps += part if isinstance(part, tuple) else self._item(part)
        return picots_closed(tuple(steps))

    def _steps_of_first_size(self, body: Body) -> Steps:
        """Return the steps of a body, and keep what of them is alike in all sizes for the others."""
        arithmetic = self.arithmetic
        steps: list[Step] = []
        parts: list[Steps | Item] = []
        for item in body.items:
            met = arithmetic.varied + arithmetic.by_row
            made = self._item(item)
            steps += made
            parts.append(item if arithmetic.varied + arithmetic.by_row > met else made)
        closed = picots_closed(tuple(steps))
        all_alike = all(isinstance(part, tuple) for part in parts)
        self.alike[id(body)] = body, (closed,) if all_alike else tuple(parts)
        return closed

    def _steps_of_charts(self, body: Body, on_post: bool) -> Steps:
        steps: list[Step] = []
        for item in body.items:
            steps += self._item(item, on_post)
            on_post = ends_in_mesh(Body((item,)), self.is_mesh, last=True)
        return tuple(steps)

    def _turn(self, body: Body, on_post: bool) -> tuple[Steps, Steps]:
        """Return what stands before the first turn of a bracket, and the steps of each turn.

        Turns that begin and end with squares of a mesh share the post between them.
        """
        if not self.charts or not all(ends_in_mesh(body, self.is_mesh, last=last) for last in (False, True)):
            return (), self.steps(body)
        return () if on_post else (self._post(body.span),), self.steps(body, on_post=True)

    def _item(self, item: Item, on_post: bool = False) -> Steps:
        match item:
            case Some():
                return self._some(item)
            case Run():
                return (self._run(item),)
            case Over():
                return self._over(item)
            case Branch():
                return self._branch(item)
            case Times(body, count, span):
                times = self.positive(count, span)
                before, steps = self._turn(body, on_post)
                return (*before, BracketStep(steps, times, span=span)) if times and steps else ()
            case AsFits(body, stop, span):
                before, steps = self._turn(body, on_post)
                return (*before, BracketStep(steps, None, self._stop(stop), span)) if steps else ()
            case InOne(body, place, mark, span):
                refuse_each(place, item)
                steps = self.steps(body)
                refuse_places_inside(steps)
                return (GroupStep(steps, self._target(place), self._mark(mark), span),) if steps else ()
            case Together(body, mark, span):
                return (TogetherStep(self.steps(body), self._mark(mark), span),)
            case Skip():
                return self._skip(item)
            case Leave(count, mark, span):
                if count is None:
                    return (LeaveStep(None, self._mark(mark), span),)
                left = self.positive(count, span)
                return (LeaveStep(left, self._mark(mark), span),) if left else ()
            case Words():
                return (self._words(item),)
            case Spread(inner, span):
                spread = self.steps(inner)
                check_spread(spread)
                return (SpreadStep(spread, span),) if spread else ()
            case Underside(span=span):
                return (UndersideStep(span),)
            case ChartRow():
                return self._chart_row(item, on_post)
            case Join():
                return (self._join(item),)

    def _join(self, item: Join) -> Step:
        index = piece_index(item.piece, item.span, self.above, None, self.scope)
        key = item.place.casefold()
        picots = self._picots_of(self.above[index])
        if key in self.scope.marks:
            place = self.scope.marks[key]
            marked = next((stitch for stitch, mark in picots if mark == place), None)
            if marked is not None:
                return self._joined_picot(marked, index, place, item)
        elif key in ("sp", "sps") or key in ALL_STITCHES:
            place = SPACE if key.startswith("sp") else "st"
        elif key in (PICOT, "picots"):
            usual = self.scope.vocabulary.find("picot3")
            assert usual is not None
            stitch = next((stitch for stitch, mark in picots if mark is None), usual)
            return self._joined_picot(stitch, index, PICOT, item)
        else:
            raise fault(
                "unknown-edge",
                f"no place of a piece is called {item.place}",
                item.span,
                help=f"join to a mark of its last round (`2 ch as {item.place}`), to `sp`, `st` or `picot`",
            )
        joint = Joint(index, self.above[index].title, place, item.which)
        return ChainStep(1, None, item.span, joint=joint)

    def _joined_picot(self, stitch: Stitch, index: int, place: str, item: Join) -> Step:
        joint = Joint(index, self.above[index].title, place, item.which)
        return StitchStep(stitch, span=item.span, joint=joint)

    def _picots_of(self, piece: PiecePlan) -> tuple[tuple[Stitch, str | None], ...]:
        rows = [part.rows for part in piece.parts if isinstance(part, Stretch) and part.rows]
        return tuple(picots(rows[-1][-1].body)) if rows else ()

    def _some(self, item: Some) -> Steps:
        how = item.how
        yarn = None if how.yarn is None else self._yarn(how.yarn, item.span)
        count = 1 if item.count is None else self.positive(item.count, item.span)
        stitch = self.built_in(item.name)
        if stitch is None:
            if (colour := self._as_colour(item.name)) is not None:
                return (self._coloured(item, count, colour),) if count else ()
            own = self.own(item.name)
            if own is not None:
                target, mark = self._place_and_mark(item)
                return (OwnStep(own, count, None, target, mark, item.span, yarn),) if count else ()
            stitch = self.stitch(item.name, item.name_span)
        if item.place is None and item.mark is None:
            target = mark = None
        else:
            target, mark = self._place_and_mark(item)
        if not count:
            return ()
        if target is None and stitch.family == "chain":
            return (ChainStep(count, mark, item.span, yarn),)
        step = StitchStep(stitch, count, None, target, how.loop, yarn, mark, item.span)
        return (step if how is PLAIN else special(step, how),)

    def _place_and_mark(self, item: Some) -> tuple[Target | None, str | None]:
        if item.place is not None:
            refuse_each(item.place, item)
        return None if item.place is None else self._target(item.place), self._mark(item.mark)

    def _over(self, item: Over) -> Steps:
        yarn = None if item.how.yarn is None else self._yarn(item.how.yarn, item.span)
        count, places = self.arithmetic.count(item.count), self.arithmetic.count(item.places)
        stitch = self.stitch(item.name, item.name_span)
        if (stitch.uses, stitch.makes) != (1, 1):
            raise fault(
                "stray-word",
                f"{item.name} can't be laid over places: only what is one stitch in one place can",
                item.name_span,
                help="use a bracket: `[2 dc in st] x 6`",
            )
        if count < places:
            raise fault(
                "fewer-stitches",
                f"{plural(count, 'stitch', 'stitches')} over {plural(places, 'place')} leave some empty",
                item.span,
                help=f"work at least {places}, or say how to pass: `[{item.name}, skip] x {count}`, "
                f"`{item.name}2tog`",
                facts={"expected": places, "found": count},
            )
        if not places:
            if count:
                raise fault("fewer-stitches", "these stitches have no place to go into", item.span)
            return ()
        how = item.how
        step = StitchStep(stitch, count, None, None, how.loop, yarn, None, item.span)
        return laid_over(special(step, how), places)

    def _branch(self, item: Branch) -> Steps:
        stitch = self.stitch(item.name, item.name_span)
        if stitch.family != "chain":
            raise fault(
                "stray-word",
                f"only chains are worked back along: `{item.name}` is none",
                item.name_span,
                help="write `10 ch and back [skip 3, 7 dc]`",
            )
        count = self.positive(item.count, item.span)
        steps = self.steps(item.body)
        return (BranchStep(count, steps, self._mark(item.mark), item.span),) if count else ()

    def _run(self, item: Run) -> Step:
        how = item.how
        yarn = None if how.yarn is None else self._yarn(how.yarn, item.span)
        stop = self._stop(item.stop)
        stitch = self.built_in(item.name)
        if stitch is None:
            if (colour := self._as_colour(item.name)) is not None:
                return self._coloured(item, None, colour, stop)
            own = self.own(item.name)
            if own is not None:
                return OwnStep(own, None, stop, span=item.span, yarn=yarn)
            stitch = self.stitch(item.name, item.name_span)
        if stitch.uses == 0:
            raise fault(
                "count-order",
                f"{item.name} uses up no places, so it can't be worked `to` anything",
                item.span,
                help=f"say how many: `6 {item.name}`",
            )
        step = StitchStep(stitch, None, stop, None, how.loop, yarn, None, item.span)
        return step if how is PLAIN else special(step, how)

    def _yarn(self, name: str, span: Span) -> str | None:
        self.check_yarn(name, span)
        return self.scope.yarn(name)

    def _skip(self, item: Skip) -> Steps:
        mark = self._mark(item.mark)
        if item.stop is not None:
            return (SkipStep(None, self._stop(item.stop), None, mark, item.span),)
        if item.place is not None:
            target = self._target(Place(item.place, span=item.span))
            return (SkipStep(1, None, target.name or target.kind, mark, item.span),)
        count = 1 if item.count is None else self.positive(item.count, item.span)
        return (SkipStep(count, None, None, mark, item.span),) if count else ()

    def _words(self, item: Words) -> SaidStep:
        makes = tuple(
            (self._made_kind(part.name, part.span), self.arithmetic.count(part.count)) for part in item.makes
        )
        return SaidStep(item.text, self.arithmetic.count(item.over), makes, self._mark(item.mark), item.span)

    def _made_kind(self, name: str | None, span: Span) -> str:
        if name is None or name.casefold() in ALL_STITCHES:
            return "st"
        return self.kind(name, span)

    def _defined(self, definition: Definition, node: StitchDefinition) -> OwnStitch:
        scope, colour, charted = self.scope, self.colour, self.charted
        self.colour = self.charted = None
        if definition.dialect != scope.dialect:
            self.scope = replace(scope, dialect=definition.dialect, vocabulary=vocabulary(definition.dialect))
        try:
            match node.body:
                case Body():
                    items = tuple(items_of(node.body))
                    refuse_edges_inside(items)
                    refuse_stops_inside(items)
                    steps = self.steps(node.body)
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
            self.scope, self.colour, self.charted = scope, colour, charted

    def positive(self, value: Value, span: Span) -> int:
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


def special(step: StitchStep, how: How) -> StitchStep:
    """Return a stitch as worked rows below, or crossed. Raises Fault if it can't be."""
    if how.below is None and not how.crossed:
        return step
    word = "crossed" if how.crossed else "below"
    target = step.target.kind if step.target is not None else "st"
    if (
        (step.stitch.uses, step.stitch.makes) != (1, 1)
        or step.stitch.family not in ("plain", "slip", "post")
        or target not in ("st", "ahead", "edge")
        or (how.crossed and (step.target is not None or how.below is not None))
    ):
        raise fault(
            "stray-word",
            f"`{word}` can't be said of this",
            step.span,
            help="it is said of single stitches in places of their own: `2 dc crossed`, `sc below 2`",
        )
    if how.below == 0:
        raise fault("stray-word", "`below 0` is the next place itself", step.span, help="leave it out")
    if how.crossed and step.count is not None and step.count % 2:
        raise odd_crossed(step.count, step.span)
    return replace(step, below=how.below or 0, crossed=how.crossed)
