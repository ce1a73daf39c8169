"""The ways in which the trade joins two edges, from `seams.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Method:
    """A way to join two edges."""

    key: str
    """`whip stitch`; for a crocheted seam the key of its stitch, such as `ss`."""
    sewn: bool
    """Whether it is sewn with a needle, not crocheted."""
    yarn: str
    """The key of the stitch whose yarn one stitch of it takes."""


@cache
def methods() -> tuple[Method, ...]:
    """Return every method, sewn ones first."""
    tables = tomllib.loads(Path(__file__).with_name("seams.toml").read_text(encoding="utf-8"))
    return tuple(Method(**table) for table in tables["seam"])


def method(key: str) -> Method | None:
    """Return the method of that key; None if there is none."""
    return next((each for each in methods() if each.key == key), None)
