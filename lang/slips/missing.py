"""What is missing where nothing else is wrong: a colon, words, what follows a comma."""

from __future__ import annotations

from .slip import Slip

MISSING = (
    # ---- what is missing
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
        r"=\s*(?=\Z|,)",
        "no total follows the `=`",
        "write how many stitches there are, or leave the `=` out",
    ),
    Slip(
        "stray-word",
        r"(?<==)(\s*)([0-9]+\s*[*+]\s*[0-9\w(][^,={}]*?)\}?\s*\Z",
        "a sum stands in braces",
        "write `{{{2}}}`",
        " {{{2}}}",
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
        r"\A(pattern|by|level|time|notions|sizes|for|note|finish|caution|answer)\s*\Z",
        "`{1}` has no words after it",
        "write them, or leave the line out",
    ),
)
