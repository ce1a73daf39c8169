"""The turning chain of a row: the one stated, or the one its first stitch takes."""

from __future__ import annotations

from functools import lru_cache

from ..lang.stitches import Stitch
from ..lang.syntax import Piece, Settings, TurningChain
from .plan import Opening
from .scope import Scope
from .steps import (
    BracketStep,
    GroupStep,
    OwnStep,
    SkipStep,
    SpreadStep,
    Steps,
    StitchStep,
    Target,
    TogetherStep,
)


def opening_of(steps: Steps, settings: Settings, piece: Piece, scope: Scope) -> Opening | None:
    """Return the turning chain of a row: the one stated, or the one its first stitch takes."""
    stated = settings.turning_chain
    if stated is not None:
        return Opening(stated.chains, stated.manner, stated=True, span=stated.span)
    first = _first_stitch(steps)
    if first is None or piece.manner == "spiral rounds":
        return None
    of_all = None
    for setting in piece.turning_chains:
        if setting.name is None:
            of_all = setting.chain
        elif (stitch := scope.vocabulary.find(setting.name)) is not None and stitch.key == first.base:
            return _of_piece(setting.chain)
    if of_all is not None:
        return _of_piece(of_all)
    if not first.turning_chain:
        return None
    return _unstated(first.turning_chain, "counts" if first.turning_chain_counts else None)


def _of_piece(chain: TurningChain) -> Opening | None:
    return _unstated(chain.chains, chain.manner) if chain.chains else None


@lru_cache(maxsize=256)
def _unstated(chains: int, manner: str | None) -> Opening:
    return Opening(chains, manner, stated=False)


def _first_stitch(steps: Steps) -> Stitch | None:
    """Return the first stitch that steps make; None if they begin with chains, a ring or words."""
    for step in steps:
        match step:
            case StitchStep(stitch) if not stitch.uses and not stitch.makes:
                continue
            case StitchStep(target=Target() as target) | GroupStep(target=target) if target.is_made_here:
                return None
            case StitchStep(stitch):
                return stitch
            case BracketStep(body) | GroupStep(body) | TogetherStep(body) | SpreadStep(body):
                return _first_stitch(body)
            case OwnStep(own):
                return _first_stitch(own.body) if isinstance(own.body, tuple) else None
            case SkipStep():
                continue
            case _:
                return None
    return None
