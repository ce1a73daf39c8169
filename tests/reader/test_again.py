"""Pieces worked again on another edge are read back, and edges that do not suit are found."""

from itertools import product

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from .reader import read
from .words import ReadingError

HAT = """turnchain 1, US
pattern Hat
sizes small, large
piece Hat "Earflap hat", turned rows
start 41 ch
next 12/14 rows: sc to end = 40
piece Left "Left flap", turned rows
start along left of Hat, first 9/11
row 1: sc to end = 9/11
row 2: sc to last 2, dec = 8/10
piece Right "Right flap", as Left on right of Hat, first 9/11, mirrored
piece Brim, turned rows, make 2
start 5 ch
rows 1-4: sc to end = 4
piece Tie, turned rows, make 2
start along top of Brim
rows 1-30: sc to end = 4
piece Loop, as Tie on left of Brim
"""
FIXED = HAT.replace("piece Loop, as Tie on left of Brim\n", "")
WAYS = list(product(("US", "UK"), ("full", "short")))


def published(terms: str = "US", words: str = "full") -> str:
    analysis = analyse(Source("hat.tch", FIXED))
    assert not analysis.has_errors
    return render(document(analysis, terms, words), "text")


@pytest.mark.parametrize(("terms", "words"), WAYS)
def test_pieces_worked_again_are_read_back(terms: str, words: str) -> None:
    assert len(read(published(terms, words))) == 5


def test_row_ends_are_no_stitches() -> None:
    assert [each.name for each in analyse(Source("hat.tch", HAT)).diagnostics if each.name == "other-start"]


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("With the wrong side facing, join the yarn", "With the right side facing, join the yarn"),
        ("at the upper end of the right edge", "at the lower end of the right edge"),
        ("first 9 (11) row ends of the right edge", "first 8 (11) row ends of the right edge"),
        (
            "along the first 9 (11) row ends of the right edge",
            "along the first 9 (11) row ends of the left edge",
        ),
        ("Work as for Left flap", "Work as for Lost flap"),
        ("with the other side of the work facing you", "with the work facing you"),
    ],
)
def test_edges_that_do_not_suit_are_found(right: str, wrong: str) -> None:
    text = published()
    assert right in text

    with pytest.raises(ReadingError):
        read(text.replace(right, wrong))
