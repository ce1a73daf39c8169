"""Invented patterns to measure with: long, valid, no two rows alike."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import islice

WIDTH = 600
HEADER = "turnchain 1, US\npattern Long panel\n"


def long_pattern(rows: int) -> str:
    """Return a pattern of so many rows of mixed shapes, each with its right total."""
    lines = [f"{HEADER}piece Panel, turned rows", f"start {WIDTH} fsc"]
    found = islice(_rows(random.Random(7)), rows)
    lines += [f"row {number}: {body} = {total}" for number, (body, total) in enumerate(found, 1)]
    return "\n".join(lines) + "\n"


def _rows(chance: random.Random) -> Iterator[tuple[str, int]]:
    """Yield rows without end, no body twice; what one leaves that is not plain, the next works away."""
    seen: set[str] = set()
    while True:
        together = _shape(
            chance.randrange(6),
            chance.randint(5, 70),
            chance.randint(2, 70),
            chance.randint(2, 60),
            chance.choice(("sc", "hdc")),
            chance.choice(("dc", "tr")),
        )
        if seen.isdisjoint(body for body, _ in together):
            seen.update(body for body, _ in together)
            yield from together


def _shape(
    shape: int, first: int, last: int, times: int, name: str, tall: str
) -> tuple[tuple[str, int], ...]:
    """Return one row, or two that belong together, with their totals."""
    end = f"{name} to last {last}, {last} {tall}"
    match shape:
        case 0:
            row = f"{first} {name}, inc, {times} {tall}, {name} to last {last + 2}, dec, {last} {tall}"
        case 1:
            row = f"{first} {name}, [{name}, skip 1, 2 {tall} in st] x {times}, {end}"
        case 2:
            row = f"{first} {name}, [({name}, 2 {tall}) in st, {tall}3tog] x {times}, {end}"
        case 3:
            spaces = f"{first} {name}, [ch, skip 1, {name}] x {times}, {end}"
            row = f"{last} {tall}, {name} to sp, [{name} in sp, {tall}] x {times}, {name} to end"
            return (spaces, WIDTH - times), (row, WIDTH)
        case 4:
            mark = f"{first} {name}, {name} as peak, {times} {tall}, {end}"
            over = f"{name} to peak, 3 {name} in peak, 2 {tall}2tog, {name} to end"
            row = f"{last} {tall}, {times} {name}, {over}"
            return (mark, WIDTH), (row, WIDTH)
        case _:
            row = f"{first} {name}, [[{name}, {tall}] x 3, inc, dec] x {times % 9 + 2}, {end}"
    return ((row, WIDTH),)


def sized_pattern(rows: int, sizes: int) -> str:
    """Return a pattern every row of which has a number of its own for each size."""
    names = ", ".join(f"size{number}" for number in range(1, sizes + 1))
    chance = random.Random(11)

    def each(least: int, most: int) -> str:
        # Drawn for ten sizes whatever is asked for, so that the first size is the same pattern.
        return "/".join(map(str, [chance.randint(least, most) for _ in range(10)][:sizes]))

    lines = [
        HEADER + (f"sizes {names}\n" if sizes > 1 else "") + f"piece Panel, turned rows\nstart {WIDTH} fsc"
    ]
    for number in range(1, rows + 1):
        body = (
            f"{each(1, 60)} sc, inc, [hdc, skip 1, 2 hdc in st] x {each(2, 60)}, "
            f"sc to last {each(62, 90)}, dec, {each(2, 58)} dc, sc to end"
        )
        lines.append(f"row {number}: {body} = {WIDTH}")
    return "\n".join(lines) + "\n"


def grid_pattern(across: int, high: int) -> str:
    """Return a blanket of so many motifs, joined as they are worked, with a border all round."""
    total = 4 * 3 + 2 * (8 * across - 1) + 2 * (8 * high - 1)
    return (
        f"{HEADER}piece Square, joined rounds\nstart ring\n"
        "round 1: [7 sc in ring, 3 ch as corner] x 4 = 28\n"
        f"piece Blanket, {across} x {high} of Square, joined at corner\n"
        "piece Border, joined rounds\nstart along around of Blanket\n"
        f"round 1: [3 sc in corner, sc to corner] x 3, 3 sc in corner, sc to end = {total}\n"
    )


def repeat_pattern(times: int, *, nested: bool) -> str:
    """Return a small pattern whose repeats are worked so many times."""
    if nested:
        return (
            f"{HEADER}piece Panel, turned rows\nstart {9 * times} fsc\n"
            f"row 1: [[2 sc, ch, skip 1] x 2, [dc, 2 dc in st, skip 1] x 1] x {times} = {7 * times}\n"
            f"row 2: [3 dc, [2 sc in sp, sc, dc] x 2] x {times}\n"
        )
    return (
        f"{HEADER}piece Panel, turned rows\nstart {4 * times} fsc\n"
        f"row 1: [2 sc, inc, skip 1] x {times} = {4 * times}\n"
        f"row 2: [2 sc, ch, skip 1, dc] to end = {3 * times}\n"
        f"row 3: [dc, sc in sp, skip 1, 2 dc in st] to end\n"
    )


def shaped_pattern(sizes: int, sleeves: int = 60) -> str:
    """Return a pattern whose rows are found by measures that differ from size to size."""
    names = ", ".join(f"size{number}" for number in range(1, sizes + 1))

    def each(first: int, step: int) -> str:
        return "/".join(str(first + step * size) for size in range(sizes))

    lines = [HEADER + (f"sizes {names}" if sizes > 1 else ""), "gauge 16 st, 18 rows = 10 cm in sc"]
    for number in range(1, sleeves + 1):
        lines += [
            f"piece Sleeve{number}, turned rows",
            f"start for {{stitches({each(16 + number % 5, 1)} cm, even)}}",
            "row 1: sc to end",
            f"next rows: work sc, to {each(30 + number % 7, 1)} cm at each end over {each(38, 1)} cm",
            f"next 24 rows: work sc, to {each(10, 2)} at each end, any side",
        ]
    return "\n".join(line for line in lines if line) + "\n"


def schedule_pattern(rows: int) -> str:
    """Return a pattern with a schedule of 40 changes over so many rows."""
    return (
        f"{HEADER}piece Band, turned rows\nstart 11 ch\nrow 1: sc to end = 10\n"
        f"next {rows} rows: work sc, to 90 at each end = 90\n"
    )
