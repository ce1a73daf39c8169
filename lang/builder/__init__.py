"""Builds syntax nodes while lark reduces: one method a grammar rule, handed that rule's children.

No tree of lark's own is ever made. Spans are taken from the tokens, so they are offsets into the statement.
"""

from .header import Header
from .items import Items
from .pieces import Pieces
from .rows import Rows
from .tokens import Refused
from .values import Values

__all__ = ("Builder", "Refused")


class Builder(Header, Pieces, Rows, Items, Values):
    """The callbacks that lark finds by rule name."""
