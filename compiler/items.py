"""Items to steps in one size: what each of them names is looked up, and its sums are done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from ..lang.diagnostics import Fix, Label
from ..lang.source import Span
from ..lang.stitches import Stitch, other_dialect, vocabulary
from ..lang.syntax import (
    AsFits,
    Body,
    ChartRow,
    How,
    InOne,
    Item,
    Leave,
    Number,
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
from ..lang.syntax import Stop as StopNode
from .faults import Fault, HeldBack, fault
from .plan import (
    BracketStep,
    ChainStep,
    GroupStep,
    LeaveStep,
    OwnStep,
    OwnStitch,
    SaidStep,
    SkipStep,
    Step,
    Steps,
    StitchStep,
    Stop,
    Target,
    TogetherStep,
)
from .scope import Definition, Scope
from .values import DEEPEST, Arithmetics

LARGEST_STITCH = 10_000
"""Items in one of the author's stitches."""

ALL_STITCHES = frozenset({"st", "sts", "stitch", "stitches"})


Alike = dict[int, tuple[Item, Iterable[Step]]]
"""The steps of items that are alike in all sizes, by the item's id, which the item kept makes lasting."""


@dataclass(slots=True)
class Items:
    """What items may refer to, and the author's stitches worked out so far."""

    scope: Scope
    arithmetic: Arithmetics
    alike: Alike
    own_stitches: dict[str, tuple[OwnStitch, bool]] = field(default_factory=dict)
    """The author's stitches, and whether they differ from size to size."""
    broken: dict[str, Fault | None] = field(default_factory=dict)
    """The author's stitches that can't be worked out, as `Arithmetics.broken` has it."""
    defining: list[Definition] = field(default_factory=list)
    """The author's stitches being worked out, each for the one before it."""

    def kind(self, name: str, span: Span) -> str:
        """Return the kind that a total counts under `name`."""
        key = name.casefold()
        if key in ("sp", "sps"):
            return "sp"
        if key == "chains":
            return "chains"
        if key in self.scope.marks:
            return f"as {self.scope.marks[key]}"
        own = self.own(name)
        if own is not None:
            return f"as {own.name}"
        stitch = self.stitch(name, span)
        return "chains" if stitch.family == "chain" else stitch.counts_as

    def steps(self, body: Body) -> Steps:
        """Return the steps that items come to. Raises Fault."""
        if self.arithmetic.sizes == 1:
            return tuple(step for item in body.items for step in self._item(item))
        return tuple(step for item in body.items for step in self._item_of_all_sizes(item))

    def _item_of_all_sizes(self, item: Item) -> Iterable[Step]:
        known = self.alike.get(id(item))
        if known is not None:
            return known[1]
        arithmetic = self.arithmetic
        varies, uses_row = arithmetic.varies, arithmetic.uses_row
        arithmetic.varies = arithmetic.uses_row = False
        try:
            steps = self._item(item)
            if not arithmetic.varies and not arithmetic.uses_row:
                self.alike[id(item)] = item, steps
            return steps
        finally:
            arithmetic.varies = arithmetic.varies or varies
            arithmetic.uses_row = arithmetic.uses_row or uses_row

    def _item(self, item: Item) -> Iterable[Step]:
        match item:
            case Some():
                return self._some(item)
            case Run():
                return (self._run(item),)
            case Times(body, count, span):
                times = self.positive(count, span)
                _refuse_stops_inside(body)
                steps = self.steps(body)
                return (BracketStep(steps, times, span=span),) if times and steps else ()
            case AsFits(body, stop, span):
                steps = self.steps(body)
                _refuse_stops_inside(body)
                return (BracketStep(steps, None, self._stop(stop), span),) if steps else ()
            case InOne(body, place, mark, span):
                steps = self.steps(body)
                refuse_places_inside(steps)
                return (GroupStep(steps, self._target(place), self._mark(mark), span),) if steps else ()
            case Together(body, mark, span):
                return (TogetherStep(self.steps(body), self._mark(mark), span),)
            case Skip():
                return self._skip(item)
            case Leave(count, span):
                if count is None:
                    return (LeaveStep(None, span),)
                left = self.positive(count, span)
                return (LeaveStep(left, span),) if left else ()
            case Words():
                return (self._words(item),)
            case Spread(span=span):
                raise not_yet("`spread`", span)
            case Underside(span=span):
                raise not_yet("`underside`", span)
            case ChartRow(span=span):
                raise not_yet("`chart`", span)

    def _some(self, item: Some) -> Iterable[Step]:
        self._check_how(item.how, item.span)
        count = 1 if item.count is None else self.positive(item.count, item.span)
        own = self.own(item.name)
        target = self._target(item.place) if item.place is not None else None
        mark = self._mark(item.mark)
        if own is None:
            stitch = self.stitch(item.name, item.name_span)
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
        own = self.own(item.name)
        if own is not None:
            return OwnStep(own, None, stop, span=item.span)
        stitch = self.stitch(item.name, item.name_span)
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
            raise not_yet("`below`", span)
        if how.yarn is not None:
            self.check_yarn(how.yarn, span)

    def _skip(self, item: Skip) -> Iterable[Step]:
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
            raise not_yet(f"`in {key}`", place.span)
        if key in ("sp", "ch"):
            return Target("ahead", key, None, place.span)
        if key in self.scope.marks:
            return Target("ahead", self.scope.marks[key], None, place.span)
        own = self.own(place.name)
        if own is not None:
            return Target("ahead", own.name, None, place.span)
        stitch = self.scope.vocabulary.find(place.name)
        if stitch is None:
            raise self._unknown(place.name, place.span, place=True)
        return Target("ahead", stitch.counts_as, None, place.span)

    def _mark(self, mark: str | None) -> str | None:
        return None if mark is None else self.scope.marks.get(mark.casefold(), mark)

    def check_yarn(self, name: str, span: Span) -> None:
        """Raise Fault unless a yarn is called so."""
        if name.casefold() not in self.scope.yarns:
            known = ", ".join(f"`{key.upper()}`" for key in self.scope.yarns)
            raise fault(
                "unknown-name",
                f"no yarn is called `{name}`",
                span,
                help=f"the yarns are {known}" if known else f"add a line such as `yarn {name}: DK, 60 g`",
            )

    def stitch(self, name: str, span: Span) -> Stitch:
        """Return the built-in stitch of that name. Raises Fault if there is none."""
        stitch = self.scope.vocabulary.find(name)
        if stitch is None:
            raise self._unknown(name, span, place=False)
        return stitch

    def _unknown(self, name: str, span: Span, *, place: bool) -> Fault:
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
        define = (
            f"set a marker in the row before: `2 ch as {name}`"
            if place
            else f'define it: `stitch {name}: 5 dc in st "how it is worked"`'
        )
        return fault(
            "unknown-name" if place else "unknown-stitch",
            f"there is no {'stitch or mark' if place else 'stitch'} called `{name}`",
            span,
            help=f"write {offer}" if offer else define,
            fix=Fix(f"write `{near[0]}`", (Label(span, near[0]),), safe=False) if near else None,
        )

    def _own_names(self) -> tuple[str, ...]:
        return tuple(
            each.node.name
            for each in self.scope.definitions.values()
            if isinstance(each.node, StitchDefinition)
        )

    def own(self, name: str) -> OwnStitch | None:
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
            self.scope = scope

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


def refuse_places_inside(steps: Steps) -> None:
    """Refuse an item that names a place of its own among those that share one. Raises Fault."""
    for step in steps:
        target = getattr(step, "target", None)
        if isinstance(target, Target) and target.kind != "top":
            raise fault(
                "stray-word",
                f"`in {target.name}` stands inside parentheses that are all worked in one place",
                target.span,
                help="name the place once, after the parentheses: `(2 dc, 2 ch, 2 dc) in st`",
            )
        if isinstance(step, BracketStep):
            refuse_places_inside(step.body)


def not_yet(what: str, span: Span) -> Fault:
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
