"""What a designer types in the first hour: told once, where it is, and a fix leads to what was meant."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from turnchain.compiler.editor.fixes import offers
from turnchain.compiler.pipeline import analyse
from turnchain.lang.diagnostics import Fix, Severity
from turnchain.lang.source import Source, Span

HEADER = """turnchain 1, US
pattern Slips
hook 5 mm
yarn A: DK (light), navy, 50 g
yarn B: DK (light), red, 20 g
"""
BAND = "piece Band, turned rows\nstart 21 ch\nrow 1 with A: sc to end = 20\n"
HAT = "piece Hat, joined rounds\nstart ring\nround 1: 6 sc in ring = 6\nround 2: [inc] x 6 = 12\n"
SQUARE = """piece Square, joined rounds
start ring
round 1: [3 dc in ring, 2 ch as corner] x 4 = 12
round 2: [dc to corner, (2 dc, 2 ch as corner, 2 dc) in corner] x 4 = 28
"""


@dataclass(frozen=True)
class Slipped:
    """Lines with a slip in them, and the line that is meant in place of the one that is told of."""

    lines: str
    meant: str
    above: str = BAND


SLIPS = [
    # ---- spelling and sentences
    Slipped("row 2: sc5, sc to end = 20", "row 2: 5 sc, sc to end = 20"),
    Slipped("round 3: 2 sc in each st = 24", "round 3: [2 sc in st] to end = 24", HAT),
    Slipped("row 2: sc in each st = 20", "row 2: sc to end = 20"),
    Slipped("row 2: sc to last2, 2 sc", "row 2: sc to last 2, 2 sc"),
    Slipped("row 2: (sc, ch, sc) in each stitch", "row 2: [(sc, ch, sc) in st] to end"),
    Slipped("row 2 with red: sc to end", "row 2 with B: sc to end"),
    Slipped(
        "rows 2-6: sc to end\nseam left of Band, right of Band, in matress stitch",
        "seam left of Band, right of Band, in mattress stitch",
    ),
    Slipped("rows 2-6: sc to end\nseam left of Bnad, right of Band", "seam left of Band, right of Band"),
    Slipped("let half = 10\nrow 2: {hlaf} sc, sc to end", "row 2: {half} sc, sc to end"),
    # ---- turning chains
    Slipped("row 2: 3 ch, dc to end = 20\nrow 3: dc to end = 20", "row 2: dc to end = 20"),
    Slipped("row 2: 1 ch, sc to end = 20\nrow 3: sc to end = 20", "row 2: sc to end = 20"),
    Slipped("row 2: ch 3 (counts as dc), dc to end = 20", "row 2: dc to end = 20"),
    # ---- counts
    Slipped("round 3: [sc, inc] x 5", "round 3: [sc, inc] x 6", HAT),
    Slipped(
        "round 3: [dc to corner, (2 dc, 2 ch as corner, 2 dc) in corner] x 4 = 44",
        "round 3: [dc to corner, (2 dc, 2 ch as corner, 2 dc) in corner] x 4, dc to end = 44",
        SQUARE,
    ),
    Slipped(
        "start 20 ch\nrow 1 with A: sc to end = 20\nrow 2 with B: 20 sc",
        "start 21 ch",
        "piece Band, turned rows\n",
    ),
    # ---- one slip in several lines
    Slipped("row 2: 5 sc, inc,\n14 sc = 21\nrow 3: sc to end", "  14 sc = 21"),
    Slipped("R2: sc to end = 20\nR3: sc to end", "row 2: sc to end = 20"),
    Slipped("row 3: [sc, inc] x 6 = 18\nrow 4: sc to end", "round 3: [sc, inc] x 6 = 18", HAT),
]


def applied(fix: Fix, text: str) -> str:
    for edit in sorted(fix.edits, key=lambda each: -each.span.start):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    return text


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: slip.lines.partition("\n")[0])
def test_a_slip_is_told_once_and_a_fix_mends_it(slip: Slipped) -> None:
    text = f"{HEADER}{slip.above}{slip.lines}\n"
    analysis = analyse(Source("slips.tch", text))
    errors = [each for each in analysis.diagnostics if each.severity is Severity.ERROR]
    assert len(errors) == 1, [each.message for each in errors]

    mended = [applied(each.fix, text) for each in offers(analysis, Span(0, len(text))) if each.mends]

    (right,) = [each for each in mended if slip.meant in each.splitlines()]
    told = analyse(Source("slips.tch", right)).diagnostics
    assert [each.message for each in told if each.severity is Severity.ERROR] == []


@pytest.mark.parametrize(
    ("lines", "above", "help_"),
    [
        ("row 2: [sc, 1 miss, 2 sc in st, sc] x 5", BAND, "what is passed over is skipped: `skip 1`"),
        ("row 2: change to B, sc to end", BAND, "a row's yarn stands before its colon: `row 2 with B:`"),
        (
            "row 2 with C: sc to end",
            BAND,
            "add a line such as `yarn C: DK, 60 g` to the header, or use one of `A`, `B`",
        ),
        ("hook 6 mm", BAND, "for another hook from here on write a note: `note Change to the 6 mm hook.`"),
        (
            "round 3: [dc, (2 dc, 2 ch, 2 dc) in corner] x 4\nround 4: dc to end",
            SQUARE.replace("2 ch as corner, 2 dc) in", "2 ch, 2 dc) in"),
            "mark it again in round 2: `2 ch as corner`",
        ),
    ],
)
def test_the_help_says_what_to_write(lines: str, above: str, help_: str) -> None:
    found = analyse(Source("slips.tch", f"{HEADER}{above}{lines}\n")).diagnostics
    assert [each.help for each in found if each.severity is Severity.ERROR] == [help_]


def test_a_fix_never_drops_a_number_or_works_another_stitch() -> None:
    """None is offered where what was meant can't be known."""
    for line in (
        "row 2: 9 hdc inc, hdc to end = 21",
        "row 2: half sc, sc to end",
        "row 2: 1 miss, sc to end",
    ):
        text = f"{HEADER}{BAND}{line}\n"
        assert [
            each.fix.title for each in offers(analyse(Source("slips.tch", text)), Span(0, len(text)))
        ] == []
