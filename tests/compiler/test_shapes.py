"""Shapes against their geometry: outlines worked out with numpy, and hand-made figures."""

import pytest
from turnchain.compiler.shapes import (
    CORNERS,
    Fabric,
    ball,
    chevron_arm,
    cone,
    crown,
    disc,
    flatness,
    polygon,
)

np = pytest.importorskip("numpy")
integrate = pytest.importorskip("scipy.integrate")

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
    assert flatness(square, 2 * np.pi) == pytest.approx(1)
