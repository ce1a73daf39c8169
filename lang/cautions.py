"""The cautions that a pattern's own facts may call for, read from `cautions.toml`."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path


@dataclass(frozen=True, slots=True)
class CautionRule:
    """A caution, and what calls for it."""

    kind: str
    """What an answer calls it."""
    wearer: re.Pattern[str] | None
    """What the line `for` or the name of a size has to hold; None if they may be anything."""
    line: str
    """The first word of the line that has to hold `words`; empty if none has to."""
    words: re.Pattern[str] | None
    longest_cm: float | None
    """How long a cord may be without it; None for a caution that is not about cords."""


@cache
def caution_rules() -> dict[str, CautionRule]:
    """Return the cautions by kind, in the order in which they are printed."""
    tables = tomllib.loads(Path(__file__).with_name("cautions.toml").read_text(encoding="utf-8"))["caution"]
    return {
        kind: CautionRule(
            kind,
            _any_of(table.get("wearer", [])),
            table.get("in", ""),
            _any_of(table.get("words", [])),
            table.get("longest_cm"),
        )
        for kind, table in tables.items()
    }


def _any_of(words: list[str]) -> re.Pattern[str] | None:
    if not words:
        return None
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, words))})(?!\w)", re.IGNORECASE)
