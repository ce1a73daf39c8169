"""Works the parser's tables out with Lark while the package is built, so that starting up need not.

This file stands alone: setuptools runs it by its path, before the package is there. The tables are plain
data, and `turnchain.lang.reader` reads by them.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict

if TYPE_CHECKING:
    from lark import Lark

FILE_NAME = "turnchain.tables"
OPTIONS: dict[str, Any] = {"parser": "lalr", "lexer": "contextual", "start": "statement"}

END = "$END"
"""What Lark calls the end of the text."""


class Rule(TypedDict):
    """One way to write a rule of the grammar."""

    name: str
    """What the states call it once it is complete."""
    size: int
    """Symbols in it."""
    build: str
    """What it is built as; empty if it is handed on as it is."""
    listed: bool
    """Whether it is handed on as a list of children for the rule above, and not as its only child."""
    keep: list[int]
    """Places of the symbols that are its children, `size` for a part left out."""
    join: list[int]
    """Those of them that are lists of children."""


class Tables(TypedDict):
    """What Lark works out from a grammar."""

    grammar: str
    """The text that they were made of."""
    terminals: dict[str, str]
    """Regular expressions by name."""
    blank: str
    """The regular expression of what may stand between terminals."""
    dropped: list[str]
    """Terminals that leave nothing in the tree."""
    lexers: list[list[str]]
    """Terminals that may follow, in the order in which they are tried."""
    states: list[tuple[int, dict[str, int]]]
    """The lexer of each state, and where each symbol leads: to a state, or to ~N if rule N is complete."""
    start: int
    """The state before a statement."""
    end: int
    """The state once a statement is complete."""
    rules: list[Rule]


def lark_parser(grammar: str) -> Lark:
    """Return Lark's own parser of one statement, which makes Lark's own trees."""
    from lark import Lark

    return Lark(grammar, **OPTIONS)


def made_of(grammar: str) -> Tables:
    """Return the tables of `grammar`, the same each time."""
    parser: Any = lark_parser(grammar)
    (blank,) = parser.ignore_tokens
    table = parser.parser.parser._parse_table
    contexts = parser.parser.lexer.lexers
    first, last = table.start_states[OPTIONS["start"]], table.end_states[OPTIONS["start"]]
    order = _order(table.states, first)
    number_of = {state: number for number, state in enumerate(order)}
    rule_numbers = {rule: number for number, rule in enumerate(parser.rules)}
    lexers: dict[tuple[str, ...], int] = {}
    states: list[tuple[int, dict[str, int]]] = []
    for state in order:
        names = tuple(terminal.name for terminal in contexts[state].terminals if terminal.name != blank)
        leads = {
            str(symbol): number_of[to] if isinstance(to, int) else ~rule_numbers[to]
            for symbol, (_, to) in sorted(table.states[state].items())
        }
        states.append((lexers.setdefault(names, len(lexers)), leads))
    terminals = {terminal.name: terminal.pattern.to_regexp() for terminal in parser.terminals}
    return {
        "grammar": grammar,
        "blank": terminals.pop(blank),
        "terminals": terminals,
        "dropped": [name for name in terminals if name.startswith("_")],
        "lexers": [list(names) for names in lexers],
        "states": states,
        "start": number_of[first],
        "end": number_of[last],
        "rules": [_rule(rule) for rule in parser.rules],
    }


def _order(states: Any, first: int) -> list[int]:
    """Return the states as they are come to from the first; Lark's own numbers differ from time to time."""
    order = [first]
    for state in order:
        for _, (_, to) in sorted(states[state].items()):
            if isinstance(to, int) and to not in order:
                order.append(to)
    return order


def _rule(rule: Any) -> Rule:
    symbols = rule.expansion
    size = len(symbols)
    keep, join, at = [], [], 0
    # Lark marks each part left out by True and each symbol by False, or nothing if no part is left out.
    for left_out in rule.options.empty_indices or [False] * size:
        if left_out:
            keep.append(size)
            continue
        if not (symbols[at].is_term and symbols[at].filter_out):
            keep.append(at)
            if symbols[at].name.startswith("_"):
                join.append(at)
        at += 1
    listed = rule.origin.name.startswith("_")
    handed_on = listed or (rule.options.expand1 and not rule.alias)
    return {
        "name": str(rule.origin.name),
        "size": size,
        "build": "" if handed_on else str(rule.alias or rule.origin.name),
        "listed": listed,
        "keep": keep,
        "join": join,
    }


def write_tables(folder: Path) -> Path:
    """Write the tables beside the grammar in `folder` and return their path."""
    grammar = (folder / "turnchain.lark").read_text(encoding="utf-8")
    path = folder / FILE_NAME
    path.write_text(json.dumps(made_of(grammar), separators=(",", ":")), encoding="utf-8")
    return path
