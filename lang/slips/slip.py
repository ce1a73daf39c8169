"""One typical slip of an author's: how it is known, what is said of it, and what was likely meant."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

_NUMBER = r"(?:[0-9]+(?:\.[0-9]+)?(?:/[0-9]+(?:\.[0-9]+)?)*|\{[^{}]*\})"
_WORD = r"[^\W\d_]\w*"
_LABEL = r"(?:row|round)s?\s+[0-9]+(?:\s*[-–−]\s*[0-9]+)?|next\s+(?:" + _NUMBER + r"\s+)?(?:row|round)s?"


@dataclass(frozen=True, slots=True)
class Slip:
    """One typical slip and what to say about it.

    `pattern` has `<N>`, `<W>` and `<LABEL>` for a number, a word and a row's label. The words may quote its
    groups as `{1}`, all of it without blanks as `{bare}`, its numbers with `/` between them as `{slashed}`,
    and one more than the group `more` as `{once_more}`. `write` replaces all that it covers; it is None where
    what was meant can't be known.
    """

    name: str
    pattern: str
    message: str
    help: str
    write: str | None = None
    safe: bool = True

    def compiled(self, reserved: Iterable[str]) -> re.Pattern[str]:
        """Return the pattern, ready for use; `<NAME>` is a word that is not `reserved`."""
        name = rf"(?!(?:{'|'.join(sorted(reserved))})\b){_WORD}"
        whole = self.pattern.replace("<LABEL>", f"(?:{_LABEL})").replace("<NAME>", name)
        return re.compile(whole.replace("<N>", _NUMBER).replace("<W>", _WORD), re.IGNORECASE)
