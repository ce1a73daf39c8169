"""The fabric of a piece as a graph: every stitch, chain space and chain is a node of its own.

An edge leads from a stitch to every place that it was worked in, and from each place to its neighbours in the
row. The checker keeps runs and repeats, and multiplies. Here every turn of every bracket is worked by itself,
place by place, and what comes out must be what the checker says.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import networkx as nx
from turnchain.compiler.counted import Block, CountedPiece, CountedRow, Worked
from turnchain.compiler.fabric import Named, Repeat, Run, Segments
from turnchain.compiler.steps import (
    BracketStep,
    BranchStep,
    ChainStep,
    GroupStep,
    LeaveStep,
    MeshStep,
    OwnStep,
    SaidStep,
    SkipStep,
    SpreadStep,
    StitchStep,
    TogetherStep,
    UndersideStep,
)

RING = 0
"""The node of the ring that a piece begins in."""


class NoFabricError(AssertionError):
    """The checker's result is no fabric."""


def spelled(parts: Segments) -> Iterator[tuple[str, int]]:
    """Yield every place by itself: its kind, and the chains of a space."""
    for part in parts:
        match part:
            case Run(place, count):
                # The other side of a chain is the same chain.
                kind = "ch" if place.kind == "underside" else place.kind
                yield from [(kind, place.chains)] * count
            case Repeat(inner, times):
                for _ in range(times):
                    yield from spelled(inner)
            case Named(_, inner):
                yield from spelled(inner)


def many(parts: Segments) -> int:
    return sum(1 for _ in spelled(parts))


@dataclass
class Row:
    """What a row makes while it is worked: stitches with the places they go into, and chains."""

    events: list[tuple[str, object]] = field(default_factory=list)

    def stitch(self, kind: str, into: Sequence[int]) -> None:
        self.events.append((kind, tuple(into)))

    def chains(self, count: int, joins: int = 0) -> None:
        self.events.append(("chains", (count, joins)))

    def picot(self) -> None:
        """Chains that close into a picot make no place."""
        if self.events and self.events[-1][0] == "chains":
            self.events.pop()

    def made(self, around: bool) -> list[tuple[str, int, tuple[int, ...]]]:
        """Return the places that it makes, in working order: kind, chains, places worked into."""
        places: list[tuple[str, int, tuple[int, ...]]] = []
        lead = (0, 0)
        pending = (0, 0)

        def space(run: tuple[int, int]) -> list[tuple[str, int, tuple[int, ...]]]:
            return [("sp", run[0], ())] if run[0] > run[1] else []

        for kind, what in self.events:
            if kind == "chains":
                count, joins = what  # type: ignore[misc]
                pending = (pending[0] + count, pending[1] + joins)
                continue
            if places:
                places += space(pending)
            else:
                lead = pending
            pending = (0, 0)
            places.append((kind, 0, what))  # type: ignore[arg-type]
        if not places:
            run = pending
            return space(run) if around else [("ch", 0, ())] * (run[0] if run[0] > run[1] else 0)
        if not around:
            bare = [("ch", 0, ())] * (pending[0] if pending[0] > pending[1] else 0)
            return [*space(lead), *places, *bare]
        if pending[0]:
            return [*places, *space((pending[0] + lead[0], pending[1] + lead[1]))]
        return [*space(lead), *places]


class Fabric:
    """A piece, worked stitch by stitch."""

    def __init__(self, piece: CountedPiece) -> None:
        self.piece = piece
        self.turns = piece.plan.turns
        self.around = piece.plan.in_rounds
        self.graph = nx.Graph()
        self.rows: list[list[int]] = []
        """The places that each row made, in working order; what row 1 is worked into comes first."""
        self.counts: list[int] = []
        """The stitches of each row, one a node."""
        self.users: dict[int, list[tuple[int, str | None]]] = defaultdict(list)
        """Who works into a place: the row, and the loop if it is one alone."""
        self.kept: set[int] = set()
        """Places that are kept for another piece."""
        self.left: dict[int, list[list[int]]] = {0: [], 1: []}
        self.odd: set[str] = set()
        """What keeps the fabric from being flat: crossed stitches, older rows, and the like."""
        self.into: dict[int, tuple[int, ...]] = {}
        """What each stitch is worked in."""
        self.next_node = 1
        for part in piece.parts:
            if isinstance(part, Block):
                for row in part.rows:
                    if not self.rows:
                        self.begin(row)
                    for _ in range(row.times):
                        self.row(row)

    # ---- nodes ----

    def node(self, kind: str, chains: int = 0) -> int:
        node, self.next_node = self.next_node, self.next_node + 1
        self.graph.add_node(node, kind=kind, chains=chains, row=len(self.rows))
        return node

    def begin(self, row: CountedRow) -> None:
        """What row 1 is worked into: chains, stitches, an edge of another piece, or a ring."""
        nodes = [self.node(*place) for place in spelled(row.before.parts)]
        nx.add_path(self.graph, nodes)
        if row.before.ring:
            self.graph.add_node(RING, kind="ring", chains=0, row=0)
            if nodes:
                self.graph.add_edge(RING, nodes[0])
        if len(nodes) > 2 and self.around and not (row.before.parts and self.bare(nodes)):
            self.graph.add_edge(nodes[-1], nodes[0])
        # They are kept in the order in which a row before row 1 would have made them.
        self.rows.append(nodes[::-1] if self.turns else nodes)

    def bare(self, nodes: list[int]) -> bool:
        start = self.piece.plan.start
        return start is not None and not start.kind.startswith("joined")

    # ---- a row ----

    def row(self, counted: CountedRow) -> None:
        self.number = len(self.rows)
        self.counted = counted
        self.loop = counted.plan.loop
        ground = self.ground(counted)
        if [self.place(node) for node in ground] != [*spelled(counted.before.parts)] and not self.loops_only:
            raise NoFabricError(f"row {self.number} finds other places than row {self.number - 1} left")
        if counted.plan.reads_chains:
            ground = [node for node in ground for _ in range(self.graph.nodes[node]["chains"] or 1)]
        self.edge, self.at = ground, counted.foundation
        self.work_row = Row()
        self.skipped: list[int] = []
        self.same: tuple[int, ...] = ()
        if counted.opening is not None and counted.opening.manner == "loop":
            self.work_row.chains(counted.opening.chains)
        self.items(counted.worked)
        if self.at != len(self.edge) and not self.into_ring(counted):
            raise NoFabricError(f"row {self.number} uses {self.at} of {len(self.edge)} places")
        self.close(counted)

    def into_ring(self, counted: CountedRow) -> bool:
        return counted.before.ring and self.at == 0

    def place(self, node: int) -> tuple[str, int]:
        return self.graph.nodes[node]["kind"], self.graph.nodes[node]["chains"]

    def ground(self, counted: CountedRow) -> list[int]:
        """The places that a row finds, in the order it meets them."""
        whence = counted.whence
        before = self.rows[-1]
        met = before[::-1] if self.turns else list(before)
        self.loops_only = False
        if whence is None:
            return met
        if whence.into is not None:
            self.odd.add("an older row")
            older = self.rows[whence.into]
            free = [node for node in older if self.is_free(node)]
            met = free[::-1] if self.turns and (self.number - whence.into) % 2 else free
            self.loops_only = any(self.users[node] for node in met)
        for _, parts in whence.steps:
            self.odd.add("steps")
            nodes = self.left[self.side].pop(0)
            if len(nodes) != many(parts):
                raise NoFabricError(f"row {self.number} goes over steps of {len(nodes)} places")
            met += nodes
        on = many(whence.moved) or (len(met) - many(whence.back) if whence.back else 0)
        return met[on:] + met[:on]

    @property
    def side(self) -> int:
        return self.number % 2 if self.turns else 0

    def is_free(self, node: int) -> bool:
        loops = {loop for _, loop in self.users[node]}
        return node not in self.kept and (not loops or (len(loops) == 1 and None not in loops))

    def take(self, parts: Segments) -> tuple[int, ...]:
        """The next places of the edge, which must be of the kinds that the checker says."""
        kinds = [*spelled(parts)]
        nodes = tuple(self.edge[self.at : self.at + len(kinds)])
        found = [self.place(node) for node in nodes]
        if len(nodes) < len(kinds) or not (
            found == kinds or self.counted.plan.reads_chains or self.loops_only
        ):
            raise NoFabricError(f"row {self.number} works into {kinds}, and comes to {found}")
        self.at += len(kinds)
        return nodes

    def use(self, nodes: Sequence[int], loop: str | None) -> None:
        for node in nodes:
            self.users[node].append((self.number, loop))
        if nodes:
            self.same = tuple(nodes)

    def close(self, counted: CountedRow) -> None:
        """Join what the row made into a row, and hold it against what the checker says it made."""
        made = self.work_row.made(self.around)
        if [(kind, chains) for kind, chains, _ in made] != [*spelled(counted.after.parts)]:
            raise NoFabricError(f"row {self.number} makes {made}, not {[*spelled(counted.after.parts)]}")
        nodes = []
        for kind, chains, into in made:
            node = self.node(kind, chains)
            self.into[node] = into
            self.graph.add_edges_from((node, below) for below in into)
            nodes.append(node)
        nx.add_path(self.graph, nodes)
        closed = self.around and self.piece.plan.node.manner != "spiral rounds"
        if closed and len(nodes) > 2:
            self.graph.add_edge(nodes[-1], nodes[0])
        before = self.rows[-1]
        if not closed and self.number > 1 and before and nodes:
            # The yarn goes on from row to row.
            self.graph.add_edge(before[-1], nodes[0])
        self.rows.append(nodes)
        stitches = sum(kind not in ("sp", "ch", "tip") for kind, _, _ in made)
        if self.piece.plan.node.chains_count:
            stitches += sum(chains or kind == "ch" for kind, chains, _ in made)
        self.counts.append(stitches)

    # ---- items ----

    def items(self, worked: Sequence[Worked]) -> None:
        for each in worked:
            self.item(each)

    def item(self, each: Worked) -> None:
        step = each.step
        passed = self.take(each.passed)
        match step:
            case ChainStep(joint=joint):
                self.work_row.chains(each.count, int(joint is not None))
            case BracketStep():
                self.bracket(each)
            case OwnStep() if each.turns or not each.body:
                self.bracket(each)
            case StitchStep():
                self.stitches(each, step)
            case GroupStep() | OwnStep():
                self.group(each)
            case TogetherStep():
                self.together(each)
            case SkipStep():
                nodes = (*passed, *self.take(each.used))
                self.skipped = [] if step.mark else list(nodes)
                self.kept |= set(nodes) if step.mark else set()
            case LeaveStep():
                self.leave(self.take(each.used), step.mark)
            case SaidStep():
                self.said(self.take(each.used), step)
            case MeshStep():
                self.mesh(each, step)
            case SpreadStep():
                self.spread(each)
            case BranchStep():
                self.work_row.stitch("tip", ())
            case UndersideStep():
                self.odd.add("both sides of a chain")
                chain = self.rows[0][::-1] if self.turns else self.rows[0]
                self.edge, self.at = chain[::-1][1:], 0

    def bracket(self, each: Worked) -> None:
        for turns in each.turns:
            for _ in range(turns.times):
                for body in turns.bodies:
                    self.items(body)
        rest = self.take(each.rest)
        if rest:
            self.left[self.side].insert(0, list(rest))

    def leave(self, nodes: tuple[int, ...], mark: str | None) -> None:
        if mark:
            self.kept |= set(nodes)
            self.left[self.side].clear()
        else:
            self.left[self.side].insert(0, list(nodes))

    def stitches(self, each: Worked, step: StitchStep) -> None:
        stitch, loop = step.stitch, step.loop or self.loop
        if step.below:
            self.odd.add("rows below")
        if step.target is None:
            if not stitch.uses:
                for _ in range(each.count * stitch.makes):
                    self.work_row.stitch(stitch.counts_as, ())
                return
            places = list(self.take(each.used))
            self.use(places, loop)
            for _ in range(step.below):
                places = [self.into[node][0] for node in places]
            if step.crossed:
                self.odd.add("crossed stitches")
                places = [node for at in range(0, len(places), 2) for node in (places[at + 1], places[at])]
            for at in range(0, len(places), stitch.uses):
                for _ in range(stitch.makes):
                    self.work_row.stitch(stitch.counts_as, places[at : at + stitch.uses])
            return
        if step.target.kind == "top" and stitch.family == "slip":
            self.work_row.picot()
            return
        for into in self.targets(each, each.count):
            for _ in range(stitch.makes):
                self.work_row.stitch(stitch.counts_as, into)

    def targets(self, each: Worked, count: int) -> list[tuple[int, ...]]:
        """Where each of so many stitches goes, worked in a place that is named."""
        target = each.step.target  # type: ignore[union-attr]
        used = self.take(each.used)
        loop = getattr(each.step, "loop", None) or self.loop
        if each.back is not None:
            self.odd.add("stitches that go back")
            chosen = self.skipped if not each.back.which else [self.skipped[each.back.which - 1]]
            self.use(chosen, None)
            return [(node,) for node in chosen for _ in range(max(1, count // len(chosen)))]
        match target.kind:
            case "ring":
                return [(RING,)] * count
            case "same":
                return [self.same] * count
            case "top" | "stem" | "own ring" | "arch":
                return [()] * count
            case "start":
                self.odd.add("where the round began")
                return [(self.edge[0],)] * count
            case "gap":
                beside = self.edge[max(0, self.at - 1) : self.at + 1]
                return [tuple(beside)] * count
        if used:
            self.use(used, loop)
        if target.which == "each":
            return [(node,) for node in used for _ in range(self.graph.nodes[node]["chains"] or 1)]
        return [self.same[-1:]] * count

    def group(self, each: Worked) -> None:
        """Several stitches in one place, or the like in each of several chains."""
        where = self.targets(each, 1)
        kinds = set(where)
        if len(kinds) > 1:
            # In each chain: so often over.
            for into in where:
                self.inside(each.body, into)
            return
        times = 1 if not (t := each.step.target) or t.which != "each" else len(where)  # type: ignore[union-attr]
        for _ in range(times * (each.count if isinstance(each.step, OwnStep) else 1)):
            self.inside(each.body, where[0])

    def inside(self, worked: Sequence[Worked], into: tuple[int, ...]) -> None:
        for each in worked:
            step = each.step
            match step:
                case ChainStep(joint=joint):
                    self.work_row.chains(each.count, int(joint is not None))
                case StitchStep() if step.target is not None and step.target.kind == "top":
                    self.work_row.picot()
                case StitchStep(stitch):
                    for _ in range(each.count * stitch.makes):
                        self.work_row.stitch(stitch.counts_as, into if stitch.uses else ())
                case TogetherStep():
                    first = next(leg.step for leg in each.body if isinstance(leg.step, StitchStep))
                    self.work_row.stitch(first.stitch.counts_as, into)
                case BranchStep():
                    self.work_row.stitch("tip", ())
                case SaidStep():
                    self.said(into, step)
                case _:
                    for _ in range(each.count):
                        self.inside(each.body, into)

    def together(self, each: Worked) -> None:
        """Several legs that become one stitch."""
        legs, self.work_row = self.work_row, Row()
        self.items(each.body)
        work, self.work_row = self.work_row, legs
        stitches = [(kind, into) for kind, into in work.events if kind != "chains"]
        places = [node for _, into in stitches for node in into]  # type: ignore[attr-defined]
        self.work_row.stitch(stitches[0][0], places)

    def said(self, used: Sequence[int], step: SaidStep) -> None:
        """The author's own words: what they make stands over what they use, from one end to the other."""
        kinds = [
            ("st" if kind.startswith("as ") else kind) for kind, count in step.makes for _ in range(count)
        ]
        stitches = sum(kind != "chains" for kind in kinds)
        self.use(used, None)
        done = 0
        for kind in kinds:
            if kind == "chains":
                self.work_row.chains(1)
                continue
            low, high = done * len(used) // stitches, (done + 1) * len(used) // stitches
            self.work_row.stitch(kind, used[low : max(high, low + 1)])
            done += 1

    def mesh(self, each: Worked, step: MeshStep) -> None:
        """Squares: each takes two stitches or a space, and the post after them."""
        used = list(self.take(each.used))
        self.use(used, self.loop)
        post = step.stitch.counts_as
        for name, count in step.squares:
            for _ in range(count):
                inner = [used.pop(0)]
                if self.graph.nodes[inner[0]]["kind"] != "sp":
                    inner.append(used.pop(0))
                if name == "space":
                    self.work_row.chains(2)
                else:
                    self.work_row.stitch(post, inner[:1])
                    self.work_row.stitch(post, inner[-1:])
                self.work_row.stitch(post, [used.pop(0)])
        if used:
            raise NoFabricError(f"row {self.number} has {len(used)} places more than its squares use")

    def spread(self, each: Worked) -> None:
        """Items laid over an edge: each stitch in the place nearest to where it would stand evenly."""
        edge = self.take(each.used)
        single = [*self.singly(each.body)]
        wanted = sum(needs for _, needs in single)
        at = 0
        for item, needs in single:
            into: tuple[int, ...] = self.same
            if needs:
                if self.around:
                    place = at * len(edge) // wanted
                elif wanted == 1:
                    place = (len(edge) - 1) // 2
                else:
                    ends, gaps = len(edge) - 1, wanted - 1
                    low = 2 * at <= gaps
                    nearest = (2 * (at if low else gaps - at) * ends + gaps - 1) // (2 * gaps)
                    place = nearest if low else ends - nearest
                into = (edge[place],)
                self.use(into, self.loop)
                at += 1
            self.inside((item,), into)

    def singly(self, body: Sequence[Worked]) -> Iterator[tuple[Worked, bool]]:
        for each in body:
            step = each.step
            if isinstance(step, BracketStep):
                for _ in range(each.count):
                    yield from self.singly(each.body)
            elif isinstance(step, ChainStep):
                yield each, False
            elif (isinstance(step, StitchStep) and step.target is None and step.stitch.uses) or isinstance(
                step, OwnStep
            ):
                for _ in range(each.count):
                    yield replace(each, count=1), True
            else:
                yield (
                    each,
                    isinstance(step, GroupStep) or (step.target is not None and step.target.kind == "st"),
                )  # type: ignore[union-attr]
