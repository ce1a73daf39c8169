"""Amounts that the author states for a yarn: whether they can be, and whether they will do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from ..lang.amounts import Amount, Amounts, Ball, amounts_in
from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.measures import about
from ..lang.source import Span
from ..lang.syntax import Statement
from .faults import warning
from .needs import Need
from .scope import Scope

NEAR = Fraction(1, 10)
"""How far two statements of the metres in a gram may be apart: labels are rounded."""


def amounts_stated(scope: Scope) -> Iterator[Diagnostic]:
    """Yield what is wrong with the amounts in the lines of the yarns by themselves."""
    sizes = max(1, len(scope.sizes))
    for statement in scope.yarns.values():
        said = amounts_in(statement)
        for each in said.needed:
            if len(each.values) not in (1, sizes):
                many = "one size" if sizes == 1 else f"{sizes} sizes"
                yield Diagnostic(
                    "size-count",
                    f"{len(each.values)} amounts are given, but the pattern has {many}",
                    each.span.shifted(statement.start),
                    help="write one amount for all sizes, or one for each: `50/60 g`"
                    if sizes > 1
                    else "name the sizes in the header, `sizes small, large`, or write one amount",
                    facts={"found": len(each.values), "expected": sizes, "line": "sizes"},
                )
        for span, word in said.otherwise:
            place = span.shifted(statement.start)
            written = statement.text[span.start : span.end]
            yield warning(
                "unread-amount",
                f"`{written}` is only a word here, so this is no amount",
                place,
                help=f"write `{word}`, as in `{'ball 50 g = 125 m' if word == 'ball' else f'50 {word}'}`",
                fix=Fix(f"write `{word}`", (Label(_whole(place, statement), word),), safe=False),
            )
        for span in _given_again(said):
            yield Diagnostic(
                "used-twice",
                "this is given twice for one yarn",
                span.shifted(statement.start),
                help="keep one weight, one length and one `ball`",
            )
        for ball in said.balls:
            yield from _wrong_ball(ball, statement.start)
        yield from _at_odds(said, statement.start)


def _whole(place: Span, statement: Statement) -> Span:
    """Return a word's place with the `s` of its plural."""
    after = statement.text[place.end - statement.start :][:1]
    return Span(place.start, place.end + (after in ("s", "S")))


def _given_again(said: Amounts) -> list[Span]:
    weights = [each.span for each in said.needed if each.is_weight]
    lengths = [each.span for each in said.needed if not each.is_weight]
    return [*weights[1:], *lengths[1:], *(each.span for each in said.balls[1:])]


def _wrong_ball(ball: Ball, at: int) -> Iterator[Diagnostic]:
    help_ = "write what the label says, such as `ball 50 g = 125 m`"
    if ball.grams == 0 or ball.metres == 0:
        yield Diagnostic(
            "nothing-weighed", "there is no ball with nothing in it", ball.span.shifted(at), help=help_
        )
    if ball.grams is None and ball.metres is None:
        yield Diagnostic(
            "unit-mismatch", "a ball has one weight and one length", ball.span.shifted(at), help=help_
        )


def _at_odds(said: Amounts, at: int) -> Iterator[Diagnostic]:
    stated, ball = said.stated_ratio, said.ball
    if not stated or ball is None or not ball.grams or not ball.metres:
        return
    label = ball.metres / ball.grams
    if abs(stated / label - 1) > NEAR:
        yield warning(
            "ball-mismatch",
            f"by the amounts a gram has {float(stated):.2f} m, by the ball {float(label):.2f} m",
            ball.span.shifted(at),
            help="look at the label once more, or leave out the weight or the length that is needed",
        )


def too_little(scope: Scope, found: Sequence[Need]) -> Iterator[Diagnostic]:
    """Yield a warning for each amount that is below the estimate."""
    for need in found:
        statement = scope.yarns.get(need.yarn.casefold())
        if statement is None:
            continue
        for stated in amounts_in(statement).needed:
            estimate = need.grams if stated.is_weight else need.metres
            if estimate is not None:
                yield from _short(stated, estimate, need, statement, scope)


def _short(
    stated: Amount, estimate: Sequence[Fraction], need: Need, statement: Statement, scope: Scope
) -> Iterator[Diagnostic]:
    values = stated.values * len(estimate) if len(stated.values) == 1 else stated.values
    short = [at for at, value in enumerate(values) if value < estimate[at]]
    if not short:
        return
    unit = "g" if stated.is_weight else "m"
    has = [f"{float(value):g} {unit}" for value in values]
    first = short[0]
    enough = [str(about(each * (100 + need.margin) / 100)) for each in estimate]
    write = enough[0] if len(set(enough)) == 1 else "/".join(enough)
    yield warning(
        "too-little-yarn",
        f"{has[first]} of yarn {need.yarn} will not do: about {about(estimate[first])} {unit} are needed",
        stated.span.shifted(statement.start),
        notes=(
            *(
                f"in size {scope.sizes[at]}: {has[at]} stated, about {about(estimate[at])} {unit} needed"
                for at in short[1:]
            ),
            f"it comes of what was weighed and the counts of stitches and may be {need.margin} % out",
        ),
        help=f"write `{write} {unit}`, which is {need.margin} % more than that, or weigh once more",
        sizes=tuple(scope.sizes[at] for at in short) if len(short) < len(scope.sizes) else (),
        facts={
            "stated": f"{float(values[first]):g}",
            "needed": about(estimate[first]),
            "margin": need.margin,
        },
    )
