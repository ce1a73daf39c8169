"""Every example of the pages beside this file comes out as it was worked out by hand.

A page is Markdown. Under `## title` stand a block with rows and a list of what is expected:

- `row 2: 12 stitches; 14 places; edge 3 dc, chain-2 space, 3 dc; kinds 12 dc, 4 sp, 4 corner` - the edge in
  the order it was made; a row may be `row 2 of Band`, `row 2 in size small`, `rows 2-4`
- `finds 2 sc, 3 ch` - what a row meets, in the order it meets it; `turning chain 3 counts`; `slips over 2 dc`
- `starts with 140`; `works 7 rows`
- `seam 2: 16 stitches to 20 row ends, 2 times`
- `takes 57.6 g of A in size small, margin 10` - the estimate of a yarn, to a tenth of a gram or metre
- `error too-few-places, line 3, at "12 sc"; expected 12, found 10; in size small` - every error must be
  listed, a warning may be; a line is counted in the block; `house line 2` is one in the file `house.tch`,
  shown in a block that begins with `# house.tch`

`turnchain 1, US` and a title are put before a block that does not begin with them. What stands in `open.md`
is expected of the compiler and not done yet.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from turnchain.compiler.counted import Block, CountedPattern, CountedPiece, CountedRow, CountedSeam
from turnchain.compiler.fabric import Named, Repeat, Run, Segment, Segments, tally
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.seams import said_length
from turnchain.lang.diagnostics import Diagnostic, Severity
from turnchain.lang.source import Source

PAGES = Path(__file__).parent
HEADER = "turnchain 1, US\npattern Example\n"
EXAMPLE = re.compile(r"^## (?P<title>.+?)\n(?P<body>.*?)(?=^## |\Z)", re.MULTILINE | re.DOTALL)
FENCED = re.compile(r"^```\n(.*?)^```$", re.MULTILINE | re.DOTALL)
CLAIM = re.compile(r"^- (.+(?:\n  .+)*)", re.MULTILINE)
ROW = re.compile(
    r"(?:rows?|rounds?) (?P<first>\d+)(?:-(?P<last>\d+))?(?: of (?P<piece>\w+))?(?: in size (?P<size>\w+))?: "
    r"(?P<facts>.+)",
    re.DOTALL,
)
SEAM = re.compile(r"seam (?P<number>\d+): (?P<facts>.+)")
YARN = re.compile(
    r"takes (?P<amount>\d+\.\d) (?P<unit>[gm]) of (?P<yarn>\w+)(?: in size (?P<size>\w+))?"
    r"(?:, margin (?P<margin>\d+))?(?:, (?P<balls>\d+) balls?)?"
)
FAULT = re.compile(
    r"(?P<severity>error|warning) (?P<name>[\w-]+), (?P<file>house )?line (?P<line>\d+), "
    r'at "(?P<at>[^"]*|.+)"'
    r"(?:, column (?P<column>\d+))?(?:; (?P<more>.+))?\Z",
    re.DOTALL,
)


@dataclass(frozen=True)
class Example:
    """One pattern and what is claimed of it."""

    page: str
    title: str
    text: str
    house: str | None
    claims: tuple[str, ...]
    lines_before: int
    """Lines put before the block."""


def examples(page: Path) -> Iterator[Example]:
    for found in EXAMPLE.finditer(page.read_text("utf-8")):
        blocks = FENCED.findall(found["body"])
        house = next((block for block in blocks if block.startswith("# house.tch\n")), None)
        (rows,) = (block for block in blocks if block is not house)
        claims = CLAIM.findall(FENCED.sub("", found["body"]))
        before = "" if re.match(r"turnchain|pattern", rows) else HEADER
        yield Example(
            page.stem,
            found["title"],
            before + rows,
            house,
            tuple(" ".join(claim.split()) for claim in claims),
            before.count("\n"),
        )


ALL = [example for page in sorted(PAGES.glob("*.md")) for example in examples(page)]


@pytest.mark.parametrize(
    "example",
    [
        pytest.param(
            each, id=f"{each.page}: {each.title}", marks=[pytest.mark.xfail] if each.page == "open" else []
        )
        for each in ALL
    ],
)
def test_an_example_comes_out_as_worked_by_hand(example: Example) -> None:
    assert example.claims, "nothing is claimed"

    def read(path: str) -> Source:
        if example.house is None:
            raise FileNotFoundError(f"no file {path}")
        return Source(path, example.house)

    found = analyse(Source("example.tch", example.text), read)
    wrong = [claim for claim in example.claims if not FAULT.match(claim) for claim in check(claim, found)]
    claimed = [claim for claim in example.claims if FAULT.match(claim)]
    told = list(faults(found))
    for claim in claimed:
        match = next((each for each in told if is_as_claimed(claim, *each, example)), None)
        if match is None:
            wrong.append(f"not reported: {claim}")
        else:
            told.remove(match)
    wrong += [
        f"reported, not claimed: {said(*each, example)}"
        for each in told
        if each[0].severity is Severity.ERROR
    ]
    assert not wrong, "\n".join(wrong)


def test_titles_are_told_apart() -> None:
    titles = [(each.page, each.title) for each in ALL]
    assert len(titles) == len(set(titles))


# ---- claims about rows -------------------------------------------------------------------------------------


def check(claim: str, found: Analysis) -> Iterator[str]:
    """Yield what is not as a claim says."""
    if claim.startswith(("starts with ", "works ")):
        number = int(re.findall(r"\d+", claim)[0])
        for pattern in found.patterns:
            if "in size" in claim and not claim.endswith(f"in size {pattern.size}"):
                continue
            piece = pattern.pieces[-1]
            have = (
                piece.start_count if claim.startswith("starts") else sum(row.times for row in rows_of(piece))
            )
            if have != number:
                yield f"{claim}: has {have}"
        return
    if seam := SEAM.fullmatch(claim):
        yield from (
            f"{claim}: should be {have}"
            for have in map(seams_text(seam), found.patterns)
            if have != seam["facts"]
        )
        return
    if yarn := YARN.fullmatch(claim):
        yield from check_yarn(yarn, found)
        return
    match = ROW.match(claim)
    assert match, f"not understood: {claim}"
    numbers = range(int(match["first"]), int(match["last"] or match["first"]) + 1)
    for pattern in found.patterns:
        if match["size"] not in (None, pattern.size):
            continue
        (piece,) = (
            each
            for each in pattern.pieces
            if match["piece"] in (None, each.plan.node.name) or len(pattern.pieces) == 1
        )
        for number in numbers:
            row = next((row for row in rows_of(piece) if row.number <= number < row.number + row.times), None)
            if row is None:
                yield f"{claim}: row {number} is not counted"
                continue
            for fact in match["facts"].split("; "):
                have = stated(fact, row)
                if have != fact:
                    yield f"row {number}: should be `{fact}`, is `{have}`"


def seams_text(claim: re.Match[str]) -> Callable[[CountedPattern], str]:
    """Return how a seam, told by its number, comes out in a size."""

    def of_size(pattern: CountedPattern) -> str:
        seams = [each for group in pattern.making_up for each in group.parts if isinstance(each, CountedSeam)]
        seam = seams[int(claim["number"]) - 1]
        times = f", {seam.times} times" if seam.times > 1 else ""
        return f"{said_length(seam.first)} to {said_length(seam.second)}{times}"

    return of_size


def check_yarn(claim: re.Match[str], found: Analysis) -> Iterator[str]:
    need = next((each for each in found.yarn if each.yarn == claim["yarn"]), None)
    at = found.scope.sizes.index(claim["size"]) if claim["size"] else 0
    amounts = need and (need.grams if claim["unit"] == "g" else need.metres)
    if need is None or amounts is None:
        yield f"{claim[0]}: nothing is known"
        return
    have = f"{float(amounts[at]):.1f} {claim['unit']}, margin {need.margin}"
    margin = claim["margin"] or need.margin
    if have != f"{claim['amount']} {claim['unit']}, margin {margin}":
        yield f"{claim[0]}: is {have}"
    if claim["balls"] and (need.balls is None or need.balls[at] != int(claim["balls"])):
        yield f"{claim[0]}: has {need.balls} balls"


def rows_of(piece: CountedPiece) -> list[CountedRow]:
    return [row for part in piece.parts if isinstance(part, Block) for row in part.rows]


def stated(fact: str, row: CountedRow) -> str:
    """Return a fact as it should have been claimed."""
    word = fact.split()[0]
    match word:
        case "edge":
            return f"edge {edge_text(row.after.parts)}"
        case "finds":
            return f"finds {edge_text(row.before.parts)}"
        case "slips":
            return f"slips over {edge_text(row.slip_to)}"
        case "turning" | "no":
            opening = row.opening
            if opening is None:
                return "no turning chain"
            return f"turning chain {opening.chains} {opening.manner or 'not counted'}"
        case "kinds":
            counts = tally(row.after.parts)
            kinds = []
            for part in fact.removeprefix("kinds ").split(", "):
                _, name = part.split()
                key = name if name in counts else f"as {name}"
                kinds.append(f"{counts[key]} {name}")
            return f"kinds {', '.join(kinds)}"
        case "loop":
            return f"loop {row.plan.loop}"
        case _ if fact.endswith(("places", "place")):
            return f"{row.after.places} {'place' if row.after.places == 1 else 'places'}"
        case _ if fact.endswith(("stitches", "stitch")):
            return f"{row.stitches} {'stitch' if row.stitches == 1 else 'stitches'}"
    raise AssertionError(f"not understood: {fact}")


def edge_text(parts: Segments) -> str:
    """Return an edge in words, equal places side by side put together."""
    words: list[tuple[int, str]] = []
    for count, word in worded(parts):
        if words and words[-1][1] == word and " as " not in word:
            words[-1] = (words[-1][0] + count, word)
        else:
            words.append((count, word))
    return (
        ", ".join(word if count == 1 or not count else f"{count} {word}" for count, word in words)
        or "nothing"
    )


def worded(parts: Segments) -> Iterator[tuple[int, str]]:
    for part in parts:
        yield from worded_part(part)


def worded_part(part: Segment) -> Iterator[tuple[int, str]]:
    match part:
        case Run(place, count):
            yield count, f"chain-{place.chains} space" if place.is_space else place.kind
        case Repeat(inner, times):
            assert times < 1000, "an edge too long to be written out"
            for _ in range(times):
                yield from worded(inner)
        case Named(label, inner):
            inside = edge_text(inner)
            yield 0, f"({inside}) as {label}" if ", " in inside else f"{inside} as {label}"


# ---- claims about faults -----------------------------------------------------------------------------------


def faults(found: Analysis) -> Iterator[tuple[Diagnostic, Source, bool]]:
    for each in found.diagnostics:
        yield each, found.source, False
    for source, diagnostics in found.included:
        for each in diagnostics:
            yield each, source, True


def where(diagnostic: Diagnostic, source: Source, in_house: bool, example: Example) -> tuple[int, int, str]:
    """Return line in the block, column, and the text that is shown."""
    start, end = diagnostic.span
    line = source.line_number(start) - (0 if in_house else example.lines_before)
    return line, source.column(start), " ".join(source.text[start:end].split())


def is_as_claimed(
    claim: str, diagnostic: Diagnostic, source: Source, in_house: bool, example: Example
) -> bool:
    match = FAULT.match(claim)
    assert match
    line, column, text = where(diagnostic, source, in_house, example)
    more = (match["more"] or "").split("; ") if match["more"] else []
    sizes = next((part.removeprefix("in size ") for part in more if part.startswith("in size ")), None)
    facts = [fact for part in more if not part.startswith(("in size ", "note ")) for fact in part.split(", ")]
    notes = [part.removeprefix("note ") for part in more if part.startswith("note ")]
    return (
        diagnostic.name == match["name"]
        and (diagnostic.severity is Severity.ERROR) == (match["severity"] == "error")
        and in_house == bool(match["file"])
        and (line, text) == (int(match["line"]), match["at"])
        and match["column"] in (None, str(column))
        and ", ".join(diagnostic.sizes) == (sizes or "")
        and all(str(diagnostic.facts.get(fact.split()[0])) == fact.split()[1] for fact in facts)
        and all(any(note in have for have in diagnostic.notes) for note in notes)
    )


def said(diagnostic: Diagnostic, source: Source, in_house: bool, example: Example) -> str:
    line, column, text = where(diagnostic, source, in_house, example)
    sizes = f"; in size {', '.join(diagnostic.sizes)}" if diagnostic.sizes else ""
    facts = ", ".join(f"{key} {value}" for key, value in diagnostic.facts.items())
    return (
        f"{diagnostic.severity.value} {diagnostic.name}, {'house ' if in_house else ''}line {line}, "
        f'at "{text}", '
        f"column {column}; {facts}{sizes} - {diagnostic.message} {diagnostic.notes}"
    )
