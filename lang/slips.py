"""Typical slips: what an author may have meant by a statement that the grammar refuses.

A table, tried from the top. `lang.diagnosis` picks the slip that covers the place the parser stopped at.
"""

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
    groups as `{1}`; `write` replaces all that it covers, and is None where it can't be known what was meant.
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


SLIPS = (
    # ---- whole lines
    Slip(
        "stray-word",
        r"\Aterms\s+(us|uk)\b.*",
        "the terms are set in the first line",
        "begin the file with `turnchain 1, {1}` and delete this line",
    ),
    Slip(
        "stray-word",
        r"\A(yarn\s+<W>)\s+(?=[^\s:])",
        "a colon is missing after the yarn's name",
        "write `{1}:` before what the yarn is",
        "{1}: ",
    ),
    Slip(
        "stray-word",
        r"\A(piece\s+)(<W>)((?:\s+<W>)+)(\s*(?=,|\Z))",
        "a piece's name is one word",
        "join the words with `_` and give the title in quotes",
        '{1}{joined} "{2}{3}"{4}',
    ),
    Slip(
        "stray-word",
        r"\A(piece\s+)(<W>)((?:\s+<W>)+)\s*(?=\")",
        "a piece's name is one word",
        "join the words with `_`",
        "{1}{joined} ",
    ),
    Slip(
        "stray-word",
        r"\Apiece\s+<W>(?:\s*\"[^\"]*\")?\s*\Z",
        "the piece does not say how it is worked",
        "add `, turned rows`, `, right-side rows`, `, joined rounds`, `, turned rounds` or `, spiral rounds`",
    ),
    Slip(
        "stray-word",
        r"\A(let\s+<W>\s*=\s*)\{([^{}]*)\}(?=\s*\Z)",
        "the value of a `let` needs no braces",
        "write `{1}{2}`",
        "{1}{2}",
    ),
    Slip(
        "stray-word",
        r"\A(gauge\b.*=\s*<N>\s*)in(?=\s+in\b)",
        "`in` says where a stitch goes, so it can't be a unit",
        "write `inch`",
        "{1}inch",
    ),
    Slip(
        "stray-word",
        r"\A(swatch\b[^=]*?[x×]\s*<N>\s*)in(?=\s+in\b)",
        "`in` says where a stitch goes, so it can't be a unit",
        "write `inch`",
        "{1}inch",
    ),
    Slip(
        "stray-word",
        r"\Aswatch\s+<N>\s*[x×]\s*<N>\s*in\s+<W>",
        "the sides of the swatch have no unit",
        "write the unit after them, such as `10 cm` or `4 inch`, and then `in` and the stitch",
    ),
    Slip(
        "stray-word",
        r"\Aswatch\s+<N>\s*(?:mm|cm|inch)?\s*[x×]\s*<N>\s*(?:mm|cm|inch)\s*=",
        "which stitch the swatch is worked in is not said",
        "say the stitch before the `=`: `swatch 10 x 10 cm in sc = 6 g`",
    ),
    Slip(
        "stray-word",
        r"\Agauge\b.*=\s*<N>\s*in\s+<W>",
        "the length of the gauge has no unit",
        "write the unit after it, such as `10 cm` or `4 inch`, and then `in` and the stitch",
    ),
    Slip(
        "stray-word",
        r"\Aseam\s+(<W>)\.(left|right|top|foundation)\s*,\s*(<W>)\.(left|right|top|foundation)\b",
        "an edge is named before its piece",
        "write `seam {2} of {1}, {4} of {3}`",
        "seam {2} of {1}, {4} of {3}",
    ),
    Slip(
        "stray-word",
        r"(<W>)\.(left|right|top|foundation|around)\b",
        "an edge is named before its piece",
        "write `{2} of {1}`",
        "{2} of {1}",
    ),
    Slip(
        "count-order",
        r"\A(start\s+)(?:chain|chains|ch)\s+(<N>)\s*,?\s*(joined)",
        "the count stands after `chain`",
        "write the count first: `{1}{2} ch, joined`",
        "{1}{2} ch, {3}",
    ),
    Slip(
        "count-order",
        r"\A(start\s+)(?:chain|chains|ch)\s+(<N>)",
        "the count stands after `chain`",
        "write the count first: `{1}{2} ch`",
        "{1}{2} ch",
    ),
    Slip(
        "count-order",
        r"\Astart\s+(?:chain|chains|ch)\s*\Z",
        "the number of chains is missing",
        "write the count first, as in `start 14 ch`",
    ),
    # ---- before the colon of a row
    Slip(
        "count-order",
        r"\A(next\s+)(rows|rounds)\s+(<N>)",
        "the count stands after `{2}`",
        "write the count first: `{1}{3} {2}`",
        "{1}{3} {2}",
    ),
    Slip(
        "stray-word",
        r"\A(row|round)s(\s+[0-9]+)(?=[^-–−0-9./]*:)",
        "one number, but `{1}s` means several",
        "write `{1}{2}`",
        "{1}{2}",
    ),
    Slip(
        "stray-word",
        r"\A(row|round)(\s+[0-9]+\s*[-–−]\s*[0-9]+)",
        "several numbers, but `{1}` means one",
        "write `{1}s{2}`",
        "{1}s{2}",
    ),
    Slip(
        "stray-word",
        r"\A(row|round)s\s+[0-9]+\s*[-–−]\s*(?=:)",
        "the last number is missing",
        "write it, or `next {1}s:` with `until` and the number that ends it",
    ),
    Slip(
        "stray-word",
        r"\b(r)ight[- ]side\b|\b(w)rong[- ]side\b",
        "the side has a short name here",
        "write `{1}{2}s`",
        "{1}{2}s",
    ),
    Slip(
        "stray-word",
        r"\A(<LABEL>)\s*,\s*(?=(?:rs|ws|with|blo|flo|chains|tch)\b)",
        "no comma stands before a row's settings",
        "leave out the comma",
        "{1} ",
    ),
    # ---- numbers
    Slip(
        "stray-word",
        r"\b([0-9]+),([0-9]+)(?=\s*(?:mm|cm|m|inch|yd|g|oz)\b)",
        "a decimal comma",
        "write a point: `{1}.{2}`",
        "{1}.{2}",
    ),
    Slip(
        "stray-word",
        r"\b([0-9.]+(?:/[0-9.]+)*)(?:\s+/\s*|/\s+)([0-9.]+)",
        "the values of several sizes stand without blanks",
        "write `{1}/{2}`",
        "{1}/{2}",
    ),
    Slip(
        "stray-word",
        r"(?<=[\[(,:])(\s*)((?:row|[0-9]+)\s*[-–−+*]\s*(?:row|[0-9]+))\s+(?=<W>)",
        "a sum among the items of a row",
        "set it in braces: `{{{2}}}`",
        "{1}{{{2}}} ",
    ),
    # ---- comments and signs of other ways to write patterns
    Slip(
        "stray-word",
        r"(?<!\S)#(?=\S)",
        "a comment begins with `#` and a blank",
        "put a blank after `#`",
        "# ",
    ),
    Slip(
        "stray-word",
        r"(?<=\S)#(?=\s)",
        "a comment begins with a blank and `#`",
        "put a blank before `#`",
        " #",
    ),
    Slip(
        "stray-word",
        r"\*\s*([^*;]+?)\s*[;,.]\s*rep(?:eat)?\s+from\s+\*\s*(?:to|until)\s+end\b",
        "repeats stand in square brackets",
        "write `[{1}] to end`",
        "[{1}] to end",
    ),
    Slip(
        "stray-word",
        r"\*\s*([^*;]+?)\s*[;,.]\s*rep(?:eat)?\s+from\s+\*\s*(<N>)\s*(?:more\s+)?times\b",
        "repeats stand in square brackets, with the number of times it is worked in all",
        "write `[{1}] x {2}`, or one more if {2} are worked after the first",
        "[{1}] x {2}",
        False,
    ),
    Slip(
        "stray-word",
        r"\*\s*([^*;]+?)\s*[;,.]\s*rep(?:eat)?\s+from\s+\*",
        "repeats stand in square brackets",
        "write `[{1}] to end` or `[{1}] x 6`",
        "[{1}] to end",
        False,
    ),
    Slip(
        "stray-word",
        r"\bsl\s+st\b|\bslip\s+stitch\b",
        "the slip stitch has a short name here",
        "write `ss`",
        "ss",
    ),
    Slip(
        "stray-word",
        r"\b(<W>[0-9])\s+tog\b",
        "stitches worked together have their number in the name",
        "write `{1}tog` in one word",
        "{1}tog",
    ),
    Slip(
        "stray-word",
        r",\s*turn(?:ed)?\b",
        "rows turn by themselves",
        "leave `turn` out: the piece says that its rows are turned",
        "",
    ),
    Slip(
        "stray-word",
        r"\bturn\b",
        "rows turn by themselves",
        "leave `turn` out: the piece says that its rows are turned",
    ),
    Slip(
        "stray-word",
        r"\bwork\s+even\b",
        "`work` says what to change from row to row, and here nothing changes",
        "write the stitch, as in `sc to end`",
    ),
    # ---- brackets
    Slip(
        "stray-word",
        r"\]\s*(<N>)\s*times\b|\]\s*(<N>)\s*(?=,|=|\]|\)|\Z)",
        "how often a bracket is worked follows an `x`",
        "write `x {1}{2}`",
        "] x {1}{2}",
    ),
    Slip(
        "count-order",
        r"(<N>)\s*\[([^\[\]]*)\](?!\s*(?:x|to)\b)",
        "the count stands before the bracket",
        "write `x {1}` after it",
        "[{2}] x {1}",
    ),
    Slip(
        "count-order",
        r"(<N>)\s*\[",
        "the count stands before the bracket",
        "write `x {1}` after it",
    ),
    Slip(
        "stray-word",
        r"\(([^()]*)\)\s*[x×]\s*(<N>)",
        "a parenthesis means all of it in one place; repeats stand in square brackets",
        "write `[{1}] x {2}`",
        "[{1}] x {2}",
    ),
    Slip(
        "stray-word",
        r"\](?=\s*(?:,|=|\]|\)|\Z))",
        "the bracket does not say how often it is worked",
        "write `x 6` or `to end` after it",
    ),
    Slip(
        "stray-word",
        r"\)(?=\s*(?:,|=|\]|\)|\Z))",
        "the parenthesis does not say where it is worked",
        "write `in st` or another place after it if all of it goes into one, or `tog`; repeats stand in `[]`",
    ),
    # ---- counts
    Slip(
        "count-order",
        r"\b(<N>)\s+(skip|leave)\b",
        "the count stands before `{2}`",
        "write `{2} {1}`",
        "{2} {1}",
    ),
    Slip(
        "count-order",
        r"\b(<N>)\s+(?:rows?\s+)?below\b",
        "the count stands before `below`",
        "write `below {1}`",
        "below {1}",
    ),
    Slip(
        "count-order",
        r"\b(?:chain|chains)\s+(<N>)",
        "the count stands after `chain`",
        "write the count first: `{1} ch`",
        "{1} ch",
    ),
    Slip(
        "stray-word",
        r"(?<=[:,\[(])\s*[x×]\s*<N>",
        "`x` has nothing to repeat",
        "write a bracket before it, as in `[sc, inc] x 6`",
    ),
    Slip(
        "count-order",
        r"\b(<W>)\s*[x×]\s*(<N>)",
        "`x` repeats a bracket",
        "write a stitch's count before it: `{2} {1}`",
        "{2} {1}",
    ),
    Slip(
        "count-order",
        r"(?<=[:,\[(])(\s*)(<NAME>)\s+(<N>)(?=\s*(?:,|=|\]|\)|\Z))",
        "the count stands after the stitch",
        "write the count first: `{3} {2}`",
        "{1}{3} {2}",
    ),
    Slip(
        "stray-word",
        r"(?<=[:,\[(])(\s*)<N>\s+(<W>(?:\s+(?:blo|flo))*\s+to)\b",
        "both a count and `to`",
        "with `to` the stitches are counted for you: leave the count out",
        "{1}{2}",
        False,
    ),
    Slip(
        "stray-word",
        r"\b(<W>\s+in\s+<W>)(\s+to\s+(?:end|middle|last\s+<N>|<W>))",
        "`to` follows a plain stitch or a bracket",
        "write `[{1}]{2}`",
        "[{1}]{2}",
    ),
    Slip(
        "stray-word",
        r"\b(to|in)(end|middle|st|sp|ring|same)\b",
        "a blank is missing",
        "write `{1} {2}`",
        "{1} {2}",
    ),
    # ---- what is missing
    Slip(
        "stray-word",
        r"\A(<LABEL>)(\s+(?!rs\b|ws\b|with\b|blo\b|flo\b|tch\b|chains\b)(?=[^:]*\Z))",
        "a colon is missing after the row's number",
        "write `{1}:`",
        "{1}:{2}",
    ),
    Slip(
        "stray-word",
        r"\A((?:stitch|chart)\s+<W>)\s*(?=[^\s:]|\Z)(?=[^:]*\Z)",
        "a colon is missing after the name",
        "write `{1}:` and then what it is",
    ),
    Slip(
        "stray-word",
        r",\s*(=)|,\s*\Z",
        "nothing follows the comma",
        "leave the comma out",
        " {1}",
    ),
    Slip(
        "stray-word",
        r":\s*(?==|\Z)",
        "nothing follows the colon",
        "write what is worked, such as `sc to end`",
    ),
    Slip(
        "stray-word",
        r"\"[^\"]*\"(?=\s*(?:,|=|\]|\)|\Z))",
        "words in a row must say what they use and make",
        "write `over` and the places used, then `makes` and the stitches made, as in `over 4 makes 2 dc`",
    ),
    Slip(
        "stray-word",
        r"\A(pattern|by|level|notions|sizes|for|note|finish|caution)\s*\Z",
        "`{1}` has no words after it",
        "write them, or leave the line out",
    ),
)
