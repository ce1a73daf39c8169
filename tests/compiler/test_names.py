"""What is offered for a name that nothing has: what its author is likeliest to have meant."""

from __future__ import annotations

import pytest
from turnchain.compiler.pipeline import check_text

BAND = """turnchain 1, US
pattern Band
piece Band, joined rounds
start ring
round 1: 6 sc in ring
"""


@pytest.mark.parametrize(
    ("line", "offer"),
    [
        ("round 2: 3 sc in stt, sc to end", "write `st` or `start`"),
        ("round 2: sc to edn", "write `end` or `edc`"),
        ("round 2: 3 sc in stitch, sc to end", "write `st`"),
        ("round 2: 6 sc in MR", "write `ring`"),
        ("round 2: sc in each st", "write `sc to end`"),
        ("round 2: increase, sc to end", "write `inc`"),
        ("round 2: dx to end", "write `dc`"),
        ("round 2: sc to end, join", "leave it out: rounds are joined as the piece says"),
        ("piece Edge, turned rows\nstart along top of Bnad\nrow 1: sc to end", "write `Band`"),
    ],
)
def test_the_likeliest_name_is_offered(line: str, offer: str) -> None:
    (found,) = check_text(BAND + line + "\n")
    assert found.help == offer


def test_one_fix_mends_a_name_wherever_it_stands() -> None:
    text = BAND + "round 2: [scc, inc] x 3\nround 3: scc to end\nround 4: scc to end\n"
    (found,) = check_text(text)
    assert found.notes == ("the same in lines 7, 8",)
    assert found.fix is not None
    for edit in sorted(found.fix.edits, key=lambda edit: -edit.span.start):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    assert check_text(text) == ()
