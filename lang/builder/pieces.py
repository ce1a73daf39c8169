"""Builds pieces, what they begin on and what joins them."""

from __future__ import annotations

from dataclasses import replace

from .. import syntax as s
from ..diagnostics import Diagnostic
from ..source import Span
from .said import Said, once
from .tokens import Children, Refused, between, end_of, lowered, name_of, quoted, span_of, whole


class Pieces:
    """One method a grammar rule of pieces."""

    def piece(self, c: Children) -> s.Piece:
        _, name, title, manner, *options = c
        of_stitches = tuple(each for each in options if each.what == "turning_chain_for")
        chosen = once([each for each in options if each.what != "turning_chain_for"])
        for_all = chosen.pop("turning_chain", None)
        chains = tuple(each.value for each in of_stitches)
        if for_all is not None:
            chains = (s.TurningChainFor(None, for_all), *chains)
        last = options[-1] if options else manner
        return s.Piece(
            name_of(name),
            lowered(manner),
            title and quoted(title),
            turning_chains=chains,
            span=span_of(c[0], last),
            name_span=span_of(name, name),
            **chosen,
        )

    def piece_again(self, c: Children) -> s.Piece:
        _, name, title, again, *options = c
        chosen = once(options)
        again = replace(again, mirrored=chosen.pop("mirrored", False), ratio=chosen.pop("ratio", None))
        return s.Piece(
            name_of(name),
            "",
            title and quoted(title),
            again=again,
            span=Span(c[0].start_pos, end_of(c[-1])),
            name_span=span_of(name, name),
            **chosen,
        )

    def again(self, c: Children) -> s.Again:
        return s.Again(name_of(c[0]), span=span_of(c[0], c[0]))

    def again_on(self, c: Children) -> s.Again:
        name, _, edge = c
        return s.Again(name_of(name), edge, span=between(c))

    def ratio(self, c: Children) -> Said:
        return Said("ratio", (whole(c[0]), whole(c[1])), c[0].start_pos, c[1].end_pos)

    def mirrored(self, c: Children) -> Said:
        return Said("mirrored", True, c[0].start_pos, c[0].end_pos)

    def make(self, c: Children) -> Said:
        return Said("make", c[0], c[0].span.start, c[0].span.end)

    def turning_chain(self, c: Children) -> Said:
        span = between(c)
        chain = s.TurningChain(whole(c[1]), c[2] and c[2].value.lower(), span)
        return Said("turning_chain", chain, span.start, span.end)

    def turning_chain_for(self, c: Children) -> Said:
        span = between(c)
        chain = s.TurningChain(whole(c[2]), c[3] and c[3].value.lower(), span)
        return Said("turning_chain_for", s.TurningChainFor(name_of(c[1]), chain), span.start, span.end)

    def option(self, c: Children) -> Said:
        return c[0]  # type: ignore[no-any-return]

    setting = again_option = option

    def start_stitches(self, c: Children) -> s.Start:
        _, count, name, joined = c
        return s.Start(
            "stitches",
            count,
            name_of(name),
            joined is not None,
            span=between(c),
            name_span=span_of(name, name),
        )

    def start_for(self, c: Children) -> s.Start:
        return s.Start("for", c[1], span=between(c))

    def start_ring(self, c: Children) -> s.Start:
        return s.Start("ring", span=between(c))

    def start_edge(self, c: Children) -> s.Start:
        edges: list[s.EdgeName] = []
        said: list[Said] = []
        for each in c[2:]:
            if isinstance(each, s.EdgeName):
                if said:
                    raise _ratio_first(said[0])
                edges.append(each)
            elif not isinstance(each, Said):
                said.append(Said("rounding", each.value.lower(), each.start_pos, each.end_pos))
            elif each.what != "part":
                said.append(each)
            elif said or edges[-1].end is not None:
                raise _part_after(each)
            else:
                end, count = each.value
                edges[-1] = replace(
                    edges[-1], end=end, count=count, span=Span(edges[-1].span.start, each.end_pos)
                )
        return s.Start("edge", edges=tuple(edges), **once(said), span=Span(c[0].start_pos, end_of(c[-1])))

    def edge_part(self, c: Children) -> Said:
        return Said("part", (c[0].value.lower(), c[1]), c[0].start_pos, c[1].span.end)

    def edge_ratio(self, c: Children) -> Said:
        return Said("ratio", (whole(c[0]), whole(c[1])), c[0].start_pos, c[1].end_pos)

    def edge_name(self, c: Children) -> s.EdgeName:
        return s.EdgeName(name_of(c[0]), name_of(c[1]), span=between(c))

    def edge_loops(self, c: Children) -> s.EdgeName:
        loop, unit, row, piece = c
        return s.EdgeName(loop.value.lower(), name_of(piece), unit.value.lower(), whole(row), span=between(c))

    def close(self, c: Children) -> s.Close:
        return s.Close(between(c))

    def seam(self, c: Children) -> s.Seam:
        return s.Seam(c[1], c[2], between(c))


def _part_after(said: Said) -> Refused:
    return Refused(
        Diagnostic(
            "stray-word",
            "which part of an edge is meant stands once, right behind it",
            Span(said.start_pos, said.end_pos),
            help="write `start along top of Back, last 9 and left of Back, 3 for 4`",
        )
    )


def _ratio_first(said: Said) -> Refused:
    return Refused(
        Diagnostic(
            "stray-word",
            "a ratio stands behind the last edge, and holds for all of them",
            Span(said.start_pos, said.end_pos),
            help="write `start along left of Band and top of Band, 3 for 4`",
        )
    )
