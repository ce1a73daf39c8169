"""How wide text stands in a terminal: characters to cells, with nothing in it that can't be seen.

Source offsets count characters; what is set under a line must count cells. Cells follow the East Asian widths
of Unicode (UAX #11); a mark or a joiner adds none to the character before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from unicodedata import category, east_asian_width

TAB_STOP = 4
JOINERS = "\u200c\u200d"
EMOJI_STYLE = "\ufe0f"
SKIN_TONES = range(0x1F3FB, 0x1F400)
JOINED_JAMO = range(0x1160, 0x1200)
UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")


@dataclass(frozen=True, slots=True)
class Measured:
    """One line as it is shown, character by character."""

    shown: tuple[str, ...]
    """What is printed for each character."""
    starts: tuple[int, ...]
    """The cell at which each character stands; a combining mark stands where its base does."""
    ends: tuple[int, ...]
    """The cell after each character."""

    @property
    def cells(self) -> int:
        """The width of it all."""
        return self.ends[-1] if self.ends else 0

    def start(self, character: int) -> int:
        """Return the cell at which character number `character` (from 0) begins, or the end of the line."""
        return self.starts[character] if character < len(self.starts) else self.cells


def measured(line: str) -> Measured:
    """Return `line` with tabs expanded and unseen characters spelled out, and the cells of its characters."""
    shown: list[str] = []
    starts: list[int] = []
    ends: list[int] = []
    at = base = 0
    before = ""
    for char in line:
        text, width = _tab(at) if char == "\t" else _glyph(char)
        if _belongs_to_emoji(char, before, at - base):
            width = 0
        elif char == EMOJI_STYLE and at - base == 1 and category(before) == "So":
            width = 1
        elif width:
            base = at
        shown.append(text)
        starts.append(base)
        at += width
        ends.append(at)
        before = char
    return Measured(tuple(shown), tuple(starts), tuple(ends))


def visible(text: str) -> str:
    """Return `text` on one line, with control characters and other unseen ones spelled out."""
    return "".join(char if char.isascii() and char.isprintable() else _seen(char) for char in text)


def cells(text: str) -> int:
    """Return the cells that `text` takes, standing by itself."""
    return len(text) if text.isascii() and text.isprintable() else measured(text).cells


def _seen(char: str) -> str:
    return " " if char == "\t" else _glyph(char)[0]


def _tab(at: int) -> tuple[str, int]:
    width = TAB_STOP - at % TAB_STOP
    return " " * width, width


def _glyph(char: str) -> tuple[str, int]:
    code = ord(char)
    if code < 0x20:
        return chr(0x2400 + code), 1
    if code == 0x7F:
        return "\u2421", 1
    if char in JOINERS or code in JOINED_JAMO:
        return char, 0
    kind = category(char)
    if kind in UNSEEN:
        spelled = f"<U+{code:04X}>"
        return spelled, len(spelled)
    if kind in ("Mn", "Me"):
        return char, 0
    return char, 2 if east_asian_width(char) in ("W", "F") else 1


def _belongs_to_emoji(char: str, before: str, cluster: int) -> bool:
    """Tell whether `char` is drawn into the two cells of the emoji before it."""
    if cluster != 2:
        return False
    return ord(char) in SKIN_TONES or (before == "\u200d" and category(char) == "So")
