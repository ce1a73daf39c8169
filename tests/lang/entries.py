"""The lines that the grammar takes or refuses, as `lines.txt` lists them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Entry:
    """One statement of lines.txt and what is to be said about it."""

    text: str
    taken: bool
    says: str = ""
    mended: str | None = None


def _entries() -> list[Entry]:
    found: list[Entry] = []
    for line in Path(__file__).with_name("lines.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith(("+ ", "- ")):
            found.append(Entry(line[2:], line[0] == "+"))
        elif line.startswith("    -> "):
            last = found.pop()
            found.append(Entry(last.text, False, last.says, line[7:]))
        elif line.startswith("    "):
            found.append(Entry(found.pop().text, False, line.strip()))
    return found


ENTRIES = _entries()
