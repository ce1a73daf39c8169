"""What can still be said of a row that can't be read, or not to its end."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from ..lang.parser import line_word, parsed_statement
from ..lang.statements import cut
from ..lang.syntax import Body, Row, Statement
from ..lang.syntax import Label as RowLabel
from .faults import UNKNOWN, Fault
from .items import Items
from .scope import items_of

# A first word that is misspelt, with the number of a row after it, was meant for a row.
_NUMBERED = re.compile(r"[^\W\d_]+\.?\s*[0-9]+(?:\s*[-–−]\s*[0-9]+)?[^:]*:", re.IGNORECASE)
_ROW_WORDS = frozenset({"row", "rows", "round", "rounds", "next"})
_FIRST_WORD = re.compile(r"\A\W*\w+")
_CHAINS = re.compile(r"\bch\b|\"", re.IGNORECASE)


def is_row(statement: Statement) -> bool:
    """Tell whether a statement that can't be read was meant for a row."""
    return line_word(statement.text) in _ROW_WORDS or _NUMBERED.match(statement.text) is not None


def legible(statement: Statement) -> Row:
    """Return what can be read of a faulty row: its label and, unless it makes chains, its total.

    Where the label can't be read, it is not known how many rows it stands for.
    """
    code = cut(statement.text).code
    label, total = code.partition(":")[0], "=" + code.rpartition("=")[2]
    word = line_word(code)
    word = word if word in _ROW_WORDS else "row"
    numbers = re.findall("[0-9]+", label)
    heads = (
        _FIRST_WORD.sub(word, label, count=1),
        f"{word} {'-'.join(numbers[:2])}",
        f"{word} {''.join(numbers[:1])}",
    )
    for head, end in product(heads, ("" if _CHAINS.search(code) else total, "")):
        node = parsed_statement(f"{head}: sc to end {end}")
        if isinstance(node, Row):
            return replace(node, content=Body(()))
    return Row(RowLabel("row", until=True), Body(()))


def other_names(items: Items, body: Body, told: Fault, row: int | None) -> Iterator[Fault]:
    """Yield the faults of a row's other unknown names, if it was one that ended its reading."""
    if told.diagnostic.name not in UNKNOWN:
        return
    items.arithmetic.row = row or 1
    known = {told.diagnostic.span}
    for item in items_of(body):
        if hasattr(item, "body"):
            continue
        try:
            items.steps(Body((item,)))
        except Fault as found:
            if found.diagnostic.name in UNKNOWN and found.diagnostic.span not in known:
                known.add(found.diagnostic.span)
                yield found
    items.arithmetic.row = None
