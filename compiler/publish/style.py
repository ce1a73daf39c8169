"""The style of a page, and its digest: a page that allows no other style names it to the browser."""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256
from pathlib import Path

from .templating import filled


def style(footer: str = "", sizes: int = 1, folder: Path | None = None) -> dict[str, object]:
    """The values that a page's template takes for its style.

    `footer` stands at the foot of each printed sheet; `sizes` is how many the pattern has; `folder` has
    templates of the publisher's own.
    """
    from markupsafe import Markup

    values = {"footer": _string(footer), "sizes": range(1, sizes + 1) if sizes > 1 else ()}
    made = filled("page.css", values, folder)
    digest = b64encode(sha256(made.encode()).digest()).decode()
    return {"style": Markup(made), "style_digest": digest}


def _string(text: str) -> str:
    """The text as a string of a style sheet, with all but letters and digits written by number."""
    from markupsafe import Markup

    if not text:
        return ""
    return Markup(
        '"{}"'.format("".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in text))
    )
