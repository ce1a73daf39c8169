"""Typical slips: what an author may have meant by a statement that the grammar refuses.

A table, tried from the top. `lang.diagnosis` picks the slip that covers the place the parser stopped at.
"""

from __future__ import annotations

from .items import ITEMS
from .lines import LINES
from .missing import MISSING
from .sentences import SENTENCES
from .slip import Slip

SLIPS = (*LINES, *SENTENCES, *ITEMS, *MISSING)

__all__ = ["SLIPS", "Slip"]
