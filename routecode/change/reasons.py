"""Why a way breaks off, or what makes a new one: a missing joint put into words. Decides nothing about changes."""

from typing import NamedTuple

from routecode.change.frontier import Break
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.change.view import View
from routecode.change.words import Words
from routecode.circuit.plant import EITHER, Branch, PlacedUnit

CABLE, NORMAL, CORD, MULT, INSIDE, UNIT, PORT, OTHER = (
    "cable",
    "normal",
    "cord",
    "mult",
    "inside",
    "unit",
    "port",
    "other",
)


class Slot(NamedTuple):
    """A node to be named in a clause: whole, or only its port."""

    node: int
    whole: bool = True


class Verb(NamedTuple):
    """Words that differ for one and for several."""

    one: str
    more: str


Parts = tuple[str | Slot | Verb, ...]


class Reason(NamedTuple):
    """`kind` of joint; `at`: the last node that is still reached; `beyond`: the first that is not; `parts`: why, a clause."""

    kind: str
    at: int
    beyond: int
    parts: Parts
    twin: tuple[int, Parts] | None = None
    """Where the mirror of it is, and what that says: what is told together is then told together read backwards too."""


class Reasons:
    """Explains the breaks of one state: `has` holds the joint, `lacks` does not."""

    def __init__(self, words: Words, has: View, lacks: View) -> None:
        self.words = words
        self.matched: Matched = words.matched
        self.has = has
        self.lacks = lacks

    def stop(self, found: Break, twin: Reason | None = None) -> Reason:
        """Why a lost way stops: `nothing is wired there any more`."""
        return _with(self._stop(found), twin)

    def start(self, found: Break, twin: Reason | None = None) -> Reason:
        """What makes a new way, as a sentence without its full stop; read with `has` = after."""
        return _with(self._start(found), twin)

    def _stop(self, found: Break) -> Reason:
        if not found.is_feed:
            return self._inside(found)
        if found.at < 0:
            return self._no_feed(found)
        kind = self.kind(found)
        at, beyond = found.at, found.beyond
        if kind == CABLE:
            return Reason(kind, at, beyond, self._uncabled(at, beyond))
        if kind == NORMAL:
            return Reason(kind, at, beyond, self._broken(at, beyond))
        if kind == CORD:
            return Reason(kind, at, beyond, self._uncorded(at, beyond))
        if kind == MULT:
            return Reason(kind, at, beyond, self._unmulted(at))
        return Reason(kind, at, beyond, (f"{self._title(at)} does not join it to ", Slot(beyond, False), " any more"))

    def _start(self, found: Break) -> Reason:
        kind = self.kind(found) if found.is_feed and found.at >= 0 else INSIDE if not found.is_feed else OTHER
        at, beyond = Slot(found.at), Slot(found.beyond)
        parts: Parts = ()
        if kind in (CABLE, CORD):
            parts = (Verb(f"A {kind} joins ", f"{kind.capitalize()}s join "), at, " to ", beyond)
        elif kind == NORMAL:
            parts = (at, Verb(" is", " are"), " normalled to ", beyond)
        elif kind == INSIDE:
            parts = (f"{self._title(found.at)} passes ", Slot(found.at, False), " to ", Slot(found.beyond, False))
        if not parts:
            a, b = (self.has.vertex_node(vertex) for vertex in found.edge)
            parts = self._was_away(a, b)
        return Reason(kind, found.at, found.beyond, parts)

    def _was_away(self, *nodes: int) -> Parts:
        """What kept two ends from feeding each other on the side that lacks the feed."""
        for node in nodes:
            own = self.matched.own_node(self.lacks.side, node)
            unit = self.lacks.plant.unit_of(own) if own >= 0 else None
            if unit is not None and unit.written.away is not None:
                return (f"Before, {unit.title} was away ({unit.written.away})",)
        return ()

    def kind(self, found: Break) -> str:
        """What joins the two nodes where they are joined."""
        view, matched = self.has, self.matched
        a, b = matched.own_node(view.side, found.at), matched.own_node(view.side, found.beyond)
        plant = view.plant
        if max(a, b) >= plant.hubs:
            return MULT
        if b in plant.wired(a):
            return CABLE
        if any({cord.a.node, cord.b.node} == {a, b} for cord in view.state.cords):
            return CORD
        if plant.is_jack(a) and plant.is_jack(b):
            return NORMAL
        return INSIDE

    # -- clauses --------------------------------------------------------------------------------------------------------

    def _uncabled(self, at: int, beyond: int) -> Parts:
        own = self.matched.own_node(self.lacks.side, at)
        if own < 0:
            return (Verb("it is", "they are"), " not there any more")
        old = {
            self.matched.shared_node(self.has.side, node)
            for node in self.has.plant.wired(self.matched.own_node(self.has.side, at))
        }
        now = [self.matched.shared_node(self.lacks.side, node) for node in self.lacks.plant.wired(own)]
        fresh = sorted(node for node in now if node not in old)
        if fresh:
            return (Verb("it is", "they are"), " wired to ", Slot(fresh[0]), " now")
        if not now and self.matched.is_jack(at):
            return ("nothing is wired there any more",)
        return (Verb("its cable", "their cables"), " to ", Slot(beyond), Verb(" is", " are"), " gone")

    def _uncorded(self, at: int, beyond: int) -> Parts:
        """A cord that still sits there has its other end elsewhere, or has lost a leg; else there is none any more."""
        now, old = self._corded(self.lacks, at), self._corded(self.has, at)
        fresh = sorted(now - old)
        if fresh:
            return (Verb("its cord goes", "their cords go"), " to ", Slot(fresh[0]), " now")
        if now:
            return (Verb("its cord", "their cords"), " no longer ", Verb("goes", "go"), " to ", Slot(beyond))
        return (Verb("the cord there is", "the cords there are"), " gone")

    def _corded(self, view: View, node: int) -> set[int]:
        """The nodes at the other ends of the cords in a node."""
        own = self.matched.own_node(view.side, node)
        ends = ((cord.a.node, cord.b.node) for cord in view.state.cords if min(cord.a.node, cord.b.node) >= 0)
        others = (b if a == own else a for a, b in ends if own in (a, b))
        return {self.matched.shared_node(view.side, other) for other in others}

    def _unmulted(self, at: int) -> Parts:
        own, plant = self.matched.own_node(self.lacks.side, at), self.lacks.plant
        if own >= 0 and any(own in jacks for jacks in plant.hub_jacks):
            return (Verb("its mult joins", "their mults join"), " other jacks now")
        return (Verb("the mult there is", "the mults there are"), " gone")

    def _broken(self, at: int, beyond: int) -> Parts:
        plugged = {self.matched.shared_node(self.lacks.side, node) for node in self.lacks.state.plugged}
        corded = [node for node in (beyond, at) if node in plugged]
        if corded:
            dummies = self.lacks.state.placed.dummies if self.lacks.state.placed is not None else {}
            plug = "dummy plug" if self.matched.own_node(self.lacks.side, corded[0]) in dummies else "cord"
            there = Slot(corded[0]) if corded[0] != at else "there"
            return (
                Verb(f"a {plug}", f"{plug}s"),
                " in " if corded[0] != at else " ",
                there,
                Verb(" breaks the normal", " break the normals"),
            )
        if self.matched.own_node(self.lacks.side, beyond) < 0:
            return (Slot(beyond), Verb(" is", " are"), " not there any more")
        own = self.matched.own_node(self.has.side, at)
        if self.has.plant.bay_of(own).plugs:
            return (Verb("its link plug is", "their link plugs are"), " out")
        return (Verb("its normal is", "their normals are"), " taken out")

    def _inside(self, found: Break) -> Reason:
        lacking = self._lacking_unit(found.at, found.beyond)
        if lacking:
            return Reason(UNIT, found.at, found.beyond, lacking)
        branch = self._branch(self.has, found)
        parts: Parts = (
            f"{self._title(found.at)} does not pass ",
            Slot(found.at, False),
            " to ",
            Slot(found.beyond, False),
            " any more",
        )
        if branch is not None and branch[1].control == "routed" and self._branch(self.lacks, found) is not None:
            parts = (Verb("it is", "they are"), " not routed to ", Slot(found.beyond, False), " any more")
        elif branch is not None and branch[1].switch is not None and self._branch(self.lacks, found) is not None:
            parts = (f"the switch {branch[1].switch} stands otherwise",)
        return Reason(INSIDE, found.at, found.beyond, parts)

    def _branch(self, view: View, found: Break) -> tuple[PlacedUnit, Branch] | None:
        """The inside of an edge, open or closed."""
        source, target = view.own_vertex(found.edge[0]) // 2, view.own_vertex(found.edge[1]) // 2
        if source < 0 or target < 0:
            return None
        unit = view.plant.unit_of(view.plant.node_of(source))
        offsets, first = unit.kit.offsets, unit.first_channel
        for branch in unit.kit.branches:
            ends = (
                first + offsets[branch.source] + branch.source_channel,
                first + offsets[branch.target] + branch.target_channel,
            )
            if ends == (source, target):
                return unit, branch
        return None

    def _no_feed(self, found: Break) -> Reason:
        """Every joint is there: the ends themselves are not what they were."""
        a, b = self.has.vertex_node(found.edge[0]), self.has.vertex_node(found.edge[1])
        lacking = self._lacking_unit(a, b)
        if lacking:
            at = a if self._lacking_unit(a) else b
            return Reason(UNIT, at, b, lacking)
        net = self.lacks.net(a)
        if net is not None and net.mixed:
            return Reason(OTHER, a, b, ("two families of signal meet on this wire",))
        others = self._driving(a)
        if others:
            return Reason(OTHER, a, b, (Slot(others[0]), Verb(" drives that wire now", " drive their wires now")))
        return Reason(OTHER, a, b, (Verb("it does", "they do"), " not feed ", Slot(b), " any more"))

    def _driving(self, node: int) -> list[int]:
        """The outputs on the wire of a passive port that does not drive it, sorted; they are what silences it."""
        own, net = self.matched.own_node(self.lacks.side, node), self.lacks.net(node)
        if net is None or own in net.drives or self.lacks.plant.direction[own] != EITHER:
            return []
        return sorted(self.matched.shared_node(self.lacks.side, other) for other in net.outs)

    def _lacking_unit(self, *nodes: int) -> Parts:
        for node in nodes:
            own = self.matched.own_node(self.lacks.side, node)
            if own < 0:
                return (Slot(node), Verb(" is", " are"), " not there any more")
            unit = self.lacks.plant.unit_of(own)
            if unit.written.away is not None:
                return (f"{unit.title} is away ({unit.written.away})",)
        return ()

    def _title(self, node: int) -> str:
        return self.words.unit(self.matched.node_name(node).partition("/")[0])


def _with(reason: Reason, twin: Reason | None) -> Reason:
    return reason if twin is None else reason._replace(twin=(twin.at, twin.parts))


def pair_of_reasons(words: Words, before: View, after: View) -> tuple[Reasons, Reasons]:
    """(why lost ways stop, what makes new ones)."""
    assert (before.side, after.side) == (BEFORE, AFTER)
    return Reasons(words, before, after), Reasons(words, after, before)
