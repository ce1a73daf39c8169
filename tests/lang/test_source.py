"""Places in a text: offsets count characters, lines and columns are what an editor shows."""

from __future__ import annotations

import pytest
from turnchain.lang.source import Source, Span

TEXT = "turnchain 1, US\r\nrow 1: sc\rrow 2: étoile\n\nrow 3: sc"


@pytest.mark.parametrize(
    ("word", "line", "column"),
    [("turnchain", 1, 1), ("row 1", 2, 1), ("row 2", 3, 1), ("étoile", 3, 8), ("row 3", 5, 1)],
)
def test_line_and_column_of_a_word(word: str, line: int, column: int) -> None:
    source = Source("hat.tch", TEXT)
    offset = TEXT.index(word)
    assert (source.line_number(offset), source.column(offset)) == (line, column)


def test_a_line_comes_without_its_break() -> None:
    source = Source("hat.tch", TEXT)
    lines = [source.line(number) for number in range(1, 6)]
    assert lines == ["turnchain 1, US", "row 1: sc", "row 2: étoile", "", "row 3: sc"]


def test_the_end_of_the_text_has_a_place() -> None:
    source = Source("hat.tch", "row 1: sc\n")
    assert (source.line_number(10), source.column(10), source.line(2)) == (2, 1, "")


def test_a_span_moves() -> None:
    assert Span(2, 5).shifted(10) == Span(12, 15)
