"""What a yarn's line says of amounts: how much is needed, and what a ball of it holds.

The words of a yarn are the author's own, parted by commas. A part that is nothing but a measure, `50/60 g` or
`150 m`, is an amount needed, one number or one a size, as `50 (60) g` too. A part `ball 50 g = 125 m` is what
a ball holds; either of the two may stand alone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from .measures import LENGTHS, WEIGHTS, convert
from .source import Span
from .statements import cut
from .syntax import Statement, Yarn

_UNIT = r"(g|oz|m|yd)"
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_AMOUNT = re.compile(
    rf"({_NUMBER})((?:\s*/\s*{_NUMBER})*|\s*\(\s*{_NUMBER}(?:\s*,\s*{_NUMBER})*\s*\))\s*{_UNIT}", re.I
)
_BALL = re.compile(rf"balls?\s+({_NUMBER})\s*{_UNIT}(?:\s*=\s*({_NUMBER})\s*{_UNIT})?", re.I)
_MEANT = {
    "gram": "g", "gr": "g", "gramme": "g", "ounce": "oz", "metre": "m", "meter": "m", "yard": "yd",
    "skein": "ball", "hank": "ball", "cake": "ball",
}  # fmt: skip
"""What else amounts and balls are called. Common practice, no source."""
_OTHERWISE = re.compile(
    rf"{_NUMBER}(?:\s*/\s*{_NUMBER})*\s*(gram|gr|gramme|ounce|metre|meter|yard)s?"
    rf"|(skein|hank|cake)s?\s+{_NUMBER}\s*[a-z]+.*",
    re.I,
)
_PARTS = re.compile(r"(?:\([^()]*\)|[^,])+")


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount of yarn needed, one value a size or one for all."""

    values: tuple[Fraction, ...]
    """Grams or metres."""
    is_weight: bool
    span: Span
    """Where it stands in the words."""


@dataclass(frozen=True, slots=True)
class Ball:
    """What a ball holds; None for what is not said, and for both where that is said twice."""

    grams: Fraction | None
    metres: Fraction | None
    span: Span


@dataclass(frozen=True, slots=True)
class Amounts:
    """All that a yarn's words say of amounts."""

    words: str
    """What is left of the words: the kind of yarn, its colour."""
    needed: tuple[Amount, ...] = ()
    balls: tuple[Ball, ...] = ()
    otherwise: tuple[tuple[Span, str], ...] = ()
    """Where words that are likely amounts stand, with the word of the language for what they call a unit."""

    @property
    def stated_ratio(self) -> Fraction | None:
        """The metres in a gram by the weight and the length that are needed; None if not both are told."""
        weight = next((each for each in self.needed if each.is_weight), None)
        length = next((each for each in self.needed if not each.is_weight), None)
        if weight is None or length is None or not weight.values[0]:
            return None
        return length.values[0] / weight.values[0]

    @property
    def metres_per_gram(self) -> Fraction | None:
        """The metres in a gram, as the ball says or else the amounts; None if neither does."""
        ball = self.ball
        if ball is not None and ball.grams and ball.metres:
            return ball.metres / ball.grams
        return self.stated_ratio

    @property
    def ball(self) -> Ball | None:
        """What a ball holds, if that is said."""
        return self.balls[0] if self.balls else None


def amounts(text: str) -> Amounts:
    """Return the amounts in a yarn's words. Whatever is no amount is left among the words."""
    words: list[str] = []
    needed: list[Amount] = []
    balls: list[Ball] = []
    otherwise: list[tuple[Span, str]] = []
    for part in _PARTS.finditer(text):
        said = part[0].strip()
        start = part.start() + len(part[0]) - len(part[0].lstrip())
        span = Span(start, start + len(said))
        if (ball := _BALL.fullmatch(said)) is not None:
            balls.append(_ball(ball, span))
        elif (amount := _AMOUNT.fullmatch(said)) is not None:
            needed.append(_amount(amount, span))
        elif said:
            words.append(said)
            if (meant := _OTHERWISE.fullmatch(said)) is not None:
                at = Span(*meant.span(1 if meant[1] else 2)).shifted(start)
                otherwise.append((at, _MEANT[(meant[1] or meant[2]).lower()]))
    return Amounts(", ".join(words), tuple(needed), tuple(balls), tuple(otherwise))


def amounts_in(statement: Statement) -> Amounts:
    """Return the amounts in the line of a yarn, their places offsets into the statement."""
    assert isinstance(statement.node, Yarn)
    code = cut(statement.text).code
    at = code.index(":") + 1
    found = amounts(code[at:])
    return Amounts(
        amounts(" ".join(statement.node.lines)).words,
        tuple(replace(each, span=each.span.shifted(at)) for each in found.needed),
        tuple(replace(each, span=each.span.shifted(at)) for each in found.balls),
        tuple((span.shifted(at), word) for span, word in found.otherwise),
    )


def _amount(found: re.Match[str], span: Span) -> Amount:
    unit = found[3].lower()
    numbers = [found[1], *re.findall(_NUMBER, found[2])]
    return Amount(tuple(_base(number, unit) for number in numbers), unit in WEIGHTS, span)


def _ball(found: re.Match[str], span: Span) -> Ball:
    grams = metres = None
    for number, unit in ((found[1], found[2]), (found[3], found[4])):
        if number and unit.lower() in WEIGHTS:
            grams = _base(number, unit.lower())
        elif number:
            metres = _base(number, unit.lower())
    twice = found[3] is not None and (grams is None or metres is None)
    return Ball(None, None, span) if twice else Ball(grams, metres, span)


def _base(number: str, unit: str) -> Fraction:
    """Return so much of a unit in grams or metres."""
    return convert(Fraction(number), unit, "m" if unit in LENGTHS else "g")
