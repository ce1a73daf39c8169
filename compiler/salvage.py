"""What can still be said of a row that can't be read, or not to its end."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from ..lang.diagnostics import Diagnostic
from ..lang.parser import line_word, parsed_statement
from ..lang.statements import cut
from ..lang.syntax import Body, Row, Statement
from ..lang.syntax import Label as RowLabel
from .faults import UNKNOWN, Fault
from .items import Items
from .scope import items_of

_ROW_WORDS = frozenset({"row", "rows", "round", "rounds", "next"})
_FIRST_WORD = re.compile(r"\A\W*\w+")
_SEVERAL = re.compile(r"\W*(?:[^\W\d]+\W+)?(?:[0-9]+\s+)?([0-9]+\s*[-–−]\s*[0-9]+)")
_ONE = re.compile(r"\W*(?:[^\W\d]+\W+)?([0-9]+)\b(?!/|\s*r(?:ow|ound)s)")
_CHAINS = re.compile(r"\b(?:ch|sp)\b|\"", re.IGNORECASE)


def is_row(statement: Statement) -> bool:
    """Tell whether a statement that can't be read was meant for a row."""
    return line_word(statement.text) in _ROW_WORDS


def legible(statement: Statement) -> Row:
    """Return what can be read of a faulty row: its label and, unless it makes chains, its total.

    Where the label can't be read, it is not known how many rows it stands for.
    """
    code = cut(statement.text).code
    label, total = code.partition(":")[0].lower(), "=" + code.partition("=")[2]
    word = line_word(code)
    word = word if word in _ROW_WORDS else "row"
    several, one = (
        (None, None) if "next" in (word, *label.split()) else (_SEVERAL.match(label), _ONE.match(label))
    )
    heads = (
        _FIRST_WORD.sub(word, label, count=1),
        f"rows {several[1]}" if several and (":" in code or word.endswith("s")) else "",
        f"row {one[1]}" if one and not word.endswith("s") else "",
    )
    for head, end in product(heads, ("" if _CHAINS.search(code) else total, "")):
        node = parsed_statement(f"{head}: sc to end {end}")
        if isinstance(node, Row):
            return replace(node, content=Body(()))
    return Row(RowLabel("row", until=True), Body(()))


def other_names(items: Items, body: Body, told: Fault, row: int | None) -> Iterator[Diagnostic]:
    """Yield what is wrong with a row's other unknown names, if it was one that ended its reading."""
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
                yield found.diagnostic
    items.arithmetic.row = None
