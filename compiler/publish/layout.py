"""How a document is to be laid out, as far as its publisher can choose."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from .front_matter import FrontMatter


@dataclass(frozen=True, slots=True)
class Layout:
    """The choices for every format; each takes what it can use."""

    paper: str = "A4"
    """`A4` or `Letter`, for a PDF."""
    front_matter: FrontMatter | None = None
    """What a site generator reads at the top of a post; none if None."""
    date: str = ""
    """The day of the post, as `2026-11-25`, for generators that want one."""
    templates: Path | None = None
    """A folder of templates that take the place of the project's own."""
    address: str = ""
    """Where the page will stand, as a whole address; empty if that is not known."""
    picture: str = ""
    """Where its first picture will stand, as a whole address; empty if it has none or that is not known."""
