"""Motifs in a grid are read back from the English, and wrong sentences are found."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

from itertools import product

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from .reader import read
from .words import ReadingError

SQUARE = """turnchain 1, UK
pattern Blanket
piece Square "Tide square", joined rounds
start 5 ch, joined
round 1: [3 tr in ring, 3 ch as corner] x 4 = 12, 4 sp
round 2: [ch, (3 tr, 3 ch as corner, 3 tr) in corner] x 4 = 24, 8 sp
"""
JOINED = f"""{SQUARE}piece Blanket "The blanket", 6 x 8 of Square, joined at corner, sp
note Weave in the ends as you go.
piece Border, joined rounds
start along around of Blanket
round 1: [5 dc in corner, [3 dc, dc in sp, 4 dc] x 5, 3 dc, dc in sp, 3 dc, 5 dc in corner, [3 dc, dc in sp, 4 dc] x 7,
  3 dc, dc in sp, 3 dc] x 2 = 240
"""
SEWN = f"""{SQUARE}piece Blanket "The blanket", 6 x 8 of Square, sewn in whip stitch
piece Border, joined rounds
start along around of Blanket
round 1: [5 dc in corner, [3 dc, dc in sp, 4 dc] x 5, 3 dc, dc in sp, 3 dc, 5 dc in corner, [3 dc, dc in sp, 4 dc] x 7,
  3 dc, dc in sp, 3 dc] x 2 = 240
"""
OBLONG = """turnchain 1, US
pattern Runner
sizes short, long
piece Tile, joined rounds
start ring
round 1: [3 dc in ring, ch, 3 dc in ring, 2 ch as corner, 4 dc in ring, 2 ch as corner] x 2 = 20
piece Runner, 3/5 x 1 of Tile, joined at sp
piece Rug, 3/5 x 2 of Tile, joined at corner, sp
piece Column, 1 x 3/4 of Tile, joined at corner
piece Cloth, 2 x 2/3 of Tile, sewn in sc
"""
PATCHES = """turnchain 1, US
pattern Patches
piece Patch, turned rows
start 9 ch
rows 1-10: sc to end = 8
piece Cloth, 3 x 2 of Patch, sewn in mattress stitch
piece Border, joined rounds
start along around of Cloth
round 1: sc to end = 88
"""
FOUR = f"{SQUARE}piece Blanket, 2 x 2 of Square, joined at corner, sp\n"
PAIR = f"{SQUARE}piece Blanket, 2 x 1 of Square, sewn in whip stitch\n"
WAYS = list(product(("US", "UK"), ("full", "short")))


def published(pattern: str, terms: str = "UK", words: str = "full") -> str:
    analysis = analyse(Source("blanket.tch", pattern))
    assert not analysis.has_errors
    return render(document(analysis, terms, words), "text")


@pytest.mark.parametrize(("terms", "words"), WAYS)
@pytest.mark.parametrize("pattern", [JOINED, SEWN, OBLONG, PATCHES, FOUR, PAIR])
def test_grids_are_read_back(pattern: str, terms: str, words: str) -> None:
    assert read(published(pattern, terms, words))


def test_the_english_of_motifs_joined_as_they_are_worked() -> None:
    lines = published(JOINED).split("The blanket\n")[1].split("Border\n")[0].splitlines()[2:]

    assert [line for line in lines if line] == [
        "48 motifs, 6 across and 8 high, with right sides up; all but the first are joined in round 2, their last.",
        "To join at a “corner”, in place of chain 3: chain 1, slip stitch in the “corner” of the other motif that faces it, chain 1.",
        "To join at a chain-1 space, in place of chain 1: slip stitch in the chain-1 space of the other motif that faces it.",
        "First motif: work the Tide square as it is given.",
        "Other 5 motifs of the first row: work the Tide square, and join each along one side, to the motif before it, at 2 “corner” and 1 chain-1 space.",
        "First motif of each of the other 7 rows: work the Tide square, and join it along one side, to the first motif of the row before, at 2 “corner” and 1 chain-1 space.",
        "Other 5 motifs of each of these rows: work the Tide square, and join each along two sides that meet, to the motif before it and to the one that it lies against in the row before, at 3 “corner” and 2 chain-1 spaces; the “corner” between these sides is joined where three others meet.",
        "This joins 82 sides; four motifs meet at 35 points.",
        "Weave in the ends as you go.",
    ]


def test_the_english_of_motifs_sewn() -> None:
    text = published(SEWN)

    assert "Make 48." in text
    assert (
        "Sew the motifs of each row side to side in whip stitch: 40 sides, each 7 stitches to 7 stitches, from “corner” to “corner”, one to one."
        in text
    )
    assert "Make" not in published(JOINED)


def test_one_motif_row_or_side_is_not_said_as_several() -> None:
    joined, sewn = published(FOUR), published(PAIR)

    assert "Other motif of the first row: work the Tide square, and join it along one side, to" in joined
    assert "First motif of the other row: work" in joined
    assert "Other motif of each of these rows: work the Tide square, and join it along two sides" in joined
    assert "This joins 4 sides; four motifs meet at 1 point." in joined
    assert "side to side in whip stitch: 1 side, 7 stitches to 7 stitches, from" in sewn


@pytest.mark.parametrize(
    ("pattern", "right", "wrong"),
    [
        (FOUR, "Other motif of the first row", "Other 2 motifs of the first row"),
        (FOUR, "First motif of the other row", "First motif of each of the other 2 rows"),
        (FOUR, "meet at 1 point", "meet at 2 points"),
        (JOINED, "Other 5 motifs of the first row", "Other motif of the first row"),
        (JOINED, "each of the other 7 rows", "the other row"),
        (PAIR, "1 side, 7 stitches", "2 sides, each 7 stitches"),
        (PAIR, "1 side, 7 stitches", "1 side, 6 stitches"),
    ],
)
def test_a_wrong_number_of_motifs_or_sides_is_found(pattern: str, right: str, wrong: str) -> None:
    text = published(pattern)
    assert right in text

    with pytest.raises(ReadingError):
        read(text.replace(right, wrong))


def test_motifs_whose_sides_differ_are_said_to_lie_one_way() -> None:
    assert "so that the first “corner” of the last round lies at the upper right" in published(OBLONG)


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("48 motifs", "47 motifs"),
        ("6 across and 8 high", "8 across and 6 high"),
        ("in round 2, their last", "in round 1, their last"),
        ("in place of chain 3: chain 1, slip", "in place of chain 3: chain 2, slip"),
        (
            "in place of chain 3: chain 1, slip stitch in the “corner” of the other motif that faces it, chain 1.",
            "in place of chain 5: chain 2, slip stitch in the “corner” of the other motif that faces it, chain 2.",
        ),
        ("slip stitch in the chain-1 space of the other", "slip stitch in the “corner” of the other"),
        ("Other 5 motifs of the first row", "Other 6 motifs of the first row"),
        ("before it, at 2 “corner” and 1 chain-1 space", "before it, at 2 “corner” and 2 chain-1 spaces"),
        ("before it, at 2 “corner” and 1 chain-1 space", "before it, at 1 “corner” and 1 chain-1 space"),
        ("of each of the other 7 rows", "of each of the other 8 rows"),
        ("row before, at 3 “corner”", "row before, at 4 “corner”"),
        (
            "2 chain-1 spaces; the “corner” between these sides is joined where three others meet.",
            "2 chain-1 spaces.",
        ),
        ("This joins 82 sides", "This joins 83 sides"),
        ("meet at 35 points", "meet at 48 points"),
        ("4 of them “corner”", "24 of them “corner”"),
        ("24 where two motifs meet", "28 where two motifs meet"),
        ("(224 stitches, chain spaces and joins", "(228 stitches, chain spaces and joins"),
        ("(224 stitches, chain spaces and joins", "(224 stitches and joins"),
        ("work the Tide square as it is given", "work the Ebb square as it is given"),
        ("the lower edge and", "the foundation edge and"),
        ("First motif: work the Tide square as it is given.\n", ""),
    ],
)
def test_wrong_joins_are_found(right: str, wrong: str) -> None:
    text = published(JOINED)
    assert right in text

    with pytest.raises(ReadingError):
        read(text.replace(right, wrong))


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("Make 48.", "Make 47."),
        ("48 copies", "42 copies"),
        ("each 7 stitches to 7 stitches", "each 6 stitches to 7 stitches"),
        (": 40 sides", ": 42 sides"),
        ("at 35 points", "at 36 points"),
        ("Whip stitch: hold", "Backstitch: hold"),
        (
            "Sew the rows to one another in whip stitch: 42 sides, each 7 stitches to 7 stitches, from “corner” to “corner”, one to one.\n",
            "",
        ),
    ],
)
def test_wrong_seams_between_motifs_are_found(right: str, wrong: str) -> None:
    text = published(SEWN)
    assert right in text

    with pytest.raises(ReadingError):
        read(text.replace(right, wrong))


def test_an_oblong_motif_needs_to_be_told_how_it_lies() -> None:
    text = published(OBLONG)

    with pytest.raises(ReadingError):
        read(text.replace(", so that the first “corner” of the last round lies at the upper right", ""))
