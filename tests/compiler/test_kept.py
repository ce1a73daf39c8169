"""An analysis that goes on from the one before comes to what a fresh one comes to, whatever was typed."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from turnchain.compiler.kept import Kept
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.lang.source import Source

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.tch"))
EDITS = 40
"""Changes made to each example, one after the other."""

TYPED = [
    *"0123456789,:=[](){}/#+- \n",
    "sc",
    "inc",
    "row ",
    " as peak",
    "dc2tog",
    "repeat ",
    "\r\n",
    "é",
    "😋",
]


def edited(text: str, chance: random.Random) -> str:
    """Return a text after one change as it may come up at the keyboard, or on the way to one."""
    at = chance.randrange(len(text) + 1)
    match chance.randrange(6):
        case 0 | 1:
            return text[:at] + chance.choice(TYPED) + text[at:]
        case 2 | 3:
            return text[:at] + text[at + chance.randint(1, 3) :]
        case 4:
            lines = text.splitlines(keepends=True) or [""]
            taken = lines.pop(chance.randrange(len(lines)))
            lines.insert(chance.randint(0, len(lines)), taken)
            return "".join(lines)
        case _:
            other = chance.randrange(len(text) + 1)
            return text[:at] + text[other : other + chance.randint(1, 80)] + text[at:]


def assert_alike(kept: Analysis, fresh: Analysis) -> None:
    assert kept.tree == fresh.tree
    assert [each.start for each in kept.tree.statements] == [each.start for each in fresh.tree.statements]
    assert kept.diagnostics == fresh.diagnostics
    assert kept.patterns == fresh.patterns
    assert kept.yarn == fresh.yarn


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_going_on_comes_to_the_same_as_starting_over(path: Path) -> None:
    chance = random.Random(path.stem)
    whole = text = path.read_text("utf-8")
    kept = Kept()
    analyse(Source(path.name, text), None, kept)
    for number in range(EDITS):
        # Back to what is right now and then: most of a pattern is right while it is written.
        text = whole if number % 8 == 7 else edited(text, chance)
        source = Source(path.name, text)
        assert_alike(analyse(source, None, kept), analyse(source))
