"""Published patterns are read back, row by row, by a reader that knows nothing of the compiler."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

import re
from itertools import product
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from turnchain.compiler.counted import Block
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from ..analysed import analysed
from .made_up import patterns
from .reader import PieceRead, read
from .words import ReadingError

EXAMPLES = sorted(
    (
        *(Path(__file__).parents[2] / "examples").glob("*.tch"),
        *(Path(__file__).parent / "patterns").glob("*.tch"),
        *(Path(__file__).parents[1] / "handbooks").glob("*.tch"),
    )
)
WAYS = list(product(("US", "UK"), ("full", "short")))

FULL = """

# ruff: noqa: E501 -- the sentences stand whole, as they are published
Sampler
=======

Written in US terms.

Special stitches
----------------

“fan”: a small fan
    Work 5 double crochet in the next stitch.

Notes
-----

- The chain 1 at the beginning of a row or round does not count as a stitch: work into the first stitch or space.

Sampler
-------

{}
"""
SHORT = """
Sampler
=======

Written in UK terms.

Abbreviations
-------------

dc: double crochet
tr: treble
dc2tog: double crochet 2 together
ch: chain
sp: space
ch-sps: chain spaces
st: stitch
sts: stitches

Notes
-----

- The chain 1 at the beginning of a row or round does not count as a stitch: work into the first stitch or space.

Sampler
-------

{}
"""
SIZED = FULL.replace("Special", "Sizes\n-----\n\n- child\n- adult\n\nSpecial")
BASE = (
    "Chain 11.\n\nRow 1: Starting in the 2nd chain from the hook, single crochet in each chain across. Turn."
)
TEN = f"{BASE} (10 stitches)\n"
RING = "Make an adjustable ring.\n\nRound 1: Chain 3 (counts as the first double crochet), work 2 double crochet in "
CORNERS = (
    RING
    + "the ring, chain 2 marked “corner”, *work 3 double crochet in the ring, chain 2 marked “corner”; repeat "
    "from * 2 more times. Join with a slip stitch in the top of the beginning chain. (12 stitches and 4 chain "
    "spaces)\nRound 2: "
)


def totals(pieces: tuple[PieceRead, ...], size: str = "") -> list[tuple[int, int, int]]:
    return [(row.used, row.stitches, row.spaces) for row in pieces[0].rows[size]]


# ---- hand-written English, counted by hand -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "used_and_made"),
    [
        ("Row 2: Chain 1, single crochet in each stitch across. (10 stitches)", (10, 10, 0)),
        (
            "Row 2: Chain 1, *work 2 single crochet in the next stitch, single crochet in the next stitch; repeat "
            "from * 4 more times. (15 stitches)",
            (10, 15, 0),
        ),
        (
            "Row 2: Chain 3 (counts as the first double crochet), *chain 2, skip the next 2 stitches, double "
            "crochet in the next stitch; repeat from * twice more. (4 stitches and 3 chain spaces)",
            (10, 4, 3),
        ),
        (
            "Row 2: Chain 4 (counts as the first double crochet and chain 1), skip the next stitch, [double "
            "crochet in the next stitch, chain 1, skip the next stitch] 3 times, double crochet in each of the "
            "last 2 stitches. (6 stitches and 4 chain spaces)",
            (10, 6, 4),
        ),
        (
            "Row 2: Chain 2 (does not count as a stitch), work double crochet 2 together 4 times over the next 8 "
            "stitches, work (1 double crochet, chain 1, 1 double crochet) in the next stitch, double crochet in "
            "the last stitch. (7 stitches and 1 chain space)",
            (10, 7, 1),
        ),
        (
            "Row 2: Chain 1, single crochet in the next stitch, skip the next 2 stitches, work “fan” in the next "
            "stitch, skip the next 2 stitches, make a 3-chain picot, single crochet in the next stitch, leave the "
            "remaining 3 stitches unworked. (7 stitches)",
            (7, 7, 0),
        ),
        (
            "Row 2: Chain 1, over the next 4 stitches: cross the first two before the others (this makes 2 double "
            "crochet), work a 5-double-crochet bobble in the next stitch, single crochet in the same stitch, "
            "single crochet in each of the last 5 stitches. (9 stitches)",
            (10, 9, 0),
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 4 stitches, draw up 2 loops of cord, one longer "
            "than the other (this makes 1 chain space and 1 single crochet, in this order), single crochet in each "
            "of the last 6 stitches. (11 stitches and 1 chain space)",
            (10, 11, 1),
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 9 stitches, knot the two cords (this makes nothing), "
            "single crochet in the last stitch. (10 stitches)",
            (10, 10, 0),
        ),
        (
            "Row 2: Chain 1. Working in back loops only, single crochet in the next stitch (mark it “tip”), single "
            "crochet in each of the last 9 stitches. Turn. (10 stitches)\nRow 3: Chain 1, single crochet in each "
            "of the next 9 stitches, work 3 single crochet in the next stitch marked “tip”. (12 stitches)",
            (10, 12, 0),
        ),
    ],
)  # fmt: skip
def test_rows(rows: str, used_and_made: tuple[int, int, int]) -> None:
    assert totals(read(FULL.format(TEN + rows)))[-1] == used_and_made


@pytest.mark.parametrize(
    ("chain", "row", "made"),
    [
        (
            27,
            "Starting in the 4th chain from the hook (the 3 chains skipped count as the first double crochet), "
            "double crochet in each chain across. (25 stitches)",
            (25, 0),
        ),
        (12, "Starting in the 3rd chain from the hook, half double crochet in each chain across. (10 stitches)", (10, 0)),
    ],
)  # fmt: skip
def test_chains_counted_from_the_hook(chain: int, row: str, made: tuple[int, int]) -> None:
    [row_read] = read(FULL.format(f"Chain {chain}.\n\nRow 1: {row}"))[0].rows[""]
    assert (row_read.stitches, row_read.spaces) == made


ANEW = "Row 2: With the right side facing, join the yarn in the first stitch, chain 1, "


@pytest.mark.parametrize(
    ("cut", "row", "why"),
    [
        (" Fasten off.", ANEW, ""),
        (" Turn.", ANEW, "joined already"),
        (" Fasten off.", "Row 2: Chain 1, ", "where does the yarn come from"),
        (" Fasten off.", ANEW.replace("first stitch", "first chain space"), "begins with no chain space"),
    ],
)
def test_yarn_that_is_cut_is_joined_anew(cut: str, row: str, why: str) -> None:
    rows = (
        TEN.replace(" Turn.", cut) + row + "single crochet in each stitch across. Fasten off. (10 stitches)"
    )
    if why:
        with pytest.raises(ReadingError, match=why):
            read(FULL.format(rows))
    else:
        assert totals(read(FULL.format(rows)))[-1] == (10, 10, 0)


def test_a_piece_is_worked_as_another_above() -> None:
    other = "\nOther\n-----\n\nWork as for {}.\n"

    assert totals(read(FULL.format(TEN + other.format("Sampler")))[1:]) == [(11, 10, 0)]
    with pytest.raises(ReadingError, match="no piece Nobody"):
        read(FULL.format(TEN + other.format("Nobody")))


def test_a_round_of_corners() -> None:
    round_2 = (
        "Chain 3 (counts as the first double crochet), double crochet in each of the next 2 stitches, work (2 double "
        "crochet, chain 2, 2 double crochet) in the next chain-2 space marked “corner”, *double crochet in each of "
        "the next 3 stitches, work (2 double crochet, chain 2, 2 double crochet) in the next chain-2 space marked "
        "“corner”; repeat from * 2 more times. Join with a slip stitch in the top of the beginning chain. (28 "
        "stitches and 4 chain spaces)"
    )
    assert totals(read(FULL.format(CORNERS + round_2))) == [(0, 12, 4), (16, 28, 4)]


def test_slip_stitches_to_where_a_round_begins_are_not_counted() -> None:
    """The joining slip stitch stands in the first of three stitches, so two are left before the space."""
    round_2 = (
        "Slip stitch in each of the next 2 stitches, then slip stitch in the next chain-2 space, chain 3 (counts as "
        "the first double crochet), work (2 double crochet, chain 2, 3 double crochet) in the same chain-2 space, "
        "*skip the next 3 stitches, work (3 double crochet, chain 2, 3 double crochet) in the next chain-2 space; "
        "repeat from * 2 more times. Join with a slip stitch in the top of the beginning chain. (24 stitches and 4 "
        "chain spaces)"
    )
    assert totals(read(FULL.format(CORNERS + round_2)))[-1] == (16, 24, 4)


def test_sizes_and_rows_of_one_size() -> None:
    pieces = read(SIZED.format(
        "Chain 11 (13).\n\n"
        "Row 1: Starting in the 2nd chain from the hook, single crochet in each chain across. Turn. [10 (12) stitches]\n"
        "Next 2 (3) rows: Chain 1, single crochet in each stitch across. Turn. [10 (12) stitches]\n"
        "Row 5 (adult only): Chain 1, work 2 single crochet in each stitch across. Turn. [24 stitches]\n"
        "Next row: Chain 1, *single crochet in each of the next 2 stitches; repeat from * 4 (11) more times. "
        "[10 (24) stitches]\n"
    ))  # fmt: skip
    assert [row.stitches for row in pieces[0].rows["child"]] == [10, 10, 10, 10]
    assert [row.stitches for row in pieces[0].rows["adult"]] == [12, 12, 12, 12, 24, 24]


def test_rows_worked_in_turn() -> None:
    rows = (
        "Row 2: Chain 1, work 2 single crochet in the next stitch, single crochet in each of the last 9 stitches. "
        "Turn. (11 stitches)\n"
    )
    even = "Row 3: Chain 1, single crochet in each stitch across. Turn. (11 stitches)\n"
    again = "Rows 4–6: Work row 3 again. (11 stitches)\n"
    assert [row.stitches for row in read(FULL.format(TEN + rows + even + again))[0].rows[""]][-4:] == [11] * 4
    pair = even.replace("Row 3", "Row 2").replace("11", "10") + even.replace("11", "10")
    turns = "Rows 4–8: Work rows 2 and 3 in turn, ending with row 2. (10 stitches)\n"
    assert len(read(FULL.format(TEN + pair + turns))[0].rows[""]) == 8


def test_short_words() -> None:
    rows = (
        "Ch 11.\n\nRow 1: Starting in 2nd ch from hook, dc in each ch across. Turn. (10 sts)\n"
        "Row 2: Ch 3 (counts as first tr), tr in next 2 sts, (tr, ch 2, tr) in next st, 2 tr in next st, miss next 2 "
        "sts, dc2tog over next 2 sts, tr in last st. Turn. (9 sts and 1 ch-sps)\n"
        "Row 3: Ch 1, dc in next 5 sts, 2 dc in next ch-2 sp, dc in last 4 sts. (11 sts)"
    )
    assert totals(read(SHORT.format(rows))) == [(11, 10, 0), (10, 9, 1), (10, 11, 0)]


LOOPS = (
    RING.replace("work 2 double crochet in ", "double crochet in ")
    + "the ring. Join with a slip stitch in the top of the beginning chain. (2 stitches)\nRound 2: *Chain 3, "
    "single crochet in the next stitch; repeat from * once more. Join with a slip stitch in the first chain of "
    "the round. (2 stitches and 2 chain spaces)\n"
)
MESH = TEN + (
    "Row 2: Chain 1, single crochet in each of the next 2 stitches, chain 3, skip the next 2 stitches, single "
    "crochet in each of the last 6 stitches. Turn. (8 stitches and 1 chain space)\n"
)


@pytest.mark.parametrize(
    ("before", "row", "used_and_made"),
    [
        (
            LOOPS,
            "Round 3: Chain 1. Counting each chain as a stitch, single crochet in each stitch around. Join with a "
            "slip stitch in the first stitch. (8 stitches)",
            (8, 8, 0),
        ),
        (
            LOOPS,
            "Round 3: Chain 4 (this makes a chain space), single crochet in the next chain-3 space, skip the next "
            "stitch, the next chain-3 space and the next stitch. Join with a slip stitch in the first chain of the "
            "round. (1 stitch and 1 chain space)",
            (4, 1, 1),
        ),
        (
            LOOPS,
            "Round 3: Chain 1, work 2 single crochet in each chain-3 space around. Join with a slip stitch in the "
            "first stitch. (4 stitches)",
            (4, 4, 0),
        ),
        (
            LOOPS,
            "Round 3: Chain 1, work “fan” in each of the next 2 chain-3 spaces, single crochet in the last stitch. "
            "Join with a slip stitch in the first stitch. (11 stitches)",
            (4, 11, 0),
        ),
        (
            TEN,
            "Row 2: Chain 3, work a 4-double-crochet bobble in the same stitch (with this chain it counts as the "
            "first 5-double-crochet bobble), single crochet in each of the last 9 stitches. (10 stitches)",
            (10, 10, 0),
        ),
        (
            MESH,
            "Row 3: Chain 1, single crochet in each of the next 5 stitches, leave the remaining stitch, chain-3 "
            "space and 2 stitches unworked. (5 stitches)",
            (5, 5, 0),
        ),
    ],
)  # fmt: skip
def test_rows_that_go_on_from_chain_spaces(
    before: str, row: str, used_and_made: tuple[int, int, int]
) -> None:
    assert totals(read(FULL.format(before + row)))[-1] == used_and_made


@pytest.mark.parametrize(
    ("before", "row", "why"),
    [
        (
            LOOPS.replace("first chain of the round", "first stitch"),
            "Round 3: Chain 1, single crochet in each stitch around. (2 stitches)",
            "not the first",
        ),
        (
            TEN,
            "Row 2: Chain 1. Counting each chain as a stitch, single crochet in each stitch across. (10 stitches)",
            "no chains to count",
        ),
        (
            TEN,
            "Row 2: Chain 3, work a 3-double-crochet bobble in the same stitch (with this chain it counts as the "
            "first 5-double-crochet bobble), single crochet in each of the last 9 stitches. (10 stitches)",
            "are no 5-double-crochet bobble",
        ),
        (
            MESH,
            "Row 3: Chain 1, single crochet in each of the next 5 stitches, leave the remaining stitch, chain-2 "
            "space and 2 stitches unworked. (5 stitches)",
            "wants a chain-2 space",
        ),
        (
            MESH,
            "Row 3: Chain 1, single crochet in each of the next 5 stitches, skip the next stitch, the next 2 "
            "stitches and the next chain-3 space. (5 stitches)",
            "wants a stitch",
        ),
        (
            LOOPS,
            "Round 3: Chain 1, work 2 single crochet in each of the next 3 chain-3 spaces. Join with a slip stitch "
            "in the first stitch. (6 stitches)",
            "are wanted",
        ),
        (
            LOOPS,
            "Round 3: Chain 1, work 2 single crochet in each chain-2 space around. Join with a slip stitch in the "
            "first stitch. (4 stitches)",
            "wants a chain-2 space",
        ),
        (
            LOOPS,
            "Round 3: Chain 1, work 2 single crochet in each of the next 2 chain-3 spaces. Join with a slip stitch "
            "in the first stitch. (4 stitches)",
            "1 places are left",
        ),
        (TEN, "Row 2: Chain 1, work “fan”, single crochet in each of the last 9 stitches. (14 stitches)", "which place"),
    ],
)  # fmt: skip
def test_wrong_rows_on_chain_spaces(before: str, row: str, why: str) -> None:
    with pytest.raises(ReadingError, match=why):
        read(FULL.format(before + row))


# ---- wrong English is refused ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("Row 2: Chain 1, single crochet in each stitch across. (11 stitches)", "the text says"),
        ("Row 2: Chain 1, single crochet in each stitch across. (10 stitches and 1 chain space)", "the text says"),
        ("Row 2: Chain 1, single crochet in each stitch across.", "no count"),
        (
            "Row 2: Chain 1, *single crochet in each of the next 2 stitches; repeat from * 5 more times. (12 stitches)",
            "are wanted",
        ),
        (
            "Row 2: Chain 1, [single crochet in each of the next 2 stitches] 4 times. (8 stitches)",
            "does not say so",
        ),
        ("Row 2: Chain 1, single crotchet in each stitch across. (10 stitches)", "not known"),
        ("Row 2: Chain 1, single crochet in each stitch across, breathe. (10 stitches)", "not known"),
        ("Row 2: Chain 1, sc in each stitch across. (10 stitches)", "not known"),
        ("Row 2: Chain 1, half treble in each stitch across. (10 stitches)", "not known"),
        ("Row 2: Chain 1, single crochet in each of the last 9 stitches. (9 stitches)", "not the last"),
        ("Row 2: Chain 3, double crochet in each of the next 10 stitches. (10 stitches)", "count?"),
        ("Row 2: Chain 1, work 2 single crochet in the next chain-2 space. (2 stitches)", "what comes is"),
        ("Row 2: Chain 1, single crochet in the next stitch marked “tip”. (1 stitch)", "not marked"),
        ("Row 2: Chain 1, double crochet in each of the next 10 double crochet. (10 stitches)", "what comes is"),
        ("Row 2: Chain 1, work “shell” in the next stitch. (5 stitches)", "special stitches"),
        ("Row 2: Chain 1, single crochet in the same stitch. (1 stitch)", "the same place as what"),
        (
            "Row 2: Chain 1, single crochet in each of the next 9 stitches, leave the remaining 2 stitches unworked. "
            "(9 stitches)",
            "remain",
        ),
        (
            "Row 2: Chain 1, single crochet in each stitch across, leave the remaining 0 stitches unworked. (10 "
            "stitches)",
            "remain",
        ),
        ("Row 3: Chain 1, single crochet in each stitch across. (10 stitches)", "follows"),
        ("Row 2: With yarn C, chain 1, single crochet in each stitch across. (10 stitches)", "no yarn"),
        ("Row 2: Chain 1, single crochet in each stitch around. (10 stitches)", "across"),
        ("Row 2: Chain 1, work single crochet 2 together 4 times over the next 10 stitches. (4 stitches)", "not over"),
        ("Rows 2–4: Work row 5 again. (10 stitches)", "no row"),
        (
            "Row 2: Chain 1, single crochet in each of the next 10 stitches, chain 8, slip stitch in the 7th chain from "
            "the hook to form a ring, work 12 single crochet in this ring, slip stitch in the first stitch of this "
            "ring. (22 stitches)",
            "closes in the first",
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 10 stitches, chain 8, slip stitch in the 8th chain from "
            "the hook to form a ring, work 12 single crochet in this ring. (22 stitches)",
            "closed",
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 10 stitches, chain 7, turn, slip stitch in the 11th "
            "stitch counted back from the hook, turn, work 11 single crochet in this arch. (11 stitches)",
            "to go back over",
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 10 stitches, chain 7, turn, slip stitch in the 6th "
            "stitch counted back from the hook, turn, work 11 single crochet in this arch. (21 stitches)",
            "the text says",
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 10 stitches, chain 7, turn, slip stitch in the 6th "
            "stitch counted back from the hook, turn, work 11 single crochet in this ring. (15 stitches)",
            "nothing is worked in this arch",
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 9 stitches, go on over the cord (this makes 3 single "
            "crochet), single crochet in the last stitch. (12 stitches)",
            "12",
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 10 stitches, single crochet over the cord (this "
            "makes 3 single crochet). (13 stitches)",
            "place",
        ),
        (
            "Row 2: Chain 1, single crochet in each of the next 10 stitches, go on over the cord (this makes 1 single "
            "crochet and 1 chain space). (11 stitches and 1 chain space)",
            "where do the words end",
        ),
    ],
)  # fmt: skip
def test_wrong_rows(row: str, why: str) -> None:
    with pytest.raises(ReadingError, match=why):
        read(FULL.format(TEN + row))


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (SHORT.format("Ch 5.\n\nRow 1: Starting in 2nd ch from hook, htr in each ch across. (4 sts)"), "abbreviations"),
        (FULL.format(TEN.replace(" Turn.", "") + "Row 2: Chain 1, single crochet in each stitch across. (10 stitches)"),
         "not turned"),
        (FULL.format("Chain 11.\n\nRow 1: Chain 1, single crochet in each of the next 11 chains. (11 stitches)"),
         "which chain"),
        (FULL.format("Row 1: Chain 1, single crochet in each stitch across. (10 stitches)"), "beginning"),
        (FULL.format(TEN.replace("2nd", "3rd")), "the text says"),
        (FULL.format(RING + "the ring. (3 stitches)"), "not joined"),
        (FULL.format(RING + "the ring. Join with a slip stitch in the first stitch. (3 stitches)"), "not the first"),
        (FULL.format("Make an adjustable ring.\n\nRound 1: Chain 4 (counts as the first double crochet and chain 1), "
                     "double crochet in the ring, chain 1. Join with a slip stitch in the top of the beginning chain. "
                     "(2 stitches and 2 chain spaces)"), "not the"),
        (FULL.format(CORNERS + "Chain 1, single crochet in each stitch around. Join with a slip stitch in the first "
                     "stitch. (16 stitches)"), "what comes is a chain-2 space"),
        (FULL.format(CORNERS + "Slip stitch in each of the next 3 stitches, then slip stitch in the next chain-2 space, "
                     "chain 3 (counts as the first double crochet). Join with a slip stitch in the top of the beginning "
                     "chain. (1 stitch)"), "what comes is a chain-2 space"),
    ],
)  # fmt: skip
def test_wrong_patterns(text: str, why: str) -> None:
    with pytest.raises(ReadingError, match=why):
        read(text)


# ---- what the compiler publishes ---------------------------------------------------------------------------


def counted(analysis: Analysis) -> dict[tuple[str, int, int], int]:
    """The compiler's count of a row, by size, place of the piece, and number of the row."""
    return {
        (pattern.size, n, row.number + row.times - 1): row.stitches
        for pattern in analysis.patterns
        for n, piece in enumerate(pattern.pieces)
        for part in piece.parts
        if isinstance(part, Block)
        for row in part.rows
    }


def assert_reads_back(analysis: Analysis, terms: str, words: str) -> None:
    text = render(document(analysis, terms, words), "text")
    try:
        pieces = read(text)
    except ReadingError as wrong:
        pytest.fail(f"{analysis.source.text}\n{terms}, {words} words: {wrong}\n\n{text}", pytrace=False)
    found = {
        (size, n, row.number): row.stitches
        for n, piece in enumerate(pieces)
        for size, rows in piece.rows.items()
        for row in rows
    }
    own = counted(analysis)
    assert own
    assert {key: found.get(key) for key in own} == own
    assert {(size, n) for size, n, _ in found} == {(size, n) for size, n, _ in own}
    for size, n in {(size, n) for size, n, _ in found}:
        last = max(number for s, m, number in own if (s, m) == (size, n))
        assert max(number for s, m, number in found if (s, m) == (size, n)) == last


@pytest.mark.parametrize(("terms", "words"), WAYS)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_examples(path: Path, terms: str, words: str) -> None:
    analysis = analysed(path)
    assert not analysis.has_errors
    assert_reads_back(analysis, terms, words)


def test_there_are_examples() -> None:
    assert EXAMPLES


CHAINS_OF_THE_TURN = """turnchain 1, US
pattern Made up
sizes small, large
piece Fabric, turned rows
start for 2/3
row 1: sc to end
row 2: sc, 2 ch, sc to end
row 3: dc to sp, 2 ch, skip sp, dc to end
"""
"""In the small size the turning chain is all that comes before the two chains, which are made with it."""
LONGER_CHAINS = """turnchain 1, US
pattern Made up
sizes small, large
piece Fabric, turned rows
start for 5/6
row 1: sc to end
row 2: dc, 2/3 ch, skip 2/3, dc to end
"""
ONE_TURN_LEFT = """turnchain 1, US
pattern Made up
sizes small, large
piece Fabric, turned rows
start for 3/5
row 1: sc to end
row 2: [dc, dc in st] x 1/2, dc to end
row 3: [dc2tog] x 1/2, dc to end
"""
"""In the small size the turning chain is the whole of the one turn's first stitch."""


@pytest.mark.parametrize(("terms", "words"), WAYS)
@pytest.mark.parametrize("text", [CHAINS_OF_THE_TURN, LONGER_CHAINS, ONE_TURN_LEFT])
def test_sizes_in_which_the_turning_chain_takes_different_things(text: str, terms: str, words: str) -> None:
    analysis = analyse(Source("pattern.tch", text))
    assert not analysis.has_errors
    assert_reads_back(analysis, terms, words)


def test_sizes_that_open_differently_have_rows_of_their_own() -> None:
    analysis = analyse(Source("pattern.tch", CHAINS_OF_THE_TURN))
    text = render(document(analysis, "US", "full"), "text")

    assert (
        "Row 3 (small only): Chain 5 (counts as the first double crochet and chain 2), skip the next" in text
    )
    assert (
        "Row 3 (large only): Chain 3 (counts as the first double crochet), double crochet in the next" in text
    )


def test_chains_of_the_turn_by_size() -> None:
    analysis = analyse(Source("pattern.tch", LONGER_CHAINS))

    assert "Chain 5 (6) (counts as the first double crochet and chain 2 (3))" in render(
        document(analysis, "US", "full"), "text"
    )


@settings(max_examples=60, suppress_health_check=[HealthCheck.filter_too_much])
@given(patterns())
@example(CHAINS_OF_THE_TURN)
def test_made_up_patterns(text: str) -> None:
    analysis = analyse(Source("pattern.tch", text))
    assume(not analysis.has_errors)
    for terms, words in WAYS:
        assert_reads_back(analysis, terms, words)


# ---- kinds, and chains that count ---------------------------------------------------------------------------


@pytest.mark.parametrize(("terms", "words"), WAYS)
def test_kinds_of_a_total_and_chains_that_count(terms: str, words: str) -> None:
    text = (
        'turnchain 1, US\npattern Example\nstitch cross: 3 dc "three crossed"\npiece Mesh, turned rows, chains count\n'
        "start 11 ch\nrow 1: sc to end = 10\nrow 2: [cross, 2 ch, skip 2] x 2 = 10, 2 cross\n"
        "row 3: 4 sc, (sc, dc, sc) in st as peak, 5 sc = 12, 11 sc, 1 peak\\nrow 4: [(dc, skip 1, dc) tog, dc in same] x 4 = 8\n"
        "piece Lace, turned rows\nstart 11 ch\nrow 1: sc to end = 10\n"
        "row 2: [dc, ch, 3 ch, ss in top] to end = 10, 9 sp\nrow 3: [sc in sp] to end = 9\n"
    )
    assert_reads_back(analyse(Source("pattern.tch", text)), terms, words)


KINDS = (
    "Row 2: Chain 1, double crochet in each of the next 2 stitches, work “fan” in the next stitch, single crochet in the "
    "next stitch (mark this stitch “peak”), single crochet in each of the last 6 stitches. (14 stitches{})"
)


@pytest.mark.parametrize(
    ("kinds", "right"),
    [
        ("; 1 “fan”", True),
        ("; 2 “fan”", False),
        ("; 7 double crochet, 7 single crochet and 1 marked “peak”", True),
        ("; 8 double crochet and 7 single crochet", False),
        ("; 2 marked “peak”", False),
        ("; 3 in yarn B", False),
    ],
)
def test_kinds(kinds: str, right: bool) -> None:
    text = FULL.format(TEN + KINDS.format(kinds))
    if right:
        assert totals(read(text))[-1] == (10, 14, 0)
    else:
        with pytest.raises(ReadingError):
            read(text)


# ---- pieces on the edges of others, and what is spread -----------------------------------------------------

SPEC = Path(__file__).parents[1] / "spec"
ON_EDGES = [
    pytest.param(text, id=f"{page}: {title}")
    for page in ("edges", "spread", "underside")
    for title, text, said in re.findall(
        r"^## (.+?)\n(?:.*?)^```\n(.*?)^```$(.*?)(?=^## |\Z)",
        (SPEC / f"{page}.md").read_text("utf-8"),
        re.MULTILINE | re.DOTALL,
    )
    if not re.search(r"\d{6}", text) and "- error" not in said
]


@pytest.mark.parametrize(("terms", "words"), WAYS)
@pytest.mark.parametrize("text", ON_EDGES)
def test_edges(text: str, terms: str, words: str) -> None:
    analysis = analyse(Source("pattern.tch", f"turnchain 1, US\npattern Example\n{text}"))
    assert not analysis.has_errors
    assert_reads_back(analysis, terms, words)


def test_there_are_examples_of_edges() -> None:
    assert len(ON_EDGES) > 20


BAND = (
    "Chain 11.\n\nRow 1: Starting in the 2nd chain from the hook, single crochet in each chain across. Turn. "
    "(10 stitches)\nRows 2–4: Chain 1, single crochet in each stitch across. Turn. (10 stitches)\n\n"
)
BEGUN = "Edging\n------\n\nWith the right side facing, join the yarn with a slip stitch "


@pytest.mark.parametrize(
    "wrong",
    [
        "at the lower end of the left edge of the Sampler and work along it (4 row ends in all).",
        "at the upper end of the left edge of the Sampler and work along it (5 row ends in all).",
        "at the upper end of the left edge of the Sampler and work along it, 3 stitches for every 4 row ends "
        "(4 places in all).",
        "at the upper end of the left edge of the Scarf and work along it (4 row ends in all).",
        "in the first free front loop of row 3 of the Sampler and work along these loops (10 loops in all).",
        "in the first of the “arm” stitches of the Sampler and work along it (4 stitches in all).",
        "at the upper end of the left edge of the Sampler and work along it (4 stitches in all).",
        "in the first chain of the other side of the chains “arm” of the Sampler and work along it (4 chains in "
        "all).",
        "at the right end of the top edge of the Sampler and work along the first 11 places of the top edge of "
        "the Sampler (11 stitches in all).",
    ],
)
def test_no_such_edge(wrong: str) -> None:
    right = "at the upper end of the left edge of the Sampler and work along it (4 row ends in all)."
    row = "\n\nRow 1: Chain 1, single crochet in each row end across. (4 stitches)"
    assert len(read(FULL.format(BAND + BEGUN + right + row))) == 2
    with pytest.raises(ReadingError):
        read(FULL.format(BAND + BEGUN + wrong + row))


@pytest.mark.parametrize(
    "wrong",
    [
        "single crochet in the 1st, 4th and 9th stitches",
        "single crochet in the 1st, 4th, 6th and 10th stitches",
        "single crochet in the 2nd, 6th and 10th stitches",
        "single crochet in the 1st, 6th and 11th stitches",
        "single crochet in the 1st, 5th and 10th stitch",
    ],
)
def test_no_even_spread(wrong: str) -> None:
    row = "Row 2: Chain 1, spread evenly over the 10 stitches, leaving those between unworked: {}. ({} stitches)"
    right = "single crochet in the 1st, 5th and 10th stitches"
    assert totals(read(FULL.format(TEN + row.format(right, 3))))[-1][1] == 3
    with pytest.raises(ReadingError):
        read(FULL.format(TEN + row.format(wrong, 4 if wrong.count(",") > 1 else 3)))


# ---- rows worked elsewhere -----------------------------------------------------------------------------------

ELSEWHERE = [
    pytest.param(text, id=title)
    for page in ("elsewhere", "stitches-apart", "look-ahead", "own-stitches")
    for title, text, said in re.findall(
        r"^## (.+?)\n(?:.*?)^```\n(.*?)^```$(.*?)(?=^## |\Z)",
        (SPEC / f"{page}.md").read_text("utf-8"),
        re.MULTILINE | re.DOTALL,
    )
    # The reader does not keep one stitch of the designer's from the next, so it finds the middle of none.
    if "- error" not in said and "in frill" not in text
]


@pytest.mark.parametrize(("terms", "words"), WAYS)
@pytest.mark.parametrize("text", ELSEWHERE)
def test_rows_worked_elsewhere(text: str, terms: str, words: str) -> None:
    analysis = analyse(Source("pattern.tch", f"turnchain 1, US\npattern Example\n{text}"))
    assert not analysis.has_errors
    assert_reads_back(analysis, terms, words)


def test_there_are_rows_worked_elsewhere() -> None:
    assert len(ELSEWHERE) > 8


SHORT_ROWS = (
    f"{BASE} (10 stitches)\nRow 2: Chain 1, single crochet in each of the next 7 stitches, leave the remaining 3 stitches "
    "unworked. Turn. (7 stitches)\nRow 3: Chain 1, single crochet in each stitch across. Turn. (7 stitches)\n"
    "Row 4: {}chain 1, single crochet in each stitch across. ({} stitches)"
)
PETALS = (
    "Make an adjustable ring.\n\nRound 1: Chain 1, work 6 single crochet in the ring. Join with a slip stitch in the first "
    "stitch. (6 stitches)\nRound 2: Chain 1, *single crochet in the next stitch, skip the next stitch; repeat from * twice "
    "more. Join with a slip stitch in the first stitch. (3 stitches)\nRound 3: {}chain 1, single crochet in each stitch "
    "around. Join with a slip stitch in the first stitch. (3 stitches)"
)


@pytest.mark.parametrize(
    ("text", "right"),
    [
        (SHORT_ROWS.format("Working over the steps (row 3, then the 3 stitches left of row 1), ", 10), True),
        (SHORT_ROWS.format("Working over the steps (row 3, then the 2 stitches left of row 1), ", 10), False),
        (SHORT_ROWS.format("Working over the steps (row 3, then the 3 stitches left of row 2), ", 10), False),
        (SHORT_ROWS.format("Working over the steps (row 2, then the 3 stitches left of row 1), ", 10), False),
        (SHORT_ROWS.format("", 10).replace(": chain", ": Chain"), False),
        (PETALS.format("Working into the places of round 1 that are still free, behind round 2, "), True),
        (PETALS.format("Working into the back loops of round 1 that are still free, behind round 2, "), False),
        (PETALS.format("Working into the places of round 2 that are still free, behind round 2, "), False),
        (PETALS.format("Working into the places of round 1 that are still free, behind the rounds since then, "), False),
        (PETALS.format("Begin in the last stitch before the join, "), True),
        (PETALS.format("Begin in the last chain-2 space before the join, "), False),
        (PETALS.format("Begin in the 3rd place before the join, "), False),
        (PETALS.format("Begin in the stitch that was joined to, "), False),
    ],
)  # fmt: skip
def test_where_a_row_is_worked(text: str, right: bool) -> None:
    if right:
        assert read(FULL.format(text))
    else:
        with pytest.raises(ReadingError):
            read(FULL.format(text))


# ---- the last round drawn together ---------------------------------------------------------------------------

DRAWN = "{}Cut the yarn, leaving a tail of 20 cm / 7¾ in. Thread it through the front loop of each of the {} stitches of the last round, pull it tight to close the hole and fasten off.\n{}"
DISC = "Make an adjustable ring.\n\nRound 1: Chain 1, work 6 single crochet in the ring. Join with a slip stitch in the first stitch. (6 stitches)\n\n"


@pytest.mark.parametrize(("terms", "words"), WAYS)
def test_a_ball_is_drawn_together(terms: str, words: str) -> None:
    text = (
        "turnchain 1, US\npattern Balls\nsizes small, large\npiece Ball, spiral rounds\nstart ring\nround 1: 6/8 sc in ring = 6/8\n"
        "round 2: [inc] to end = 12/16\nround 3: [dec] to end = 6/8\nnote Stuff it.\nclose\n"
        "piece Cap, joined rounds\nstart ring\nround 1: [dc in ring, ch] x 6 = 6\nclose\n"
    )
    assert_reads_back(analyse(Source("pattern.tch", text)), terms, words)


@pytest.mark.parametrize(
    ("text", "right"),
    [
        (DRAWN.format(DISC, 6, ""), True),
        (DRAWN.format(DISC, 7, ""), False),
        (DRAWN.format(f"{BASE} (10 stitches)\n\n", 10, ""), False),
        (DRAWN.format(DISC, 6, "\nRound 2: Chain 1, single crochet in each stitch around. Join with a slip stitch in the first stitch. (6 stitches)"), False),
    ],
)  # fmt: skip
def test_drawn_together(text: str, right: bool) -> None:
    if right:
        assert read(FULL.format(text))
    else:
        with pytest.raises(ReadingError):
            read(FULL.format(text))


# ---- going back ----------------------------------------------------------------------------------------------

CROSSED = "Row 2: Chain 1, skip the next {} stitches, double crochet in each of the next 2 stitches, {}, leave the remaining {} stitches unworked. (4 stitches)"


@pytest.mark.parametrize(
    ("skipped", "back", "right"),
    [
        (2, "double crochet in each of the 2 skipped stitches", True),
        (2, "double crochet in the 2nd of the 2 skipped stitches, double crochet in the 1st of the 2 skipped stitches", True),
        (3, "double crochet in each of the 2 skipped stitches", False),
        (2, "double crochet in the 2nd of the 2 skipped stitches, double crochet in the 2nd of the 2 skipped stitches", False),
        (2, "double crochet in the 3rd of the 2 skipped stitches, double crochet in the same stitch", False),
        (2, "double crochet in the skipped stitch, double crochet in the same stitch", False),
    ],
)  # fmt: skip
def test_going_back(skipped: int, back: str, right: bool) -> None:
    text = FULL.format(TEN + CROSSED.format(skipped, back, 10 - 2 - skipped))
    if right:
        assert totals(read(text))[-1][1] == 4
    else:
        with pytest.raises(ReadingError):
            read(text)


# ---- a chain that counts and is marked -----------------------------------------------------------------------

MARKED = """piece Shells, joined rounds
start ring
round 1: [dc in ring as low, dc in ring, 2 ch] x 4 = 8, 4 low
round 2: [(dc, 2 ch, dc) in low as fan, sc in sp] to end = 12
round 3: [dc3cluster in fan as peak, 2 ch, sc in sc] to end = 8
round 4: [3 dc in peak as low, sc in sc] to end = 16
round 5: [dc in low, dc in sc] to end = 8
"""


@pytest.mark.parametrize(("terms", "words"), WAYS)
def test_a_chain_that_counts_bears_its_mark(terms: str, words: str) -> None:
    analysis = analyse(Source("pattern.tch", f"turnchain 1, US\npattern Example\n{MARKED}"))
    assert not analysis.has_errors
    assert_reads_back(analysis, terms, words)


# ---- the end of a piece, its right side, and stitches of one's own -------------------------------------------


FLAT = TEN + "Row 2: Chain 1, single crochet in each stitch across. (10 stitches)\n\n"
AROUND = "Make an adjustable ring.\n\nWork in a continuous spiral: do not join the rounds.\n\nRound 1: Work 6 single crochet in the ring. (6 stitches)\n\n"


def test_a_piece_ends_fastened_off() -> None:
    assert totals(read(FULL.format(FLAT + "Fasten off.\n")))[-1] == (10, 10, 0)
    assert read(FULL.format(FLAT + "Fasten off, leaving a long tail for sewing.\n"))
    assert read(FULL.format(AROUND + "Slip stitch in the next stitch and fasten off.\n"))


@pytest.mark.parametrize(
    "wrong",
    [
        FLAT.rstrip().replace("across. (10", "across. Turn. (10")
        + "\n\nFasten off.\n\nRow 3: Chain 1, single crochet in each stitch across. (10 stitches)\n",
        FLAT + "Fasten off.\n\nFasten off.\n",
        FLAT + "Slip stitch in the next stitch and fasten off.\n",
        AROUND + "Fasten off.\n",
    ],
)
def test_a_piece_ends_once_and_as_its_last_row_lets_it(wrong: str) -> None:
    with pytest.raises(ReadingError):
        read(FULL.format(wrong))


NAMED = FULL.replace("in the next stitch.\n\nNotes", "in the {} named.\n\nNotes")
FANS = (
    TEN
    + "Row 2: Chain 1, single crochet in each of the next 2 stitches, chain 1, skip the next stitch, single "
    "crochet in each of the last 7 stitches. Turn. (9 stitches and 1 chain space)\nRow 3: Chain 1, single crochet "
    "in each of the next 7 stitches, work “fan” in the next chain-1 space, single crochet in the next stitch, work "
    "“fan” in the last stitch. (18 stitches)\n"
)


def test_a_stitch_of_ones_own_is_worked_where_its_explanation_lets_it() -> None:
    read(NAMED.format("stitch or space", FANS))
    for only in ("stitch", "space"):
        with pytest.raises(ReadingError, match="not told to be worked in a"):
            read(NAMED.format(only, FANS))


OVAL = (
    "Chain 8.\n\nRound 1: Starting in the 2nd chain from the hook, single crochet in each of the next 6 chains, work 3 "
    "single crochet in the last chain, continue along the other side of the foundation chain, {} Join with a slip stitch "
    "in the first stitch. ({} stitches)"
)


@pytest.mark.parametrize(
    ("other_side", "stitches", "right"),
    [
        (
            "single crochet in each of the next 5 chains, work 3 single crochet in the last chain (the one skipped at the "
            "beginning).",
            17,
            False,
        ),
        (
            "single crochet in each of the next 6 chains, work 3 single crochet in the last chain (the one skipped at the "
            "beginning).",
            18,
            True,
        ),
        (
            "single crochet in each of the next 6 chains, work 3 single crochet in the last chain.",
            18,
            False,
        ),
        (
            "single crochet in each of the next 6 chains (the one skipped at the beginning), work 3 single crochet in the "
            "last chain.",
            18,
            False,
        ),
        (
            "single crochet in each of the last 7 chains (the last of them was skipped at the beginning).",
            16,
            True,
        ),
        (
            "single crochet in each of the last 7 chains (the last 2 of them were skipped at the beginning).",
            16,
            False,
        ),
        ("single crochet in each of the last 7 chains (the one skipped at the beginning).", 16, False),
        ("single crochet in each of the last 7 chains (skipped at the beginning).", 16, False),
        (
            "single crochet in each of the next 6 chains, leave the remaining chain unworked (the one skipped at the "
            "beginning).",
            15,
            True,
        ),
    ],
)
def test_the_other_side_of_a_chain_ends_in_the_chains_skipped(
    other_side: str, stitches: int, right: bool
) -> None:
    text = FULL.format(OVAL.format(other_side, stitches))
    if right:
        assert totals(read(text))[-1][1] == stitches
    else:
        with pytest.raises(ReadingError):
            read(text)


@pytest.mark.parametrize(
    ("row", "right"),
    [
        ("single crochet in the first stitch, work 2 single crochet in each of the next 9 stitches.", True),
        ("work 2 single crochet in each of the first 9 stitches, single crochet in the last stitch.", True),
        ("work 2 single crochet in each of the next 9 stitches, single crochet in the first stitch.", False),
        ("single crochet in the first stitch, work 2 single crochet in each of the first 9 stitches.", False),
        ("skip the first stitch, work 2 single crochet in each of the first 9 stitches.", False),
    ],
)
def test_the_first_stitch_is_the_first_of_the_row(row: str, right: bool) -> None:
    made = 19 if right else 18
    text = FULL.format(f"{TEN}Row 2: Chain 1, {row} ({made} stitches)")
    if right:
        assert totals(read(text))[-1][1] == made
    else:
        with pytest.raises(ReadingError):
            read(text)


@pytest.mark.parametrize(("skipped", "right"), [(2, True), (1, False), (3, False)])
def test_chains_skipped_that_do_not_count(skipped: int, right: bool) -> None:
    text = FULL.format(
        f"Chain 12.\n\nRow 1: Starting in the 3rd chain from the hook (the {skipped} chains skipped do not count as a "
        "stitch), half double crochet in each chain across. (10 stitches)"
    )
    if right:
        assert totals(read(text))[-1][1] == 10
    else:
        with pytest.raises(ReadingError):
            read(text)
