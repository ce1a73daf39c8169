"""`turnchain check`: is a pattern right?"""

from __future__ import annotations

from collections.abc import Sequence

from . import CLEAN, FAULTY, WRONG_USE, Outcome
from .loading import has_warnings, load_all, report


def check(
    names: Sequence[str], format_name: str = "text", *, strict: bool = False, colour: bool = False
) -> Outcome:
    """Return what is wrong with the patterns; `strict` makes an error of every warning."""
    loaded, problems = load_all(names)
    analyses = [each.analysis for each in loaded]
    faulty = any(each.has_errors or (strict and has_warnings(each)) for each in analyses)
    status = WRONG_USE if problems else FAULTY if faulty else CLEAN
    return Outcome(status, report(analyses, format_name, strict=strict, colour=colour), "\n".join(problems))
