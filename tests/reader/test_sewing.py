"""Seams are read back from the English, and wrong ones are found."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

from itertools import product

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from .reader import read
from .words import ReadingError

VEST = """turnchain 1, US
pattern Vest
sizes small, large
gauge 16 st, 20 rows = 10 cm in sc
piece Back, turned rows
start 21/25 ch
rows 1-30: sc to end = 20/24
piece Front, turned rows
start 21/25 ch
rows 1-30: sc to end = 20/24
piece Sleeve, turned rows, make 2
start 17 ch
rows 1-20: sc to end = 16
piece Pocket, turned rows
start 9 ch
rows 1-4: sc to end = 8
row 5: 6 sc, leave 2 = 6
piece Flap, as Pocket, mirrored
piece Ball, joined rounds, make 2
start ring
round 1: 6 sc in ring = 6
seam top of Back, first 6, top of Front, last 6, in whip stitch
seam top of Back, last 6, top of Front, first 6, in whip stitch
note Press.
seam top of Sleeve, left of Back, first 20 and right of Front, last 2, in mattress stitch, eased
seam left of Sleeve, right of Sleeve, in sc
seam left of Pocket, right of Flap
seam foundation of Sleeve, right of Back, first 20, in ss
seam around of Ball, around of Ball, in backstitch
piece Hem, turned rows
start along foundation of Back
row 1: sc to end = 20/24
"""
WAYS = list(product(("US", "UK"), ("full", "short")))


def published(terms: str = "US", words: str = "full") -> str:
    analysis = analyse(Source("vest.tch", VEST))
    assert analysis.diagnostics == ()
    return render(document(analysis, terms, words), "text")


@pytest.mark.parametrize(("terms", "words"), WAYS)
def test_seams_are_read_back(terms: str, words: str) -> None:
    assert len(read(published(terms, words))) == 7


def test_the_english() -> None:
    lines = [line for line in published().splitlines() if line.startswith(("Sew", "Join"))]

    assert lines == [
        "Sew the 6 places at the right end of the top edge of the Back to the 6 places at the left end of the top edge of the Front in whip stitch, the right end of the one at the left end of the other: 6 stitches to 6 stitches, one to one.",
        "Sew the 6 places at the left end of the top edge of the Back to the 6 places at the right end of the top edge of the Front in whip stitch, the right end of the one at the left end of the other: 6 stitches to 6 stitches, one to one.",
        "Sew the top edge of the Sleeve to the 20 row ends at the upper end of the left edge of the Back and the 2 row ends at the upper end of the right edge of the Front in mattress stitch, the right end of the one at the upper end of the other: 16 stitches to 22 row ends, easing in the longer edge evenly.",
        "Join the left edge of the Sleeve to the right edge of the Sleeve with single crochet, the upper end of the one at the upper end of the other: 20 row ends to 20 row ends, one to one. Work this seam twice.",
        "Sew the left edge of the Pocket to the right edge of the Flap, the upper end of the one at the upper end of the other: 4 row ends to 4 row ends, one to one.",
        "Join the foundation edge of the Sleeve to the 20 row ends at the lower end of the right edge of the Back with slip stitch, the left end of the one at the upper end of the other: 16 stitches to 20 row ends, spread evenly.",
        "Sew two copies of the Ball together, the last round of one to the last round of the other in backstitch: 6 stitches to 6 stitches, one to one.",
    ]


def test_each_way_is_explained_where_it_first_stands() -> None:
    lines = published().splitlines()
    first = next(line for line in lines if "in whip stitch" in line)

    assert lines.count("Assembly") == 1
    assert sum(line.startswith("Whip stitch: hold the pieces") for line in lines) == 1
    assert lines.index(next(x for x in lines if x.startswith("Whip stitch"))) < lines.index(first)
    assert "Making up" in published("UK").splitlines()


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        # as many as there are, and no more
        ("4 row ends to 4 row ends", "5 row ends to 4 row ends"),
        ("left edge of the Pocket to", "foundation edge of the Pocket to"),
        # each place once
        (
            "the 6 places at the left end of the top edge of the Back",
            "the 6 places at the right end of the top edge of the Back",
        ),
        (
            "the 6 places at the right end of the top edge of the Front",
            "the 6 places at the left end of the top edge of the Front",
        ),
        ("Work this seam twice", "Work this seam 3 times"),
        (
            "left edge of the Sleeve to the right edge of the Sleeve",
            "left edge of the Sleeve to the left edge of the Sleeve",
        ),
        # the ends that meet
        (
            "the upper end of the one at the upper end of the other: 20",
            "the upper end of the one at the lower end of the other: 20",
        ),
        ("row ends at the upper end of the left edge", "row ends at the left end of the left edge"),
        ("20 row ends at the upper end of the left edge", "20 places at the upper end of the left edge"),
        # place for place, or not
        ("22 row ends, easing in the longer edge evenly", "22 row ends, one to one"),
        ("6 stitches, one to one", "6 stitches, spread evenly"),
        ("4 row ends, one to one", "4 row ends, easing in the longer edge evenly"),
        # what is not there
        ("edge of the Flap", "edge of the Flop"),
        ("Whip stitch: hold", "Lace stitch: hold"),
        # a mirrored piece has the short edge on its other side
        ("the right edge of the Flap", "the left edge of the Flap"),
    ],
)
def test_wrong_seams_are_found(right: str, wrong: str) -> None:
    text = published()
    assert right in text
    read(text)

    with pytest.raises(ReadingError):
        read(text.replace(right, wrong))


def test_a_sewn_edge_is_not_worked_along() -> None:
    text = published().replace("foundation edge of the Back", "right edge of the Back")

    with pytest.raises(ReadingError):
        read(text)
