"""How repeats in one another are told, runs that are all of a row, and the chain that a row starts in."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

import pytest
from turnchain.compiler.document import RowText
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.wording import document
from turnchain.lang.source import Source


def last(rows: str, start: str = "start for 24\nrow 1: sc to end", words: str = "full") -> str:
    text = f"turnchain 1, US\npattern Band\npiece Band, turned rows\n{start}\n{rows}\n"
    analysis = analyse(Source("p.tch", text))
    assert not analysis.has_errors
    return [
        each.text
        for section in document(analysis, "US", words).sections
        for each in section.entries
        if isinstance(each, RowText)
    ][-1]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        # One repeat: from its star. Others in it: in brackets. Standard of the trade's abbreviations, from memory.
        ("[sc, hdc] x 12", "*single crochet in the next stitch, half double crochet in the next stitch; repeat from * 11 more times"),
        ("[[sc, hdc] x 5, 2 sc] x 2", "*[single crochet in the next stitch, half double crochet in the next stitch] 5 times, single crochet in each of the next 2 stitches; repeat from * once more"),
        ("[[[sc, hdc] x 2, 2 sc] x 2] x 2", "*{[single crochet in the next stitch, half double crochet in the next stitch] twice, single crochet in each of the next 2 stitches} twice; repeat from * once more"),
        ("[sc, hdc] x 6, [dc, sc] x 6", "[single crochet in the next stitch, half double crochet in the next stitch] 6 times, [double crochet"),
        ("[[sc, hdc] x 2, sc, hdc] x 2, [[dc, sc] x 2, dc, sc] x 2", "repeat from * once more, **[double crochet"),
    ],
)  # fmt: skip
def test_repeats_in_one_another_are_told_apart(row: str, said: str) -> None:
    assert said in last(f"row 2: {row}")


@pytest.mark.parametrize(
    ("row", "said", "short"),
    [
        ("sc to end, 4 ch", "in each of the 24 stitches, chain 4", "in each of 24 sts, ch 4"),
        ("12 sc2tog", "12 times over the 24 stitches", "12 times over 24 sts"),
        ("2 sc, hdc to end", "half double crochet in each of the last 22 stitches", "hdc in last 22 sts"),
    ],
)
def test_a_run_that_is_all_of_the_row_is_not_called_the_last(row: str, said: str, short: str) -> None:
    assert said in last(f"row 2: {row}")
    assert short in last(f"row 2: {row}", words="short")


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            "sc, hdc, sc to end",
            "Single crochet in the 2nd chain from the hook, half double crochet in the next chain",
        ),
        (
            "inc, sc to end",
            "Work 2 single crochet in the 2nd chain from the hook, single crochet in each of the last 22",
        ),
        (
            "2 sc, hdc to end",
            "Starting in the 2nd chain from the hook, single crochet in each of the next 2 chains",
        ),
        (
            "(sc, ch, sc) in st, sc to end",
            "Work (1 single crochet, chain 1, 1 single crochet) in the 2nd chain from the hook",
        ),
    ],
)
def test_a_row_starts_in_the_chain_that_its_first_stitch_goes_into(row: str, said: str) -> None:
    assert last(f"row 1: {row}", "start 24 ch").startswith(said)
