"""Colours and squares in hand-written English: what fits is read, and what is wrong is refused."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

import pytest

from .reader import PieceRead, read
from .words import ReadingError

PAGE = """
Sampler
=======

Written in US terms.

Yarns
-----

Yarn W: wool in white
Yarn T: wool in rust

Special stitches
----------------

Space: an open square of the mesh
    Chain 2, skip the next 2 stitches or the next chain-2 space, double crochet in the next stitch.
Block: a filled square of the mesh
    Double crochet in each of the next 2 stitches, or work 2 double crochet in the next chain-2 space; double \
crochet in the next stitch.

Notes
-----

- The chain 1 at the beginning of a row or round does not count as a stitch: work into the first stitch or space.

Sampler
-------

With yarn W, chain {}.

Row 1: {}
"""
TEN = "With yarn W, starting in the 2nd chain from the hook, single crochet in each chain across. Turn. (10 stitches)"
FIVES = "With yarn W, chain 1, *single crochet in each of the next 5 stitches (yarns: 2 W, 3 T); repeat from * once more."
TRIO = (
    "Starting in the 4th chain from the hook (the 3 chains skipped count as the first double crochet), work 1 space, "
    "1 block and 1 space. Turn. (6 stitches and 2 chain spaces)"
)
MESH = "Chain 3 (counts as the first double crochet), work 1 block, 1 space and 1 block. (8 stitches and 1 chain space)"


def last(chains: int, first: str, second: str, page: str = PAGE) -> tuple[int, int]:
    pieces: tuple[PieceRead, ...] = read(page.format(chains, first) + f"Row 2: {second}\n")
    row = pieces[0].rows[""][-1]
    return row.stitches, row.spaces


def test_colours_within_a_row() -> None:
    assert last(11, TEN, f"{FIVES} (10 stitches)") == (10, 0)


def test_squares_of_a_mesh() -> None:
    assert last(12, TRIO, MESH) == (8, 1)


@pytest.mark.parametrize(
    ("right", "wrong", "why"),
    [
        ("2 W, 3 T", "2 W, 4 T", "the yarns are for 6 stitches"),
        ("2 W, 3 T", "2 W, 2 T", "the yarns are for 4 stitches"),
        ("2 W, 3 T", "2 W, 3 B", "no yarn B"),
        ("With yarn W, chain", "With yarn B, chain", "no yarn B"),
        ("once more", "twice more", "are wanted"),
        (" (yarns: 2 W, 3 T)", " (with yarn B)", "no yarn B"),
    ],
)
def test_wrong_colours(right: str, wrong: str, why: str) -> None:
    assert right in FIVES
    with pytest.raises(ReadingError, match=why):
        last(11, TEN, FIVES.replace(right, wrong) + " (10 stitches)")


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ("work 1 block, 1 space and 2 blocks", "are wanted"),
        ("work 1 block and 1 space", "places are left"),
        ("work 1 block, 1 spaces and 1 block", "one space, two spaces"),
        ("work 1 space, 1 block and 1 space", "the text says"),
        ("work 1 block, 1 gap and 1 block", "not known"),
    ],
)
def test_wrong_squares(wrong: str, why: str) -> None:
    with pytest.raises(ReadingError, match=why):
        last(12, TRIO, MESH.replace("work 1 block, 1 space and 1 block", wrong))


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("Chain 2, skip the next 2 stitches", "Chain 3, skip the next 2 stitches"),
        ("or work 2 double crochet in", "or work 3 double crochet in"),
        ("Block: a filled", "Filling: a filled"),
    ],
)
def test_squares_that_are_told_otherwise(right: str, wrong: str) -> None:
    assert right in PAGE
    with pytest.raises(ReadingError):
        last(12, TRIO, MESH, PAGE.replace(right, wrong))
