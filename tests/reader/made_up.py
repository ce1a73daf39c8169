"""Made-up patterns whose rows fit the edge they are worked into, in two sizes."""

from dataclasses import dataclass

from hypothesis import strategies as st

SPACE, MARKED = "sp", "tip"
Edge = list[str]
"""What a row finds, in the order it meets it: a stitch, a chain space or a marked stitch."""


@dataclass(frozen=True, slots=True)
class Line:
    """A row's items and what they make of each size's edge."""

    items: str
    edges: tuple[Edge, ...]


def by_size(numbers: list[int]) -> str:
    return str(numbers[0]) if len(set(numbers)) == 1 else "/".join(map(str, numbers))


def plain_rows(draw: st.DrawFn, stitch: str, edges: tuple[Edge, ...]) -> Line:
    """Rows into stitches only."""
    room = [len(edge) - 1 for edge in edges]
    run = draw(st.integers(0, 3))
    plain = f"{run} {stitch}, " if run else ""
    kind = draw(st.sampled_from(
        ("even", "more", "fewer", "spaces", "group", "late", "mark", "leave", "picot", "skip", "own", "words",
         "over", "crossed", "gap")
    ))  # fmt: skip

    def turns(uses: int) -> list[int]:
        return [draw(st.integers(1, most)) if (most := (r // uses)) >= 1 else 0 for r in room]

    def rest(uses: int, made: Edge, times: list[int]) -> tuple[Edge, ...]:
        return tuple(
            [stitch, *made * n, *[stitch] * (r - uses * n)] for n, r in zip(times, room, strict=True)
        )

    def bracket(items: str, uses: int, one: Edge) -> Line:
        times = turns(uses)
        if not all(times):
            return Line(f"{stitch} to end", tuple([stitch] * len(edge) for edge in edges))
        edges_made = rest(uses, one, times)
        tail = f", {stitch} to end" if any(r > uses * n for r, n in zip(room, times, strict=True)) else ""
        if tail and any(r == uses * n for r, n in zip(room, times, strict=True)):
            times = [max(n - 1, 1) for n in times]
            edges_made = rest(uses, one, times)
        return Line(f"{stitch}, [{items}] x {by_size(times)}{tail}", edges_made)

    runs = [stitch] * run
    match kind:
        case "more":
            number = draw(st.integers(2, 4))
            return bracket(f"{plain}{number} {stitch} in st", run + 1, runs + [stitch] * number)
        case "fewer":
            number = draw(st.integers(2, 3))
            return bracket(f"{plain}{stitch}{number}tog", run + number, [*runs, stitch])
        case "spaces":
            number = draw(st.integers(1, 4))
            return bracket(
                f"{plain}{number} ch, skip {number}, {stitch}", run + number + 1, [*runs, SPACE, stitch]
            )
        case "group":
            group = draw(st.sampled_from(("({0}, {0}, {0})", "({0}, 2 ch, {0})", "(2 {0}, ch, {0})")))
            made = (
                [stitch] * 3 if "ch" not in group else [stitch] * (1 + ("2 {0}" in group)) + [SPACE, stitch]
            )
            return bracket(f"{plain}{group.format(stitch)} in st", run + 1, [*runs, *made])
        case "over":
            places, more = draw(st.integers(2, 4)), draw(st.integers(0, 5))
            return bracket(
                f"{plain}{places + more} {stitch} over {places}",
                run + places,
                [*runs, *[stitch] * (places + more)],
            )
        case "crossed":
            pairs = draw(st.integers(1, 2))
            return bracket(
                f"{plain}{2 * pairs} {stitch} crossed", run + 2 * pairs, [*runs, *[stitch] * (2 * pairs)]
            )
        case "gap":
            return bracket(f"{plain}{stitch} in gap, {stitch}", run + 1, [*runs, stitch, stitch])
        case "own":
            return bracket(f"{plain}shell, skip 1", run + 2, [*runs, *["dc"] * 5])
        case "words":
            return bracket(f'{plain}"cross the stitches" over 2 makes 3 dc', run + 2, [*runs, *["dc"] * 3])
        case "words over none":
            return bracket(f'{stitch}, "work two more" over 0 makes 2 dc', 1, [stitch, "dc", "dc"])
        case "picot":
            return bracket(f"{plain}{stitch}, picot3", run + 1, [*runs, stitch])
        case "skip":
            return bracket(f"skip 1, {plain}dc3bobble", run + 2, [*runs, "dc"])
        case "late" if min(room) > 4:
            last = [draw(st.integers(2, 4)) for _ in edges]
            number = draw(st.integers(2, 3))
            after = tuple([stitch] * (len(edge) + number - 1) for edge in edges)
            return Line(f"{stitch} to last {by_size(last)}, {number} {stitch} in st, {stitch} to end", after)
        case "mark" if min(room) > 4:
            before = [draw(st.integers(1, r - 2)) for r in room]
            after = tuple(
                [stitch] * n + [MARKED] + [stitch] * (len(edge) - n - 1)
                for n, edge in zip(before, edges, strict=True)
            )
            return Line(f"{by_size(before)} {stitch}, {stitch} as tip, {stitch} to end", after)
        case "leave" if min(room) > 6:
            left = draw(st.integers(1, 3))
            after = tuple([stitch] * (len(edge) - left) for edge in edges)
            return Line(f"{stitch} to last {left}, leave {left}", after)
        case _:
            return Line(f"{stitch} to end", tuple([stitch] * len(edge) for edge in edges))


def open_rows(draw: st.DrawFn, stitch: str, edges: tuple[Edge, ...]) -> Line:
    """Rows over an edge with chain spaces or a marked stitch: every one is met and dealt with."""
    ahead = SPACE if SPACE in edges[0] else MARKED
    dealt, made = {
        SPACE: (
            ("2 {0} in sp", [stitch] * 2),
            ("{0} in sp", [stitch]),
            ("skip sp", []),
            ("2 ch, skip sp", [SPACE]),
            ("(2 {0}, 2 ch, 2 {0}) in sp", [stitch, stitch, SPACE, stitch, stitch]),
            ("{0} in sp, {0} in same", [stitch, stitch]),
        ),
        MARKED: (
            ("({0}, {0} as tip, {0}) in tip", [stitch, MARKED, stitch]),
            ("3 {0} in tip", [stitch] * 3),
            ("({0}, 2 ch, {0}) in tip", [stitch, SPACE, stitch]),
        ),
    }[ahead][draw(st.integers(0, 2 if ahead == MARKED else 5))]
    times = [edge.count(ahead) for edge in edges]
    items = f"[{stitch} to {ahead}, {dealt.format(stitch)}] x {by_size(times)}"
    after = tuple(
        [each for place in edge for each in (made if place == ahead else [stitch])] for edge in edges
    )
    tail = f", {stitch} to end" if all(edge[-1] != ahead for edge in edges) else ""
    return Line(items + tail, after)


def filet(
    draw: st.DrawFn, unit: str, number: int, edges: tuple[Edge, ...]
) -> tuple[list[str], tuple[Edge, ...]]:
    """Two rows that leave the edge as wide as it was, and rows that repeat them."""
    width = draw(st.integers(1, 2))
    times = [(len(edge) - 2) // (width + 1) for edge in edges]
    again = draw(st.integers(2, 5))
    rows = [
        f"{unit} {number}: dc, [{width} ch, skip {width}, dc] x {by_size(times)}, dc to end",
        f"{unit} {number + 1}: [dc to sp, {width} dc in sp] x {by_size(times)}, dc to end",
        f"{unit}s {number + 2}-{number + again + 1}: repeat last 2",
    ]
    if again % 2 == 0:
        return rows, edges
    return rows, tuple(
        ["dc", *[SPACE, "dc"] * n, *["dc"] * (len(edge) - 1 - n * (width + 1))]
        for n, edge in zip(times, edges, strict=True)
    )


def corners(draw: st.DrawFn) -> str:
    """A motif whose rounds begin in a chain space, or at the foot of the one before it."""
    sides = draw(st.integers(3, 6))
    first, wide = draw(st.integers(1, 4)), draw(st.integers(1, 3))
    lines = [f"round 1: [{first} dc in ring, {wide} ch as corner] x {sides}"]
    for number in range(2, draw(st.integers(2, 5)) + 1):
        stitch = draw(st.sampled_from(("sc", "hdc", "dc", "tr")))
        corner = draw(st.sampled_from(("({0}, 2 ch as corner, {0})", "(2 {0}, 3 ch as corner, 2 {0})")))
        group = corner.format(stitch)
        ways = [
            f"[{group} in corner, {stitch} to corner] x {sides - 1}, {group} in corner, {stitch} to end",
            f"[{stitch} to corner, {group} in corner] x {sides}, {stitch} to end",
            f"{stitch}, [{stitch} to corner, {group} in corner] x {sides}, {stitch} to end",
        ]
        if number == 2:
            ways = [f"[{group} in corner] x {sides}", f"[{stitch} to corner, {group} in corner] x {sides}"]
        lines.append(f"round {number}: {draw(st.sampled_from(ways))}")
    start = draw(st.sampled_from(("start ring", "start 6 ch, joined")))
    return "\n".join(("turnchain 1, US", "pattern Made up", "piece Motif, joined rounds", start, *lines, ""))


@st.composite
def patterns(draw: st.DrawFn) -> str:
    """A pattern of one piece, in one or two sizes; nearly all of them check clean."""
    if draw(st.integers(0, 4)) == 0:
        return corners(draw)
    sizes = draw(st.sampled_from(((), ("small", "large"))))
    widths = [draw(st.integers(8, 30)) for _ in sizes or (1,)]
    way = draw(st.sampled_from(("turned rows", "right-side rows", "joined rounds", "spiral rounds")))
    unit = "row" if way.endswith("rows") else "round"
    head = ["turnchain 1, US", "pattern Made up", 'stitch shell: 5 dc in st "a shell"']
    if sizes:
        head.append(f"sizes {', '.join(sizes)}")
    loops = draw(st.sampled_from(("", "", ", blo", ", flo"))) if unit == "row" else ""
    ground = f"{by_size(widths)} sc in ring" if unit == "round" else "sc to end"
    start = "start ring" if unit == "round" else f"start for {by_size(widths)}"
    lines = [f"{unit} 1: {ground}"]
    edges: tuple[Edge, ...] = tuple(["sc"] * width for width in widths)
    if way != "right-side rows" and draw(st.booleans()):
        rows, edges = filet(draw, unit, 2, edges)
        lines += rows
    for _ in range(draw(st.integers(1, 6))):
        edges = tuple(edge[::-1] for edge in edges) if way == "turned rows" else edges
        stitch = draw(st.sampled_from(("sc", "hdc", "dc", "tr")))
        open_work = any(each in edges[0] for each in (SPACE, MARKED))
        line = (open_rows if open_work else plain_rows)(draw, stitch, edges)
        some = f"{draw(st.integers(2, 4))} " if line.items == f"{stitch} to end" else ""
        lines.append(f"next {some}{unit}{'s' if some else ''}: {line.items}")
        edges = line.edges
        if max(map(len, edges)) > 200:
            break
    return "\n".join((*head, f"piece Fabric, {way}{loops}", start, *lines, ""))
