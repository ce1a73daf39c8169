"""Text to tree: what nodes say, where they stand, and that a fault costs one statement and never raises."""

from __future__ import annotations

import gc
import weakref
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from turnchain.lang import parser
from turnchain.lang import syntax as s
from turnchain.lang.collector import collector_held_off
from turnchain.lang.diagnostics import Diagnostic
from turnchain.lang.parser import parse, parsed_statement
from turnchain.lang.source import Source

HEADER = "turnchain 1, US\n"


def read(text: str) -> tuple[s.Tree, tuple[Diagnostic, ...]]:
    return parse(Source("hat.tch", text))


def nodes(text: str) -> list[s.Node | None]:
    tree, faults = read(HEADER + text)
    assert faults == ()
    return [statement.node for statement in tree.statements[1:]]


def items(line: str) -> tuple[s.Item, ...]:
    (row,) = nodes(f"row 1: {line}\n")
    assert isinstance(row, s.Row)
    assert isinstance(row.content, s.Body)
    return row.content.items


def count(number: int) -> s.Number:
    return s.Number((number,))


def fault(text: str) -> Diagnostic:
    (found,) = read(text)[1]
    return found


# ---- what nodes say


@pytest.mark.parametrize(
    ("written", "item"),
    [
        ("sc", s.Some("sc")),
        ("6 sc", s.Some("sc", count(6))),
        (
            "2 sc blo with B below 3 in 3rd ch as peak",
            s.Some("sc", count(2), s.How("blo", "B", 3), s.Place("ch", 3), "peak"),
        ),
        ("12 sc in ring of 8 ch", s.Some("sc", count(12), place=s.Place("ring", chains=8))),
        ("11 sc in arch of 7 ch over 6", s.Some("sc", count(11), place=s.Place("arch", chains=7, over=6))),
        ("sc in middle ch", s.Some("sc", place=s.Place("ch", "middle"))),
        ("sc in each petal", s.Some("sc", place=s.Place("petal", "each"))),
        ("2 ch as corner", s.Some("ch", count(2), mark="corner")),
        ("sc to end", s.Run("sc", s.Stop("end"))),
        ("sc to last 2", s.Run("sc", s.Stop("last", count(2)))),
        ("sc to peak", s.Run("sc", s.Stop("place", None, "peak"))),
        ("sc to 2 before peak", s.Run("sc", s.Stop("place", count(2), "peak"))),
        ("[sc] x 6/8", s.Times(s.Body((s.Some("sc"),)), s.Number((6, 8)))),
        ("[sc] to middle", s.AsFits(s.Body((s.Some("sc"),)), s.Stop("middle"))),
        ("(sc, ch) in sp as tip", s.InOne(s.Body((s.Some("sc"), s.Some("ch"))), s.Place("sp"), "tip")),
        ("(sc, skip) tog", s.Together(s.Body((s.Some("sc"), s.Skip(count(1)))))),
        ("skip sp", s.Skip(place="sp")),
        ("skip to peak", s.Skip(stop=s.Stop("place", None, "peak"))),
        ("skip 36 as arm", s.Skip(count(36), mark="arm")),
        ("leave 3", s.Leave(count(3))),
        ("leave rest", s.Leave()),
        ("spread [sc]", s.Spread(s.Body((s.Some("sc"),)))),
        ("underside", s.Underside()),
        ("chart Heart row 1", s.ChartRow("Heart", 1)),
        (
            '"wrap twice" over 4 makes 2 dc + 1 sp as tip',
            s.Words("wrap twice", count(4), (s.Tally(count(2), "dc"), s.Tally(count(1), "sp")), "tip"),
        ),
    ],
)
def test_an_item(written: str, item: s.Item) -> None:
    assert items(written) == (item,)


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("6/8/10", s.Number((6, 8, 10))),
        ("3.5 mm", s.Number((Decimal("3.5"),), "mm")),
        ("18/20 CM", s.Number((18, 20), "cm")),
        ("a - 2 - 1", s.Arithmetic("-", s.Arithmetic("-", s.NameValue("a"), count(2)), count(1))),
        ("a + 2 * b", s.Arithmetic("+", s.NameValue("a"), s.Arithmetic("*", count(2), s.NameValue("b")))),
        ("(a + 2) div 2", s.Arithmetic("div", s.Arithmetic("+", s.NameValue("a"), count(2)), count(2))),
        ("stitches(18 cm, odd)", s.Fitted("stitches", s.Number((18,), "cm"), s.Fit("odd"))),
        ("rows(10 cm, multiple 6 + 1)", s.Fitted("rows", s.Number((10,), "cm"), s.Fit("multiple", 6, 1))),
    ],
)
def test_a_value(written: str, value: s.Value) -> None:
    assert nodes(f"let k = {written}\n") == [s.Let("k", value)]


def test_a_row() -> None:
    (row,) = nodes(
        "rounds 4-10 ws with B flo chains count tch 4 loop: repeat 2-3 until 31 st = 12 dc, {row} sp\n"
    )
    assert row == s.Row(
        s.Label("round", 4, 10),
        s.RepeatRows(2, 3, None, count(31), "st"),
        s.Settings("ws", "B", None, "flo", True, s.TurningChain(4, "loop")),
        (s.Tally(count(12), "dc"), s.Tally(s.RowNumber(), "sp")),
    )


def test_labels() -> None:
    rows = nodes("row 1: sc\nnext round: sc\nnext 14/18 rows: sc\nnext rows: repeat last 2 until 20 cm\n")
    assert [row.label for row in rows if isinstance(row, s.Row)] == [
        s.Label("row", 1),
        s.Label("round"),
        s.Label("row", count=s.Number((14, 18))),
        s.Label("row", until=True),
    ]


def test_shaping() -> None:
    rows = nodes(
        "rows 2-9: work sc blo, -2 at each end every 2 rows\n"
        "rows 2-9: work dc, +2 at each tip\n"
        "rows 2-9: work sc, +6 evenly staggered\n"
        "rows 2-9: work sc, to 41 at middle\n"
    )
    assert [row.content for row in rows if isinstance(row, s.Row)] == [
        s.Work("sc", (s.Change("by", count(2), True, "each end", count(2)),), s.How("blo")),
        s.Work("dc", (s.Change("by", count(2), spot="each tip"),)),
        s.Work("sc", (s.Change("by", count(6), staggered=True),)),
        s.Work("sc", (s.Change("to", count(41), spot="middle"),)),
    ]


def test_pieces_and_edges() -> None:
    assert nodes(
        'piece Hat "The hat", joined rounds, make 2, tch 2, tch dc 3 counts, blo, chains count\n'
        "start 60/72 ch, joined\nstart for 138\nstart along flo of row 3 of Band, 3 for 4\n"
        "seam left of Front, right of Back\n"
    ) == [
        s.Piece(
            "Hat", "joined rounds", "The hat", count(2), "blo", True,
            (
                s.TurningChainFor(None, s.TurningChain(2)),
                s.TurningChainFor("dc", s.TurningChain(3, "counts")),
            ),
        ),
        s.Start("stitches", s.Number((60, 72)), "ch", joined=True),
        s.Start("for", count(138)),
        s.Start("edge", edges=(s.EdgeName("flo", "Band", "row", 3),), ratio=(3, 4)),
        s.Seam((s.EdgeName("left", "Front"),), (s.EdgeName("right", "Back"),)),
    ]  # fmt: skip


def test_words_alone_are_a_stitch_explained() -> None:
    assert nodes('stitch wave: "Wrap twice" over 4 makes 2\nstitch fan: 5 dc in st "a fan"\n') == [
        s.StitchDefinition("wave", s.Words("Wrap twice", count(4), (s.Tally(count(2)),))),
        s.StitchDefinition("fan", s.Body((s.Some("dc", count(5), place=s.Place("st")),)), "a fan"),
    ]


def test_words_keep_their_lines() -> None:
    assert nodes(
        "note Fasten off,\n  then row 5: is (not worked,\n\n\tyarn A : DK\nyarn A: DK,\n  60 g\n"
    ) == [
        s.Text("note", ("Fasten off,", "then row 5: is (not worked,", "yarn A : DK")),
        s.Yarn("A", ("DK,", "60 g")),
    ]


def test_the_squares_of_a_chart() -> None:
    (chart,) = nodes("chart Heart: . = space, X=block\n  .X.X.\n  XXXXX # widest\n")
    squares = (s.Square(".", "space"), s.Square("X", "block"))
    assert chart == s.Chart("Heart", squares, (".X.X.", "XXXXX"))


# ---- where they stand


def test_spans_are_offsets_into_the_statement() -> None:
    text = "row 12: 2 sc  blo in 3rd ch as peak, [dc, inc] x {half + 1} = 24 dc"
    (row,) = nodes(text + "\n")
    assert isinstance(row, s.Row)
    assert isinstance(row.content, s.Body)
    some, times = row.content.items
    assert isinstance(some, s.Some)
    assert isinstance(times, s.Times)
    said = [text[slice(*span)] for span in (row.label.span, some.span, some.name_span, times.span)]
    assert said == ["row 12", "2 sc  blo in 3rd ch as peak", "sc", "[dc, inc] x {half + 1}"]
    assert text[slice(*times.count.span)] == "{half + 1}"
    assert text[slice(*row.total_span)] == "24 dc"
    assert row.span == (0, len(text))


def test_a_line_that_moved_keeps_its_node() -> None:
    before = read(HEADER + "row 1: sc to end\n")[0].statements[1].node
    after = read(HEADER + "# new\n\nrow 1: sc to end\n")[0].statements[2].node
    assert before is after


@pytest.mark.parametrize("line_break", ["\n", "\r\n", "\r"])
def test_line_breaks_of_every_kind(line_break: str) -> None:
    text = line_break.join(
        ["\ufeffturnchain 1, US", "row 1: sc, # base", "\u00a0 dc", "", "row 2: 6\u00a0sc", ""]
    )
    tree, faults = read(text)
    assert faults == ()
    assert [text[one.start : one.start + len(one.text)] == one.text for one in tree.statements] == [True] * 3
    assert [one.blank_before for one in tree.statements] == [False, False, True]
    assert tree.statements[1].comments == (s.Comment("# base"),)


def test_one_name_is_one_string_however_it_is_typed() -> None:
    text = "stitch e\u0301toile: dc\nrow 1: étoile, sc as to\u0301, 6 e\u0301toile & sc\n"
    fine, faulty = HEADER + text.replace(" & sc", ""), HEADER + text
    definition, row = (statement.node for statement in read(fine)[0].statements[1:])
    assert isinstance(definition, s.StitchDefinition)
    assert isinstance(row, s.Row)
    assert isinstance(row.content, s.Body)
    assert definition.name == "étoile"
    first, second, third = row.content.items
    assert (first, second) == (s.Some("étoile"), s.Some("sc", mark="tó"))
    assert third.span == (26, 35), "places are those of the text as it was typed"
    assert faulty[fault(faulty).span.start] == "&"


# ---- comments


@pytest.mark.parametrize("line", ["pattern hat #2", 'row 1: "twice # really" over 1 makes 1'])
def test_no_comment(line: str) -> None:
    tree, faults = read(f"{HEADER}{line}\n")
    assert faults == ()
    assert tree.statements[1].comments == ()


def test_comments_of_a_statement_and_between() -> None:
    tree, faults = read(
        HEADER + "# before\nrow 1: sc, # one\n# two\n  dc\n  # three\n\n# after\n  # and on\n"
    )
    assert faults == ()
    assert [[comment.text for comment in one.comments] for one in tree.statements] == [
        [], ["# before"], ["# one", "# two", "# three"], ["# after"], ["# and on"],
    ]  # fmt: skip
    places = [tree.statements[2].text[slice(*comment.span)] for comment in tree.statements[2].comments]
    assert places == ["# one", "# two", "# three"]


# ---- faults


def test_a_fault_costs_one_statement() -> None:
    tree, faults = read(HEADER + "row 1: [sc, [inc x 6 = 18\n  , dc\nrow 2: sc\nrow 3: sc 6, dc 4, 6 [sc]\n")
    assert [found.name for found in faults] == ["unclosed-bracket", "count-order"]
    assert [one.faulty for one in tree.statements] == [False, True, False, True]
    assert [one.node is None for one in tree.statements] == [False, True, False, True]


@pytest.mark.parametrize(
    ("line", "name", "shown"),
    [
        ("row 1: [sc, (dc, [2 ch) in sp", "unclosed-bracket", "["),
        ("row 1: [sc, (dc, 2 ch in sp", "unclosed-bracket", "("),
        ('row 1: "wrap over 4 makes 2', "unclosed-bracket", '"'),
        ("row 1: sc\x00", "wrong-character", "\x00"),
        ("note A\x1bB", "wrong-character", "\x1b"),
        ("row 1: 6 sc ✂ dc", "wrong-character", "✂"),
        ("row 1: sc to end ! = 10", "wrong-character", "!"),
        ("row 1: sc blo blo", "used-twice", "blo"),
        ("row 1 rs with A ws: sc", "used-twice", "ws"),
        ("row 1: 1000000000000001 sc", "too-large", "1000000000000001"),
        ("row 1: dc in 99999999999999999th ch", "too-large", "99999999999999999th"),
        ("row 1000000000000001: sc", "too-large", "1000000000000001"),
        ("row 1: " + 65 * "[", "too-large", "["),
        ("let in = 4", "reserved-name", "in"),
        ("row 1: 2 ch as row", "reserved-name", "row"),
        ("row 1: sc 6", "count-order", "sc 6"),
    ],
)
def test_a_fault_is_shown_where_it_is(line: str, name: str, shown: str) -> None:
    text = f"{HEADER}\n{line}\n"
    found = fault(text)
    assert (found.name, text[slice(*found.span)]) == (name, shown)


def test_limits_are_reached_before_they_are_passed() -> None:
    deep = "[" * 64 + "sc" + "] x 2" * 64
    assert items(deep)
    assert items(f"{10**15} sc") == (s.Some("sc", count(10**15)),)
    assert nodes("let k = " + " + ".join(["1"] * 65) + "\n")
    assert fault(HEADER + "let k = " + " + ".join(["1"] * 66)).name == "too-large"


def test_a_file_may_be_too_long(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parser, "LONGEST_FILE", len(HEADER) + 10)
    assert read(HEADER + "row 1: sc\n")[1] == ()
    tree, (found,) = read(HEADER + "row 1: éé\n")
    assert (tree, found.name) == (s.Tree(()), "too-large")


# ---- the first line


@pytest.mark.parametrize(
    "text", ["", "\n \n", "\ufeff", "# only this\n", "row 1: sc\n", "terms US\n", "turnchain 1\n"]
)
def test_a_file_without_its_first_line(text: str) -> None:
    found = fault(text)
    assert found.name == "missing-header"
    assert "turnchain 1, US" in found.help
    assert found.fix is not None
    (edit,) = found.fix.edits
    mended = text[: edit.span.start] + edit.text + text[edit.span.end :]
    assert read(mended)[1] == ()


def test_a_line_that_was_indented_by_mistake() -> None:
    text = HEADER + "piece Band, turned rows\n  start 11 ch\n  row 1: sc to end\n"
    (found,) = read(text)[1]
    assert found.message == "an indented line goes on with the line above"
    assert found.fix is not None
    (edit,) = found.fix.edits
    assert text[: edit.span.start].endswith("turned rows\n")
    assert text[edit.span.end :].startswith("start 11 ch")


def test_an_indented_first_line() -> None:
    found = fault("\n  turnchain 1, UK\nrow 1: sc\n")
    assert found.name == "missing-header"
    assert "indented" in found.message
    assert found.fix is not None
    assert found.fix.edits[0].span == (1, 3)


def test_a_version_of_another_day() -> None:
    found = fault("turnchain 12, US\nrow 1: sc\n")
    assert (found.name, found.span, found.facts["found"]) == ("missing-header", (10, 12), 12)
    assert "reads version 1" in found.help


def test_two_first_lines() -> None:
    text = HEADER + "row 1: sc\nturnchain 1, UK\n"
    found = fault(text)
    assert (found.name, text[slice(*found.span)]) == ("used-twice", "turnchain 1, UK")
    assert text[slice(*found.related[0].span)] == "turnchain 1, US"


# ---- whatever is typed


_LINES = [
    line[2:]
    for line in Path(__file__).with_name("lines.txt").read_text(encoding="utf-8").splitlines()
    if line.startswith(("+ ", "- "))
]
_BITS = st.sampled_from(
    ["sc", " 6 ", "[", "]", "(", ")", "{", "}", '"', ",", ":", "=", "#", " # ", "\n  ", "\n", "\r", "*", "/",
     "x 6", "to", "in", "as", "until", "999999999999999999999", "\x00", "é", "e\u0301", "-", "row", "next"]
)  # fmt: skip


@st.composite
def _mangled(draw: st.DrawFn) -> str:
    line = draw(st.sampled_from(_LINES))
    for _ in range(draw(st.integers(1, 4))):
        at, to = sorted((draw(st.integers(0, len(line))), draw(st.integers(0, len(line)))))
        line = line[:at] + draw(_BITS) + line[at if draw(st.booleans()) else to :]
    return line


def _is_sound(text: str) -> None:
    tree, faults = read(text)
    starts = [one.start for one in tree.statements]
    assert starts == sorted(set(starts))
    assert all(text[one.start : one.start + len(one.text)] == one.text for one in tree.statements)
    assert all(one.node is None or not one.faulty for one in tree.statements)
    assert sum(one.faulty for one in tree.statements) <= len(faults) <= len(tree.statements) + 1
    for found in faults:
        assert 0 <= found.span.start <= found.span.end <= len(text)
        assert found.message
        assert found.help or found.name == "stray-word"
        for edit in found.fix.edits if found.fix else ():
            assert 0 <= edit.span.start <= edit.span.end <= len(text)


@settings(max_examples=150)
@given(st.text(max_size=80))
def test_any_text_at_all(text: str) -> None:
    _is_sound(text)
    _is_sound(HEADER + text)


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(_mangled(), min_size=1, max_size=3))
def test_any_slip_of_the_finger(lines: list[str]) -> None:
    _is_sound(HEADER + "\n".join(lines))


def test_a_very_long_row_is_no_harm() -> None:
    found = parsed_statement("row 1: " + "[" * 10_000)
    assert isinstance(found, Diagnostic)
    assert isinstance(parsed_statement("row 1: " + "sc, " * 5_000 + "dc"), s.Row)
    assert isinstance(parsed_statement("row 1: " + "sc, " * 5_000 + "sc 6"), Diagnostic)


def test_the_collector_finds_what_is_left_behind_between_many_short_files() -> None:
    class Ring:
        def __init__(self) -> None:
            self.itself = self

    left = []
    for _ in range(5_000):
        with collector_held_off():
            left.append(weakref.ref(Ring()))
    assert sum(ring() is not None for ring in left) < 2_500


def test_the_collector_runs_again_after_a_file() -> None:
    assert gc.isenabled()
    read(HEADER)
    assert gc.isenabled()
    gc.disable()
    try:
        read(HEADER)
        assert not gc.isenabled()
    finally:
        gc.enable()
