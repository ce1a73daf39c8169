"""Facts of the trade that no program decides, each with where it is known from."""

from __future__ import annotations

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.lang.source import Source


def counts(*lines: str) -> list[int]:
    text = "\n".join(["turnchain 1, US", "pattern Fact", *lines])
    analysis = analyse(Source("fact.tch", text))
    assert analysis.diagnostics == ()
    (pattern,) = analysis.patterns
    return [
        row.stitches
        for part in pattern.pieces[0].parts
        for row in part.rows  # type: ignore[union-attr]
        for _ in range(row.times)
    ]


FLAT = ("piece Swatch, turned rows", "start 21 ch", "row 1: sc to end")


class TestShaping:
    """Common practice, no source."""

    def test_three_in_one_place_adds_two(self) -> None:
        start = ("piece Swatch, turned rows", "start 22 ch", "row 1: sc to end")

        assert counts(*start, "row 2: sc to middle, 3 sc in st, sc to end") == [21, 23]

    def test_three_together_takes_two_away(self) -> None:
        assert counts(*FLAT, "row 2: 5 sc, sc3tog, sc to end") == [20, 18]

    @pytest.mark.parametrize(("stitch", "step"), [("sc", 6), ("hdc", 8), ("dc", 12), ("tr", 16)])
    def test_flat_circle_grows_by_the_same_number_each_round(self, stitch: str, step: int) -> None:
        rounds = [
            f"round 1: {step} {stitch} in ring",
            f"round 2: [2 {stitch} in st] x {step}",
            f"rounds 3-8: [{{row - 2}} {stitch}, 2 {stitch} in st] x {step}",
        ]

        made = counts("piece Disc, joined rounds", "start ring", *rounds)

        assert made == [step * number for number in range(1, 9)]


class TestTurningChains:
    """Handbook of Wool Knitting and Crochet (1918), on turning, gives one chain
    for a (US) single crochet, two for a half double, three for a double, four for a treble, five for a double
    treble. That dc and taller count as a stitch, sc and hdc not: common practice, no source."""

    @pytest.mark.parametrize(
        ("stitch", "chains", "counted"),
        [("sc", 1, False), ("hdc", 2, False), ("dc", 3, True), ("tr", 4, True), ("dtr", 5, True)],
    )
    def test_foundation_gives_this_many_stitches(self, stitch: str, chains: int, counted: bool) -> None:
        made = counts("piece Swatch, turned rows", "start 30 ch", f"row 1: {stitch} to end")

        assert made == [30 - chains + counted]

    def test_foundation_of_a_jacket(self) -> None:
        """Handbook of Wool Knitting and Crochet (1918), hug-me-tight: chain 140, miss 3, 68 trebles (US dc),
        a shell in the next, and 68 more; with the chain that stands for one, 143 in all."""
        row = "row 1: 69 dc, (3 dc, 2 ch, 3 dc) in st, dc to end"

        assert counts("piece Jacket, turned rows", "start 140 ch", row) == [69 + 6 + 68]


class TestHandbookRounds:
    def test_tam_crown(self) -> None:
        """Handbook of Wool Knitting and Crochet (1918), tam-o'-shanter: 7 doubles (US sc) in the ring, 7 more
        each round until 30 stand between widenings; then every 8th, 7th and 3rd is missed: 224, 196, 168,
        112."""
        made = counts(
            "piece Tam, spiral rounds",
            "start 3 ch, joined",
            "round 1: 7 sc in ring",
            "round 2: 7 inc",
            "rounds 3-32: [{row - 2} sc, inc] x 7",
            "round 33: [7 sc, skip 1] to end",
            "round 34: [6 sc, skip 1] to end",
            "round 35: [2 sc, skip 1] to end",
            "rounds 36-45: sc to end",
        )

        assert made[:5] == [7, 14, 21, 28, 35]
        assert made[31:36] == [224, 196, 168, 112, 112]
        assert len(made) == 45


class TestFilet:
    """Thérèse de Dillmont, Encyclopedia of Needlework (1886), on copying squared patterns in crochet:
    for each
    square of the ground 1 treble and 2 chains, in solid parts 3 trebles; a solid square between empty ones
    has 4 trebles, two 7, three 10 (her treble is the US double)."""

    @pytest.mark.parametrize(("squares", "trebles"), [(1, 4), (2, 7), (3, 10)])
    def test_solid_squares_between_empty_ones(self, squares: int, trebles: int) -> None:
        chart = f"chart Solid: . = space, X = block\n  .{'X' * squares}."
        piece = ("piece Net, turned rows", f"start for {3 * (squares + 2) + 1}")

        made = counts(chart, *piece, "row 1: chart Solid", "row 2: chart Solid row 1")

        assert made == [trebles + 2] * 2
