"""The Jinja templates, loaded when a format first needs them: the project's, and a publisher's over them."""

from __future__ import annotations

import traceback
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Environment

ORIGINALS = "turnchain"
"""The folder under whose name a publisher's template finds the one that it takes the place of."""


class TemplateFault(Exception):  # noqa: N818 - says what is wrong with a publisher's template
    """A template of the publisher's can't be used; the message says where and why."""


def filled(
    name: str,
    values: Mapping[str, object],
    folder: Path | None = None,
    escape: Callable[[str], str] | None = None,
) -> str:
    """The template `name` with its values, each escaped: by `escape`, or as HTML without one.

    A template of that name in `folder` takes the place of the project's own. Raises TemplateFault where one
    of the publisher's can't be read or filled.
    """
    from jinja2 import TemplateError, TemplateSyntaxError

    try:
        return environment(escape, folder).get_template(name).render(values)
    except TemplateSyntaxError as error:
        raise TemplateFault(
            f"{error.filename or error.name}, line {error.lineno}: {error.message}"
        ) from error
    except (TemplateError, ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as error:
        if folder is None:
            raise
        at = [
            frame
            for frame in traceback.extract_tb(error.__traceback__)
            if Path(frame.filename).parent == folder
        ]
        where = f"{at[-1].filename}, line {at[-1].lineno}" if at else str(folder)
        raise TemplateFault(f"{where}: {error}") from error
    except RecursionError as error:
        raise TemplateFault(f"{folder}: a template brings itself in without end") from error


@cache
def environment(escape: Callable[[str], str] | None = None, folder: Path | None = None) -> Environment:
    """Where templates are found and how they are filled; a publisher's see the document and nothing else."""
    from jinja2 import (
        ChoiceLoader,
        Environment,
        FileSystemLoader,
        PackageLoader,
        PrefixLoader,
        StrictUndefined,
    )
    from jinja2.sandbox import ImmutableSandboxedEnvironment
    from markupsafe import Markup

    def escaped(value: str) -> str:
        return value if escape is None or isinstance(value, Markup) else Markup(escape(value))

    originals = PackageLoader(__package__)
    own = [FileSystemLoader(folder)] if folder is not None else []
    made = ImmutableSandboxedEnvironment if own else Environment
    return made(
        loader=ChoiceLoader([*own, originals, PrefixLoader({ORIGINALS: originals})]),
        autoescape=True,
        finalize=escaped if escape else None,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
