"""Trees as Hypothesis makes them up: every kind of node, only such as an author could write.

They have no text and no spans, so the printer sets each statement in one line. `trees()` begins with the
first line that every file must have.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from decimal import Decimal

from hypothesis import strategies as st
from turnchain import grammar
from turnchain.lang import syntax as s

# Words that are read otherwise where a name may stand too.
_TAKEN = grammar.reserved_words() | {"rest", "ring", "count", "stitches"}


def _composed(text: str) -> str:
    """Return `text` as the parser keeps words."""
    return unicodedata.normalize("NFC", text)


def _free(word: str) -> bool:
    return word.lower() not in _TAKEN and not re.fullmatch("x[0-9]*", word, re.IGNORECASE)


names = st.one_of(
    st.sampled_from(
        ["sc", "dc", "ch", "hdc", "sc3tog", "dc5bobble", "Left_sleeve", "étoile", "貝", "पंखा", "hook"]
    ),
    st.from_regex(r"[a-zA-Z][a-zA-Z0-9_]{0,8}", fullmatch=True).filter(_free),
)
places = st.one_of(st.sampled_from(["st", "sp", "ring", "same", "gap", "ch"]), names)
integers = st.integers(0, 10**15)
small = st.integers(1, 40)
_amounts = st.one_of(
    integers, st.decimals(0, 9999, places=2, allow_nan=False, allow_infinity=False), small.map(Decimal)
)
_sizes = st.lists(_amounts, min_size=1, max_size=4).map(tuple)
units = st.sampled_from(["mm", "cm", "m", "inch", "yd", "g", "oz"])
plain_numbers = st.builds(s.Number, _sizes)
measures = st.builds(s.Number, _sizes, units)
ways = st.sampled_from(["", "up", "down", "nearest"])
fits = st.one_of(
    st.builds(s.Fit, st.sampled_from(["odd", "even"]), way=ways),
    st.builds(s.Fit, st.just("multiple"), small, integers, ways),
    st.builds(s.Fit, way=ways.filter(bool)),
)


def _more_values(parts: st.SearchStrategy[s.Value]) -> st.SearchStrategy[s.Value]:
    return st.one_of(
        st.builds(s.Arithmetic, st.sampled_from(["+", "-", "*", "div"]), parts, parts),
        st.builds(
            s.Fitted, st.sampled_from(["stitches", "rows"]), parts, st.none() | fits, stitch=st.none() | names
        ),
    )


values: st.SearchStrategy[s.Value] = st.recursive(
    st.one_of(plain_numbers, measures, st.builds(s.NameValue, names), st.builds(s.RowNumber)),
    _more_values,
    max_leaves=5,
)
counts = st.one_of(plain_numbers, values)
tallies = st.builds(s.Tally, counts, st.none() | names)
some_tallies = st.lists(tallies, min_size=1, max_size=3).map(tuple)
quoted = st.text(
    st.characters(exclude_characters='"“”„', exclude_categories=("C", "Z", "M")) | st.just(" "), max_size=12
).map(_composed)


# ---- items -------------------------------------------------------------------------------------------------

loops = st.none() | st.sampled_from(["blo", "flo"])
hows = st.one_of(
    st.just(s.PLAIN), st.builds(s.How, loops, st.none() | names, st.none() | small, st.booleans())
)
in_places = st.one_of(
    st.builds(s.Place, places, st.none() | integers | st.sampled_from(["middle", "each"])),
    st.builds(s.Place, places, chains=integers, over=st.none() | integers),
)
stops = st.one_of(
    st.builds(s.Stop, st.sampled_from(["end", "middle"])),
    st.builds(s.Stop, st.just("last"), counts),
    st.builds(s.Stop, st.just("place"), st.none() | counts, names),
)
marks = st.none() | names
skips = st.one_of(
    st.builds(s.Skip, counts, mark=marks),
    st.builds(s.Skip, place=names, mark=marks),
    st.builds(s.Skip, stop=stops, mark=marks),
)
words = st.builds(s.Words, quoted, counts, some_tallies, marks)
_simple_items = st.one_of(
    st.builds(s.Some, names, st.none() | counts, hows, st.none() | in_places, marks),
    st.builds(s.Run, names, stops, hows),
    st.builds(s.Over, names, counts, counts, hows),
    skips,
    st.builds(s.Leave, st.none() | counts, marks),
    words,
    st.just(s.Underside()),
    st.builds(s.ChartRow, names, st.none() | integers),
    st.builds(s.Join, names, names, st.none() | integers),
)


def _bodies(parts: st.SearchStrategy[s.Item]) -> st.SearchStrategy[s.Body]:
    return st.builds(s.Body, st.lists(parts, min_size=1, max_size=3).map(tuple))


def _more_items(parts: st.SearchStrategy[s.Item]) -> st.SearchStrategy[s.Item]:
    inner = _bodies(parts)
    return st.one_of(
        st.builds(s.Times, inner, counts),
        st.builds(s.AsFits, inner, stops),
        st.builds(s.Branch, names, counts, inner, marks),
        st.builds(s.InOne, inner, in_places, marks),
        st.builds(s.Together, inner, marks),
        st.builds(s.Spread, inner),
    )


items: st.SearchStrategy[s.Item] = st.recursive(_simple_items, _more_items, max_leaves=5)
bodies = _bodies(items)

# ---- rows --------------------------------------------------------------------------------------------------

_ONE = s.Number((1,))
"""One row, which goes without saying."""

row_units = st.sampled_from(["row", "round"])
labels = st.one_of(
    st.builds(s.Label, row_units, integers),
    st.builds(s.Label, row_units, integers, integers).filter(lambda label: label.first != label.last),
    st.builds(s.Label, row_units, count=counts.filter(lambda count: count != _ONE)),
    st.builds(s.Label, row_units),
    st.builds(s.Label, row_units, until=st.just(True)),
)
turning_chains = st.builds(s.TurningChain, small, st.none() | st.sampled_from(["counts", "loop"]))
beginnings = st.one_of(
    st.builds(s.Beginning, names),
    st.builds(s.Beginning, st.none(), st.integers(-40, 40)),
)
stripes = st.lists(st.builds(s.Stripe, counts, names), min_size=2, max_size=4).map(tuple)
settings = st.builds(
    s.Settings,
    st.none() | st.sampled_from(["rs", "ws"]),
    st.none() | names,
    st.none() | names,
    loops,
    st.booleans(),
    st.none() | turning_chains,
    st.none() | integers,
    st.none() | beginnings,
    st.booleans(),
).flatmap(
    lambda said: (
        st.just(said) if said.yarn else st.builds(replace, st.just(said), stripes=st.just(()) | stripes)
    )
)
_limits = st.one_of(
    st.tuples(st.none(), st.none()),
    st.tuples(counts, names),
    st.tuples(measures, st.none()),
    st.tuples(values, st.none()),
)
repeats = st.one_of(
    st.builds(
        lambda first, last, limit: s.RepeatRows(first, None if last == first else last, None, *limit),
        integers,
        st.none() | integers,
        _limits,
    ),
    st.builds(lambda back, limit: s.RepeatRows(None, None, back, *limit), integers, _limits),
)
spots = st.one_of(
    st.sampled_from(["middle", "each end", "start", "end"]), names, names.map("each {}".format)
).map(lambda spot: {"spot": spot})
_evenly = st.builds(
    lambda how, keep: {"spot": "evenly", "keep": keep, **how},
    st.sampled_from([{}, {"staggered": True}, {"symmetrical": True}]),
    st.none() | counts,
)
_rows_said = st.lists(integers | st.tuples(integers, integers), min_size=1, max_size=3).map(
    lambda rows: tuple((each, each) if isinstance(each, int) else each for each in rows)
)
_when = st.one_of(
    st.just({}),
    counts.map(lambda count: {} if count == _ONE else {"every": count}),
    _rows_said.map(lambda rows: {"rows": rows}),
)
_lengths = measures | values
changes = st.one_of(
    st.builds(
        lambda count, less, spot, when, over: s.Change("by", count, less, **spot, **when, over=over),
        counts,
        st.booleans(),
        spots | _evenly,
        _when,
        st.none() | _lengths,
    ),
    st.builds(
        lambda count, spot, over: s.Change("to", count, **spot, over=over),
        counts | measures,
        spots | _evenly,
        st.none() | _lengths,
    ),
)
_shapes = st.builds(
    lambda name, measure, depth, fit: s.Shape(name, measure, *depth, fit),
    names,
    _lengths,
    st.just((None, None)) | st.tuples(_lengths, st.sampled_from(["depth", "height"])),
    st.none() | fits,
)
works = st.builds(
    s.Work, names, st.lists(changes, min_size=1, max_size=3).map(tuple), hows, st.booleans()
) | st.builds(s.Work, names, _shapes, hows)
rows = st.builds(s.Row, labels, st.one_of(bodies, repeats, works), settings, st.just(()) | some_tallies)

# ---- other statements --------------------------------------------------------------------------------------

lines_of_words = (
    st.text(st.characters(exclude_categories=("C", "Z", "M")) | st.just(" "), min_size=1, max_size=20)
    .map(lambda text: _composed(text).strip())
    .filter(lambda text: text != "" and not re.search(r"(?<!\S)#(?!\S)|\A:", text))
)
"""What is neither a comment nor taken for a colon too many behind the first word of a line."""
texts = st.builds(
    s.Text,
    st.sampled_from(
        ["pattern", "by", "level", "time", "notions", "sizes", "for", "note", "finish", "caution", "answer"]
    ),
    st.lists(lines_of_words, min_size=1, max_size=3).map(tuple),
)
yarns = st.builds(s.Yarn, names, st.lists(lines_of_words, min_size=1, max_size=2).map(tuple))
edges = st.one_of(
    st.builds(s.EdgeName, names, names),
    st.builds(s.EdgeName, st.sampled_from(["blo", "flo"]), names, row_units, integers),
    st.builds(s.EdgeName, names, names, underside=st.just(True)),
)


def _part(edge: s.EdgeName, end: str, count: s.Value) -> s.EdgeName:
    return replace(edge, end=end, count=count)


edges_or_parts = st.one_of(edges, st.builds(_part, edges, st.sampled_from(["first", "last"]), counts))
roundings = st.none() | st.sampled_from(["up", "down", "nearest"])
starts = st.one_of(
    st.builds(s.Start, st.just("stitches"), counts, names, st.booleans()),
    st.builds(s.Start, st.just("for"), counts),
    st.builds(s.Start, st.just("ring"), words=st.none() | quoted),
    st.builds(
        s.Start,
        st.just("edge"),
        edges=st.lists(edges_or_parts, min_size=1, max_size=3).map(tuple),
        ratio=st.none() | st.tuples(integers, integers),
        rounding=roundings,
    ),
)


def _definition(name: str, body: s.Body, explanation: str | None) -> s.StitchDefinition:
    if len(body.items) == 1 and isinstance(body.items[0], s.Words):
        return s.StitchDefinition(name, body.items[0], explanation)
    return s.StitchDefinition(name, body, explanation)


stitches = st.builds(_definition, names, bodies, st.none() | quoted)
squares = st.builds(s.Square, st.sampled_from(".XoO-+*/@"), names)
chart_lines = st.text(st.sampled_from(".XoO-+*/@"), min_size=1, max_size=6)
charts = st.builds(
    s.Chart,
    names,
    st.lists(squares, min_size=1, max_size=3).map(tuple),
    st.lists(chart_lines, max_size=4).map(tuple),
)


def _piece_chains(
    for_all: s.TurningChain | None, each: list[tuple[str, s.TurningChain]]
) -> tuple[s.TurningChainFor, ...]:
    made = tuple(s.TurningChainFor(name, chain) for name, chain in each)
    return made if for_all is None else (s.TurningChainFor(None, for_all), *made)


pieces = st.builds(
    s.Piece,
    names,
    st.sampled_from(["turned rows", "right-side rows", "joined rounds", "turned rounds", "spiral rounds"]),
    st.none() | quoted,
    st.none() | counts,
    loops,
    st.booleans(),
    st.builds(
        _piece_chains, st.none() | turning_chains, st.lists(st.tuples(names, turning_chains), max_size=2)
    ),
)
agains = st.builds(
    s.Piece,
    names,
    st.just(""),
    st.none() | quoted,
    st.none() | counts,
    again=st.one_of(
        st.builds(s.Again, names, mirrored=st.booleans()),
        st.builds(
            s.Again,
            names,
            edges_or_parts,
            st.none() | st.tuples(integers, integers),
            roundings,
            st.booleans(),
        ),
    ),
)
methods = st.one_of(names, st.tuples(names, names).map(" ".join))
laid = st.builds(
    s.Piece,
    names,
    st.just(""),
    st.none() | quoted,
    laid=st.one_of(
        st.builds(s.Laid, counts, counts, names, st.lists(names, min_size=1, max_size=3).map(tuple)),
        st.builds(s.Laid, counts, counts, names, method=methods),
    ),
)
seam_sides = st.lists(edges_or_parts, min_size=1, max_size=2).map(tuple)
seams = st.builds(s.Seam, seam_sides, seam_sides, st.none() | methods, st.booleans())
size_names = st.sampled_from(["adult", "6-12 months", "S/M", "étoile", "38, 40", "with A"])


def _body_fit(
    name: str, sizes: tuple[str, ...], measure: s.Value | None, ease: s.Number | None, less: bool
) -> s.BodyFit:
    return s.BodyFit(name, () if measure else sizes, measure, ease, less and ease is not None)


nodes: st.SearchStrategy[s.Node] = st.one_of(
    rows,
    texts,
    yarns,
    st.builds(s.Hook, measures),
    st.builds(s.Gauge, counts, names, counts, measures, names, st.none() | measures),
    st.builds(s.Swatch, measures, measures, names, st.none() | names, measures),
    st.builds(s.Weighed, st.none() | names, st.none() | names, st.none() | size_names, measures),
    st.builds(
        _body_fit,
        names,
        st.lists(st.sampled_from(["6 months", "woman", "EU 38", "6-12 years"]), max_size=3).map(tuple),
        st.none() | _lengths,
        st.none() | measures,
        st.booleans(),
    ),
    st.builds(s.Let, names, values),
    st.builds(s.Use, quoted),
    stitches,
    charts,
    pieces,
    agains,
    starts,
    laid,
    seams,
    st.just(s.Close()),
)
comments = st.one_of(st.just("#"), lines_of_words.map("# {}".format)).map(s.Comment)
_statements = st.one_of(
    st.builds(
        s.Statement,
        st.just(""),
        nodes,
        st.lists(comments, max_size=2).map(tuple),
        blank_before=st.booleans(),
    ),
    st.builds(
        s.Statement, st.just(""), st.none(), comments.map(lambda one: (one,)), blank_before=st.booleans()
    ),
)
_first = st.builds(
    s.Statement,
    st.just(""),
    st.builds(s.Version, st.just(1), st.sampled_from(["US", "UK"])),
    st.lists(comments, max_size=1).map(tuple),
)


def trees() -> st.SearchStrategy[s.Tree]:
    """Return a strategy for whole files."""
    return st.builds(lambda first, rest: s.Tree((first, *rest)), _first, st.lists(_statements, max_size=4))
