"""German: the same rows with the same numbers as the English, and German words in them.

The terms are from memory: no published German source was at hand.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from turnchain.compiler.document import Document, RowText
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from ..analysed import analysed

ROOT = Path(__file__).parents[2]
PATTERNS = sorted([*(ROOT / "examples").glob("*.tch"), *(ROOT / "tests/handbooks").glob("*.tch")])
FEW = 2
"""Numbers that one language may say as a word and the other not: `a`, `twice`, `1 feste Masche`."""


def _rows(made: Document) -> Iterator[RowText]:
    for section in made.sections:
        for entry in section.entries:
            if isinstance(entry, RowText):
                yield entry


def _numbers(text: str) -> Counter[int]:
    numbers = map(int, re.findall(r"\d+", re.sub(r"“.*?”|„.*?“", "", text)))
    return Counter(number for number in numbers if number > FEW)


@pytest.mark.parametrize("words", ["full", "short"])
@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.stem)
def test_rows_have_the_numbers_of_the_english(path: Path, words: str) -> None:
    analysis = analysed(path)
    english, german = document(analysis, "US", words), document(analysis, "DE", words)
    assert german.language == "de"
    for ours, theirs in zip(_rows(english), _rows(german), strict=True):
        assert theirs.anchor == ours.anchor
        assert theirs.sizes == ours.sizes
        assert _numbers(theirs.text) == _numbers(ours.text), (ours.text, theirs.text)
        assert _numbers(theirs.count) == _numbers(ours.count)


ENGLISH = re.compile(
    r"\b(?:the|chain|stitch(?:es)?|crochet|treble|each|next|skip|work|row|round|repeat|with|turn|join|sc|dc)\b",
    re.IGNORECASE,
)


@pytest.mark.parametrize("words", ["full", "short"])
@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.stem)
def test_rows_have_no_english_left(path: Path, words: str) -> None:
    for row in _rows(document(analysed(path), "DE", words)):
        said = re.sub(r"„.*?“", "", f"{row.label}: {row.text} {row.count}")
        assert not ENGLISH.search(said), said


def test_a_round_as_printed() -> None:
    source = """turnchain 1, US
pattern Ball
piece Ball, spiral rounds
start ring
round 1: 6 sc in ring = 6
round 2: [2 sc in st] to end = 12
round 3: [sc, 2 sc in st] x 6 = 18
"""
    made = document(analyse(Source("ball.tch", source)), "DE", "short")
    assert [row.text for row in _rows(made)] == [
        "6 fM in den Ring.",
        "2 fM in jede M der Runde.",
        "*1 fM in die nächste M, 2 fM in die nächste M; ab * noch 5-mal wiederholen.",
    ]
