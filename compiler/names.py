"""What names stand for in one size: stitches, the author's own, marks, kinds of place, yarns."""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from dataclasses import dataclass, field

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.source import Span
from ..lang.stitches import Stitch, other_dialect
from ..lang.syntax import Place, StitchDefinition, Yarn
from ..lang.syntax import Stop as StopNode
from .fabric import CHAIN, PICOT, SPACE, TIP
from .faults import Fault, HeldBack, fault
from .scope import Definition, Scope
from .steps import OwnStitch, Stop, Target
from .values import DEEPEST, Arithmetics

PLACES = (
    "st",
    "sp",
    "ring",
    "same",
    "top",
    "stem",
    "gap",
    "cord",
    "edge",
    "start",
    "tip",
    "skipped",
    "end",
    "middle",
)
"""Where an item can go, or a run stop, beside what has a name of its own."""

MEANT = {
    "stitch": "st", "space": "sp", "chain": "ch", "chains": "ch", "loop": "ring", "circle": "ring",
    "mr": "ring", "mc": "ring",
}  # fmt: skip
"""What else a place is called by those who write patterns as sentences. Common practice, no source."""

ALL_STITCHES = frozenset({"st", "sts", "stitch", "stitches"})


@dataclass(slots=True)
class Names(ABC):
    """What names may refer to, and the author's stitches worked out so far."""

    scope: Scope
    arithmetic: Arithmetics
    built_ins: dict[tuple[str, str], Stitch] = field(default_factory=dict, init=False)
    """The built-in stitches named so far, by dialect and name."""
    own_stitches: dict[str, tuple[OwnStitch, bool]] = field(default_factory=dict, init=False)
    """The author's stitches, and whether they differ from size to size."""
    broken: dict[str, Diagnostic | None] = field(default_factory=dict, init=False)
    """The author's stitches that can't be worked out, as `Arithmetics.broken` has it."""
    defining: list[Definition] = field(default_factory=list, init=False)
    """The author's stitches being worked out, each for the one before it."""

    @abstractmethod
    def _defined(self, definition: Definition, node: StitchDefinition) -> OwnStitch:
        """Work out a stitch of the author's own. Raises Fault."""

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
        if (yarn := self.scope.yarn(name)) is not None:
            return f"yarn {yarn}"
        if key in ("tip", "tips"):
            return TIP
        stitch = self.stitch(name, span)
        return "chains" if stitch.family == "chain" else stitch.counts_as

    def _stop(self, stop: StopNode) -> Stop:
        count = self.arithmetic.count(stop.count) if stop.count is not None else 0
        if stop.kind != "place":
            return Stop(stop.kind, count, "", stop.span)
        assert stop.name is not None
        return Stop("place", count, self.place_ahead(stop.name, stop.span), stop.span)

    def place_ahead(self, name: str, span: Span) -> str:
        """Return what a name looks for ahead: a kind of place, a mark, an author's stitch. Raises Fault."""
        target = self._target(Place(name, span=span))
        if target.kind != "ahead":
            raise fault(
                "unknown-name",
                f"`{name}` names no place ahead",
                span,
                help="name a mark, a kind of stitch or `sp`: `to peak`, `to 2 before peak`, `begin corner`",
            )
        return target.name

    def _target(self, place: Place) -> Target:
        key = place.name.casefold()
        if key == "skipped" and key not in self.scope.marks:
            if place.which == "middle":
                raise fault(
                    "unknown-name",
                    "`middle` is said of chains",
                    place.span,
                    help="count the skipped places out: `in 2nd skipped`, `in each skipped`",
                )
            return Target("skipped", "skipped", place.which, span=place.span)
        if place.chains is not None:
            return _of_chains(place, key, place.chains)
        if place.which is not None:
            if key != "ch":
                raise _not_counted_out(place)
            return Target("chain", "ch", place.which, span=place.span)
        if key in ("st", "same", "top", "stem", "ring", "gap", "start"):
            return Target(key, key, None, span=place.span)
        if key in ("cord", "edge") and key not in self.scope.marks:
            return Target(key, key, None, span=place.span)
        if key in (SPACE, CHAIN):
            return Target("ahead", key, None, span=place.span)
        if key in self.scope.marks:
            return Target("ahead", self.scope.marks[key], None, span=place.span)
        own = self.own(place.name)
        if own is not None:
            return Target("ahead", own.name, None, span=place.span)
        if key == TIP:
            return Target("ahead", TIP, None, span=place.span)
        stitch = self.scope.vocabulary.find(place.name)
        if key == PICOT or (stitch is not None and stitch.family == PICOT):
            raise fault(
                "unknown-name",
                "a picot makes no place that a row could be worked into",
                place.span,
                help="make chains and mark them, `5 ch as tip`, and work `in tip`; "
                "another piece can `join picot of` this one",
            )
        if stitch is None:
            raise self._unknown(place.name, place.span, place=True)
        return Target("ahead", stitch.counts_as, None, span=place.span)

    def _mark(self, mark: str | None) -> str | None:
        return None if mark is None else self.scope.marks.get(mark.casefold(), mark)

    def mark_named(self, name: str, span: Span) -> str:
        """Return a mark as its author spells it. Raises Fault if no row sets it."""
        mark = self.scope.marks.get(name.casefold())
        if mark is None:
            raise self._unknown(name, span, place=True)
        return mark

    def check_yarn(self, name: str, span: Span) -> None:
        """Raise Fault unless a yarn is called so."""
        if name.casefold() in self.scope.yarns:
            return
        coloured = [key for key, line in self.scope.yarns.items() if _in_words(name, line.node)]
        known = ", ".join(f"`{self.scope.yarn(key)}`" for key in self.scope.yarns)
        add = f"add a line such as `yarn {name}: DK, 60 g` to the header"
        if len(coloured) == 1:
            own = self.scope.yarn(coloured[0])
            raise fault(
                "unknown-name",
                f"no yarn is called `{name}`: {name} is what yarn {own} looks like",
                span,
                help=f"write `with {own}`",
                facts={"word": name, "meant": own or ""},
            )
        raise fault(
            "unknown-name",
            f"no yarn is called `{name}`",
            span,
            help=f"{add}, or use one of {known}" if known else add,
        )

    def stitch(self, name: str, span: Span) -> Stitch:
        """Return the built-in stitch of that name. Raises Fault if there is none."""
        stitch = self.scope.vocabulary.find(name)
        if stitch is None:
            raise self._unknown(name, span, place=False)
        return stitch

    def _unknown(self, name: str, span: Span, *, place: bool) -> Fault:
        key, dialect = name.casefold(), self.scope.dialect
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
        if (yarn := self.scope.yarn(name)) is not None:
            raise fault(
                "unknown-name" if place else "unknown-stitch",
                f"`{name}` is a yarn, and no {'place' if place else 'stitch'}",
                span,
                help=f"a row's yarn stands before its colon: `row 2 with {yarn}:`",
            )
        if (stuck := self._stuck(name, place)) is not None:
            message, write = stuck
            fix = Fix(f"write `{write}`", (Label(span, write),), safe=False)
            raise fault(
                "unknown-name" if place else "unknown-stitch", message, span, help=f"write `{write}`", fix=fix
            )
        also = (*self.scope.marks.values(), *self._own_names(), *(PLACES if place else ()))
        near = (
            ()
            if key == "miss"
            else (MEANT[key],)
            if place and key in MEANT
            else self.scope.vocabulary.near(name, also)
        )
        offer = " or ".join(f"`{each}`" for each in near)
        define = (
            f"set a marker in the row before: `2 ch as {name}`"
            if place
            else "leave it out: rounds are joined as the piece says"
            if key == "join"
            else "what is passed over is skipped: `skip 1`"
            if key == "miss"
            else f'define it: `stitch {name}: 5 dc in st "how it is worked"`'
        )
        return fault(
            "unknown-name" if place else "unknown-stitch",
            f"there is no {'stitch or mark' if place else 'stitch'} called `{name}`",
            span,
            help=f"write {offer}" if offer else define,
            fix=Fix(f"write `{near[0]}`", (Label(span, near[0]),), safe=False) if near else None,
        )

    def _stuck(self, name: str, place: bool) -> tuple[str, str] | None:
        """Return what is wrong with a word that a number is stuck to, and what to write; None if none is."""
        found = re.fullmatch(r"([^\W\d]+)([0-9]+)", name)
        if found is None:
            return None
        word, number = found.groups()
        if place:
            return (f"`{name}` lacks a blank", f"last {number}") if word.casefold() == "last" else None
        if self.scope.vocabulary.find(word) is None:
            return None
        return f"there is no stitch called `{name}`: the count stands before the stitch", f"{number} {word}"

    def _own_names(self) -> tuple[str, ...]:
        return tuple(
            each.node.name
            for each in self.scope.definitions.values()
            if isinstance(each.node, StitchDefinition)
        )

    def built_in(self, name: str) -> Stitch | None:
        """Return the built-in stitch of that name, if nothing of the author's is called so."""
        key = self.scope.dialect, name
        known = self.built_ins.get(key)
        if known is None and self.scope.yarn(name) is None and self.own(name) is None:
            known = self.scope.vocabulary.find(name)
            if known is not None:
                self.built_ins[key] = known
        return known

    def own(self, name: str) -> OwnStitch | None:
        """Return the author's stitch of that name, if there is one. Raises Fault where that fails."""
        key = name.casefold()
        known = self.own_stitches.get(key)
        if known is not None:
            self.arithmetic.varied += known[1]
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
        varied = self.arithmetic.varied
        self.defining.append(definition)
        try:
            own = self._defined(definition, definition.node)
            self.own_stitches[key] = own, self.arithmetic.varied > varied
            return own
        except HeldBack:
            self.broken.setdefault(key, None)
            raise
        except Fault as found:
            self.broken[key] = found.diagnostic
            raise HeldBack from None
        finally:
            self.defining.pop()


def _in_words(word: str, line: object) -> bool:
    """Tell whether a word stands among those that a yarn's line says of it."""
    words = " ".join(line.lines) if isinstance(line, Yarn) else ""
    return len(word) > 2 and re.search(rf"\b{re.escape(word)}\b", words, re.IGNORECASE) is not None


def _not_counted_out(place: Place) -> Fault:
    return fault(
        "unknown-name",
        f"only chains can be counted out: `{place.name}` can't",
        place.span,
        help="pass one over first: `skip sp, 2 dc in sp`"
        if place.name.casefold() in ("sp", "sps")
        else "write `in 3rd ch`, `in middle ch` or `in each ch`, and of places passed over `in 2nd skipped`",
    )


def _of_chains(place: Place, key: str, chains: int) -> Target:
    """Return a ring or an arch that is made where it is worked in."""
    over = place.over
    if key not in ("ring", "arch") or (over is not None) != (key == "arch"):
        raise fault(
            "unknown-name",
            "an arch goes back over some stitches"
            if key == "arch"
            else "of chains, a ring or an arch is made",
            place.span,
            help="write `12 sc in ring of 8 ch`, or `11 sc in arch of 7 ch over 6`",
        )
    if 0 in (chains, over):
        raise fault(
            "zero-count",
            "no chains make no ring" if not chains else "an arch over no stitches is none",
            place.span,
            help="write how many",
        )
    return Target(f"own {key}" if key == "ring" else key, key, None, chains, over or 0, place.span)


def _defined_by_itself(name: str, span: Span) -> Fault:
    return fault(
        "unknown-stitch", f"stitch `{name}` is defined by itself", span, help="make it of other stitches"
    )
