"""What each command does, apart from the command line itself: names of files in, an outcome out."""

from __future__ import annotations

from dataclasses import dataclass

CLEAN = 0
FAULTY = 1
WRONG_USE = 2


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a command has to say, and how it went."""

    status: int = CLEAN
    """`CLEAN`, `FAULTY` (a pattern has errors) or `WRONG_USE` (the command was asked for what can't be)."""
    out: str = ""
    """For standard output; without the final line break."""
    err: str = ""
    """For standard error; without the final line break."""
    data: bytes = b""
    """For standard output, as it is."""
