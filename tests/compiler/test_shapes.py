"""Shapes against their geometry: outlines worked out with numpy, and hand-made figures."""

from math import lcm

import numpy as np
import pytest
from scipy import integrate
from turnchain.compiler.counted import Block
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.shapes import (
    CORNERS,
    Fabric,
    ball,
    chevron_arm,
    cone,
    crown,
    disc,
    flat_growth,
    polygon,
)
from turnchain.lang.source import Source

RANDOM = np.random.default_rng(4)
CASES = [
    (Fabric(float(w), float(h)), float(across), float(high))
    for w, h, across, high in zip(
        RANDOM.uniform(0.2, 1.2, 1500),
        RANDOM.uniform(0.2, 2.0, 1500),
        RANDOM.uniform(4, 60, 1500),
        RANDOM.uniform(2, 60, 1500),
        strict=True,
    )
]


def _near(counts, ideal, by=0.5):
    assert len(counts) == len(ideal)
    assert np.abs(np.array(counts) - ideal).max() <= by + 1e-9


def _length(radius, start, end):
    """Return the length of a curve of revolution's outline by numerical integration."""

    def element(x):
        slope = (radius(x + 1e-6) - radius(x - 1e-6)) / 2e-6
        return float(np.hypot(1, slope))

    return float(integrate.quad(element, start, end, limit=200)[0])


@pytest.mark.parametrize("part", range(3))
def test_rounds_follow_the_outline_to_half_a_stitch(part: int) -> None:
    for fabric, across, high in CASES[part::3]:
        counts = disc(fabric, across)
        radii = fabric.height * np.arange(1, len(counts) + 1)
        _near(counts, 2 * np.pi * radii / fabric.width)
        assert abs(radii[-1] - across / 2) <= fabric.height / 2 + 1e-9 or len(counts) == 1

        counts = ball(fabric, across)
        zones = np.linspace(0, np.pi, 2 * len(counts) + 1)[1::2]
        _near(counts, np.pi * across * np.sin(zones) / fabric.width)
        assert (
            abs(len(counts) * fabric.height - np.pi * across / 2) <= fabric.height / 2 + 1e-9
            or len(counts) == 1
        )

        counts = cone(fabric, across, high)
        steps = np.linspace(0, across / 2, len(counts) + 1)[1:]
        _near(counts, 2 * np.pi * steps / fabric.width)
        slant = np.linalg.norm([high, across / 2])
        assert abs(len(counts) * fabric.height - slant) <= fabric.height / 2 + 1e-9 or len(counts) == 1

        for corners in CORNERS.values():
            counts = polygon(fabric, corners, across)
            apothems = fabric.height * np.arange(1, len(counts) + 1)
            turn = np.exp(2j * np.pi * np.arange(corners + 1) / corners)
            perimeter = np.abs(np.diff(turn)).sum() / np.cos(np.pi / corners) * apothems
            ideal = np.maximum(perimeter / fabric.width, corners / 2)
            _near(counts, ideal, corners / 2)

        hat = crown(fabric, across, high)
        if hat is not None:
            outline = np.minimum(2 * np.pi * fabric.height * np.arange(1, len(hat) + 1), across)
            _near(hat, outline / fabric.width)


def test_the_half_great_circle_by_integration() -> None:
    assert _length(lambda x: np.sqrt(max(0.0, 16 - x * x)), -3.999, 3.999) == pytest.approx(
        np.pi * 4, rel=0.02
    )


def test_a_chevron_is_as_wide_as_asked() -> None:
    for fabric, across, _ in CASES:
        arm = chevron_arm(fabric, across)
        # The line of peaks moves a stitch along the row for each row up.
        along = np.array([fabric.width, fabric.height])
        one = fabric.width * along[1] / np.linalg.norm(along)
        assert arm == 3 or abs(arm * one - across / 2) <= one / 2 + 1e-9


def test_figures_worked_out_by_hand() -> None:
    square = Fabric(1.0, 1.0)
    # S_i = C sin(pi (i - 1/2) / N) with C = 24, N = 12, worked out by hand.
    assert ball(square, 24 / np.pi) == (3, 9, 15, 19, 22, 24, 24, 22, 19, 15, 9, 3)
    assert polygon(square, 4, 6) == (8, 16, 24)
    assert disc(Fabric(1.0, 0.955), 8) == (6, 12, 18, 24)
    assert cone(square, 8 / np.pi, 3.8) is not None
    assert crown(square, 18, 2) is None
    assert crown(square, 18, 5) == (6, 13, 18, 18, 18)
    assert flat_growth(square) == pytest.approx(2 * np.pi)
    assert flat_growth(square, 4) == pytest.approx(8)


def worked(text: str, fabric: Fabric, start: str, manner: str) -> list[int]:
    """Return the counts of the rows as they are checked and published, after those that stand above."""
    gauge = f"gauge {1000 / fabric.width:.4f} st, {1000 / fabric.height:.4f} rows = 1000 cm in sc"
    analysis = analyse(
        Source(
            "pattern.tch",
            f"turnchain 1, US\npattern Example\n{gauge}\npiece Toy, {manner}\n{start}\n{text}\n",
        )
    )
    assert not analysis.has_errors, [(each.message, each.help) for each in analysis.diagnostics]
    block = analysis.patterns[0].pieces[0].parts[-1]
    assert isinstance(block, Block)
    return [row.stitches for row in block.rows for _ in range(row.times)]


@pytest.mark.parametrize("multiple", [1, 4, 6, 7])
def test_published_rounds_follow_the_outline(multiple: int) -> None:
    """A round misses the outline by half of the author's multiple at most; of a polygon, each side does."""
    fit = f", multiple {multiple}" if multiple > 1 else ""
    for fabric, across, high in CASES[multiple::75]:
        by = multiple / 2 + 0.01
        rounds = f"next rounds: work sc, {{}}{fit}"

        counts = worked(rounds.format(f"disc of {across:.3f} cm"), fabric, "start ring", "spiral rounds")
        at = np.arange(1, len(counts) + 1)
        ideal = 2 * np.pi * fabric.height * at / fabric.width
        _near(counts, np.maximum(ideal, multiple), by)

        counts = worked(rounds.format(f"ball of {across:.3f} cm"), fabric, "start ring", "spiral rounds")
        angles = (np.arange(len(counts)) + 0.5) * np.pi / len(counts)
        _near(counts, np.maximum(np.pi * across / fabric.width * np.sin(angles), multiple), by)

        shape = f"cone of {across:.3f} cm, height {high:.3f} cm"
        counts = worked(rounds.format(shape), fabric, "start ring", "spiral rounds")
        ideal = np.pi * across / fabric.width * np.arange(1, len(counts) + 1) / len(counts)
        _near(counts, np.maximum(ideal, multiple), by)

        for name, corners in CORNERS.items():
            text = rounds.format(f"{name} of {min(across, 30):.3f} cm")
            counts = worked(text, fabric, "start ring", "joined rounds")
            unit = lcm(corners, multiple)
            at = np.arange(1, len(counts) + 1)
            ideal = corners * 2 * np.tan(np.pi / corners) * fabric.height * at / fabric.width
            assert all(count % unit == 0 for count in counts)
            _near(counts, np.maximum(ideal, unit), unit / 2 + 0.01)


@pytest.mark.parametrize("spot", ["each end", "start", "end"])
@pytest.mark.parametrize("manner", ["turned rows", "right-side rows"])
def test_published_rows_follow_straight_edges(spot: str, manner: str) -> None:
    """A sleeve or a triangle: each edge that is shaped misses the line by half a stitch at most.

    Turned rows change on one side of the work only, so that the rows between may miss it by half more.
    """
    places = 2 if spot == "each end" else 1
    tried = 0
    for fabric, across, high in CASES[::15]:
        have = 8 + int(across)
        to, rows = across * 1.7, round(high / fabric.height)
        steps = round((to / fabric.width - have) / places)
        most = (rows // 2) if manner == "turned rows" else rows
        if not 0 < abs(steps) < most - 1 or have + steps * places < 4:
            continue
        tried += 1
        text = f"next rows: work sc, to {to:.3f} cm at {spot} over {high:.3f} cm"
        start = f"start for {have}\nrow 1: sc to end"
        counts = np.array(worked(text, fabric, start, manner))
        assert abs(len(counts) - high / fabric.height) <= 0.51
        assert abs(counts[-1] * fabric.width - to) <= places * (fabric.width / 2 + 1e-3)
        line = have + (counts[-1] - have) * np.arange(1, len(counts) + 1) / len(counts)
        missed = np.abs(counts - line) / places
        assert missed.max() <= (1 if manner == "turned rows" else 0.5) + 1e-9
        if manner == "turned rows":
            assert missed[1::2].max() <= 0.5 + 1e-9
    assert tried > 15


def test_roundings_that_a_shape_cannot_have() -> None:
    fabric = Fabric(0.6, 0.6)
    for text, said in (
        ("next rounds: work sc, square of 8 cm, odd", "4 sides alike"),
        ("next rounds: work sc, hexagon of 8 cm, multiple 6 + 1", "6 sides alike"),
    ):
        with pytest.raises(AssertionError, match=said):
            worked(text, fabric, "start ring", "joined rounds")
    with pytest.raises(AssertionError, match="can't be rounded"):
        worked(
            "rows 2-3: work sc, chevron of 10 cm, even",
            fabric,
            "start for 49\nrow 1: sc to end",
            "turned rows",
        )


def test_a_hat_is_deep_enough_at_the_depth_that_is_offered() -> None:
    fabric = Fabric(0.625, 0.588)
    with pytest.raises(AssertionError, match=r"give a depth of 5\.4 cm or more"):
        worked("next rounds: work sc, crown of 30 cm, depth 4 cm", fabric, "start ring", "spiral rounds")
    assert (
        worked("next rounds: work sc, crown of 30 cm, depth 5.4 cm", fabric, "start ring", "spiral rounds")[
            -1
        ]
        == 48
    )
