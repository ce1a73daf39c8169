"""The running counts of a pattern, as a table for people and as JSON for programs.

In: a line for each row with one value a size. Out: text; nothing is counted here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from itertools import groupby

from .width import cells, visible

GAP = "  "
UNKNOWN = "?"
NO_ROW = "–"
VERSION = 2


@dataclass(frozen=True, slots=True)
class CountLine:
    """One row, round or stretch of rows with its counts, one value a size."""

    piece: str
    label: str
    """As the author numbers it: `row 4`, `rows 5-10`."""
    before: tuple[int | None, ...]
    """Places that the row finds; None where they are not known, or there is no such row."""
    after: tuple[int | None, ...]
    """Stitches that it makes; None where they are not known, or there is no such row."""
    by_kind: tuple[tuple[str, tuple[int | None, ...]], ...] = ()
    """How many of each kind are among them: `("sc", (19, 23))`; None where there is no such row."""
    worked: tuple[bool, ...] = ()
    """Whether a size has the row; empty where all do."""


@dataclass(frozen=True, slots=True)
class YarnLine:
    """What is needed of one yarn, one value a size, without the margin."""

    yarn: str
    grams: tuple[int, ...] | None
    metres: tuple[int, ...] | None
    margin: int
    """Percent to buy on top."""
    balls: tuple[int, ...] | None
    """To buy, with the margin."""


def table(lines: Iterable[CountLine], sizes: Sequence[str] = (), yarns: Sequence[YarnLine] = ()) -> str:
    """Return the counts as aligned columns, piece by piece; `sizes` head them where there are several.

    Below them stands what is needed of each of the `yarns`.

    Every tuple of a line has a value for each of the sizes, or a single one if there are none.
    """
    every = tuple(lines)
    cells_of = [_cells(line) for line in every]
    head = ["", *["before", "after"] * max(len(sizes), 1), "made"]
    widths = [max(cells(row[at]) for row in (head, *cells_of)) for at in range(len(head))]
    for at, size in enumerate(map(visible, sizes)):
        left, right = 1 + 2 * at, 2 + 2 * at
        widths[left] += max(0, cells(size) - widths[left] - len(GAP) - widths[right])
    blocks = []
    rows = iter(cells_of)
    for piece, group in groupby(every, key=lambda line: line.piece):
        block = [visible(piece), *_headings(head, widths, sizes)]
        block += [_row(next(rows), widths) for _ in group]
        blocks.append("\n".join(block))
    if yarns:
        blocks.append("\n".join(["Yarn, estimated", *map(_yarn, yarns)]))
    return "\n\n".join(blocks)


def _yarn(line: YarnLine) -> str:
    amounts = [
        f"about {_per_size(amount)} {unit}"
        for amount, unit in ((line.grams, "g"), (line.metres, "m"))
        if amount is not None
    ]
    noun = "ball" if set(line.balls or ()) == {1} else "balls"
    balls = f" is {_per_size(line.balls)} {noun}" if line.balls is not None else ""
    return GAP + " ".join(
        filter(None, (visible(line.yarn), f"{', '.join(amounts)}; {line.margin} % more{balls}"))
    )


def json_text(lines: Iterable[CountLine], sizes: Sequence[str] = (), yarns: Sequence[YarnLine] = ()) -> str:
    """Return the counts as JSON, None as null.

    It is `{"version": 2, "sizes": [...], "rows": [...], "yarns": [...]}`; amounts are grams and metres.
    """
    import json

    rows = [
        {
            "piece": line.piece,
            "label": line.label,
            "before": line.before,
            "after": line.after,
            "by_kind": dict(line.by_kind),
            "worked": line.worked or [True] * len(line.before),
        }
        for line in lines
    ]
    needed = [asdict(line) for line in yarns]
    return json.dumps({"version": VERSION, "sizes": list(sizes), "rows": rows, "yarns": needed}, indent=2)


def _cells(line: CountLine) -> list[str]:
    pairs = zip(line.before, line.after, line.worked or (True,) * len(line.before), strict=True)
    numbers = [
        str(number) if number is not None else UNKNOWN if worked else NO_ROW
        for before, after, worked in pairs
        for number in (before, after)
    ]
    made = ", ".join(f"{_per_size(counts)} {visible(kind)}" for kind, counts in line.by_kind)
    return [visible(line.label), *numbers, made]


def _per_size(counts: Sequence[int | None]) -> str:
    said = [NO_ROW if count is None else str(count) for count in counts]
    return said[0] if len(set(said)) == 1 else "/".join(said)


def _headings(head: Sequence[str], widths: Sequence[int], sizes: Sequence[str]) -> list[str]:
    result = [_row(head, widths)]
    if sizes:
        pairs = [widths[1 + 2 * at] + len(GAP) + widths[2 + 2 * at] for at in range(len(sizes))]
        named = [
            _padded(size, width, "right") for size, width in zip(map(visible, sizes), pairs, strict=True)
        ]
        result.insert(0, GAP + GAP.join([" " * widths[0], *named]))
    return result


def _row(row: Sequence[str], widths: Sequence[int]) -> str:
    last = len(row) - 1
    padded = [
        _padded(text, width, "left" if at in (0, last) else "right")
        for at, (text, width) in enumerate(zip(row, widths, strict=True))
    ]
    return (GAP + GAP.join(padded)).rstrip()


def _padded(text: str, width: int, side: str) -> str:
    blanks = " " * (width - cells(text))
    return text + blanks if side == "left" else blanks + text
