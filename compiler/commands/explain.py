"""`turnchain explain`: what a diagnostic means."""

from __future__ import annotations

from ..explain import explanation, names, printed
from . import WRONG_USE, Outcome


def explain(name: str | None) -> Outcome:
    """Return the explanation of the diagnostic `name`, or the titles of all."""
    if name is None:
        return Outcome(out=_titles())
    page = explanation(name.casefold())
    if page is not None:
        return Outcome(out=printed(page))
    from difflib import get_close_matches

    near = get_close_matches(name.casefold(), names(), n=3)
    offer = f"; did you mean {' or '.join(near)}?" if near else "; `turnchain explain` lists all"
    return Outcome(WRONG_USE, err=f"turnchain: nothing is called {name!r}{offer}")


def _titles() -> str:
    pages = [page for page in map(explanation, names()) if page is not None]
    width = max(len(page.name) for page in pages)
    return "\n".join(f"{page.name:{width}}  {page.title}" for page in pages)
