"""The turning chain of a row: the one stated, or the one its first stitch takes."""

from __future__ import annotations

from functools import lru_cache

from ..lang.diagnostics import Fix, Label
from ..lang.source import Span
from ..lang.stitches import Stitch
from ..lang.syntax import Piece, Settings, TurningChain
from .faults import fault
from .plan import Opening
from .scope import Scope
from .steps import (
    BracketStep,
    ChainStep,
    GroupStep,
    OwnStep,
    SkipStep,
    SpreadStep,
    Step,
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


def refuse_typed(steps: Steps, settings: Settings) -> None:
    """Refuse chains that begin a row as the turning chain of its first stitch would. Raises Fault.

    They would make a space at the row's edge. Where they are meant to, they have a mark, or the row says its
    turning chain.
    """
    if len(steps) < 2 or settings.turning_chain is not None:
        return
    chain, after = steps[:2]
    if not isinstance(chain, ChainStep) or chain.mark is not None or chain.joint is not None:
        return
    first = _leading(after)
    if first is None or not first.stitch.turning_chain:
        return
    usual = first.stitch.turning_chain
    ahead = first.target is not None and first.target.kind == "ahead"
    # Some begin double crochet with two chains. Before a space, fewer than three are rather a gap.
    low = 2 if usual > 2 and first.target is None else usual
    if not low <= chain.count <= usual or (ahead and usual < 3):
        return
    written = f"{chain.count} ch" if chain.count > 1 else "ch"
    raise fault(
        "turning-chain",
        "chains that begin a row make a space at its edge; the turning chain is worked by itself",
        chain.span,
        help=f"leave `{written}` out; `tch {chain.count} counts` before the colon sets another turning "
        f"chain, and `{written} as loop` is a space",
        fix=Fix("leave the chains out", (Label(Span(chain.span.start, after.span.start), ""),), safe=False),
        facts={"chains": chain.count},
    )


def _leading(step: Step) -> StitchStep | None:
    """Return the stitch that an item begins with, if that goes into the first place that it finds."""
    match step:
        case StitchStep(stitch) if stitch.uses:
            return step
        case BracketStep(body) | TogetherStep(body) if body:
            return _leading(body[0])
        case _:
            return None


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
