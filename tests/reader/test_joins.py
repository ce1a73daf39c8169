"""Joins to pieces that are done are read back from the English, and wrong ones are found."""

from itertools import product

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from .reader import read
from .words import ReadingError

FLOWERS = """turnchain 1, US
pattern Flowers
stitch spray: (dc, [picot3, dc] x 4) in st "a fan with picots"
piece First, joined rounds
start ring
round 1: [2 dc in ring, ch, 2 dc in ring, 3 ch as corner] x 4 = 16, 8 sp
piece Second, joined rounds
start ring
round 1: [2 dc in ring, join sp of First, 2 dc in ring, ch, join corner of First, ch as corner] x 2,
  3 dc in ring, join 2nd corner of First, 3 dc in ring, 2 ch = 14, 3 sp
piece Strip, turned rows
start for 6
row 1: sc to end = 6
row 2: 2 sc, 2 dc, 2 hdc = 6
piece Other, turned rows
start for 6
row 1: [2 sc, join st of Strip] x 2, join corner of Second, 2 sc = 6
row 2: [sc, join st of Strip, ch, skip] x 3 = 3, 2 sp
piece Star, joined rounds
start ring
round 1: [sc in ring, picot3, sc in ring] x 5 = 10
piece Comet, joined rounds
start ring
round 1: (sc, join 2nd picot of Star, sc) in ring, [sc in ring, join picot of Star, sc in ring] x 2 = 6
piece Bloom, joined rounds
start ring
round 1: 6 sc in ring = 6
round 2: [spray] x 3, (2 sc, 3 ch, ss in top as tip) in st, [sc, picot3 as tip] x 2 = 19
piece End_of_it, joined rounds
start ring
round 1: sc in ring, join 3rd tip of Bloom, sc in ring, join tip of Bloom, sc in ring,
  join 12th picot of Bloom,
  sc in ring = 4
"""
WAYS = list(product(("US", "UK"), ("full", "short")))


def published(terms: str = "US", words: str = "full") -> str:
    analysis = analyse(Source("flowers.tch", FLOWERS))
    assert not analysis.has_errors
    return render(document(analysis, terms, words), "text")


@pytest.mark.parametrize(("terms", "words"), WAYS)
def test_joins_are_read_back(terms: str, words: str) -> None:
    assert len(read(published(terms, words))) == 8


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("in the 2nd “corner” of the First", "in the 3rd “corner” of the First"),
        ("in the 2nd “corner” of the First", "in the 5th “corner” of the First"),
        (
            "in the last free unmarked chain space of the First",
            "in the 4th unmarked chain space of the First",
        ),
        ("in the last free “corner” of the First", "in the last free “edge” of the First"),
        ("in the last free “corner” of the Second", "in the 3rd “corner” of the Second"),
        ("unmarked stitch of the Strip", "unmarked chain space of the Strip"),
        ("last free unmarked stitch of the Strip, chain 1", "6th unmarked stitch of the Strip, chain 1"),
        ("of the Strip, chain 1", "of the Stripe, chain 1"),
        ("in the 2nd unmarked picot of the Star", "in the 6th unmarked picot of the Star"),
        ("in the last free unmarked picot of the Star", "in the last free unmarked picot of the Strip"),
        ("in the 3rd “tip” of the Bloom", "in the 4th “tip” of the Bloom"),
        ("in the last free “tip” of the Bloom in place", "in the last free “tap” of the Bloom in place"),
        ("in the 12th unmarked picot of the Bloom", "in the 13th unmarked picot of the Bloom"),
        ("just made (mark this picot “tip”)", "just made"),
        # three chains make a space, a join alone makes none
        ("of the First, chain 1 marked “corner”", "of the First, chain 1"),
        ("of the Second, single crochet", "of the Second, chain 1, single crochet"),
        (
            "in the last free unmarked chain space of the First",
            "in the last free unmarked chain of the First",
        ),
    ],
)
def test_wrong_joins_are_found(right: str, wrong: str) -> None:
    text = published()
    assert right in text

    with pytest.raises(ReadingError):
        read(text.replace(right, wrong))
