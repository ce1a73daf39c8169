"""Repeats in one another, runs that are all of a row, and the chain that a row starts in, in hand-written English."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

import pytest

from .reader import read
from .test_reader import FULL, TEN
from .words import ReadingError

MESH = (
    "Row 2: Chain 1, *{[single crochet in the next stitch, chain 1] twice, single crochet in the next stitch} once, "
    "single crochet in each of the next 2 stitches; repeat from * once more. (10 stitches and 4 chain spaces)\n"
)
STARS = (
    "Row 2: Chain 1, *[single crochet in the next stitch, chain 1] twice, single crochet in the next stitch; repeat "
    "from * once more, **[single crochet in the next stitch] twice; repeat from ** once more. (10 stitches and 4 "
    "chain spaces)\n"
)
ALL = "Row 2: Chain 1, single crochet in each of the 10 stitches, chain 3. (10 stitches and 3 chains)\n"
TOGETHER = "Row 2: Chain 1, work single crochet 2 together 5 times over the 10 stitches. (5 stitches)\n"
TALL = (
    "Chain 12.\n\nRow 1: {} in the 4th chain from the hook (the 3 chains skipped count as the first double crochet), double "
    "crochet in each of the last 8 chains. (10 stitches)\n"
)


@pytest.mark.parametrize("row", [MESH, STARS, ALL, TOGETHER])
def test_it_is_read(row: str) -> None:
    assert read(FULL.format(TEN + row))


@pytest.mark.parametrize(
    ("row", "right", "wrong", "why"),
    [
        (MESH, "stitch} once", "stitch] once", "bracket"),
        (MESH, "stitch} once", "stitch}", "how often"),
        (STARS, "repeat from ** once", "repeat from * once", "how often"),
        (STARS, "stitch] twice; repeat", "stitch] 3 times; repeat", "are wanted"),
        (ALL, "the 10 stitches", "the 9 stitches", "all are 10"),
        (ALL, "each of the 10", "the next stitch, single crochet in each of the 9", "all are 10"),
        (TOGETHER, "over the 10", "over the 8", "not over 8"),
    ],
)
def test_wrong_ones_are_seen(row: str, right: str, wrong: str, why: str) -> None:
    assert right in row
    with pytest.raises(ReadingError, match=why):
        read(FULL.format(TEN + row.replace(right, wrong)))


@pytest.mark.parametrize("first", ["Double crochet", "Work (1 double crochet)"])
def test_a_row_may_start_with_a_stitch_in_a_chain_from_the_hook(first: str) -> None:
    assert read(FULL.format(TALL.format(first)))


@pytest.mark.parametrize(
    ("right", "wrong"), [("the 3 chains", "the 2 chains"), ("4th chain", "5th chain"), ("last 8", "last 9")]
)
def test_it_is_the_chain_that_comes_after_those_that_are_skipped(right: str, wrong: str) -> None:
    with pytest.raises(ReadingError):
        read(FULL.format(TALL.format("Double crochet").replace(right, wrong)))
