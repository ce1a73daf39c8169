"""Builds syntax nodes while a statement is read: one method a grammar rule, handed its children and its span.

Children are tokens, nodes and what else their rules are built as, and None for a part left out. Spans are
offsets into the statement.
"""

from .header import Header
from .items import Items
from .pieces import Pieces
from .rows import Rows
from .tokens import Refused
from .values import Values

__all__ = ("Builder", "Refused")


class Builder(Header, Pieces, Rows, Items, Values):
    """What the reader calls, found by the name of the rule."""
