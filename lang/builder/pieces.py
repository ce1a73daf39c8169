"""Builds pieces, what they begin on and what joins them."""

from __future__ import annotations

from dataclasses import replace

from .. import syntax as s
from ..diagnostics import Diagnostic
from ..source import Span
from .said import Said, once
from .tokens import Children, Refused, lowered, name_of, quoted, whole


class Pieces:
    """One method a grammar rule of pieces."""

    def piece(self, c: Children, span: Span) -> s.Piece:
        _, name, title, manner, *options = c
        of_stitches = tuple(each for each in options if each.what == "turning_chain_for")
        chosen = once([each for each in options if each.what != "turning_chain_for"])
        for_all = chosen.pop("turning_chain", None)
        chains = tuple(each.value for each in of_stitches)
        if for_all is not None:
            chains = (s.TurningChainFor(None, for_all), *chains)
        return s.Piece(
            name_of(name),
            lowered(manner),
            title and quoted(title),
            turning_chains=chains,
            span=span,
            name_span=name.span,
            **chosen,
        )

    def piece_again(self, c: Children, span: Span) -> s.Piece:
        _, name, title, again, *options = c
        chosen = once(options)
        part = chosen.pop("part", None)
        if part is not None:
            said = next(each for each in options if each.what == "part")
            if again.edge is None:
                raise _no_edge(said)
            again = replace(again, edge=_with_part(again.edge, said))
        elif again.edge is None and (stray := next(filter(_is_of_edge, options), None)) is not None:
            raise _no_edge(stray)
        of_edge = {what: chosen.pop(what) for what in ("mirrored", "ratio", "rounding") if what in chosen}
        again = replace(again, **of_edge)
        return s.Piece(
            name_of(name),
            "",
            title and quoted(title),
            again=again,
            span=span,
            name_span=name.span,
            **chosen,
        )

    def piece_laid(self, c: Children, span: Span) -> s.Piece:
        _, name, title, across, high, motif, laying = c
        laid = s.Laid(
            across,
            high,
            name_of(motif),
            **{laying.what: laying.value},
            span=Span(across.span.start, span.end),
            motif_span=motif.span,
        )
        return s.Piece(
            name_of(name),
            "",
            title and quoted(title),
            laid=laid,
            span=span,
            name_span=name.span,
        )

    def joined_at(self, c: Children, span: Span) -> Said:
        return Said("at", tuple(map(name_of, c[1:])), span)

    def sewn_in(self, c: Children, span: Span) -> Said:
        return Said("method", c[1].value, span)

    def again(self, c: Children, span: Span) -> s.Again:
        return s.Again(name_of(c[0]), span=span)

    def again_on(self, c: Children, span: Span) -> s.Again:
        name, _, edge = c
        return s.Again(name_of(name), edge, span=span)

    def ratio(self, c: Children, span: Span) -> Said:
        return Said("ratio", (whole(c[0]), whole(c[1])), span)

    def rounding(self, c: Children, span: Span) -> Said:
        return Said("rounding", c[0].text.lower(), span)

    def mirrored(self, c: Children, span: Span) -> Said:
        return Said("mirrored", True, span)

    def make(self, c: Children, span: Span) -> Said:
        return Said("make", c[0], span)

    def turning_chain(self, c: Children, span: Span) -> Said:
        chain = s.TurningChain(whole(c[1]), c[2] and c[2].text.lower(), span)
        return Said("turning_chain", chain, span)

    def turning_chain_for(self, c: Children, span: Span) -> Said:
        chain = s.TurningChain(whole(c[2]), c[3] and c[3].text.lower(), span)
        return Said("turning_chain_for", s.TurningChainFor(name_of(c[1]), chain), span)

    def start_stitches(self, c: Children, span: Span) -> s.Start:
        _, count, name, joined = c
        return s.Start(
            "stitches",
            count,
            name_of(name),
            joined is not None,
            span=span,
            name_span=name.span,
        )

    def start_for(self, c: Children, span: Span) -> s.Start:
        return s.Start("for", c[1], span=span)

    def start_ring(self, c: Children, span: Span) -> s.Start:
        return s.Start("ring", words=c[2] and quoted(c[2]), span=span)

    def start_edge(self, c: Children, span: Span) -> s.Start:
        edges: list[s.EdgeName] = []
        said: list[Said] = []
        for each in c[2:]:
            if isinstance(each, s.EdgeName):
                if said:
                    raise _ratio_first(said[0])
                edges.append(each)
            elif not isinstance(each, Said):
                said.append(Said("rounding", each.text.lower(), each.span))
            elif each.what != "part":
                said.append(each)
            elif said:
                raise _part_after(each)
            else:
                edges[-1] = _with_part(edges[-1], each)
        return s.Start("edge", edges=tuple(edges), **once(said), span=span)

    def edge_part(self, c: Children, span: Span) -> Said:
        return Said("part", (c[0].text.lower(), c[1]), span)

    def edge_ratio(self, c: Children, span: Span) -> Said:
        return Said("ratio", (whole(c[0]), whole(c[1])), span)

    def edge_name(self, c: Children, span: Span) -> s.EdgeName:
        return s.EdgeName(name_of(c[0]), name_of(c[1]), span=span)

    def edge_loops(self, c: Children, span: Span) -> s.EdgeName:
        loop, unit, row, piece = c
        return s.EdgeName(loop.text.lower(), name_of(piece), unit.text.lower(), whole(row), span=span)

    def edge_underside(self, c: Children, span: Span) -> s.EdgeName:
        return s.EdgeName(name_of(c[1]), name_of(c[2]), underside=True, span=span)

    def close(self, c: Children, span: Span) -> s.Close:
        return s.Close(span)

    def seam(self, c: Children, span: Span) -> s.Seam:
        sides: list[list[s.EdgeName]] = []
        said: list[Said] = []
        for each in c[1:]:
            if isinstance(each, s.EdgeName):
                sides.append([each])
            elif said and each.what in ("and", "part"):
                raise _way_last(said[0])
            elif each.what == "and":
                sides[-1].append(each.value)
            elif each.what == "part":
                sides[-1][-1] = _with_part(sides[-1][-1], each)
            else:
                said.append(each)
        way = next((each for each in said if each.what == "method"), None)
        return s.Seam(
            tuple(sides[0]),
            tuple(sides[1]),
            **once(said),
            span=span,
            method_span=s.NOWHERE if way is None else way.span,
        )

    def also(self, c: Children, span: Span) -> Said:
        return Said("and", c[0], span)

    def eased(self, c: Children, span: Span) -> Said:
        return Said("eased", True, span)

    def method(self, c: Children, span: Span) -> Said:
        words = [name_of(each) for each in c if each is not None]
        return Said("method", " ".join(words), span)


def _with_part(edge: s.EdgeName, said: Said) -> s.EdgeName:
    """Return an edge of which only a part is meant. Raises Refused if it has one already."""
    if edge.end is not None:
        raise _part_after(said)
    end, count = said.value
    return replace(edge, end=end, count=count, span=Span(edge.span.start, said.span.end))


def _is_of_edge(said: Said) -> bool:
    return said.what in ("ratio", "rounding", "part")


def _refused(said: Said, message: str, help_: str) -> Refused:
    return Refused(Diagnostic("stray-word", message, said.span, help=help_))


def _no_edge(said: Said) -> Refused:
    return _refused(
        said,
        "there is no edge here that this could be said of",
        "name the edge: `piece Right, as Left on right of Hat, 3 for 4`",
    )


def _way_last(said: Said) -> Refused:
    return _refused(
        said,
        "how a seam is made stands behind both of its edges",
        "write `seam top of Back, first 12, top of Front, last 12, in whip stitch`",
    )


def _part_after(said: Said) -> Refused:
    return _refused(
        said,
        "which part of an edge is meant stands once, right behind it",
        "write `start along top of Back, last 9 and left of Back, 3 for 4`",
    )


def _ratio_first(said: Said) -> Refused:
    return _refused(
        said,
        "a ratio stands behind the last edge, and holds for all of them",
        "write `start along left of Band and top of Band, 3 for 4`",
    )
