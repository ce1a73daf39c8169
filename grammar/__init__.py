"""The Lark grammar of the language, and the parser made of it."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from typing import Any

from lark import Lark

from .tables import FILE_NAME, OPTIONS, tables_key


def text() -> str:
    """Return the grammar as it is written."""
    return files(__package__).joinpath("turnchain.lark").read_text(encoding="utf-8")


def parser(builder: Any = None) -> Lark:
    """Return a parser of one statement.

    `builder` has a method for each grammar rule, called with that rule's children; without one, lark's own
    trees are built. The tables made when the package was built are used if they fit the grammar and the
    installed lark; otherwise the parser is worked out from the grammar: the same parser, only later.
    """
    grammar = text()
    return _loaded(grammar, builder) or Lark(grammar, transformer=builder, **OPTIONS)


def _loaded(grammar: str, builder: Any) -> Lark | None:
    import pickle

    try:
        stored = files(__package__).joinpath(FILE_NAME).read_bytes()
        key, _, tables = stored.partition(b"\n")
        if key != tables_key(grammar):
            return None
        made = pickle.loads(tables)
        load: Any = Lark._load_from_dict
        parser: Lark = load(made["data"], made["memo"], transformer=builder)
    except Exception:
        # Tables are only a short cut: whatever keeps them from loading, the grammar itself is at hand.
        return None
    return parser


@cache
def reserved_words() -> frozenset[str]:
    """Return the words that can never be names, as the grammar's NAME shuts them out."""
    found = re.search(r"^NAME: /\(\?!\(\?:(.*?)\)\(\?!", text(), re.MULTILINE)
    assert found, "NAME no longer begins with the words it shuts out"
    return frozenset(word.removesuffix("[0-9]*") for word in found[1].split("|"))
