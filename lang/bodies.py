"""Body measurements by part and size, from `bodies.toml`, each table with its source; lengths are in cm."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

SEXES = ("boys", "girls")


@dataclass(frozen=True, slots=True)
class BodySize:
    """One size of a table."""

    name: str
    cm: Fraction
    also: tuple[str, ...] = ()
    """Other names of it."""


@dataclass(frozen=True, slots=True)
class BodyTable:
    """Sizes from one source, smallest first."""

    source: str
    memory: bool
    """Whether the figures were written down from memory: no source was opened."""
    sizes: tuple[BodySize, ...]


@dataclass(frozen=True, slots=True)
class BodyPart:
    """A part of the body, and how it is measured."""

    name: str
    said: str
    """What messages call it."""
    how: str
    tables: tuple[BodyTable, ...]

    def named(self) -> Iterator[BodySize]:
        """Yield all sizes of all tables."""
        for table in self.tables:
            yield from table.sizes

    def size(self, name: str) -> BodySize | None:
        """Return the size of a name, whatever its capitals and blanks; None if there is none."""
        return _by_name(self).get(_plain(name))

    def falls_in(self, cm: Fraction) -> BodySize:
        """Return the size that is nearest to a measurement, the larger of two as near."""
        return min(self.named_for_both, key=lambda size: (abs(size.cm - cm), -size.cm))

    def covers(self, cm: Fraction) -> bool:
        """Tell whether a measurement is within the tables, or at most half a step of theirs beyond them."""
        found = sorted({size.cm for size in self.named_for_both})
        if len(found) < 2:
            return cm in found
        return found[0] - (found[1] - found[0]) / 2 <= cm <= found[-1] + (found[-1] - found[-2]) / 2

    @property
    def named_for_both(self) -> tuple[BodySize, ...]:
        """The sizes by which a measurement is looked up: those of boys or girls alone left out."""
        return tuple(size for size in self.named() if size.name.split()[0] not in SEXES)


@cache
def body_parts() -> Mapping[str, BodyPart]:
    """Return the parts by name, in the order of the data."""
    tables = tomllib.loads(
        Path(__file__).with_name("bodies.toml").read_text(encoding="utf-8"), parse_float=Fraction
    )
    return {
        name: BodyPart(
            name,
            part["said"],
            part["how"],
            tuple(
                BodyTable(table["source"], table.get("memory", False), tuple(_sizes(table["sizes"])))
                for table in part["tables"]
            ),
        )
        for name, part in tables.items()
    }


def _sizes(rows: list[dict[str, Any]]) -> Iterator[BodySize]:
    for row in rows:
        also = tuple(row.get("also", ()))
        if "cm" in row:
            yield BodySize(row["name"], Fraction(row["cm"]), also)
            continue
        boys, girls = (Fraction(row[sex]) for sex in SEXES)
        yield BodySize(row["name"], (boys + girls) / 2, also)
        yield BodySize(f"boys {row['name']}", boys, tuple(f"boys {each}" for each in also))
        yield BodySize(f"girls {row['name']}", girls, tuple(f"girls {each}" for each in also))


@cache
def _by_name(part: BodyPart) -> dict[str, BodySize]:
    return {_plain(name): size for size in part.named() for name in (size.name, *size.also)}


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("–", "-").split())
