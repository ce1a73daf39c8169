"""The grammar of the language, which Lark checks and works out, and the tables made of it."""

from __future__ import annotations

import json
import re
from functools import cache
from importlib.resources import files

from .tables import FILE_NAME, Tables, made_of


def text() -> str:
    """Return the grammar as it is written."""
    return files(__package__).joinpath("turnchain.lark").read_text(encoding="utf-8")


def parser_tables() -> Tables:
    """Return the tables that a statement is parsed by.

    Those made when the package was built are used if they are of this grammar; otherwise Lark works them out
    now: the same tables, only later.
    """
    grammar = text()
    return _stored(grammar) or made_of(grammar)


def _stored(grammar: str) -> Tables | None:
    try:
        found: Tables = json.loads(files(__package__).joinpath(FILE_NAME).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return found if found["grammar"] == grammar else None


@cache
def reserved_words() -> frozenset[str]:
    """Return the words that can never be names, as the grammar's NAME shuts them out."""
    found = re.search(r"^NAME: /\(\?!\(\?:(.*?)\)\(\?!", text(), re.MULTILINE)
    assert found, "NAME no longer begins with the words it shuts out"
    return frozenset(word.removesuffix("[0-9]*") for word in found[1].split("|"))
