"""What a pattern says that its pieces measure, held against its gauge and the rows that were read.

Only patterns with one gauge are held against it: the English does not say which gauge each row goes by.
"""

import math
import re
from collections.abc import Sequence
from fractions import Fraction

from .words import ReadingError

GAUGE = re.compile(
    r"^(?P<stitches>[\d.]+) stitches and (?P<rows>[\d.]+) (?:row|round)s in .+? = (?P<cm>[\d.]+) cm / ",
    re.MULTILINE,
)
LINE = re.compile(r"^- (?:(?P<piece>.+), f|F)inished (?P<what>[a-z ]+): (?P<said>.+)$", re.MULTILINE)
NUMBERS = r"(?:[\d.]*[¼½¾]|[\d.]+)"
LENGTH = re.compile(
    rf"(?P<cm>{NUMBERS}(?: \({NUMBERS}(?:, {NUMBERS})*\))?) cm / "
    rf"(?P<inch>{NUMBERS}(?: \({NUMBERS}(?:, {NUMBERS})*\))?) in(?P<where> at the \w+)?"
)
QUARTERS = {"¼": 1, "½": 2, "¾": 3}


def check_measurements(
    text: str, rows: dict[str, list[list[int]]], slips: frozenset[str], zigzags: frozenset[str]
) -> None:
    """Raise ReadingError where a piece does not measure what is said.

    `rows` holds the stitches of each row, size by size, of each piece; pieces in `slips` have rows of slip
    stitches, which add no height, and those in `zigzags` may lean by one stitch a row, and draw in.
    """
    gauges = list(GAUGE.finditer(text))
    for line in LINE.finditer(text):
        lengths = list(LENGTH.finditer(line["said"]))
        if not lengths:
            raise ReadingError("what does it measure?", line[0])
        for length in lengths:
            _check_systems(length, line[0], about="about" in line["said"])
        piece = line["piece"] or next(iter(rows))
        if len(gauges) != 1 or piece not in rows or "about" in line["said"]:
            continue
        widest = [_first(each) for each in lengths if each["where"] == " at the widest"]
        if any(_first(each) > most for most in widest for each in lengths):
            raise ReadingError("it is wider elsewhere", line[0])
        wide = Fraction(gauges[0]["cm"]) / Fraction(gauges[0]["stitches"])
        high = Fraction(gauges[0]["cm"]) / Fraction(gauges[0]["rows"])
        leans = [Fraction(1)]
        if piece in zigzags:
            leans.append(Fraction(math.hypot(wide, high)) / high)
        for length in lengths:
            _check_length(line["what"], length, rows[piece], wide, high, line[0], piece in slips, leans)


def _check_systems(length: re.Match[str], line: str, *, about: bool) -> None:
    """Inches are told to a quarter, of the length and not of the centimetres as told; to one if `about`."""
    nearest = Fraction(7, 10) if about else Fraction(1, 8) + Fraction("0.02")
    for cm, inch in zip(_sizes(length["cm"]), _sizes(length["inch"]), strict=False):
        if abs(_number(cm) / Fraction("2.54") - _number(inch)) > nearest:
            raise ReadingError(f"{cm} cm are not {inch} inches", line)


def _check_length(
    what: str,
    length: re.Match[str],
    sizes: Sequence[Sequence[int]],
    wide: Fraction,
    high: Fraction,
    line: str,
    slips: bool,
    leans: Sequence[Fraction],
) -> None:
    said = _sizes(length["cm"])
    said = said * len(sizes) if len(said) == 1 else said
    for cm, counts in zip(said, sizes, strict=True):
        if what.startswith("length"):
            possible = [high * lean * (len(counts) + more) for more in (0, 1) for lean in leans]
            if slips:
                continue
        elif what == "diameter when stuffed":
            possible = [wide * max(counts) / Fraction(math.pi)]
        elif what in ("diameter", "width from side to side"):
            possible = [2 * high * len(counts)]
        else:
            possible = [wide * count / lean for count in counts for lean in leans]
        if all(abs(_number(cm) - each) > Fraction("0.0501") for each in possible):
            raise ReadingError(f"no {what} of {cm} cm comes of these rows", line)


def _first(length: re.Match[str]) -> Fraction:
    return _number(_sizes(length["cm"])[0])


def _sizes(said: str) -> list[str]:
    return re.findall(NUMBERS, said)


def _number(said: str) -> Fraction:
    quarters = QUARTERS.get(said[-1], 0)
    whole = said.rstrip("¼½¾") or "0"
    return Fraction(whole) + Fraction(quarters, 4)
