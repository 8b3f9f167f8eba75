"""The answer of `trace`: an indented list for people, and a JSON document. `tracing.py` works out what is followed."""

from collections.abc import Iterable, Iterator

from routecode.circuit.parts import Wire
from routecode.circuit.plant import Plant
from routecode.figures.soldering import soldering
from routecode.physics.pins import Joint
from routecode.show import spoken
from routecode.show.document import Row
from routecode.show.documents import STEP, TRACE
from routecode.show.escape import visible
from routecode.show.figured import hop_row, hop_words
from routecode.show.measure import wrapped
from routecode.show.passing import Passed, dead_ends
from routecode.show.tracing import Step, Trace

MOST_LINES = 400
_DEEPEST = 16
"""Indentation stops here, so that long chains stay on the page."""

Side = tuple[int, bool]
"""A port and whether its driving side is meant."""


def trace_document(trace: Trace, revision: str) -> Row:
    """The document of one place."""
    return TRACE.answer(
        revision,
        trace.state.setup,
        trace.name,
        trace.kind,
        trace.wired,
        _rows(trace, trace.upstream),
        _rows(trace, trace.downstream),
        trace.sources,
        trace.destinations,
    )


def _rows(trace: Trace, steps: Iterable[Step]) -> list[Row]:
    def name(channel: int) -> str:
        return trace.plant.channel_name(channel) if channel >= 0 else trace.name

    rows = [
        STEP.row(
            name(step.source),
            name(step.target),
            "feed" if step.is_feed else "inside",
            list(step.jacks),
            [each.words for each in step.passed if each.node < 0],
            step.polarity,
            step.either,
            hop_row(trace.hop(step)),
        )
        for step in steps
    ]
    return sorted(rows, key=lambda row: (row["from"], row["to"], row["by"]))


def trace_text(trace: Trace, width: int = 80) -> str:
    """Both directions as an indented list."""
    setup = trace.state.setup
    state = "unpatched" if setup is None else f"in setup {setup}"
    lines = [visible(f"{spoken.place(trace.plant, trace.name)} ({trace.name}), {state}")]
    if trace.wired:
        behind = "Wired behind it" if trace.is_jack else "Wired to it"
        lines += wrapped(visible(f"{behind}: {spoken.places(trace.plant, trace.wired)}."), width)
    lines += list(_pins(trace, width))
    for heading, tree in (("Comes from:", _Tree(trace, up=True)), ("Goes to:", _Tree(trace, up=False))):
        lines += ["", heading, *tree.lines(width)]
    return "\n".join(lines) + "\n"


def _pins(trace: Trace, width: int) -> Iterator[str]:
    """How the cables at the place are made, pin by pin, where the connectors at both ends are known."""
    for wire in trace.plant.wires_of(trace.node):
        made = soldering(trace.plant, wire)
        if made is None:
            continue
        kind = trace.plant.studio.cable_type.get(wire.type or "")
        colours = {"hot": kind.hot_colour, "cold": kind.cold_colour} if kind is not None else {}
        pins = ", ".join(
            f"{joint.carries}{f' ({colours[joint.carries]})' if colours.get(joint.carries) else ''} "
            f"{joint.from_pin or 'open'} to {joint.to_pin or 'open'}{_linked(trace.plant, wire, joint)}"
            for joint in made.joints
        )
        number = f"{wire.number}: " if wire.number else ""
        ends = f"{trace.plant.name(wire.a)} ({made.from_}) to {trace.plant.name(wire.b)} ({made.to})"
        yield from wrapped(visible(f"Cable {number}{ends}: {pins}."), width)


def _linked(plant: Plant, wire: Wire, joint: Joint) -> str:
    """Where a pin is joined to the pin of the shield within the connector."""
    if not joint.linked:
        return ""
    return f" (linked to the shield at {plant.name(wire.a if joint.linked == 'from' else wire.b)})"


class _Tree:
    """One direction, port by port: what is met again is not told again."""

    def __init__(self, trace: Trace, *, up: bool) -> None:
        self.trace = trace
        self.plant = trace.plant
        self.up = up
        self.next: dict[Side, dict[Side, list[Step]]] = {}
        for step in trace.upstream if up else trace.downstream:
            near, far = self._sides(step)
            self.next.setdefault(near, {}).setdefault(far, []).append(step)
        self.told: set[Side] = set()

    def _sides(self, step: Step) -> tuple[Side, Side]:
        source = (self._port(step.source), step.is_feed)
        target = (self._port(step.target), not step.is_feed)
        return (target, source) if self.up else (source, target)

    def _port(self, channel: int) -> int:
        return self.plant.node_of(channel) if channel >= 0 else self.trace.node

    def lines(self, width: int) -> list[str]:
        """The list; cut where it gets too long to be read. What is in brackets are figures."""
        found: list[str] = []
        for depth, text in self._all():
            indent = " " * (2 + 2 * min(depth, _DEEPEST))
            for number, part in enumerate(text.split("\n")):
                first, *rest = wrapped(visible(part), max(24, width - len(indent) - 4))
                found.append(f"{indent}{'  ' if number else ''}{first}")
                found += [f"{indent}{'    ' if number else '  '}{line}" for line in rest]
            if len(found) >= MOST_LINES:
                return [*found, "  And more; everything is in: routecode trace --json"]
        return found

    def _all(self) -> Iterator[tuple[int, str]]:
        starts = self._starts()
        if not any(start in self.next for start in starts):
            yield 0, self._end(starts)
        for start in starts:
            yield from self._below(start, 0)

    def _starts(self) -> list[Side]:
        node = self.trace.node
        if self.trace.is_between:
            return [(node, not self.up)]
        return [(node, self.up), (node, not self.up)]

    def _end(self, starts: list[Side]) -> str:
        """What to say where there is nothing to follow from the place itself."""
        node = self.trace.node
        if not self.trace.is_between and self._has_other_side():
            return "It starts here." if self.up else "It ends here."
        return self._stop(node, starts[-1][1])

    def _has_other_side(self) -> bool:
        flow, channels = self.trace.flow, self.trace.channels
        if self.up:
            return any(channel in flow.drives for channel in channels)
        return any(channel in flow.fed for channel in channels)

    def _below(self, side: Side, depth: int) -> Iterator[tuple[int, str]]:
        """What follows a port, depth first, without recursion: chains may be thousands of units long."""
        self.told.add(side)
        stack = [(depth, iter(self._children(side)))]
        while stack:
            depth, children = stack[-1]
            child = next(children, None)
            if child is None:
                stack.pop()
                continue
            far, text = child
            again = far is not None and far in self.told
            yield depth, _seen(text) if again and far in self.next else text
            if far is None or again:
                continue
            self.told.add(far)
            if far in self.next:
                stack.append((depth + 1, iter(self._children(far))))
            else:
                yield depth + 1, self._last(far)

    def _children(self, side: Side) -> Iterator[tuple[Side | None, str]]:
        """The ports after this one, each with its line; insides that lead to nothing further are told together."""
        dead: dict[str, list[str]] = {}
        for far, steps in self.next.get(side, {}).items():
            if steps[0].is_feed:
                yield far, self._feed_line(far, steps)
            elif far in self.next:
                yield far, f"inside {'from' if self.up else 'to'} {self._channels(far, steps)}"
            else:
                dead.setdefault(self._stop(far[0], far[1]), []).extend(self._names(steps))
        for stop, names in dead.items():
            rests = spoken.joined(spoken.ports(name.partition("/")[2] for name in names))
            yield None, f"inside {'from' if self.up else 'to'} {rests}: {stop[0].lower()}{stop[1:]}"

    def _names(self, steps: list[Step]) -> list[str]:
        return [self.plant.channel_name(step.source if self.up else step.target) for step in steps]

    def _channels(self, far: Side, steps: list[Step]) -> str:
        """The port of the unit, with channels where not all of them are meant."""
        names = sorted(set(self._names(steps)))
        if len(names) == self.plant.channels[far[0]]:
            return self.plant.name(far[0]).partition("/")[2]
        return spoken.joined(spoken.ports(name.partition("/")[2] for name in names))

    def _feed_line(self, far: Side, steps: list[Step]) -> str:
        unit = self.plant.unit_of(far[0])
        things = self._things(steps[0].passed)
        over = f", over {', '.join(things)}" if things else ""
        turned = {"kept": "", "reversed": "; polarity reversed", "mixed": "; polarity both ways at once"}
        passive = "; joined only, nothing drives" if steps[0].either else ""
        hop = self.trace.hop(steps[0])
        figures = hop_words(hop) if hop is not None else []
        line = f"{unit.title} {self._channels(far, steps)}{over}{turned[steps[0].polarity]}{passive}".replace("\n", " ")
        return f"{line}\n({'; '.join(figures)})" if figures else line

    def _things(self, things: Iterable[Passed]) -> list[str]:
        """What is passed, in the direction of reading; cables without a number are not worth a word."""
        told = []
        for each in things:
            if each.node >= 0:
                told.append(spoken.place(self.plant, each.words))
            elif each.words != "cable" and not each.words.startswith("inside "):
                told.append(each.words)
        return told[::-1] if self.up else told

    def _last(self, side: Side) -> str:
        """The end of a branch."""
        node, drives = side
        if drives == self.up:
            word = "starts" if self.up else "ends"
            unit = self.plant.unit_of(node)
            if any(node - unit.first == (branch.target if self.up else branch.source) for branch in unit.kit.branches):
                way = "to it" if self.up else "on from it"
                return f"It {word} here: no inside of {unit.title} leads {way} in this state."
            return f"It {word} here."
        return self._stop(node, drives)

    def _stop(self, node: int, _drives: bool) -> str:
        """Why nothing follows over the wiring."""
        if not self.plant.is_jack(node) and self.plant.unit_of(node).written.away is not None:
            return f"{self.plant.unit_of(node).title} is away."
        net = self.trace.state.net_of(node)
        if net is None:
            return "Nothing is wired there."
        if len(net.families) > 1:
            return "Nothing passes: two kinds of signal are joined there."
        ends = [self.plant.name(end) for end in dead_ends(self.trace.state, node)]
        if ends:
            return f"It stops at {spoken.places(self.plant, ends)}: nothing is wired there."
        return "Nothing drives it." if self.up else "Nothing receives it."


def _seen(text: str) -> str:
    """The line of a port that was told before; its figures are not told again."""
    return f"{text.partition(chr(10))[0]} (see above)"
