"""Published work written in the language: what its books state of it holds, and their slips are found.

Each `.tch` file here is an example of a handbook in the public domain, named in its first lines. `stated.py`
has what the book says of it, or what follows from its words by hand. Where a book is wrong or can be read two
ways, a comment says which reading is taken, and `as-printed/` has the printed one with what the compiler says
to it. `table.md` tells how each is said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from turnchain.compiler.colours import by_yarn
from turnchain.compiler.counted import Block, CountedPiece, CountedRow
from turnchain.compiler.fabric import Named, Place, Repeat, Run, Segments, tally
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.parser import parse
from turnchain.lang.printer import printed
from turnchain.lang.source import Source
from turnchain.lang.stitches import vocabulary

from ..analysed import analysed
from .stated import MULTIPLES, PRINTED, ROWS, STARTS, STATED

HERE = Path(__file__).parent
EXAMPLES = sorted(HERE.glob("*.tch"))
AS_PRINTED = sorted((HERE / "as-printed").glob("*.tch"))
WAY_OUT = '" over '
"""What only the quoted way out, `"words" over 4 makes 2 dc`, has in it."""


def piece(found: Analysis, name: str) -> CountedPiece:
    (pattern,) = found.patterns
    return next(each for each in pattern.pieces if each.plan.node.name == name)


def rows(counted: CountedPiece) -> Iterator[CountedRow]:
    for part in counted.parts:
        if isinstance(part, Block):
            yield from part.rows


def row(counted: CountedPiece, number: int) -> CountedRow:
    """Return a row as counted; of like rows counted at once only the last can be asked for."""
    return next(each for each in rows(counted) if each.number + each.times - 1 == number)


def made(counted: CountedRow, kind: str, dialect: str) -> int:
    """Count stitches, a kind in the terms of the file, or a mark."""
    if kind == "st":
        return counted.stitches
    if kind.startswith("yarn "):
        return by_yarn(counted)[kind.removeprefix("yarn ")]
    counts = tally(counted.after.parts)
    stitch = vocabulary(dialect).find(kind)
    return counts[stitch.counts_as] if stitch else counts[kind] or counts[f"as {kind}"]


def spelled(counted: CountedRow) -> list[Place]:
    """Return each place that a row makes."""

    def places(parts: Segments) -> Iterator[Place]:
        for part in parts:
            match part:
                case Run(place, count):
                    yield from [place] * count
                case Repeat(inner, times):
                    yield from list(places(inner)) * times
                case Named(_, inner):
                    yield from places(inner)

    return list(places(counted.after.parts))


class TestExamples:
    @pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
    def test_compiles(self, path: Path) -> None:
        assert analysed(path).diagnostics == ()

    @pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
    def test_names_its_book(self, path: Path) -> None:
        first = path.read_text(encoding="utf-8").splitlines()[0]

        assert first.startswith("# ")
        assert "Project Gutenberg #" in first

    @pytest.mark.parametrize(
        "path", [*EXAMPLES, *AS_PRINTED], ids=lambda path: f"{path.parent.name}/{path.stem}"
    )
    def test_is_written_in_the_canonical_form(self, path: Path) -> None:
        text = path.read_text(encoding="utf-8")

        tree, _ = parse(Source(path.name, text))

        assert printed(tree) == text

    @pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
    def test_is_published(self, path: Path) -> None:
        assert render(document(analysed(path), "US", "full"), "markdown")

    def test_all_have_something_stated(self) -> None:
        assert sorted({example for example, *_ in STATED}) == [path.stem for path in EXAMPLES]

    def test_nine_in_ten_do_without_the_quoted_way_out(self) -> None:
        without = [path for path in EXAMPLES if WAY_OUT not in path.read_text(encoding="utf-8")]

        assert len(without) >= 0.9 * len(EXAMPLES)

    def test_the_table_has_them_all(self) -> None:
        table = (HERE / "table.md").read_text(encoding="utf-8")

        assert [path.stem for path in EXAMPLES if f"`{path.stem}`" not in table] == []

    def test_the_table_tells_which_are_said_in_words(self) -> None:
        table = (HERE / "table.md").read_text(encoding="utf-8")
        listed = table.partition("## What is said in words")[2].partition("In two others")[0]

        in_words = [path.stem for path in EXAMPLES if WAY_OUT in path.read_text(encoding="utf-8")]

        assert in_words == [path.stem for path in EXAMPLES if f"`{path.stem}`" in listed]


@pytest.mark.parametrize(("example", "of", "number", "counts"), STATED, ids=str)
def test_what_the_book_states_holds(example: str, of: str, number: int, counts: dict[str, int]) -> None:
    found = analysed(HERE / f"{example}.tch")

    counted = row(piece(found, of), number)

    assert counts == {kind: made(counted, kind, found.scope.dialect) for kind in counts}


@pytest.mark.parametrize(("example", "of", "places"), STARTS, ids=str)
def test_a_piece_begins_with_what_the_book_states(example: str, of: str, places: int) -> None:
    found = analysed(HERE / f"{example}.tch")

    first = next(rows(piece(found, of)))

    assert first.before.places - first.foundation == places


@pytest.mark.parametrize(("example", "of", "number"), ROWS, ids=str)
def test_a_piece_has_the_rows_that_the_book_states(example: str, of: str, number: int) -> None:
    found = analysed(HERE / f"{example}.tch")

    assert sum(each.times for each in rows(piece(found, of))) == number


@pytest.mark.parametrize(("example", "name", "start"), MULTIPLES, ids=str)
class TestMultiples:
    def test_every_multiple_suits(self, example: str, name: str, start: str) -> None:
        text = without_totals(example)

        for number in range(3, 10):
            found = analyse(Source("any.tch", re.sub(rf"let {name} = \d+", f"let {name} = {number}", text)))

            assert found.diagnostics == ()

    def test_one_stitch_more_does_not(self, example: str, name: str, start: str) -> None:
        text = without_totals(example)
        assert f"{{{start}}}" in text

        found = analyse(Source("any.tch", text.replace(f"{{{start}}}", f"{{{start} + 1}}")))

        assert found.has_errors


def without_totals(example: str) -> str:
    text = re.sub(r"\n +", " ", (HERE / f"{example}.tch").read_text(encoding="utf-8"))
    return re.sub(r"^(?!let )(.*) = [^={}\n]*$", r"\1", text, flags=re.MULTILINE)


class TestGrammarOfTheBooks:
    def test_brackets_count_all_turns_and_stars_the_turns_more(self) -> None:
        found = analysed(HERE / "handbook-1918-grammar.tch")

        assert spelled(row(piece(found, "Bracket"), 1)) == spelled(row(piece(found, "Star"), 1))

    def test_a_turning_chain_is_as_high_as_the_stitch(self) -> None:
        found = analysed(HERE / "handbook-1918-grammar.tch")

        heights = [each.opening.chains for each in rows(piece(found, "Heights")) if each.opening]

        assert heights == [1, 2, 3, 4, 5]

    def test_one_repetition_within_another_is_what_it_is_at_full_length(self) -> None:
        found = analysed(HERE / "work-book-grammar.tch")

        within, at_length = row(piece(found, "Repeats"), 1), row(piece(found, "Length"), 1)

        assert spelled(within) == spelled(at_length)

    def test_the_chain_of_a_ribbed_row_is_not_counted(self) -> None:
        found = analysed(HERE / "beeton-1870-ribbed-stitch.tch")

        openings = [each.opening for each in rows(piece(found, "Sample"))]

        assert {each and (each.chains, each.manner) for each in openings} == {(1, None)}


class TestAsPrinted:
    def test_each_is_pinned(self) -> None:
        assert sorted({example for example, *_ in PRINTED}) == [path.stem for path in AS_PRINTED]

    @pytest.mark.parametrize(
        ("example", "told"), PRINTED, ids=lambda each: each if isinstance(each, str) else ""
    )
    def test_what_is_wrong_is_told_where_it_is(
        self, example: str, told: list[tuple[str, str, dict[str, int | str]]]
    ) -> None:
        found = analysed(HERE / "as-printed" / f"{example}.tch")

        assert told == [
            (each.name, label(found.source, each.span[0]), each.facts) for each in found.diagnostics
        ]


def label(source: Source, at: int) -> str:
    """Return what stands before the colon of the row that a place in the text is in."""
    begun = max(found.start() for found in re.finditer(r"^(?! )", source.text[: at + 1], re.MULTILINE))
    return source.text[begun:].split(":")[0]
