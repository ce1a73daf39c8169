"""Works the parser's tables out while the package is built, so that starting up need not.

This file stands alone: setuptools runs it by its path, before the package is there. The tables hold for one
grammar and one release of lark, which the key in front of them says.
"""

from __future__ import annotations

import hashlib
import io
from pathlib import Path
from typing import Any

import lark

FILE_NAME = "turnchain.tables"
OPTIONS: dict[str, Any] = {"parser": "lalr", "lexer": "contextual", "start": "statement"}


def tables_key(grammar: str) -> bytes:
    """Return what tables must bear to fit `grammar` and the lark that is installed."""
    return hashlib.sha256(f"{lark.__version__}\n{grammar}".encode()).hexdigest().encode()


def tables(grammar: str) -> bytes:
    """Return the tables of `grammar`, with their key in the first line."""
    stored = io.BytesIO()
    lark.Lark(grammar, **OPTIONS).save(stored)
    return tables_key(grammar) + b"\n" + stored.getvalue()


def write_tables(folder: Path) -> Path:
    """Write the tables beside the grammar in `folder` and return their path."""
    grammar = (folder / "turnchain.lark").read_text(encoding="utf-8")
    path = folder / FILE_NAME
    path.write_bytes(tables(grammar))
    return path
