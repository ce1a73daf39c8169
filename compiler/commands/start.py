"""`turnchain start`: a small pattern to begin from."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

from .. import files
from . import WRONG_USE, Outcome

PATTERN = """turnchain 1, US
pattern {title}
level easy
hook 5 mm
yarn A: DK (light), 20 g
gauge 14 st, 16 rows = 10 cm in sc

# A line in column 1 begins a statement; indented lines go on from it.
piece Swatch, turned rows
start 16 ch
row 1: sc to end = 15
rows 2-4: sc to end
row 5: [2 sc, 2 sc in st] to end = 20
next 6 rows: sc to end = 20
finish Fasten off and weave in the ends.
"""
"""It checks clean, and works both a repeat and a stretch of rows."""


def start(name: str, folder: Path) -> Outcome:
    """Write a new pattern called `name` into `folder`. A file that is there already is left as it is."""
    title = " ".join(re.sub(r"(?<!\S)#(?!\S)", " ", name.removesuffix(".tch")).split())
    if not title or not title.isprintable():
        return Outcome(
            WRONG_USE, err='turnchain: a pattern needs a name, such as `turnchain start "Sea hat"`'
        )
    path = folder / f"{slug(title)}.tch"
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(PATTERN.format(title=title))
    except FileExistsError:
        return Outcome(WRONG_USE, err=f"turnchain: {path.name} is there already; it was left as it is")
    except OSError as error:
        return Outcome(WRONG_USE, err=f"turnchain: {path.name} can't be written: {files.why(error)}")
    return Outcome(
        out="\n".join(
            (
                f"wrote {path.name}",
                "Change it to your pattern, and then:",
                f"  turnchain check {path.name}     checks every count",
                f"  turnchain watch {path.name}     checks and publishes it at every save",
                f"  turnchain publish {path.name}   writes the page {path.stem}.html",
            )
        )
    )


def slug(title: str) -> str:
    """Return a title in a-z, 0-9 and hyphens; `pattern` if nothing is left of it."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:100].strip("-") or "pattern"
