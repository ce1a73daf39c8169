"""What a pattern says that it takes of its yarns, held against itself and the stitches that were read.

The English tells neither what a swatch weighed nor how large it was. So an estimate is held against the other
units, what a ball holds, and the estimates of other sizes: those go by the yarn in their stitches.
"""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import permutations
from math import ceil

from .words import ReadingError

NUMBER = r"(?:[\d.]*[¼½¾]|[\d.]+)"
SIZED = rf"{NUMBER}(?: \({NUMBER}(?:, {NUMBER})*\))?"
YARN = re.compile(r"^Yarn(?: (?P<name>\w+))?: .*\n(?:    .+\n?)*", re.MULTILINE)
WEIGHT = re.compile(rf"(?P<g>{SIZED}) g / (?P<oz>{SIZED}) oz")
LENGTH = re.compile(rf"(?P<m>{SIZED}) m / (?P<yd>{SIZED}) yd")
BALL = re.compile(r"A ball holds ([^.]*(?:\.\d[^.]*)*)\.")
ESTIMATE = re.compile(
    rf"Estimate: about (?P<amounts>.+?); buy (?P<more>\d+)% more(?:, which is (?P<balls>{SIZED}) balls?)?\."
)
QUARTERS = {"¼": 1, "½": 2, "¾": 3}

YARN_IN = {
    "US": {
        "chain": Fraction("0.4"),
        "slip stitch": Fraction("0.5"),
        "single crochet": Fraction(1),
        "half double crochet": Fraction("1.4"),
        "double crochet": Fraction("1.8"),
        "treble": Fraction("2.5"),
    },
    "UK": {
        "chain": Fraction("0.4"),
        "slip stitch": Fraction("0.5"),
        "double crochet": Fraction(1),
        "half treble": Fraction("1.4"),
        "treble": Fraction("1.8"),
        "double treble": Fraction("2.5"),
    },
}
"""Beside a single crochet, as the reference has it: common practice, no source, and a guess of our own."""
OUNCE = Fraction("28.349523125")
"""Grams: the avoirdupois ounce, a sixteenth of the international pound of 0.45359237 kg."""
YARD = Fraction("0.9144")
"""Metres: the international yard of 1959."""


def yarn_in(stitches: Counter[str], terms: str) -> Fraction | None:
    """The yarn in stitches, beside that in a single crochet; None where some take yarn that is not known."""
    known = YARN_IN[terms]
    if not stitches or set(stitches) - set(known):
        return None
    return sum((known[name] * many for name, many in stitches.items()), Fraction(0))


def check_amounts(text: str, sizes: int, units: Mapping[str, Sequence[Fraction]]) -> None:
    """Raise ReadingError where an amount of yarn is not what it is said to be.

    `units` is the yarn in all stitches of each size, by the name of the yarn, as far as it is known.
    """
    for yarn in YARN.finditer(text):
        ball = BALL.search(yarn[0])
        held = _amounts(ball[1], 1, yarn[0]) if ball else {}
        for line in yarn[0].splitlines():
            for found in (*WEIGHT.finditer(line), *LENGTH.finditer(line)):
                _check_units(found, found.start() > line.find("Estimate") >= 0)
        estimate = ESTIMATE.search(yarn[0])
        if "Estimate" in yarn[0] and estimate is None:
            raise ReadingError("how much is it?", yarn[0])
        if estimate is not None:
            _check_estimate(estimate, held, sizes, units.get(yarn["name"] or "", ()))


def _check_units(found: re.Match[str], is_estimate: bool) -> None:
    """Each unit is rounded by itself: whole grams, quarters of an ounce, whole metres and yards."""
    if "g" in found.groupdict():
        one, other, unit, steps = found["g"], found["oz"], OUNCE, Fraction(1, 4)
    else:
        one, other, unit, steps = found["m"], found["yd"], YARD, Fraction(1)
    for first, second in zip(_numbers(one), _numbers(other), strict=False):
        step_of_other = max(_step(second), steps) if is_estimate and steps == 1 else steps
        room = (step_of_other * unit) + (_step(first) if is_estimate else Fraction(1))
        if abs(first - second * unit) > room:
            raise ReadingError(f"{found[0]} are not the same", found[0])


def _check_estimate(
    said: re.Match[str], held: dict[str, list[Fraction]], sizes: int, units: Sequence[Fraction]
) -> None:
    needed = _amounts(said["amounts"], sizes, said[0])
    if "g" in needed and "m" in needed and "g" in held and "m" in held:
        ratio = held["m"][0] / held["g"][0]
        for grams, metres in zip(needed["g"], needed["m"], strict=True):
            if not (grams - _step(grams)) * ratio <= metres <= grams * ratio + _step(metres):
                raise ReadingError(f"{grams} g are not {metres} m of this yarn", said[0])
    more = 1 + Fraction(int(said["more"]), 100)
    unit = next((unit for unit in ("g", "m") if unit in held and unit in needed), None)
    if said["balls"] is not None:
        if unit is None:
            raise ReadingError("what a ball holds is not said", said[0])
        balls = _spread(_numbers(said["balls"]), sizes, said[0])
        for many, amount in zip(balls, needed[unit], strict=True):
            ball = held[unit][0]
            if not ceil((amount - _step(amount)) * more / ball) <= many <= ceil(amount * more / ball):
                raise ReadingError(f"{many} balls are not {amount} {unit} and {said['more']} % more", said[0])
    for amounts in needed.values():
        for (one, first), (two, second) in permutations(zip(amounts, units, strict=False), 2):
            # Each is rounded up by less than a step; what is worked together takes a little more.
            least = max(Fraction(1, 100), one - _step(one))
            if two / least < second / first * Fraction("0.97"):
                raise ReadingError(f"the sizes do not differ as {one} and {two}", said[0])


def _amounts(said: str, sizes: int, line: str) -> dict[str, list[Fraction]]:
    """Return grams and metres, one a size."""
    found = {}
    if weight := WEIGHT.search(said):
        found["g"] = _spread(_numbers(weight["g"]), sizes, line)
    if length := LENGTH.search(said):
        found["m"] = _spread(_numbers(length["m"]), sizes, line)
    return found


def _spread(numbers: list[Fraction], sizes: int, line: str) -> list[Fraction]:
    if len(numbers) not in (1, sizes):
        raise ReadingError(f"{len(numbers)} numbers for {sizes} sizes", line)
    return numbers * sizes if len(numbers) == 1 else numbers


def _step(value: Fraction) -> Fraction:
    """Return to what an estimate is rounded up: to 1 up to 50, to 5 up to 250, else to 10."""
    return Fraction(1 if value <= 50 else 5 if value <= 250 else 10)


def _numbers(said: str) -> list[Fraction]:
    return [_number(each) for each in re.findall(NUMBER, said)]


def _number(said: str) -> Fraction:
    quarters = QUARTERS.get(said[-1], 0)
    return Fraction(said.rstrip("¼½¾") or "0") + Fraction(quarters, 4)
