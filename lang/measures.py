"""Lengths, weights, gauge, hooks and yarns: what a pattern's measurements mean.

Everything is exact (`Fraction`) until it is printed. Hook sizes come from `hooks.toml`, yarn weights from
`yarns.toml`, each figure with its source.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import ceil, floor
from pathlib import Path

from .syntax import Fit

Exact = int | Decimal | Fraction

LENGTHS = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "inch": Fraction("25.4"),
    "yd": Fraction("914.4"),
}
"""Millimetres in each unit: the international inch and yard agreed in 1959, 2.54 cm and 0.9144 m."""

WEIGHTS = {"g": Fraction(1), "oz": Fraction("28.349523125")}
"""Grams in each unit: the avoirdupois ounce, a sixteenth of the international pound of 0.45359237 kg."""

QUARTERS = ("", "¼", "½", "¾")


# ---- units -------------------------------------------------------------------------------------------------


def same_kind(a: str, b: str) -> bool:
    """Tell whether two units both measure length, or both weight."""
    return (a in LENGTHS and b in LENGTHS) or (a in WEIGHTS and b in WEIGHTS)


def convert(value: Exact, unit: str, to: str) -> Fraction:
    """Return `value` of `unit` in the unit `to`, exactly; ValueError unless they are of the same kind."""
    if not same_kind(unit, to):
        raise ValueError(f"{unit} and {to} do not measure the same thing")
    units = LENGTHS if unit in LENGTHS else WEIGHTS
    return Fraction(value) * units[unit] / units[to]


def in_both(*lengths: Exact) -> str:
    """Return centimetres in both systems, to 1 mm and the nearest quarter inch: `46.7 cm / 18½ in`.

    Several lengths are those of sizes: `46.7 (51.1) cm / 18½ (20) in`, or one where all are alike.
    """
    inches = (in_quarters(convert(each, "cm", "inch")) for each in lengths)
    return f"{_of_sizes(map(centimetres, lengths))} cm / {_of_sizes(inches)} in"


def _of_sizes(said: Iterable[str]) -> str:
    first, *others = said
    return first if set(others) <= {first} else f"{first} ({', '.join(others)})"


def centimetres(length: Exact) -> str:
    """Return centimetres to 1 mm: `46.7`."""
    return f"{Decimal(_nearest(Fraction(length) * 10)) / 10:f}".removesuffix(".0")


def in_quarters(value: Exact, *, up: bool = False) -> str:
    """Return a number to the nearest quarter, or to the next above: `18½`."""
    quarters = Fraction(value) * 4
    whole, quarter = divmod(ceil(quarters) if up else _nearest(quarters), 4)
    return f"{whole or ''}{QUARTERS[quarter]}" or "0"


def about(value: Exact) -> int:
    """Return an estimate rounded up to what it is worth: to 1 below 50, to 5 below 250, else to 10."""
    step = next((step for below, step in ((50, 1), (250, 5)) if value < below), 10)
    return ceil(Fraction(value) / step) * step


def _nearest(value: Fraction) -> int:
    """Return the nearest whole number, the higher of two that are equally near."""
    return floor(value + Fraction(1, 2))


# ---- gauge -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Gauge:
    """So many stitches and rows to a length of fabric."""

    stitches: Exact
    rows: Exact
    length: Exact
    """Centimetres, above 0."""
    stitch: str
    """Key of the stitch it is worked in; the name of one of the author's own, or `pattern`."""
    counted: str = ""
    """The stitch of the author's own that is counted in place of stitches."""
    is_own: bool = False
    """Whether it is worked in a stitch of the author's own."""
    rows_length: Exact | None = None
    """Centimetres that the rows measure, above 0; None for the same as the stitches."""

    def stitches_in(self, length: Exact) -> Fraction:
        """Return the stitches across `length` cm, unrounded."""
        return Fraction(length) * Fraction(self.stitches) / Fraction(self.length)

    def rows_in(self, length: Exact) -> Fraction:
        """Return the rows up `length` cm, unrounded."""
        return Fraction(length) * Fraction(self.rows) / Fraction(self.rows_length or self.length)

    def width(self, stitches: Exact) -> Fraction:
        """Return how many cm so many stitches measure across; the gauge must have some."""
        return Fraction(stitches) * Fraction(self.length) / Fraction(self.stitches)

    def height(self, rows: Exact) -> Fraction:
        """Return how many cm so many rows measure up; the gauge must have some."""
        return Fraction(rows) * Fraction(self.rows_length or self.length) / Fraction(self.rows)


def fitted(exact: Exact, fit: Fit | None = None) -> int:
    """Return the whole number nearest to `exact` that suits `fit`, the higher of two equally near.

    `multiple OF + PLUS` is PLUS and so many times OF on top, never less than PLUS; OF is at least 1. `up` is
    the next at `exact` or above, `down` the next at it or below.
    """
    if fit is None:
        return max(0, _nearest(Fraction(exact)))
    of, plus = {"odd": (2, 1), "even": (2, 0)}.get(fit.kind, (fit.of, fit.plus))
    rounded = {"up": ceil, "down": floor}.get(fit.way, _nearest)
    return plus + of * max(0, rounded((Fraction(exact) - plus) / of))


# ---- hooks -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class HookNames:
    """What a hook of one size is called; empty where a system has no name for it."""

    us: str = ""
    """Letter and number: `G-6`."""
    uk: str = ""
    """The old UK and Canadian number."""
    steel: str = ""
    """The number among US steel (thread) hooks."""


def hook_names(mm: Exact) -> HookNames | None:
    """Return the names of a hook of exactly `mm`; None if it is no usual size."""
    return _hooks().get(Fraction(mm))


def hook_sizes() -> tuple[Fraction, ...]:
    """Return the usual sizes in millimetres, smallest first."""
    return tuple(_hooks())


@cache
def _hooks() -> dict[Fraction, HookNames]:
    sizes = tomllib.loads(Path(__file__).with_name("hooks.toml").read_text(encoding="utf-8"))["sizes"]
    return {
        Fraction(mm): HookNames(names.get("us", ""), names.get("uk", ""), names.get("steel", ""))
        for mm, names in sizes.items()
    }


# ---- yarns -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class YarnClass:
    """A yarn weight category of the Craft Yarn Council."""

    number: int
    name: str
    types: tuple[str, ...]
    """The kinds of yarn listed under it; some are listed under two categories."""
    stitch: str
    """Key of the stitch that its gauge is in: `sc`, but `dc` for lace."""
    gauge: tuple[int, int]
    """Least and most stitches to 10 cm."""
    hook: tuple[Fraction, Fraction | None]
    """Least and most millimetres; None for no upper limit."""
    words: tuple[str, ...]
    """Names it goes by wherever they stand."""
    alone: tuple[str, ...]
    """Names it goes by only where they stand alone between commas or brackets."""


@cache
def yarn_classes() -> tuple[YarnClass, ...]:
    """Return the categories, thinnest first."""
    tables = tomllib.loads(
        Path(__file__).with_name("yarns.toml").read_text(encoding="utf-8"), parse_float=Fraction
    )
    return tuple(
        YarnClass(
            number=table["number"],
            name=table["name"],
            types=tuple(table["types"]),
            stitch=table["in"],
            gauge=tuple(table["gauge"]),
            hook=(Fraction(table["hook"][0]), Fraction(table["hook"][1]) if table["hook"][1:] else None),
            words=tuple(word.lower() for word in table["words"]),
            alone=(table["name"].lower(), *table["alone"]),
        )
        for table in tables["weight"]
    )


@dataclass(frozen=True, slots=True)
class Margin:
    """How far an estimate of yarn may be out, in percent."""

    measured: int
    """Where the stitches are those that were weighed."""
    rule: int
    """Beyond that, where all are others and a rule of thumb stands in."""
    step: int

    def of(self, others: Fraction) -> int:
        """Return the margin where a share of `others` was not weighed, 0 to 1, to the nearest step."""
        return self.step * _nearest((self.measured + self.rule * others) / self.step)


@cache
def yarn_margin() -> Margin:
    """Return what is bought more than an estimate says."""
    table = tomllib.loads(Path(__file__).with_name("yarns.toml").read_text(encoding="utf-8"))["margin"]
    return Margin(table["measured"], table["rule"], table["step"])


def yarn_class(text: str) -> YarnClass | None:
    """Return the category that an author's words name, as `DK (light)` does; None if none or several."""
    words, alone, pattern = _yarn_words()
    lowered = text.lower()
    parts = (part.strip() for part in re.split(r"[,;:()/]", lowered))
    found = {words[name] for name in pattern.findall(lowered)}
    found |= {alone[name] for part in parts if (name := re.sub(r" (weight|yarn)$", "", part)) in alone}
    return found.pop() if len(found) == 1 else None


@cache
def _yarn_words() -> tuple[dict[str, YarnClass], dict[str, YarnClass], re.Pattern[str]]:
    words = {word: yarn for yarn in yarn_classes() for word in yarn.words}
    alone = {word: yarn for yarn in yarn_classes() for word in yarn.alone}
    # Longest first, so that "light worsted" is not taken for "worsted".
    choices = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    return words, alone, re.compile(rf"(?<!\w)(?:{choices})(?!\w)")


def hook_is_usual(yarn: YarnClass, mm: Exact) -> bool:
    """Tell whether a hook of `mm` is what the council recommends for the yarn, or one size off it.

    One size smaller or larger is common practice, no source.
    """
    least, most = yarn.hook
    smaller = [size for size in _yarn_hooks() if size < least]
    larger = [size for size in _yarn_hooks() if most is not None and size > most]
    lowest = max(smaller, default=least)
    highest = min(larger, default=most)
    return lowest <= Fraction(mm) and (highest is None or Fraction(mm) <= highest)


@cache
def _yarn_hooks() -> tuple[Fraction, ...]:
    """Return the sizes that are not of steel hooks alone: those are too many to be a step apart."""
    return tuple(mm for mm, names in _hooks().items() if names.us or names.uk)
