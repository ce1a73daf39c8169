"""`turnchain editor`: the language server."""

from __future__ import annotations

from . import CLEAN, WRONG_USE, Outcome

EXTRA = ("pygls", "lsprotocol")


def serve() -> Outcome:
    """Serve the editor that started this program, until it is done."""
    try:
        from ..editor.answers import serve
    except ModuleNotFoundError as missing:
        if missing.name is None or missing.name.partition(".")[0] not in EXTRA:
            raise
        words = "turnchain: editors need a part that is not installed: pip install 'turnchain[editor]'"
        return Outcome(WRONG_USE, err=words)
    serve()
    return Outcome(CLEAN)
