"""The Jinja templates, loaded when a format first needs them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Environment


@cache
def environment(escape: Callable[[str], str] | None = None) -> Environment:
    """Templates in which every printed value is escaped: by `escape`, or as HTML without one."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    def escaped(value: str) -> str:
        return value if escape is None or isinstance(value, Markup) else Markup(escape(value))

    return Environment(
        loader=PackageLoader(__package__),
        autoescape=True,
        finalize=escaped if escape else None,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
