"""Slips of those who write a row as a sentence: chains to turn with, places, what is printed by itself."""

from __future__ import annotations

from .slip import Slip

SENTENCES = (
    # ---- the turning chain
    Slip(
        "stray-word",
        r"(?<=:)\s*(?:ch(?:ain)?s?\s*[0-9]+|[0-9]+\s*ch(?:ain)?s?)\s*\([^()]*\bcounts?\b[^()]*\)\s*,?\s*",
        "the turning chain is not written: it is worked by itself",
        "leave it out; `tch 3 counts` before the colon sets another turning chain",
        " ",
    ),
    Slip(
        "stray-word",
        r"(?<=:)\s*ch(?:ain)?\s*(?:1\s*,\s*(?=sc\b|dc\b)|2\s*,\s*(?=hdc\b|htr\b|dc\b)"
        r"|3\s*,\s*(?=dc\b|tr\b)|4\s*,\s*(?=tr\b|dtr\b))",
        "the turning chain is not written: it is worked by itself",
        "leave it out; `tch 3 counts` before the colon sets another turning chain",
        " ",
    ),
    # ---- what is printed by itself
    Slip(
        "stray-word",
        r"\s+from\s+(?:the\s+)?hook\b",
        "chains are counted from the hook by themselves",
        "leave `from hook` out",
        "",
    ),
    Slip(
        "stray-word",
        r"[,;.]?\s*(?:and\s+)?\bfasten(?:ed|ing)?\s+off\b\.?",
        "fastening off is not written in a row: it is printed at the end of the piece",
        "leave it out",
        "",
    ),
    Slip(
        "stray-word",
        r"\bwith\s+(?:an?\s+)?<N>\s*mm\s+hook\b",
        "a row does not say with which hook it is worked",
        "write a note above it: `note Change to the 4 mm hook.`",
    ),
    # ---- places
    Slip(
        "stray-word",
        r"\bin(?:to)?\s+(?:an?\s+|the\s+)?(?:magic|adjustable)\s+(?:ring|circle|loop)\b",
        "the ring is named by one word",
        "write `in ring`",
        "in ring",
    ),
    Slip(
        "stray-word",
        r"\bin\s+(?:the\s+)?(?!ch\b|chain\b|next\b|each\b|last\b|first\b)(<NAME>)\s+(?:sps?|spaces?)\b",
        "a mark names its place by itself",
        "write `in {1}`",
        "in {1}",
    ),
    Slip(
        "stray-word",
        r"\b(?!1\s)(<N>)\s+(<NAME>)\s+in\s+(?:each|every)\s+(?:sts?|stitch)\s+(?:across|around)\b",
        "how often a place is worked into follows a bracket",
        "write `[{1} {2} in st] to end`",
        "[{1} {2} in st] to end",
    ),
    Slip(
        "stray-word",
        r"\bmiss\s+(?:the\s+)?next\s*(?:sts?|stitch)?(?=\s*(?:,|=|\]|\)|\Z))",
        "what is passed over is skipped, in UK terms too",
        "write `skip 1`",
        "skip 1",
    ),
    Slip(
        "stray-word",
        r"\bmiss\s+(?:the\s+)?(?:next\s+)?(<N>)(?:\s*(?:sts?|stitch(?:es)?)\b)?",
        "what is passed over is skipped, in UK terms too",
        "write `skip {1}`",
        "skip {1}",
    ),
    Slip(
        "stray-word",
        r"\b(<NAME>)\s+(to\s+(?:end|middle|last\s+<N>))\s+(?:in\s+)?(?:the\s+)?(blo|flo)\b",
        "the loop stands right after the stitch",
        "write `{1} {3} {2}`",
        "{1} {3} {2}",
    ),
    # ---- stitches
    Slip(
        "stray-word",
        r"\b([0-9]+)[-\s]*(<NAME>)[-\s]+(bobble|popcorn|puff|shell)s?\b",
        "a stitch made of several has their number in its name",
        "write `{2}{1}{3}`",
        "{2}{1}{3}",
        False,
    ),
    Slip(
        "stray-word",
        r"\b([0-9])\s*(<NAME>)\s+tog(?:ether)?\b",
        "stitches worked together have their number in the name",
        "write `{2}{1}tog` in one word",
        "{2}{1}tog",
        False,
    ),
    Slip(
        "stray-word",
        r"(?<=[:,\[(])(\s*)(?!sc\b)(<NAME>)\s+inc\b",
        "`inc` alone is an increase in the plainest stitch, and no other",
        "write `2 {2} in st` for an increase in {2}, or put a comma between two items",
        "{1}2 {2} in st",
        False,
    ),
    Slip(
        "stray-word",
        r"(?<=[:,\[(])(\s*)(?!sc\b)(<NAME>)\s+dec\b",
        "`dec` alone is a decrease in the plainest stitch, and no other",
        "write `{2}2tog` for a decrease in {2}, or put a comma between two items",
        "{1}{2}2tog",
        False,
    ),
    Slip(
        "stray-word",
        r"(?<=[:,\[(])\s*<N>\s+(?!sc\b)(<NAME>)\s+(inc|dec)\b",
        "`{2}` alone is worked in the plainest stitch, and in no other",
        "write `[2 {1} in st] x 3` for increases in {1}, `3 {1}2tog` for decreases, "
        "or put a comma between two items",
    ),
    Slip(
        "stray-word",
        r"\b(<W>)-(?:sts?|stitch(?:es)?)\b",
        "a stitch has a name without a dash",
        "define it, `stitch {1}: (dc, ch, dc) in st`, and write `{1}` in rows",
    ),
    # ---- totals and comments
    Slip(
        "stray-word",
        r"(?<=:)\s*\(\s*(<N>)\s*(?:sts?|stitch(?:es)?)?\s*\)\s*([^=(]*?)\s*\Z",
        "the total of a row stands at its end, after `=`",
        "write `{2} = {1}`",
        " {2} = {1}",
    ),
    Slip(
        "stray-word",
        r"\s*//+\s*",
        "a comment begins with `#` and a blank",
        "write `#`",
        " # ",
    ),
    # ---- rows as rows before them
    Slip(
        "stray-word",
        r"\b(?:repeat|rep|(?:same\s+|work(?:ed)?\s+)?as|like)\s+(?:in\s+)?(?:rows?|rounds?|rnds?)\.?\s+"
        r"([0-9]+)\s*(?:[-–−]|to\b|and\b)\s*([0-9]+)",
        "rows are repeated by their numbers alone",
        "write `repeat {1}-{2}`",
        "repeat {1}-{2}",
    ),
    Slip(
        "stray-word",
        r"\b(?:repeat|rep|(?:same\s+|work(?:ed)?\s+)?as|like)\s+(?:in\s+)?(?:rows?|rounds?|rnds?)\.?\s+([0-9]+)",
        "rows are repeated by their numbers alone",
        "write `repeat {1}`",
        "repeat {1}",
    ),
    # ---- shaping
    Slip(
        "stray-word",
        r"(?<=[\w\])}])\s*,?\s+inc(?:rease)?\s+(<N>)\s*(?:sts?|stitch(?:es)?)?\s*(evenly|at\s+each\s+end)\b",
        "stitches are added with `+`",
        "write `, +{1} {2}`",
        ", +{1} {2}",
    ),
    Slip(
        "stray-word",
        r"(?<=[\w\])}])\s*,?\s+dec(?:rease)?\s+(<N>)\s*(?:sts?|stitch(?:es)?)?\s*(evenly|at\s+each\s+end)\b",
        "stitches are taken with `-`",
        "write `, -{1} {2}`",
        ", -{1} {2}",
    ),
    Slip(
        "stray-word",
        r"(?<=:)\s*(inc|dec)(?:rease)?\s+(<N>)\s*(?:sts?|stitch(?:es)?)?\s*evenly\b.*",
        "what a row is worked in is not said",
        "write it after `work`, and what is added or taken: `work sc, +{2} evenly`, `work sc, -{2} evenly`",
    ),
    Slip(
        "stray-word",
        r"(,\s*)(<N>)\s*(?:sts?|stitch(?:es)?)?\s*evenly\b",
        "whether stitches are added or taken is not said",
        "write `+{2} evenly` or `-{2} evenly`",
        "{1}+{2} evenly",
        False,
    ),
    Slip(
        "stray-word",
        r"([+−-]\s*<N>)\s*(?:sts?\s+|stitch(?:es)?\s+)?(?:(?:at|on|in)\s+)?(?:both|each|either)\s+"
        r"(?:ends?|sides?|edges?)\b",
        "both ends of a row are named by `at each end`",
        "write `{1} at each end`",
        "{1} at each end",
    ),
    Slip(
        "stray-word",
        r"\bevery\s+(?:other|second|alternate)\s+(row|round)s?\b",
        "how often is said by a number",
        "write `every 2 {1}s`",
        "every 2 {1}s",
    ),
    Slip(
        "stray-word",
        r"\bevery\s+([0-9]+)\s*(?:st|nd|rd|th)\s+(row|round)s?\b",
        "how often is said by a whole number",
        "write `every {1} {2}s`",
        "every {1} {2}s",
    ),
    Slip(
        "stray-word",
        r"\bto\s+(<N>)\s+evenly\s*,?\s+(?:every|over)\b.*",
        "`to {1} evenly` is spread over all rows of the line, and takes no `every` or `over`",
        "say how many rows there are, and nothing else: `next 8 rounds: work sc, to {1} evenly`",
    ),
    Slip(
        "stray-word",
        r"\b(over\s+<N>\s*(?:mm|cm|m|inch)?)\s*,?\s+(every\s+<N>\s+(?:rows|rounds))\b",
        "how often comes before how long",
        "write `{2} {1}`",
        "{2} {1}",
    ),
    Slip(
        "stray-word",
        r"\b(every\s+<N>\s+(?:rows|rounds))\s*,\s*(over\s+<N>\s*(?:mm|cm|m|inch)?)(?!\w)",
        "no comma stands between how often and how long",
        "write `{1} {2}`",
        "{1} {2}",
    ),
    Slip(
        "stray-word",
        r"\buntil\s+(<N>)\s*\Z",
        "what is counted or measured is not said",
        "write `until {1} st` for stitches, or a length such as `until {1} cm`",
    ),
)
