"""A published pattern in plain text, taken apart: its terms, sizes, lists and pieces."""

import re
from dataclasses import dataclass

Lines = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    lines: Lines


@dataclass(frozen=True, slots=True)
class Page:
    """`pieces` are the sections of pieces and seams; `sizes` is empty where the pattern has only one."""

    terms: str
    sizes: Lines
    yarns: frozenset[str]
    abbreviations: frozenset[str] | None
    specials: dict[str, str]
    notes: Lines
    pieces: tuple[Section, ...]


ROW = re.compile(r"(?:Next )?(?:\d+ \([\d, ]+\) |\d+ )?(?:Row|Round|row|round)s?\b[^:]*: ")
SEWN = re.compile(r"(?:Sew|Join) .+ to .+: \d.+, (?:one to one|easing|spread)")
GRID = re.compile(r"\d+ (?:\([\d, ]+\) )?(?:motifs, |copies of .+ make the grid)")
AS_ANOTHER = re.compile(
    r"Work as for (?P<title>.+?)(?:\.|, with the same stitches and counts, but with the other side .+)$"
)


def _sections(text: str) -> tuple[Section, ...]:
    lines = text.splitlines()
    heads = [
        n - 1
        for n, line in enumerate(lines)
        if n and lines[n - 1].strip() and re.fullmatch(r"-+|=+", line) and len(line) >= 1
    ]
    ends = [*heads[1:], len(lines)]
    return tuple(Section(lines[a], tuple(lines[a + 2 : b])) for a, b in zip(heads, ends, strict=True))


def _explained(section: Section) -> frozenset[str]:
    return frozenset(line.split(":")[0] for line in section.lines if line and not line.startswith(" "))


def _listed(section: Section | None) -> Lines:
    return tuple(line[2:] for line in section.lines if line.startswith("- ")) if section else ()


def page_of(text: str) -> Page:
    """The pattern's parts."""
    sections = _sections(text)
    by_title = {section.title: section for section in sections}
    written = re.search(r"^Written in (US|UK) terms\.$", text, re.MULTILINE)
    assert written, "the pattern does not say in which terms it is written"
    specials: dict[str, str] = {}
    name = ""
    for line in by_title["Special stitches"].lines if "Special stitches" in by_title else ():
        if named := re.match(r"“([^”]+)”|(Space|Block):", line):
            name = named[1] or named[2]
        elif line.strip():
            specials[name] = (specials.get(name, "") + " " + line.strip()).strip()
    short = by_title.get("Abbreviations")
    return Page(
        written[1],
        _listed(by_title.get("Sizes")),
        frozenset(re.findall(r"^Yarn (\w+):", text, re.MULTILINE)),
        _explained(short) if short else None,
        specials,
        tuple(line[2:] for line in by_title["Notes"].lines if line.startswith("- "))
        if "Notes" in by_title
        else (),
        tuple(
            section
            for section in sections
            if any(kind.match(line) for line in section.lines for kind in (ROW, AS_ANOTHER, SEWN, GRID))
        ),
    )
