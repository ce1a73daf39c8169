"""What pieces measure, by their rows: sums worked out by hand, and beside the compiler for made-up rows."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from turnchain.compiler.finished import Finished, finished
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

HEAD = "turnchain 1, US\npattern Example\n"


def lines(text: str) -> tuple[str, ...]:
    analysis = analyse(Source("pattern.tch", HEAD + text))
    assert not analysis.has_errors, [each.message for each in analysis.diagnostics]
    return document(analysis, "US", "full").measurements


def measured(text: str) -> Finished:
    analysis = analyse(Source("pattern.tch", HEAD + text))
    assert not analysis.has_errors, [each.message for each in analysis.diagnostics]
    (pattern,) = analysis.patterns
    found = finished(pattern.pieces[0], pattern.gauges)
    assert found is not None
    return found


def test_width_in_two_sizes_is_told_in_both_systems() -> None:
    """42 and 46 stitches at 9 to 10 cm: 420/9 = 46.67 cm = 18.37 in, 460/9 = 51.11 cm = 20.12 in."""
    found = lines(
        "sizes small, large\ngauge 9 st, 10 rows = 10 cm in sc\npiece Band, turned rows\n"
        "start for 42/46\nrows 1-20: sc to end\n"
    )
    assert found == ("Finished width: 46.7 (51.1) cm / 18¼ (20) in", "Finished length: 20 cm / 7¾ in")


def test_baby_hat() -> None:
    """Worked by hand: 16 sc and 17 rounds to 10 cm; 72 stitches are 45.0 cm around."""
    found = lines(
        "gauge 16 st, 17 rows = 10 cm in sc\npiece Hat, spiral rounds\nstart ring\n"
        "next rounds: work sc, crown of 45 cm, depth 17 cm, multiple 6 = 72\n"
    )
    assert found == (
        "Finished circumference: 45 cm / 17¾ in",
        "Finished length along the fabric: 17.1 cm / 6¾ in",
    )


def test_each_stitch_is_as_high_and_as_wide_as_its_own_gauge_says() -> None:
    """20 dc at 14 to 10 cm are 14.29 cm, 20 sc at 16 are 12.5 cm; 8 dc rows of 1.25 cm, 9 sc rows of 0.5."""
    found = measured(
        "gauge 16 st, 20 rows = 10 cm in sc\ngauge 14 st, 8 rows = 10 cm in dc\npiece Band, turned rows\n"
        "start for 20\nrows 1-8: dc to end\nrows 9-17: sc to end\n"
    )
    assert (float(found.first), float(found.last)) == pytest.approx((200 / 14, 12.5))
    assert float(found.length) == pytest.approx(8 * 1.25 + 9 * 0.5)


def test_a_row_is_as_high_as_its_tallest_stitch() -> None:
    found = measured(
        "gauge 16 st, 20 rows = 10 cm in sc\ngauge 16 st, 8 rows = 10 cm in dc\npiece Band, turned rows\n"
        "start for 20\nrows 1-3: [sc, dc] to end\n"
    )
    assert float(found.length) == pytest.approx(3 * 1.25)


def test_what_is_made_of_a_stitch_is_measured_by_it() -> None:
    found = measured(
        "gauge 16 st, 20 rows = 10 cm in sc\ngauge 16 st, 8 rows = 10 cm in fpdc\npiece Band, joined rounds\n"
        "start 20 ch, joined\nround 1: sc to end\nrounds 2-5: [fpdc, bpdc] to end\n"
    )
    assert float(found.length) == pytest.approx(0.5 + 4 * 1.25)


def test_a_post_stitch_is_measured_by_its_other_post_and_else_by_its_base() -> None:
    rows = "piece Band, joined rounds\nstart 20 fsc, joined\nrounds 1-4: [fpdc, bpdc] to end\n"
    gauges = "gauge 16 st, 20 rows = 10 cm in sc\ngauge 16 st, 8 rows = 10 cm in dc\n"
    assert float(measured(gauges + rows).length) == pytest.approx(0.5 + 4 * 1.25)
    of_post = "gauge 16 st, 10 rows = 10 cm in bpdc\n"
    assert float(measured(gauges + of_post + rows).length) == pytest.approx(0.5 + 4 * 1)


def test_slip_stitches_add_no_height() -> None:
    text = "gauge 10 st, 10 rows = 10 cm in sc\npiece Band, turned rows\nstart for 20\nrows 1-3: sc to end\n"
    assert measured(text).length == measured(text + "row 4: ss to end\n").length == 3


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("rows 1-9: sc to end", "Finished width: 20 cm / 7¾ in"),
        (
            "rows 1-2: sc to end\nrows 3-8: work sc, +1 at each end",
            "Finished width: 20 cm / 7¾ in at the beginning, 32 cm / 12½ in at the end",
        ),
        (
            "rows 1-2: sc to end\nrows 3-6: work sc, +1 at each end\nrows 7-9: work sc, -1 at each end",
            "Finished width: 20 cm / 7¾ in at the beginning, 28 cm / 11 in at the widest, "
            "22 cm / 8¾ in at the end",
        ),
        (
            "rows 1-2: sc to end\nrows 3-6: work sc, -1 at each end\nrows 7-9: work sc, +1 at each end",
            "Finished width: 20 cm / 7¾ in at the beginning, 12 cm / 4¾ in at the narrowest, "
            "18 cm / 7 in at the end",
        ),
        # A frill over skipped places makes the edge no wider; a mesh is as wide as what it stands over.
        (
            "rows 1-2: sc to end\nrow 3: [sc, skip 1, 5 dc in st, skip 1] to end",
            "Finished width: 20 cm / 7¾ in",
        ),
        ("row 1: dc, [ch, skip 1, dc] to last 1, dc", "Finished width: about 20 cm / 8 in"),
    ],
)  # fmt: skip
def test_widths(rows: str, said: str) -> None:
    text = "gauge 10 st, 10 rows = 10 cm in sc\ngauge 10 st, 4 rows = 10 cm in dc\n"
    assert lines(f"{text}piece Band, turned rows\nstart for 20\n{rows}\n")[0] == said


@pytest.mark.parametrize(
    ("rounds", "said"),
    [
        # 12 rounds of 0.5 cm make 12 cm across, whatever the corners.
        ("work sc, disc of 12 cm", "Finished diameter: 12 cm / 4¾ in"),
        ("work sc, square of 12 cm", "Finished width from side to side: 12 cm / 4¾ in"),
        ("work sc, hexagon of 12 cm", "Finished width from side to side: 12 cm / 4¾ in"),
        # Around its middle 50 stitches of 0.5 cm, so 25 cm / pi across.
        ("work sc, ball of 8 cm", "Finished diameter when stuffed: 8 cm / 3¼ in"),
        ("work sc, cone of 4 cm, height 12 cm", "Finished circumference: 12.5 cm / 5 in"),
    ],
)
def test_what_begins_in_a_ring(rounds: str, said: str) -> None:
    text = "gauge 20 st, 20 rows = 10 cm in sc\npiece Toy, joined rounds\nstart ring\nnext rounds: "
    assert lines(text + rounds + "\n")[0] == said


def test_a_square_with_chains_at_its_corners() -> None:
    """Three rounds of 1.25 cm make 7.5 cm across."""
    text = (
        "gauge 15 st, 8 rows = 10 cm in dc\npiece Square, joined rounds\nstart 4 ch, joined\n"
        "round 1: [3 dc in ring, 2 ch as corner] x 4\n"
        "rounds 2-3: [dc to corner, (2 dc, 2 ch as corner, 2 dc) in corner] x 4, dc to end\n"
    )
    assert lines(text) == ("Finished width from side to side: 7.5 cm / 3 in",)


def test_each_size_by_its_own_gauge() -> None:
    """36 stitches at 18 to 10 cm and 40 at 20 are 20 cm; 20 rows are 10 cm at 20, and 9.09 at 22."""
    found = lines(
        "sizes small, large\ngauge 18/20 st, 20/22 rows = 10 cm in sc\npiece Band, turned rows\n"
        "start for 36/40\nrows 1-20: sc to end\n"
    )
    assert found == ("Finished width: 20 cm / 7¾ in", "Finished length: 10 (9.1) cm / 4 (3½) in")


SHELLS = (
    'stitch shell: 5 dc in st "five in one"\npiece Band, turned rows\nstart for 37\nrow 1: sc to end\n'
    "row 2: sc, [skip 2, shell, skip 2, sc] to end\nrow 3: sc to end\nrow 4: repeat 2\n"
)


def test_rows_of_shells_by_the_gauge_that_counts_them() -> None:
    """Six shells at two to 9 cm are 27 cm, whatever the rows between them have; four rows at 8 to 10."""
    found = measured(f"gauge 2 shell = 9 cm, 8 rows = 10 cm in shell\n{SHELLS}")
    assert (found.first, found.last, found.length, found.about) == (27, 27, 5, False)


def test_rows_of_shells_by_a_gauge_that_counts_stitches() -> None:
    """37 stitches at 20 to 10 cm are 18.5 cm; rows of sc go by their own gauge, 37 at 16 are 23.1 cm."""
    text = f"gauge 16 st, 20 rows = 10 cm in sc\ngauge 20 st, 8 rows = 10 cm in shell\n{SHELLS}"
    found = measured(text)
    assert (float(found.first), float(found.last)) == pytest.approx((23.125, 18.5))
    assert float(found.length) == pytest.approx(2 * 0.5 + 2 * 1.25)


def test_a_gauge_in_pattern_measures_rows_as_they_come() -> None:
    """A mesh of 20 places at 10 to 10 cm is 20 cm, and nothing is about it."""
    text = "gauge 10 st, 4 rows = 10 cm in pattern\npiece Band, turned rows\nstart for 20\n"
    found = lines(f"{text}row 1: dc, [ch, skip 1, dc] to last 1, dc\n")
    assert found == ("Finished width: 20 cm / 7¾ in", "Finished length: 2.5 cm / 1 in")


GRID = (
    "sizes lap, bed\ngauge 15 st, 8 rows = 10 cm in dc\ngauge 15 st, 20 rows = 10 cm in sc\n"
    "piece Square, joined rounds\nstart 4 ch, joined\nround 1: [3 dc in ring, 2 ch as corner] x 4\n"
    "round 2 begin corner: [(2 dc, 2 ch as corner, 2 dc) in corner, dc to corner] x 4\n"
    'piece Blanket "The blanket", 4/6 x 5 of Square, {how}\n'
)


@pytest.mark.parametrize("how", ["joined at corner", "sewn in whip stitch"])
def test_motifs_in_a_grid(how: str) -> None:
    """Two rounds of 1.25 cm make 5 cm a motif: 20 (30) by 25 cm. A join or a seam takes nothing away."""
    text = GRID.format(how=how)
    assert lines(text) == (
        "Square, finished width from side to side: 5 cm / 2 in",
        "The blanket, finished width: 20 (30) cm / 7¾ (11¾) in",
        "The blanket, finished length: 25 cm / 9¾ in",
    )


def test_borders_around_a_flat_piece() -> None:
    """20 by 10 cm; 2 rounds of 0.5 cm around it make 22 by 12, and one more 23 by 13."""
    text = (
        "gauge 10 st, 20 rows = 10 cm in sc\npiece Mat, turned rows\nstart for 20\nrows 1-20: sc to end\n"
        'piece Border "The border", joined rounds\nstart along around of Mat\nrounds 1-2: sc to end\n'
        'piece Outer "Outer border", joined rounds\nstart along around of Border\nround 1: sc to end\n'
    )
    assert lines(text)[2:] == (
        "The border, finished depth: 1 cm / ½ in",
        "Mat with the border, finished width: 22 cm / 8¾ in",
        "Mat with the border, finished length: 12 cm / 4¾ in",
        "Outer border, finished depth: 0.5 cm / ¼ in",
        "Mat with the Outer border, finished width: 23 cm / 9 in",
        "Mat with the Outer border, finished length: 13 cm / 5 in",
    )


@pytest.mark.parametrize("arm", [3, 5, 9])
@pytest.mark.parametrize(("stitches", "rows"), [(16, 18), (12, 7), (20, 24)])
def test_zigzags_draw_in_as_their_slopes_lean(arm: int, stitches: int, rows: int) -> None:
    """In the plane, with numpy: row by row the peaks lie one stitch further along both slopes beside them.

    A slope is laid so that its peaks stand one above the other. Area is kept: what is narrower is longer.
    """
    wide, high = 10 / stitches, 10 / rows
    peaks = np.array([[-wide, high], [0.0, 0.0]])  # of two rows, along the slope and across it
    up = peaks[0] - peaks[1]
    turn = np.array([[up[1], -up[0]], [up[0], up[1]]]) / np.hypot(*up)
    aside, above = turn @ np.array([wide, 0.0]), turn @ up
    assert above[0] == pytest.approx(0)
    points = 4
    found = measured(
        f"gauge {stitches} st, {rows} rows = 10 cm in sc\npiece Wrap, turned rows\n"
        f"start for {2 * arm * points + 1}\n"
        f"rows 1-9: sc2tog, [{arm - 2} sc, 3 sc in st, {arm - 2} sc, sc3tog] x {points - 1}, "
        f"{arm - 2} sc, 3 sc in st, {arm - 2} sc, sc2tog\n".replace(" 0 sc,", "")
    )
    assert float(found.last) == pytest.approx(abs(aside[0]) * (2 * arm * points + 1))
    assert float(found.length) == pytest.approx(9 * abs(above[1]))
    assert float(found.last * found.length) == pytest.approx((2 * arm * points + 1) * wide * 9 * high)


@pytest.mark.parametrize("row", ["[sc2tog, 2 sc in st] to end", "2 sc in st, sc to last 2, sc2tog"])
def test_a_texture_and_rows_that_shift_lie_as_wide_as_they_are(row: str) -> None:
    text = f"gauge 10 st, 10 rows = 10 cm in sc\npiece Band, turned rows\nstart for 30\nrows 1-9: {row}\n"
    assert measured(text).last == 30


def test_a_wave_in_pattern_is_as_wide_as_its_gauge_says() -> None:
    text = (
        "gauge 14 st = 8 cm, 10 rows = 10 cm in pattern\npiece Wrap, turned rows\nstart for 29\n"
        "rows 1-10: sc2tog, 5 sc, 3 sc in st, 5 sc, sc3tog, 5 sc, 3 sc in st, 5 sc, sc2tog\n"
    )
    found = measured(text)
    assert (float(found.last), found.length, found.about) == (pytest.approx(29 * 8 / 14), 10, False)


def test_no_gauge_no_measurements() -> None:
    assert lines("piece Band, turned rows\nstart for 20\nrow 1: sc to end\n") == ()


@given(
    st.integers(5, 60),
    st.lists(st.tuples(st.sampled_from(["sc", "dc"]), st.integers(1, 9)), min_size=1, max_size=6),
    st.integers(8, 30),
    st.integers(6, 40),
)
@settings(max_examples=300)
def test_lengths_are_sums_of_rows(
    have: int, stretches: list[tuple[str, int]], stitches: int, rows: int
) -> None:
    body = "".join(f"next {many} rows: {stitch} to end\n" for stitch, many in stretches)
    found = measured(
        f"gauge {stitches} st, {rows} rows = 10 cm in sc\ngauge {stitches} st, {rows} rows = 4 inch in dc\n"
        f"piece Band, turned rows\nstart for {have}\n{body}"
    )
    heights = {"sc": 10 / rows, "dc": 10.16 / rows}
    widths = {"sc": 10 / stitches, "dc": 10.16 / stitches}
    assert float(found.length) == pytest.approx(sum(heights[stitch] * many for stitch, many in stretches))
    assert float(found.first) == pytest.approx(have * widths[stretches[0][0]])
    assert float(found.last) == pytest.approx(have * widths[stretches[-1][0]])


def test_whom_it_fits_is_told() -> None:
    body = "piece Band, turned rows\nstart for {stitches(head)}\nrow 1: sc to end\n"
    gauge = "gauge 10 st, 10 rows = 10 cm in sc\n"
    assert lines(f"sizes 12 months, woman\n{gauge}fit head, ease -2 cm\n{body}")[0] == (
        "To fit: head 45.5 (55.5) cm / 18 (21¾) in, with about 2 cm / ¾ in of negative ease"
    )
    assert lines(f"sizes small, large\n{gauge}fit head of 44/56 cm, ease 1/2 cm\n{body}")[0] == (
        "To fit: head 44 (56) cm / 17¼ (22) in, which is about 9 months (woman), "
        "with 1 (2) cm / ½ (¾) in of ease"
    )
