"""The one way to write a pattern: what is printed says the same, and is printed the same again."""

from __future__ import annotations

import importlib.util
import itertools
import re
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from turnchain.lang import syntax as s
from turnchain.lang.parser import parse
from turnchain.lang.printer import printed, printed_item
from turnchain.lang.printer.layout import WIDTH
from turnchain.lang.source import Source

ROUNDTRIP = Path(__file__).parents[1] / "roundtrip"
HEADER = "turnchain 1, US\n"


def _neighbour(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


made_up = _neighbour("strategies")


def tidied(text: str) -> str:
    tree, _ = parse(Source("pattern.tch", text))
    return printed(tree)


def tidied_line(line: str) -> str:
    return tidied(HEADER + line + "\n").removeprefix(HEADER).removesuffix("\n")


@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(made_up.trees())
def test_a_printed_tree_says_the_same(tree: s.Tree) -> None:
    text = printed(tree)
    again, faults = parse(Source("pattern.tch", text))
    assert faults == ()
    assert again == tree
    assert printed(again) == text


def _lines() -> list[str]:
    text = Path(__file__).with_name("lines.txt").read_text(encoding="utf-8")
    return [line[2:] for line in text.splitlines() if line.startswith("+ ")]


@pytest.mark.parametrize("line", _lines())
def test_a_line_keeps_its_meaning(line: str) -> None:
    header = "" if line.lower().startswith("turnchain") else HEADER
    tree, faults = parse(Source("pattern.tch", header + line + "\n"))
    assert faults == ()
    text = printed(tree)
    again, faults = parse(Source("pattern.tch", text))
    assert faults == ()
    assert again == tree
    assert printed(again) == text


@pytest.mark.parametrize("name", sorted(path.stem for path in ROUNDTRIP.glob("*.tch")))
def test_a_whole_pattern(name: str) -> None:
    text = (ROUNDTRIP / f"{name}.tch").read_text(encoding="utf-8")
    expected = (ROUNDTRIP / f"{name}.tidy").read_text(encoding="utf-8")
    tree, faults = parse(Source(name, text))
    assert faults == ()
    assert printed(tree) == expected
    assert parse(Source(name, expected)) == (tree, ())
    assert tidied(expected) == expected


@pytest.mark.parametrize(
    ("written", "canonical"),
    [
        ("ROW 1:Sc To End=17/21", "row 1: Sc to end = 17/21"),
        ("row 1: 6sc in Ring", "row 1: 6 sc in Ring"),
        ("row 1: [2 sc, inc] ×6", "row 1: [2 sc, inc] x 6"),
        ("row 1: skip, dc", "row 1: skip 1, dc"),
        ("row 1: {6} sc, {half} sc", "row 1: 6 sc, {half} sc"),
        ("row 1: sc below 1 with B blo", "row 1: sc blo with B below"),
        ("row 9 tch 1 chains count flo with B rs: sc", "row 9 rs with B flo chains count tch 1: sc"),
        ("rounds 4–10: repeat 2–3", "rounds 4-10: repeat 2-3"),
        ("rounds 2-9: work sc, −2 at middle every round", "rounds 2-9: work sc, -2 at middle"),
        (
            "rounds 2-9: work sc, +2 at middle every 2 rows",
            "rounds 2-9: work sc, +2 at middle every 2 rounds",
        ),
        ("rows 2-2: sc to end", "row 2: sc to end"),
        ("next 1 rounds: sc to end", "next round: sc to end"),
        ("next 3 rows: repeat 2-2", "next 3 rows: repeat 2"),
        ("rows 2-9: work sc, +2 at middle every 1 rows", "rows 2-9: work sc, +2 at middle"),
        ("let k=(18/20-2)div 2", "let k = (18/20 - 2) div 2"),
        ("let k = 2 - (3 - 1) - (4)", "let k = 2 - (3 - 1) - 4"),
        ("let k = ( 2 * half ) + 2", "let k = 2*half + 2"),
        (
            "piece Hat “The hat”, Joined  Rounds, chains count, tch 2, make 2",
            'piece Hat "The hat", joined rounds, make 2, tch 2, chains count',
        ),
        ("Note  Weave in\n\t the ends.   ", "note Weave in\n  the ends."),
        ("chart Heart: .=space,X=block\n   .X.\n   XXX", "chart Heart: . = space, X = block\n  .X.\n  XXX"),
        ("gauge 18 st,22 rows=10cm in sc", "gauge 18 st, 22 rows = 10 cm in sc"),
        ("row 1: dc in 22nd ch, dc in 113th ch", "row 1: dc in 22nd ch, dc in 113th ch"),
    ],
)
def test_one_way_to_write_it(written: str, canonical: str) -> None:
    assert tidied_line(written) == canonical


@pytest.mark.parametrize(
    ("written", "canonical"),
    [
        ("row 1: sc to end # the base", "row 1: sc to end  # the base"),
        ("row 1: sc,   # first\n     3 dc", "row 1: sc,  # first\n  3 dc"),
        ("row 1: sc,\n# 2 hdc,\n  3 dc", "row 1: sc,\n  # 2 hdc,\n  3 dc"),
        ("row 1: [sc, # in the bracket\n  inc] x 6", "row 1: [sc, inc] x 6  # in the bracket"),
        ("row 1: sc,\n  3 dc # last\n  = 4", "row 1: sc,\n  3 dc = 4  # last"),
        ("row 1: sc\n    # on its own\nrow 2: sc", "row 1: sc\n  # on its own\nrow 2: sc"),
        ("note Weave # really\n  in.", "note Weave  # really\n  in."),
        (
            "chart Heart: X = block\n   XX # top\n   # between\n   X",
            "chart Heart: X = block\n  XX  # top\n  # between\n  X",
        ),
        ('row 1: "a # b" over 1 makes 1 #', 'row 1: "a # b" over 1 makes 1  #'),
        (
            "stitch frill: [2 dc in st, ch, 2 dc in st] x 3, (2 dc, 2 ch, 2 dc) in st, 3 dc in st  # by eye\n"
            '  "a fan of three shells"',
            "stitch frill: [2 dc in st, ch, 2 dc in st] x 3, (2 dc, 2 ch, 2 dc) in st, 3 dc in st  # by eye\n"
            '  "a fan of three shells"',
        ),
    ],
)
def test_comments_stay_in_place(written: str, canonical: str) -> None:
    assert tidied_line(written) == canonical
    assert tidied_line(canonical) == canonical


@pytest.mark.parametrize(
    ("written", "canonical"),
    [
        # Nothing is too long: the author's lines are kept outside brackets, and only there.
        ("row 1: sc,\n dc\n  , [tr,\n  sc] x 2", "row 1: sc,\n  dc,\n  [tr, sc] x 2"),
        ("piece Hat, joined rounds,\n  make 2", "piece Hat, joined rounds,\n  make 2"),
        # Too long: as few lines as will do.
        (f"row 1: {'12 hdc, ' * 13}dc = 157", f"row 1: {'12 hdc, ' * 10}12 hdc,\n  12 hdc, 12 hdc, dc = 157"),
        # A bracket is kept whole if it has room in a line,
        (
            f"row 1: {'12 hdc, ' * 8}[{'dc, ' * 9}tr] x 4, sc to end = 212",
            f"row 1: {'12 hdc, ' * 7}12 hdc,\n  [{'dc, ' * 9}tr] x 4, sc to end = 212",
        ),
        # and has lines of its own if it has not: behind a comma of its own, and not of a bracket within.
        (
            f"row 1: 3 sc, [{'dc, ' * 12}({'tr, ' * 9}dtr) in st, 5 dc] x 4, sc",
            f"row 1: 3 sc,\n  [{'dc, ' * 12}({'tr, ' * 9}dtr) in st,\n  5 dc] x 4, sc",
        ),
        # One bracket within another, and the inner one too long by itself.
        (
            f"row 1: [({'2 tr, ' * 20}dtr) in st] x 4",
            f"row 1: [({'2 tr, ' * 14}2 tr,\n  {'2 tr, ' * 5}dtr) in st] x 4",
        ),
        (
            f"row 1: sc to end = {'110 dc, ' * 11}4 sp",
            f"row 1: sc to end = {'110 dc, ' * 9}110 dc,\n  110 dc, 4 sp",
        ),
        # A total is parted before a bracket is.
        (
            f"row 1: [{'dc, ' * 18}tr] x 4 = {'4 dc, ' * 3}4 tr",
            f"row 1: [{'dc, ' * 18}tr] x 4 = 4 dc,\n  4 dc, 4 dc, 4 tr",
        ),
        # What has no comma has no place to break.
        (f'use "{"h" * 120}.tch"', f'use "{"h" * 120}.tch"'),
        (
            f'stitch fan: (2 dc, ch, 2 dc) in st "{"a fan " * 12}"',
            f'stitch fan: (2 dc, ch, 2 dc) in st\n  "{"a fan " * 12}"',
        ),
        (f"note {'Weave in, ' * 20}", f"note {'Weave in, ' * 19}Weave in,"),
    ],
)
def test_long_lines_are_broken_behind_commas(written: str, canonical: str) -> None:
    assert tidied_line(written) == canonical
    assert tidied_line(canonical) == canonical


def test_comments_stay_with_their_lines_where_a_bracket_is_broken() -> None:
    repeat = f"[{'dc, ' * 20}tr,  # the fan\n  {'dc, ' * 5}tr] x 2,  # twice\n  sc"
    assert tidied_line(f"row 1: {repeat}") == (
        f"row 1: [{'dc, ' * 20}tr, dc, dc,  # the fan\n  dc, dc, dc, tr] x 2,  # twice\n  sc"
    )


@st.composite
def rows_with_broken_lines(draw: st.DrawFn) -> str:
    """Return a row in which the author began new lines here and there, and often a long one."""
    row = draw(st.builds(s.Row, made_up.labels, made_up.bodies, made_up.settings, made_up.some_tallies))
    text = printed(s.Tree((s.Statement("", row),))).replace("\n  ", " ")
    pieces = re.split(r'("[^"]*")', text.strip())
    breaks = st.sampled_from([" "] * 5 + ["\n  "])
    return "".join(
        piece if quoted else re.sub(" ", lambda _: draw(breaks), piece)
        for piece, quoted in zip(pieces, itertools.cycle((False, True)), strict=False)
    )


@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(rows_with_broken_lines())
def test_wherever_lines_are_broken_the_tidy_form_says_the_same_and_stays(text: str) -> None:
    tree, faults = parse(Source("pattern.tch", HEADER + text + "\n"))
    assert faults == ()
    tidy = printed(tree)
    assert parse(Source("pattern.tch", tidy)) == (tree, ())
    assert tidied(tidy) == tidy
    for line in tidy.splitlines():
        assert len(line) <= WIDTH or "," not in re.sub('"[^"]*"', "", line)[:-1]


def test_blank_lines_are_kept_one_at_a_time() -> None:
    text = "\n\n# mine\nturnchain 1, US\n\n\n\nrow 1: sc\nrow 2: sc\n \t\n# end\n\n\n"
    assert tidied(text) == "# mine\nturnchain 1, US\n\nrow 1: sc\nrow 2: sc\n\n# end\n"


def test_a_faulty_line_is_left_as_it_is() -> None:
    text = "turnchain 1, US\nrow 1: 6 sc   in\n   , dc\nrow 2:  sc\n"
    assert tidied(text) == "turnchain 1, US\nrow 1: 6 sc   in\n   , dc\nrow 2: sc\n"


def test_an_empty_tree_is_an_empty_file() -> None:
    assert printed(s.Tree(())) == ""


def test_an_item_by_itself() -> None:
    tree, _ = parse(Source("pattern.tch", HEADER + "row 1: [sc,\n  2 sc in st] x6\n"))
    row = tree.statements[1].node
    assert isinstance(row, s.Row)
    assert isinstance(row.content, s.Body)
    assert printed_item(row.content.items[0]) == "[sc, 2 sc in st] x 6"


def test_a_comment_behind_items_stays_in_their_line() -> None:
    words = "one that is so long that it has a line of its own, however short the items before it are"
    text = f'turnchain 1, US\nstitch deep: 5 dc in st, ch  # the fan\n  "{words}"  # as told\n'
    assert printed(parse(Source("pattern.tch", text))[0]) == text
