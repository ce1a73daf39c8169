"""Samples: swatches and worked pieces that the author weighed, as stitches and the yarn in them.

A sample is what estimates of yarn are made from. The stitches of a piece are those of its counted rows; what
a swatch has tells `swatches`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..lang.diagnostics import Diagnostic, Label
from ..lang.measures import LENGTHS, WEIGHTS, convert
from ..lang.source import Span
from ..lang.stitches import Stitch
from ..lang.syntax import Number, Statement, Swatch, Weighed
from .counted import CountedPattern
from .faults import Fault, HeldBack, fault
from .kinds import Kinds, kinds_made, kinds_of
from .scope import Scope
from .swatches import not_worked, swatch_stitches, worked_in


@dataclass(frozen=True, slots=True)
class Sample:
    """Stitches that were weighed, or their yarn measured."""

    yarn: str | None
    """The yarn they are of; None for any."""
    amount: Fraction
    """Grams or metres, above 0."""
    is_weight: bool
    stitches: Mapping[Stitch, Fraction]
    swatch_of: Stitch | str | None = None
    """What a swatch is worked in: a stitch, the name of one of the author's own, or `pattern`.

    None for a piece of the pattern, or all of it.
    """

    @property
    def per_unit(self) -> Fraction:
        """Grams or metres in a tenth of a single crochet."""
        return self.amount / units(self.stitches)


def units(stitches: Mapping[Stitch, Fraction] | Mapping[Stitch, int]) -> Fraction:
    """Return the yarn in stitches, in tenths of what a single crochet takes."""
    return sum((Fraction(many) * stitch.yarn for stitch, many in stitches.items()), Fraction(0))


def of_yarn(kinds: Kinds, yarn: str | None) -> Counter[Stitch]:
    """Return the stitches in one yarn, or in all of them."""
    found: Counter[Stitch] = Counter()
    for (name, stitch), many in kinds.items():
        if yarn is None or name == yarn:
            found[stitch] += many
    return found


def samples(
    scope: Scope, patterns: Sequence[CountedPattern], *, complete: bool
) -> tuple[tuple[tuple[Sample, ...], ...], tuple[Diagnostic, ...]]:
    """Return for each size what the author has weighed, and what is wrong with it.

    Unless the rows are `complete`, nothing is said of what they have not.
    """
    found: list[list[Sample]] = [[] for _ in patterns]
    faults: list[Diagnostic] = []
    seen: dict[tuple[str, ...], Statement] = {}
    for statement in scope.samples:
        node = statement.node
        assert isinstance(node, Swatch | Weighed)
        try:
            if isinstance(node, Swatch):
                in_sizes, key = _swatch(node, scope, patterns, complete)
            else:
                made, key = _weighed(node, scope, patterns, complete)
                in_sizes = [made] * len(patterns)
        except HeldBack:
            continue
        except Fault as wrong:
            faults.append(wrong.diagnostic.shifted(statement.start))
            continue
        if (first := seen.setdefault(key, statement)) is not statement:
            faults.append(_twice(node, statement, first))
        for one_size, sample in zip(found, in_sizes, strict=True):
            one_size += [] if sample is None else [sample]
    return tuple(map(tuple, found)), tuple(faults)


def _swatch(
    node: Swatch, scope: Scope, patterns: Sequence[CountedPattern], complete: bool
) -> tuple[list[Sample | None], tuple[str, ...]]:
    """Return a swatch in each size, None where no row is like it."""
    yarn = _yarn(node.yarn, node.yarn_span, scope)
    amounts, is_weight = _amounts(node.weight, len(patterns))
    height, width = (_side(each) for each in (node.height, node.width))
    what = worked_in(node, scope)
    stitches = [swatch_stitches(node, what, width, height, pattern) for pattern in patterns]
    if not any(stitches):
        raise (not_worked(node) if complete else HeldBack())
    made = [
        Sample(yarn, amount, is_weight, many, what) if many else None
        for amount, many in zip(amounts, stitches, strict=True)
    ]
    return made, ("swatch", what if isinstance(what, str) else what.key, yarn or "")


def _weighed(
    node: Weighed, scope: Scope, patterns: Sequence[CountedPattern], complete: bool
) -> tuple[Sample, tuple[str, ...]]:
    yarn = _yarn(node.yarn, node.yarn_span, scope)
    amount, is_weight = _amount(node.weight)
    pattern = patterns[_size(node, scope)]
    kinds = kinds_made(pattern) if node.piece is None else kinds_of(pattern, node.piece)
    if kinds is None and not complete:
        raise HeldBack
    if kinds is None:
        known = ", ".join(f"`{each.plan.node.name}`" for each in pattern.pieces)
        raise fault(
            "unknown-piece",
            f"there is no piece {node.piece}",
            node.piece_span,
            help=f"the pieces are {known}" if known else "name a piece of this pattern",
        )
    stitches = {stitch: Fraction(many) for stitch, many in of_yarn(kinds, yarn).items() if many}
    if not units(stitches) and not complete:
        raise HeldBack
    if not units(stitches):
        what = f"yarn {yarn}" if yarn is not None else "it"
        raise _nothing(f"no row of {node.piece or 'the pattern'} is worked with {what}", node.span)
    key = ("weighed", (node.piece or "").casefold(), yarn or "", pattern.size)
    return Sample(yarn, amount, is_weight, stitches), key


def _size(node: Weighed, scope: Scope) -> int:
    """Return the index of the size that was weighed. Raises Fault."""
    named = [size.casefold() for size in scope.sizes]
    if node.size is None:
        if len(named) < 2:
            return 0
        raise fault(
            "unknown-size",
            "which size was weighed is not said",
            node.span,
            help=f"say it before the `=`: `in size {scope.sizes[0]}`",
        )
    if node.size.casefold() not in named:
        known = ", ".join(scope.sizes)
        raise fault(
            "unknown-size",
            f"no size is called {node.size}",
            node.size_span,
            help=f"the sizes are {known}" if known else "leave the size out: the pattern has one only",
        )
    return named.index(node.size.casefold())


def _yarn(name: str | None, span: Span, scope: Scope) -> str | None:
    if name is None:
        return None
    found = scope.yarn(name)
    if found is None:
        known = ", ".join(f"`{scope.yarn(key)}`" for key in scope.yarns)
        raise fault(
            "unknown-name",
            f"no yarn is called `{name}`",
            span,
            help=f"the yarns are {known}" if known else f"add a line such as `yarn {name}: DK, 60 g`",
        )
    return found


def _amount(number: Number) -> tuple[Fraction, bool]:
    """Return grams or metres, and whether it is grams. Raises Fault."""
    (amount,), is_weight = _amounts(number, 1)
    return amount, is_weight


def _amounts(number: Number, sizes: int) -> tuple[list[Fraction], bool]:
    """Return grams or metres, one a size, and whether they are grams. Raises Fault."""
    values, unit = _values(number, sizes)
    if unit in WEIGHTS:
        return [convert(each, unit, "g") for each in values], True
    if unit in ("m", "yd"):
        return [convert(each, unit, "m") for each in values], False
    raise fault(
        "unit-mismatch",
        f"an amount of yarn is not told in {unit}",
        number.span,
        help="give its weight, in `g` or `oz`, or the length of the yarn, in `m` or `yd`",
    )


def _side(number: Number) -> Fraction:
    """Return centimetres. Raises Fault."""
    (value,), unit = _values(number, 1)
    if unit not in LENGTHS:
        raise fault(
            "unit-mismatch",
            f"the sides of a swatch are lengths, and {unit} is none",
            number.span,
            help="give them a unit such as `cm`",
        )
    return convert(value, unit, "cm")


def _values(number: Number, sizes: int) -> tuple[list[Fraction], str]:
    """Return the values of a number, one a size, and its unit. Raises Fault where one is 0, or missing."""
    if len(number.values) not in (1, sizes):
        raise fault(
            "size-count",
            f"{len(number.values)} values are given where there can be only one"
            + (f", or one for each of the {sizes} sizes" if sizes > 1 else ""),
            number.span,
            help="write one number, or one a size"
            if sizes > 1
            else "what was weighed is one thing: write one number",
        )
    if not all(number.values):
        raise _nothing("nothing follows from 0", number.span)
    assert number.unit is not None
    values = [Fraction(each) for each in number.values]
    return values * sizes if len(values) == 1 else values, number.unit


def _nothing(message: str, span: Span) -> Fault:
    return fault("nothing-weighed", message, span, help="weigh what has stitches, or take the line out")


def _twice(node: Swatch | Weighed, statement: Statement, first: Statement) -> Diagnostic:
    assert isinstance(first.node, Swatch | Weighed)
    return Diagnostic(
        "used-twice",
        "this is weighed twice",
        node.span.shifted(statement.start),
        related=(Label(first.node.span.shifted(first.start), "first weighed here"),),
        help="keep one of the two",
    )
