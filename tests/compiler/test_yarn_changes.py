"""Where the yarn is changed at the end of a row or round. Common practice, no source."""

from __future__ import annotations

from turnchain.compiler.document import RowText
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

HEAD = """turnchain 1, US
pattern Square
yarn A: DK, 10 g
yarn B: DK, 10 g
piece Square, joined rounds
start ring
"""


def first_row(rows: str) -> str:
    made = document(analyse(Source("square.tch", HEAD + rows)), "US", "full")
    return next(entry.text for entry in made.sections[0].entries if isinstance(entry, RowText))


def test_the_last_stitch_is_finished_with_the_new_yarn() -> None:
    assert "changing to yarn B in the last stitch." in first_row(
        "round 1 with A: 6 sc in ring\nround 2 with B: sc to end\n"
    )


def test_chains_at_the_end_of_a_round_are_of_its_own_yarn() -> None:
    assert "changing to yarn B in the joining slip stitch." in first_row(
        "round 1 with A: [3 dc in ring, 2 ch as corner] x 4 = 12, 4 sp\n"
        "round 2 with B: [dc to corner, (2 dc, 2 ch as corner, 2 dc) in corner] x 4 = 28, 4 sp\n"
    )
