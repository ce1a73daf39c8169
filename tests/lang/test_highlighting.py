"""Colours agree with the parser: what editors are given is made of the grammar, and tells words apart alike.

Run as a program, this file writes the files that editors take.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pygments.lexers import get_lexer_by_name, get_lexer_for_filename
from turnchain.lang.highlighting.kate import kate
from turnchain.lang.highlighting.kinds import Kind
from turnchain.lang.highlighting.lexer import TOKENS, TurnchainLexer
from turnchain.lang.highlighting.textmate import textmate
from turnchain.lang.highlighting.words import words

ROOT = Path(__file__).parents[2]
MADE: dict[str, Callable[[], str]] = {
    "lang/editors/vscode/syntaxes/turnchain.tmLanguage.json": textmate,
    "lang/editors/kate/turnchain.xml": kate,
}
PATTERNS = sorted([*(ROOT / "examples").glob("*.tch"), *(ROOT / "tests" / "handbooks").rglob("*.tch")])


def shown(text: str, kinds: Iterator[tuple[int, int, Kind | None]]) -> list[tuple[str, str]]:
    """Return each word of the text with the kinds of its characters, blanks left out."""
    of: list[Kind | None] = [None] * len(text)
    for start, end, kind in kinds:
        of[start:end] = [kind] * (end - start)
    return [
        (
            f"{found[0]} at {found.start()}",
            "/".join(dict.fromkeys(_name(each) for each in of[slice(*found.span())])),
        )
        for found in re.finditer(r"\S+", text)
    ]


def _name(kind: Kind | None) -> str:
    return kind.value if kind else "-"


def exact(text: str) -> Iterator[tuple[int, int, Kind | None]]:
    return ((*word.span, word.kind) for word in words(text))


def by_rules(text: str) -> Iterator[tuple[int, int, Kind | None]]:
    kinds = {token: kind for kind, token in TOKENS.items()}
    for start, token, value in TurnchainLexer().get_tokens_unprocessed(text):
        yield start, start + len(value), kinds.get(token)


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.stem)
def test_every_word_has_the_kind_that_the_parser_reads_it_as(path: Path) -> None:
    text = path.read_text("utf-8")
    assert shown(text, by_rules(text)) == shown(text, exact(text))


def kinds(text: str) -> list[str]:
    """Return the words of one line behind the first with their kinds."""
    return [f"{word.partition(' at ')[0]} {kind}" for word, kind in shown(text, by_rules(text))][1:]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("piece Joined, turned rows", ["Joined, name/punctuation", "turned keyword", "rows keyword"]),
        (
            "row 2: DC as up, sc to up",
            [
                "2: number/punctuation",
                "DC stitch",
                "as keyword",
                "up, name/punctuation",
                "sc stitch",
                "to keyword",
                "up name",
            ],
        ),
        ("row 3: dc99tog, dc1tog", ["3: number/punctuation", "dc99tog, stitch/punctuation", "dc1tog name"]),
        ("hook 4.5 mm # mine", ["4.5 number", "mm unit", "# comment", "mine comment"]),
        ("note Row 3 is 4 cm", ["Row text", "3 text", "is text", "4 text", "cm text"]),
        ("yarn A: sc # DK", ["A: name/punctuation", "sc text", "# comment", "DK comment"]),
        ("hat 3 sc", ["3 number", "sc stitch"]),
        ("#hat sc", ["sc stitch"]),
        (
            "stitch frill: 5 dc in st",
            ["frill: name/punctuation", "5 number", "dc stitch", "in keyword", "st name"],
        ),
    ],
)
def test_words_are_told_apart_by_where_they_stand(line: str, expected: list[str]) -> None:
    assert kinds(line) == expected


@given(st.text(st.sampled_from('row piece chart note:=[]{}(),x#"\n \t12é🧶'), max_size=60))
def test_any_text_is_coloured_to_its_end(text: str) -> None:
    assert "".join(value for *_, value in TurnchainLexer().get_tokens_unprocessed(text)) == text
    spans = [word.span for word in words(text)]
    assert spans == sorted(spans)


def test_pygments_finds_the_lexer_by_itself() -> None:
    assert type(get_lexer_for_filename("hat.tch")) is type(get_lexer_by_name("turnchain")) is TurnchainLexer


@pytest.mark.parametrize("name", MADE)
def test_what_editors_are_given_is_of_the_grammar_at_hand(name: str) -> None:
    made = (ROOT / name).read_text("utf-8")
    assert made == MADE[name](), "run python tests/lang/test_highlighting.py"


if __name__ == "__main__":
    for name, make in MADE.items():
        (ROOT / name).write_text(make(), "utf-8")
