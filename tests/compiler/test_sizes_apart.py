"""Sizes that go their own ways: how their rows stand one after another."""

from __future__ import annotations

from turnchain.compiler.document import RowText
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

HEAD = """turnchain 1, US
pattern Bowl
sizes child, adult
piece Bowl, spiral rounds
start ring
round 1: 6 sc in ring = 6
rounds 2-6: work sc, +6 evenly
"""


def labels(rows: str) -> list[str]:
    made = document(analyse(Source("bowl.tch", HEAD + rows)), "US", "full")
    return [entry.label for entry in made.sections[0].entries if isinstance(entry, RowText)][6:]


def test_rows_of_one_size_are_not_to_be_picked_out_of_those_of_another() -> None:
    rows = """next 10/14 rounds: sc to end
next 3/5 rounds: work sc, to 24 evenly
next 2 rounds: sc to end
"""
    assert labels(rows) == [
        *("Next 10 (14) rounds", "Next round", "Next round"),
        "Round 19 (child only)",
        *("Round 23 (adult only)", "Round 24 (adult only)", "Round 25 (adult only)"),
        "Next 2 rounds",
    ]


def test_rows_of_the_same_number_stand_together() -> None:
    assert labels("next 2 rounds: work sc, to 36/33 evenly\n") == [
        "Round 7 (child only)",
        "Round 7 (adult only)",
        "Round 8 (child only)",
        "Round 8 (adult only)",
    ]
