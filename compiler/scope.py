"""The names of a pattern: header, lets, stitches, marks and sizes, gathered before any row is looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.measures import LENGTHS
from ..lang.parser import dialect_said
from ..lang.source import Source, Span
from ..lang.stitches import Vocabulary, is_built_in, other_dialect, vocabulary
from ..lang.syntax import (
    AsFits,
    Body,
    BodyFit,
    Branch,
    Chart,
    Gauge,
    Hook,
    InOne,
    Item,
    Join,
    Let,
    Number,
    Piece,
    Row,
    Run,
    Some,
    Spread,
    Statement,
    StitchDefinition,
    Swatch,
    Text,
    Times,
    Together,
    Tree,
    Use,
    Version,
    Weighed,
    Yarn,
)

EDGE_NAMES = frozenset({"top", "foundation", "left", "right", "around"})
PLACE_WORDS = frozenset({"st", "sp", "ring", "same", "gap", "start", "ch"}) | EDGE_NAMES
HeaderLine = Hook | Yarn | Gauge | Swatch | Weighed | BodyFit | Text
ONCE = ("pattern", "by", "level", "time", "notions", "sizes", "for")


@dataclass(frozen=True, slots=True)
class Definition:
    """A `let` or a `stitch`, with the dialect of the file it stands in."""

    node: Let | StitchDefinition | BodyFit
    start: int
    dialect: str
    used_at: Span | None = None
    """The `use` that brought it in, in the pattern's own source; None if it stands there itself."""

    @property
    def own_file(self) -> bool:
        """Whether it stands in the pattern itself."""
        return self.used_at is None


@dataclass(frozen=True, slots=True)
class Scope:
    """Everything that rows may refer to. Keys are names with their case folded."""

    dialect: str
    vocabulary: Vocabulary
    texts: Mapping[str, tuple[Statement, ...]]
    """Header lines of words by their first word."""
    sizes: tuple[str, ...]
    """Empty for a pattern in one size."""
    hooks: tuple[Statement, ...]
    yarns: Mapping[str, Statement]
    gauges: tuple[Statement, ...]
    definitions: Mapping[str, Definition]
    marks: Mapping[str, str]
    """Each mark's spelling where it is first set."""
    pieces: Mapping[str, Statement]
    uses: tuple[Statement, ...] = ()
    charts: Mapping[str, Statement] = field(default_factory=dict)
    samples: tuple[Statement, ...] = ()
    """Swatches and pieces that were weighed."""
    has_joins: bool = False
    """Whether any row is joined to a piece that is done."""

    @property
    def lets(self) -> Mapping[str, Let | BodyFit]:
        """The names that stand for a number or a measurement."""
        return {
            key: definition.node
            for key, definition in self.definitions.items()
            if isinstance(definition.node, Let | BodyFit)
        }

    def yarn(self, name: str) -> str | None:
        """Return a yarn's name as it is spelled where it is listed; None if there is no such yarn."""
        statement = self.yarns.get(name.casefold())
        return statement.node.name if statement is not None and isinstance(statement.node, Yarn) else None


@dataclass(frozen=True, slots=True)
class Marked:
    """What a body gives a name to."""

    marks: tuple[tuple[str, Span], ...] = ()
    """Each mark as it is spelled, and its item."""
    joins: bool = False
    """Whether anything of it is joined to a piece that is done."""


UNMARKED = Marked()
MarkedBodies = dict[int, tuple[Body, Marked]]
"""What bodies give names to, by their id, which the body kept makes lasting."""


@dataclass(slots=True)
class _Gathering:
    tree: Tree
    dialect: str = "US"
    texts: dict[str, list[Statement]] = field(default_factory=dict)
    hooks: list[Statement] = field(default_factory=list)
    yarns: dict[str, Statement] = field(default_factory=dict)
    gauges: list[Statement] = field(default_factory=list)
    definitions: dict[str, Definition] = field(default_factory=dict)
    marks: dict[str, str] = field(default_factory=dict)
    pieces: dict[str, Statement] = field(default_factory=dict)
    uses: list[Statement] = field(default_factory=list)
    charts: dict[str, Statement] = field(default_factory=dict)
    samples: list[Statement] = field(default_factory=list)
    has_joins: bool = False
    diagnostics: list[Diagnostic] = field(default_factory=list)
    marked: MarkedBodies = field(default_factory=dict)


def dialect_of(tree: Tree) -> str:
    """Return the dialect that the first line states; the likeliest if it can't be read, which is reported."""
    for statement in tree.statements:
        if isinstance(statement.node, Version):
            return statement.node.dialect
    first = next((statement.text for statement in tree.statements if statement.faulty), "")
    return dialect_said(first) or _likeliest_dialect(tree)


def _likeliest_dialect(tree: Tree) -> str:
    """Return whose names a pattern has more of, among those that only one dialect has."""
    bodies = (each.node.content for each in tree.statements if isinstance(each.node, Row))
    names = {
        item.name
        for body in bodies
        if isinstance(body, Body)
        for item in items_of(body)
        if isinstance(item, Some | Run)
    }
    uk, us = (sum(other_dialect(name, dialect) is not None for name in names) for dialect in ("US", "UK"))
    return "UK" if uk > us else "US"


def gather(
    tree: Tree,
    included: Callable[[Statement], tuple[Source, Tree] | None],
    marked: MarkedBodies | None = None,
) -> tuple[Scope, tuple[Diagnostic, ...]]:
    """Return the names of a pattern and what is wrong with them.

    `included` hands over the file that a `use` statement names, or None if it has reported why it can't.
    `marked` is handed from analysis to analysis.
    """
    found = _Gathering(tree, dialect_of(tree), marked={} if marked is None else marked)
    for statement in tree.statements:
        _take(statement, found, included)
    _check_header(found)
    _check_yarns(found)
    scope = Scope(
        dialect=found.dialect,
        vocabulary=vocabulary(found.dialect),
        texts={key: tuple(lines) for key, lines in found.texts.items()},
        sizes=_sizes(found),
        hooks=tuple(found.hooks),
        yarns=found.yarns,
        gauges=tuple(found.gauges),
        definitions=found.definitions,
        marks=found.marks,
        pieces=found.pieces,
        uses=tuple(found.uses),
        charts=found.charts,
        samples=tuple(found.samples),
        has_joins=found.has_joins,
    )
    return scope, tuple(found.diagnostics)


def _take(
    statement: Statement, found: _Gathering, included: Callable[[Statement], tuple[Source, Tree] | None]
) -> None:
    if found.pieces and isinstance(statement.node, HeaderLine):
        _check_place(statement, statement.node, found)
    match statement.node:
        case Row(content=content):
            if isinstance(content, Body):
                _add_marks(statement, content, found)
        case Text(key=key):
            lines = found.texts.setdefault(key, [])
            if lines and key in ONCE and not found.pieces:
                found.diagnostics.append(_twice(f"`{key}`", statement, lines[0], statement.node.span))
            lines.append(statement)
        case Hook(size=size, span=span):
            if found.hooks and not found.pieces:
                found.diagnostics.append(_twice("`hook`", statement, found.hooks[0], span))
            if size.unit != "mm":
                found.diagnostics.append(_not_in_mm(size, statement))
                return
            found.hooks.append(statement)
        case Yarn(name=name, span=span):
            if (first := found.yarns.get(name.casefold())) is not None:
                found.diagnostics.append(_twice(f"yarn `{name}`", statement, first, span))
            found.yarns.setdefault(name.casefold(), statement)
        case Chart(name=name, name_span=span):
            if (first := found.charts.get(name.casefold())) is not None:
                found.diagnostics.append(_twice(f"chart `{name}`", statement, first, span))
            found.charts.setdefault(name.casefold(), statement)
        case Gauge(name=name, span=span):
            if (first := _gauge_in(name, found)) is not None:
                found.diagnostics.append(_twice(f"a gauge in {name}", statement, first, span))
            else:
                found.gauges.append(statement)
        case Swatch() | Weighed():
            found.samples.append(statement)
        case (
            Let(name=name, name_span=span)
            | StitchDefinition(name=name, name_span=span)
            | BodyFit(name=name, name_span=span)
        ):
            _define(statement.node, statement, name, span, found)
            if isinstance(statement.node, StitchDefinition) and isinstance(statement.node.body, Body):
                _add_marks(statement, statement.node.body, found)
        case Use():
            found.uses.append(statement)
            if (loaded := included(statement)) is not None:
                _include(loaded[1], statement.node.span.shifted(statement.start), found)
        case Piece(name=name, name_span=span):
            if (first := found.pieces.get(name.casefold())) is not None:
                found.diagnostics.append(_twice(f"piece `{name}`", statement, first, span))
            found.pieces.setdefault(name.casefold(), statement)
        case _:
            pass


def _gauge_in(name: str, found: _Gathering) -> Statement | None:
    return next(
        (each for each in found.gauges if getattr(each.node, "name", "").casefold() == name.casefold()), None
    )


def _check_place(statement: Statement, node: HeaderLine, found: _Gathering) -> None:
    """Report a line of the header that stands among the rows."""
    if isinstance(node, Text) and node.key not in ONCE:
        return
    word = "fit" if isinstance(node, BodyFit) else type(node).__name__.lower()
    if isinstance(node, Text):
        word = node.key
    found.diagnostics.append(
        Diagnostic(
            "out-of-order",
            f"`{word}` stands after the first piece",
            node.span.shifted(statement.start),
            help="for another hook from here on write a note: `note Change to the 6 mm hook.`"
            if isinstance(node, Hook)
            else "move the line up to the header, above the first `piece`",
        )
    )


def _define(
    node: Let | StitchDefinition | BodyFit, statement: Statement, name: str, span: Span, found: _Gathering
) -> None:
    key = name.casefold()
    if (first := found.definitions.get(key)) is not None:
        if first.own_file:
            earlier = Label(first.node.name_span.shifted(first.start), "first defined here")
        else:
            earlier = None
        found.diagnostics.append(
            Diagnostic(
                "used-twice",
                f"`{name}` is defined twice",
                span.shifted(statement.start),
                related=(earlier,) if earlier else (),
                help="give one of the two another name",
            )
        )
        return
    if isinstance(node, StitchDefinition) and is_built_in(name):
        found.diagnostics.append(_reserved(name, span, statement.start, "a stitch of the trade"))
    elif key in PLACE_WORDS:
        found.diagnostics.append(_reserved(name, span, statement.start, "a place to work into"))
    found.definitions[key] = Definition(node, statement.start, found.dialect)


def _include(tree: Tree, used_at: Span, found: _Gathering) -> None:
    dialect = dialect_of(tree)
    for statement in tree.statements:
        node = statement.node
        if isinstance(node, Let | StitchDefinition):
            found.definitions.setdefault(
                node.name.casefold(), Definition(node, statement.start, dialect, used_at)
            )
            if isinstance(node, StitchDefinition) and isinstance(node.body, Body):
                for item in items_of(node.body):
                    if (mark := getattr(item, "mark", None)) is not None:
                        found.marks.setdefault(mark.casefold(), mark)


def _add_marks(statement: Statement, body: Body, found: _Gathering) -> None:
    known = found.marked.get(id(body))
    if known is None:
        known = found.marked[id(body)] = body, _marked(body)
    marked = known[1]
    found.has_joins = found.has_joins or marked.joins
    for mark, span in marked.marks:
        key = mark.casefold()
        if key in PLACE_WORDS or key == "st" or is_built_in(mark):
            what = "an edge of a piece" if key in EDGE_NAMES else "a word of the language or a stitch"
            found.diagnostics.append(_reserved(mark, span, statement.start, what))
        found.marks.setdefault(key, mark)


def _marked(body: Body) -> Marked:
    items = list(items_of(body))
    marks = tuple((mark, each.span) for each in items if (mark := getattr(each, "mark", None)) is not None)
    joins = any(isinstance(each, Join) for each in items)
    return Marked(marks, joins) if marks or joins else UNMARKED


HOLDERS = (Times, AsFits, InOne, Together, Branch, Spread)
"""Items that hold others."""


def items_of(body: Body) -> Iterator[Item]:
    """Yield every item of a body, those inside brackets and parentheses too."""
    for item in body.items:
        yield item
        if isinstance(item, HOLDERS):
            yield from items_of(item.body)


def _sizes(found: _Gathering) -> tuple[str, ...]:
    lines = found.texts.get("sizes", [])
    if not lines:
        return ()
    node = lines[0].node
    assert isinstance(node, Text)
    names = tuple(name.strip() for name in " ".join(node.lines).split(","))
    seen: set[str] = set()
    for name in names:
        if not name or name.casefold() in seen:
            found.diagnostics.append(
                Diagnostic(
                    "used-twice",
                    f"size `{name}` is listed twice" if name else "a size has no name",
                    node.span.shifted(lines[0].start),
                    help="list each size once, separated by commas: `sizes child, adult`",
                )
            )
            break
        seen.add(name.casefold())
    return names if len(names) > 1 else ()


def _check_header(found: _Gathering) -> None:
    if "pattern" not in found.texts:
        at = next((each for each in found.tree.statements if isinstance(each.node, Version)), None)
        start = at.start if at else 0
        end = start + len(at.text) if at else 0
        found.diagnostics.append(
            Diagnostic(
                "missing-header",
                "the pattern has no title",
                Span(start, end),
                help="write a line `pattern TITLE` under the first line",
                fix=Fix("add a title", (Label(Span(end, end), "\npattern Untitled"),), safe=False),
                facts={"line": "pattern"},
            )
        )


def _check_yarns(found: _Gathering) -> None:
    """Refuse names of yarns that mean something else in rows."""
    for key, statement in found.yarns.items():
        node = statement.node
        assert isinstance(node, Yarn)
        definition = found.definitions.get(key)
        if is_built_in(node.name):
            what = "a stitch of the trade"
        elif key in PLACE_WORDS:
            what = "a place to work into"
        elif definition is not None and isinstance(definition.node, StitchDefinition):
            what = "a stitch of this pattern"
        elif key in found.marks:
            what = "a mark of this pattern"
        else:
            continue
        found.diagnostics.append(_reserved(node.name, node.span, statement.start, what))


def _not_in_mm(size: Number, statement: Statement) -> Diagnostic:
    span = size.span.shifted(statement.start)
    said = "/".join(map(str, size.values))
    return Diagnostic(
        "unit-mismatch",
        f"a hook is told by how thick it is in millimetres, not in {size.unit}"
        if size.unit in LENGTHS
        else f"a hook is told by how thick it is, and {size.unit} measures no length",
        span,
        help=f"write `hook {said} mm`" if size.unit == "cm" else "give its size as in `hook 4.5 mm`",
        fix=Fix(f"write `{said} mm`", (Label(span, f"{said} mm"),), safe=False)
        if size.unit == "cm"
        else None,
    )


def _twice(what: str, statement: Statement, first: Statement, span: Span) -> Diagnostic:
    node_span = getattr(first.node, "span", Span(0, len(first.text)))
    return Diagnostic(
        "used-twice",
        f"{what} is given twice",
        span.shifted(statement.start),
        related=(Label(node_span.shifted(first.start), "first given here"),),
        help="keep one of the two",
    )


def _reserved(name: str, span: Span, start: int, what: str) -> Diagnostic:
    return Diagnostic(
        "reserved-name",
        f"`{name}` can't be a name here: it is {what}",
        span.shifted(start),
        help="choose another name",
    )
