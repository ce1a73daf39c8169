"""The stitches against the trade's published tables, written out here once more and not read from the data.

Status of a figure: "seen" was read in the named book or page; "memory" is recalled and was not looked up.
"""

from __future__ import annotations

import time
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from turnchain.lang import stitches
from turnchain.lang.stitches import Stitch, is_built_in, other_dialect, vocabulary

TABLE = tomllib.loads(Path(stitches.__file__).with_name("stitches.toml").read_text(encoding="utf-8"))

# US abbreviation and name, UK abbreviation and name.
# Seen: a yarn shop's US/UK conversion sheet and two general pages, save where a line says otherwise.
US_AND_UK = [
    ("ch", "chain", "ch", "chain"),
    ("sl st", "slip stitch", "ss", "slip stitch"),
    ("sc", "single crochet", "dc", "double crochet"),
    ("hdc", "half double crochet", "htr", "half treble"),
    ("dc", "double crochet", "tr", "treble"),
    ("tr", "treble", "dtr", "double treble"),
    ("dtr", "double treble", "trtr", "triple treble"),  # UK abbreviation from memory: the sheet prints ttr
    ("trtr", "triple treble", "qtr", "quadruple treble"),  # memory
    ("esc", "extended single crochet", "edc", "extended double crochet"),  # memory
]

# Handbook of Wool Knitting and Crochet (Needlecraft Publishing, 1918), seen: "one chain-stitch corresponds to
# a double, two ... half or short treble, three ... treble, four ... double treble, five ... triple treble",
# in British names. Whether the chain counts: common practice, no source.
TURNING_CHAINS = [("dc", 1, False), ("htr", 2, False), ("tr", 3, True), ("dtr", 4, True), ("trtr", 5, True)]

# What the trade abbreviates in US terms: the Craft Yarn Council's list, from memory as a whole; those of the
# first line were also seen in a public abbreviation list.
ABBREVIATIONS = {
    "ch": "chain", "dc": "double crochet", "dec": "decrease", "dtr": "double treble",
    "hdc": "half double crochet", "inc": "increase", "sc": "single crochet", "trtr": "triple treble",
    "FPsc": "front post single crochet", "FPhdc": "front post half double crochet",
    "FPdc": "front post double crochet", "FPtr": "front post treble", "FPdtr": "front post double treble",
    "BPsc": "back post single crochet", "BPhdc": "back post half double crochet",
    "BPdc": "back post double crochet", "BPtr": "back post treble", "BPdtr": "back post double treble",
    "esc": "extended single crochet", "ehdc": "extended half double crochet",
    "edc": "extended double crochet", "etr": "extended treble", "fsc": "foundation single crochet",
    "sc2tog": "single crochet 2 together", "sc3tog": "single crochet 3 together",
    "hdc2tog": "half double crochet 2 together", "dc2tog": "double crochet 2 together",
    "tr2tog": "treble 2 together",
}  # fmt: skip

NUMBERED = [
    "sc2tog",
    "fpdc2tog",
    "etr4tog",
    "tr9cluster",
    "dc2bobble",
    "hdc7puff",
    "dtr6popcorn",
    "dc5shell",
    "picot1",
]


def known(name: str, dialect: str = "US") -> Stitch:
    stitch = vocabulary(dialect).find(name)
    assert stitch is not None, f"{name} is no {dialect} stitch"
    return stitch


def every_stitch() -> list[Stitch]:
    return [known(name) for name in (*vocabulary("US").names, *NUMBERED)]


# ---- the trade's tables ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("us", "us_name", "uk", "uk_name"), US_AND_UK)
def test_us_and_uk_terms_are_the_published_ones(us: str, us_name: str, uk: str, uk_name: str) -> None:
    stitch = known("ss" if us == "sl st" else us)
    assert (us, us_name) == (stitch.us.abbreviation, stitch.us.name)
    assert (uk, uk_name) == (stitch.uk.abbreviation, stitch.uk.name)
    assert stitch is known(uk, "UK")


@pytest.mark.parametrize(("abbreviation", "name"), ABBREVIATIONS.items())
def test_abbreviations_are_the_published_ones(abbreviation: str, name: str) -> None:
    terms = known(abbreviation).terms("US")
    assert (abbreviation, name) == (terms.abbreviation, terms.name)


@pytest.mark.parametrize(("uk", "chains", "counts"), TURNING_CHAINS)
def test_turning_chains_are_those_of_the_handbook(uk: str, chains: int, counts: bool) -> None:
    stitch = known(uk, "UK")
    assert (chains, chains, counts) == (stitch.height, stitch.turning_chain, stitch.turning_chain_counts)


def test_a_slip_stitch_has_no_turning_chain() -> None:
    # common practice, no source
    assert known("ss").turning_chain == 0
    assert not known("ss").turning_chain_counts


def test_three_together_takes_two_away() -> None:
    # common practice, no source
    stitch = known("sc3tog")
    assert stitch.makes - stitch.uses == -2


def test_three_in_one_place_adds_two() -> None:
    # common practice, no source
    stitch = known("sc3shell")
    assert stitch.makes - stitch.uses == 2


def test_increase_and_decrease_are_of_single_crochet() -> None:
    # common practice, no source
    inc, dec, two_together = known("inc"), known("dec"), known("sc2tog")
    assert (inc.base, inc.uses, inc.makes, inc.counts_as) == ("sc", 1, 2, "sc")
    assert (dec.base, dec.legs, dec.uses, dec.makes, dec.counts_as) == ("sc", 2, 2, 1, "sc")
    assert dec.us_explanation == two_together.us_explanation
    assert known("inc", "UK") is inc
    assert "double crochet" in inc.explanation("UK")


@pytest.mark.parametrize("form", ["cluster", "bobble", "popcorn"])
def test_what_is_closed_in_one_place_is_one_stitch_of_its_own_kind(form: str) -> None:
    # common practice, no source
    stitch = known(f"dc5{form}")
    assert (form, "dc", 5, 1, 1) == (stitch.family, stitch.base, stitch.legs, stitch.uses, stitch.makes)
    assert stitch.counts_as == stitch.key
    assert (stitch.height, stitch.turning_chain) == (3, 3)


@pytest.mark.parametrize(
    ("name", "counts_as"),
    [
        ("dc3tog", "dc"),
        ("fpdc2tog", "fpdc"),
        ("dc5shell", "dc"),
        ("fpdc", "fpdc"),
        ("fsc", "sc"),
        ("edc", "edc"),
    ],
)
def test_kinds_in_a_total(name: str, counts_as: str) -> None:
    assert counts_as == known(name).counts_as


def test_a_shell_makes_its_stitches_in_one_place() -> None:
    shell = known("dc5shell")
    assert (shell.uses, shell.makes) == (1, 5)


def test_chains_and_picots_make_no_places() -> None:
    for name in ("ch", "picot3"):
        assert (known(name).uses, known(name).makes) == (0, 0)


def test_foundation_stitches_need_no_edge() -> None:
    assert [(known(name).uses, known(name).makes) for name in ("fsc", "fhdc", "fdc", "ftr")] == [(0, 1)] * 4


# ---- how they are worked -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "loops"),
    [
        ("sc2tog", 3),
        ("sc3tog", 4),
        ("hdc2tog", 5),
        ("dc3tog", 4),
        ("tr2tog", 3),
        ("hdc3puff", 7),
        ("dc5bobble", 6),
    ],
)
def test_the_loops_to_close(name: str, loops: int) -> None:
    # counted by hand on the hook: a leg leaves 1 loop, of half double crochet 2, and 1 was there before
    assert f"pull through all {loops} loops on the hook" in known(name).us_explanation


def loops_on_the_hook(explanation: str) -> int:
    """Work a plain stitch step by step; return the loops on the hook at its end."""
    loops = 1
    for step in explanation.rstrip(".").replace("(", "").replace(")", "").split(", "):
        times = 2 if step.endswith("twice") else int(step.split()[-2]) if step.endswith("times") else 1
        if "pull up a loop" in step:
            loops += 1
        elif "both loops" in step or "all " in step:
            named = 2 if "both" in step else int(step.split("all ")[1].split()[0])
            assert named == loops, f"{loops} loops on the hook at {step!r}"
            loops = 1
        elif "pull through" in step:
            loops -= times * (int(step.split("pull through ")[1].split()[0]) - 1)
        elif step.lower().startswith("yarn over"):
            loops += times
    return loops


@pytest.mark.parametrize("name", ["sc", "hdc", "dc", "tr", "dtr", "trtr", "esc", "ehdc", "edc", "etr"])
def test_the_steps_of_a_plain_stitch_leave_one_loop(name: str) -> None:
    assert loops_on_the_hook(known(name).us_explanation) == 1


@pytest.mark.parametrize("stitch", every_stitch(), ids=lambda stitch: stitch.key)
def test_each_dialect_explains_in_its_own_words(stitch: Stitch) -> None:
    us, uk = stitch.explanation("US"), stitch.explanation("UK")
    for text in (us, uk):
        assert text.endswith(".")
        assert "{" not in text
        assert text.lstrip("[")[0].isupper()
    assert "yarn round hook" not in us.lower()
    assert "around" not in uk
    assert "yarn over" not in uk.lower()
    assert "single crochet" not in uk
    assert us.lower().count("yarn over") == uk.lower().count("yarn round hook")


def test_a_popcorn_of_uk_trebles_speaks_of_trebles() -> None:
    assert known("tr5popcorn", "UK").explanation("UK").startswith("Work 5 trebles in the same place.")


# ---- the table as a whole ----------------------------------------------------------------------------------


@pytest.mark.parametrize("stitch", every_stitch(), ids=lambda stitch: stitch.key)
def test_every_stitch_is_whole(stitch: Stitch) -> None:
    for dialect in ("US", "UK"):
        terms = stitch.terms(dialect)
        assert all((terms.abbreviation, terms.name, terms.plural))
        assert vocabulary(dialect).find(stitch.source_name(dialect)) == stitch
    assert stitch.key == stitch.us_source
    assert 0 <= stitch.height <= 6
    assert stitch.turning_chain == stitch.height
    assert stitch.turning_chain_counts == (stitch.height >= 3)
    assert stitch.uses in {0, 1, stitch.legs}
    assert stitch.makes in {0, 1, stitch.legs}
    assert known(stitch.base).base == stitch.base
    assert known(stitch.counts_as).counts_as == stitch.counts_as


@pytest.mark.parametrize("dialect", ["US", "UK"])
def test_no_name_means_two_stitches(dialect: str) -> None:
    words = vocabulary(dialect)
    assert len(words.names) == len(set(words.names))
    found = [known(name, dialect) for name in words.names]
    assert len({stitch.key for stitch in found}) == len(found)
    printed = [stitch.terms(dialect).abbreviation for stitch in found]
    assert len(printed) == len(set(printed))


def test_every_datum_names_its_source() -> None:
    tables = [*TABLE["stitch"].values(), *TABLE["form"].values(), *TABLE["words"].values()]
    for table in [*tables, TABLE["plain"], TABLE["turning_chain"]]:
        assert any(word in table["source"] for word in ("seen", "from memory", "common practice, no source"))


def test_both_dialects_name_the_same_stitches() -> None:
    us, uk = vocabulary("US"), vocabulary("UK")
    assert [us.find(name) for name in us.names] == [uk.find(name) for name in uk.names]


@pytest.fixture
def nothing_read() -> Iterator[None]:
    """Read the table anew in the test, and again after it."""
    made_once = (
        stitches.vocabulary,
        stitches._tables,
        stitches._singles,
        stitches._shapes,
        stitches._numbered,
    )
    for made in made_once:
        made.cache_clear()
    yield
    for made in made_once:
        made.cache_clear()


@pytest.mark.usefixtures("nothing_read")
def test_the_vocabulary_is_made_once_and_fast() -> None:
    start = time.process_time()
    words = vocabulary("US")
    assert time.process_time() - start < 0.05  # 4 ms on the machine it was written on
    assert vocabulary("US") is words


@pytest.mark.usefixtures("nothing_read")
def test_a_new_stitch_is_one_table() -> None:
    tables = stitches._tables()
    tables["stitch"]["quadtr"] = {
        "family": "plain",
        "height": 7,
        "us": ["quadtr", "quadruple treble", "quadruple trebles"],
        "uk": ["quintr", "quintuple treble", "quintuple trebles"],
        "open": "{yo} 5 times, insert the hook {where}",
        "loops": 1,
    }
    assert known("quintr", "UK").turning_chain == 7
    assert known("quintr2tog", "UK") is known("quadtr2tog")
    assert known("quadtr2tog").us_explanation == (
        "[Yarn over 5 times, insert the hook in the next stitch] twice, "
        "yarn over and pull through all 3 loops on the hook."
    )
    assert "quadtr" in vocabulary("US").names


# ---- finding names -----------------------------------------------------------------------------------------


def test_capitals_do_not_matter() -> None:
    assert known("DC3Tog") is known("dc3tog")


@pytest.mark.parametrize(
    ("uk", "us"),
    [
        ("dc", "sc"), ("dc3tog", "sc3tog"), ("tr5bobble", "dc5bobble"), ("htr3puff", "hdc3puff"),
        ("fdc", "fsc"),
        ("edc", "esc"), ("fptr", "fpdc"), ("qtr2tog", "trtr2tog"), ("picot3", "picot3"), ("crab", "crab"),
    ],
)  # fmt: skip
def test_uk_words_find_the_same_stitch(uk: str, us: str) -> None:
    assert known(uk, "UK") is known(us, "US")


@pytest.mark.parametrize(
    "name", ["dc2tog", "dc99tog", "dc2bobble", "dc2popcorn", "dc2cluster", "hdc2puff", "picot1"]
)
def test_numbers_within_bounds(name: str) -> None:
    number = int("".join(filter(str.isdigit, name)))
    assert number == known(name).legs


@pytest.mark.parametrize(
    "name",
    [
        "dc1tog",
        "dc100tog",
        "dc0tog",
        "dc02tog",
        "dc1bobble",
        "picot0",
        "picot100",
        "dc3tog3",
        "dc٣tog",
        "dctog",
    ],
)
def test_numbers_out_of_bounds_are_no_stitch(name: str) -> None:
    assert vocabulary("US").find(name) is None
    assert not is_built_in(name)


@pytest.mark.parametrize(
    "name",
    ["x6", "sc6", "skip", "sk", "tog", "st", "sp", "ring", "same", "top", "shell", "frill", "slst", ""],
)
def test_other_words_are_free(name: str) -> None:
    assert not is_built_in(name)


def test_nothing_is_made_of_crab_stitch_or_chain() -> None:
    assert vocabulary("US").find("crab2tog") is None
    assert vocabulary("US").find("ch2tog") is None
    assert vocabulary("US").find("sc5bobble") is None


@pytest.mark.parametrize("name", ["sc", "HTR", "dc", "tr5bobble", "dc5bobble", "qtr", "inc"])
def test_a_stitch_of_either_dialect_is_built_in(name: str) -> None:
    assert is_built_in(name)


def test_a_word_of_the_other_dialect_is_told() -> None:
    assert other_dialect("sc", "UK") is known("sc")
    assert other_dialect("htr", "US") is known("hdc")
    assert other_dialect("dc5bobble", "UK") is known("dc5bobble")
    assert other_dialect("dc", "UK") is None
    assert other_dialect("frill", "UK") is None


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("hcd", "hdc"), ("scs", "sc"), ("chain", "ch"), ("slst", "ss"), ("SingleCrochet", "sc"),
        ("treble", "tr"),
        ("bobble", "dc5bobble"), ("dc7boble", "dc7bobble"), ("dc3tgo", "dc3tog"), ("sc2together", "sc2tog"),
        ("picot", "picot3"), ("incr", "inc"),
    ],
)  # fmt: skip
def test_near_names_are_offered(slip: str, meant: str) -> None:
    near = vocabulary("US").near(slip)
    assert meant in near[:2]
    assert len(near) <= 4
    assert all(vocabulary("US").find(name) for name in near)


def test_an_authors_own_names_are_offered_as_spelt() -> None:
    assert vocabulary("US").near("frll", ["Frill", "Peak"]) == ("Frill",)


def test_nothing_is_offered_for_a_strange_word() -> None:
    assert vocabulary("US").near("qqqq", ["Frill"]) == ()


def test_near_names_are_in_the_dialect_asked_for() -> None:
    assert vocabulary("UK").near("bobble") == ("tr5bobble",)
