"""Pieces, what they begin on and what joins them, each in one line."""

from __future__ import annotations

from .. import syntax as s
from .rows import turning_chain_text
from .values import count_text, quoted


def piece_text(piece: s.Piece) -> str:
    """Return the line of a piece."""
    title = "" if piece.title is None else f" {quoted(piece.title)}"
    if piece.again is not None:
        options = _again(piece.again)
    elif piece.laid is not None:
        options = [_laid(piece.laid)]
    else:
        options = [piece.manner]
    if piece.make is not None:
        options.append(f"make {count_text(piece.make)}")
    if piece.loop:
        options.append(piece.loop)
    for each in piece.turning_chains:
        options.append(turning_chain_text(each.chain, each.name))
    if piece.chains_count:
        options.append("chains count")
    return f"piece {piece.name}{title}, {', '.join(options)}"


def _again(again: s.Again) -> list[str]:
    options = [f"as {again.name}" if again.edge is None else f"as {again.name} on {_edge(again.edge)}"]
    if again.ratio is not None:
        options.append(_ratio(again.ratio))
    if again.rounding is not None:
        options.append(again.rounding)
    if again.mirrored:
        options.append("mirrored")
    return options


def _laid(laid: s.Laid) -> str:
    how = f"joined at {', '.join(laid.at)}" if laid.method is None else f"sewn in {laid.method}"
    return f"{count_text(laid.across)} x {count_text(laid.high)} of {laid.motif}, {how}"


def seam_text(seam: s.Seam) -> str:
    """Return the line of a seam."""
    sides = [" and ".join(map(_edge, side)) for side in (seam.first, seam.second)]
    way = [f"in {seam.method}"] if seam.method is not None else []
    return f"seam {', '.join([*sides, *way, *(['eased'] if seam.eased else [])])}"


def _ratio(ratio: tuple[int, int]) -> str:
    return f"{ratio[0]} for {ratio[1]}"


def start_text(start: s.Start) -> str:
    """Return what the first row of a piece is worked into."""
    match start.kind:
        case "for":
            assert start.count is not None
            return f"start for {count_text(start.count)}"
        case "ring":
            return "start ring" if start.words is None else f"start ring {quoted(start.words)}"
        case "edge":
            edges = " and ".join(map(_edge, start.edges))
            ratio = f", {start.ratio[0]} for {start.ratio[1]}" if start.ratio else ""
            rounding = f", {start.rounding}" if start.rounding else ""
            return f"start along {edges}{ratio}{rounding}"
        case _:
            assert start.count is not None
            return f"start {count_text(start.count)} {start.name}{', joined' if start.joined else ''}"


def _edge(edge: s.EdgeName) -> str:
    row = "" if edge.row is None else f"{edge.unit} {edge.row} of "
    part = "" if edge.count is None else f", {edge.end} {count_text(edge.count)}"
    underside = "underside of " if edge.underside else ""
    return f"{underside}{edge.edge} of {row}{edge.piece}{part}"
