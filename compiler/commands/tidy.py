"""`turnchain tidy`: a pattern's source in the one canonical form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from ...lang.diagnostics import Diagnostic
from ...lang.parser import parse
from ...lang.source import Source
from ...lang.syntax import Tree
from .. import files
from . import CLEAN, FAULTY, WRONG_USE, Outcome
from .loading import unreadable


@dataclass(slots=True)
class _Run:
    """What happened so far."""

    status: int = CLEAN
    out: list[str] = field(default_factory=list)
    err: list[str] = field(default_factory=list)
    data: list[bytes] = field(default_factory=list)


def tidy(names: Sequence[str], *, check: bool = False, colour: bool = False) -> Outcome:
    """Write the files in canonical form; with `check` only say which would change, which is an error then."""
    run = _Run()
    for name in dict.fromkeys(names):
        try:
            _tidy(name, check, colour, run)
        except OSError as error:
            run.status = WRONG_USE
            run.err.append(unreadable(name, error))
    return Outcome(run.status, "\n".join(run.out), "\n".join(run.err), b"".join(run.data))


def _tidy(name: str, check: bool, colour: bool, run: _Run) -> None:
    source = files.read(name)
    tree, faults = parse(source)
    if faults:
        _fail(run, _shown(source, faults, colour))
        return
    from ...lang.printer import printed

    text = printed(tree)
    if not says_the_same(text, tree):
        _fail(
            run,
            f"turnchain: {source.name} was left as it is: in the tidy form it would not say the same. "
            "This is a fault of turnchain, not yours",
        )
        return
    if check:
        if text != source.text:
            run.status = max(run.status, FAULTY)
            run.out.append(f"{source.name} is not tidy")
    elif name == files.STANDARD_INPUT:
        run.data.append(text.encode())
    elif text != source.text:
        from ..publish.files import write_whole

        try:
            write_whole(Path(name), text.encode())
        except OSError as error:
            run.status = WRONG_USE
            run.err.append(f"turnchain: {source.name} can't be written: {files.why(error)}")
        else:
            run.out.append(f"tidied {source.name}")


def _fail(run: _Run, words: str) -> None:
    run.status = max(run.status, FAULTY)
    run.err.append(words)


def _shown(source: Source, faults: Sequence[Diagnostic], colour: bool) -> str:
    from ..report.text import rich_text

    return rich_text(faults, lambda _: source, colour)


def says_the_same(text: str, tree: Tree) -> bool:
    """Tell whether a text has the statements of `tree`, and every comment, in their order."""
    again, faults = parse(Source("tidy", text))
    return not faults and _said(again) == _said(tree)


def _said(tree: Tree) -> tuple[list[object], list[str]]:
    nodes: list[object] = [each.node for each in tree.statements if each.node is not None]
    return nodes, [comment.text for each in tree.statements for comment in each.comments]
