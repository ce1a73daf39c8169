"""One mistake gives one error: a line that can't be read is told, and nothing is said of what hangs on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.lang.diagnostics import Diagnostic
from turnchain.lang.parser import parse
from turnchain.lang.source import Source
from turnchain.lang.syntax import Statement

EXAMPLES = sorted(Path(__file__).parents[2].joinpath("examples").glob("*.tch"))


def stray_bracket(line: str) -> str:
    return f"{line.partition('  #')[0].rstrip()} }}"


def stray_character_at_the_name(line: str) -> str:
    word, _, rest = line.partition(" ")
    return f"{word} ~ {rest}"


def stray_character_at_the_content(line: str) -> str:
    head, colon, rest = line.partition(":")
    return f"{head}{colon} ~ {rest}"


def letter_left_out(line: str) -> str:
    return line[:2] + line[3:]


def bracket_left_open(line: str) -> str:
    last = max(map(line.rfind, '])"'))
    return line if last < 0 else line[:last] + line[last + 1 :]


SLIPS: tuple[Callable[[str], str], ...] = (
    stray_bracket,
    stray_character_at_the_name,
    stray_character_at_the_content,
    letter_left_out,
    bracket_left_open,
)


def spoilt(text: str) -> Iterator[tuple[Statement, str]]:
    """Yield each statement and the pattern with a slip in it, one kind of slip after the other."""
    tree, _ = parse(Source("whole.tch", text))
    for number, statement in enumerate(tree.statements):
        line = SLIPS[number % len(SLIPS)](statement.text)
        new = text[: statement.start] + line + text[statement.start + len(statement.text) :]
        if parse(Source("spoilt.tch", new))[1]:
            yield statement, new


def told(text: str) -> list[Diagnostic]:
    return list(analyse(Source("pattern.tch", text)).diagnostics)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_line_that_can_not_be_read_is_all_that_is_told(path: Path) -> None:
    text = path.read_text("utf-8")
    assert told(text) == []
    tried = 0
    for statement, new in spoilt(text):
        tried += 1
        (found,) = told(new)
        first = text.count("\n", 0, statement.start)
        assert 0 <= new.count("\n", 0, found.span.start) - first <= statement.text.count("\n")
    assert tried > 5
