"""The reader reads by the tables as Lark reads by the grammar: the same trees, the same stops and hints."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedInput, UnexpectedToken
from turnchain import grammar
from turnchain.grammar.tables import lark_parser
from turnchain.lang.reader import Reader, Stopped
from turnchain.lang.reader import Token as Terminal
from turnchain.lang.source import Span
from turnchain.lang.statements import cut

from .entries import ENTRIES

STATEMENTS = sorted({cut(entry.text).code for entry in ENTRIES})
SLIPS = '()[]{}=,:+-*/x69. \n"“#aZé\t'


class Trees:
    """Builds Lark's trees, with the place of each beside its name."""

    def __getattr__(self, rule: str) -> Any:
        return lambda children, span: (rule, span, [*map(_terminal, children)])


def _terminal(child: Any) -> Any:
    return (child.kind, child.text, *child.span) if isinstance(child, Terminal) else child


@cache
def reader() -> Reader:
    return Reader(grammar.parser_tables(), Trees())


@cache
def lark() -> Lark:
    return lark_parser(grammar.text())


def read(text: str) -> Any:
    try:
        return _without_places(reader().read(text))
    except Stopped as stopped:
        return stopped.at


def _without_places(node: Any) -> Any:
    if isinstance(node, tuple) and isinstance(node[1], Span):
        rule, _, children = node
        return rule, [_without_places(child) for child in children]
    return node


def read_by_lark(text: str) -> Any:
    try:
        return _of_lark(lark().parse(text))
    except UnexpectedToken as stopped:
        return len(text) if stopped.token.type == "$END" else stopped.token.start_pos
    except UnexpectedInput as stopped:
        return stopped.pos_in_stream


def _of_lark(node: Any) -> Any:
    if isinstance(node, Tree):
        return str(node.data), [_of_lark(child) for child in node.children]
    if isinstance(node, Token):
        return node.type, node.value, node.start_pos, node.end_pos
    return node


@pytest.mark.parametrize("text", STATEMENTS)
def test_reads_a_statement_as_lark_does(text: str) -> None:
    assert read(text) == read_by_lark(text)


@st.composite
def spoilt(draw: st.DrawFn) -> str:
    """Return a statement in which something is put in, left out or cut off."""
    text = draw(st.sampled_from(STATEMENTS))
    start = draw(st.integers(0, len(text)))
    end = draw(st.sampled_from([start, start + 1, start + 4, len(text)]))
    return text[:start] + draw(st.text(SLIPS, max_size=3)) + text[end:]


@given(spoilt())
def test_reads_or_stops_where_lark_does(text: str) -> None:
    assert read(text) == read_by_lark(text)


@given(spoilt())
def test_knows_what_could_follow_as_lark_does(text: str) -> None:
    last, could = reader().following(text)
    reading = lark().parse_interactive(text)
    try:
        tokens = reading.exhaust_lexer()
    except UnexpectedInput:
        assert (last, could) == ("", set())
    else:
        assert (last, could) == (tokens[-1].type if tokens else "", reading.accepts())


def test_a_rule_stands_from_its_first_word_that_is_kept_to_its_last() -> None:
    rule, span, (label, setting, body, total) = reader().read("  row 1 with  A : 6 sc, sc to end = 7 st  ")
    assert (rule, span) == ("row", Span(2, 40))
    assert [(part[0], part[1]) for part in (label, setting, body, total)] == [
        ("numbered", Span(2, 7)),
        ("with_yarn", Span(14, 15)),
        ("body", Span(18, 33)),
        ("total", Span(36, 40)),
    ]
