"""The test sheet: what is tested after a rewiring, in which order, and what must come out. Which tests; results are in `tests_results`.

Shorts and continuity come before anything has power; then what is fed where and what arrives; polarity; what plugs must do; phantom power.
"""

import hashlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from routecode.circuit.circuit import Circuit
from routecode.circuit.nets import Net
from routecode.circuit.plant import Plant, Wire
from routecode.figures.figures import Figures, StateFigures
from routecode.figures.hops import hop_of
from routecode.figures.ports import Known
from routecode.ground.order import natural
from routecode.hands.job_rows import handled_ends
from routecode.hands.job_words import from_behind
from routecode.rules.words import Words

if TYPE_CHECKING:  # the job asks for its tests
    from routecode.hands.job import Job

CONTINUITY, LEVEL, SIGNAL, PHANTOM, PLUG = "continuity", "level", "signal", "phantom", "plug"
KINDS = (CONTINUITY, LEVEL, SIGNAL, PLUG, PHANTOM)
"""In the order of testing: without power first; plugs before phantom power, since a plug shorts contacts while it goes in."""
TOLERANCE_DB, LOOSE_DB = 1.0, 3.0
"""What may be missing or too much where all figures are written down, and where one is a usual one (common practice, no source)."""
NO_PHANTOM = 1.0
"""Volts under which phantom power counts as absent (the caution of the sheet)."""
MOST = 2_000


class Test(NamedTuple):
    """One test. `at`: canonical names that say which, with `kind` its identity; `wiring`: a mark of the wiring it holds for."""

    kind: str
    at: tuple[str, ...]
    where: str
    ask: str
    expect: str
    low: float | None
    high: float | None
    unit: str
    wiring: str
    cable: str = ""
    """Of continuity: the number of the cable, where it has one."""

    @property
    def text(self) -> str:
        """Where, and what to do."""
        return f"{self.where}: {self.ask}"

    @property
    def id(self) -> str:
        """What it is called in the file of results: `level hall/line 1 > pre-a/mic 1`."""
        return f"{self.kind} {' > '.join(self.at)}"


class Tester:
    """Makes the tests of one circuit, unpatched, one by one."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.plant = circuit.plant
        self.state = circuit.state(None)
        self.words = Words(circuit.plant)
        self._figures: StateFigures | None = None

    @property
    def figures(self) -> StateFigures:
        """Figures of the unpatched state."""
        if self._figures is None:
            self._figures = Figures(self.circuit).state(None)
        return self._figures

    def test(self, kind: str, at: tuple[str, ...]) -> Test | None:
        """The test of this identity as the studio now wants it; None where there is no such thing any more."""
        if kind == PLUG and len(at) == 1:
            return self._plug(at[0])
        nodes = [self.plant.node(name) for name in at]
        if len(nodes) != (1 if kind == PHANTOM else 2) or None in nodes:
            return None
        known = [node for node in nodes if node is not None]
        if kind == CONTINUITY:
            wire = next((wire for wire in self.plant.wires_of(known[0]) if wire.other(known[0]) == known[1]), None)
            return None if wire is None else self._continuity(at, wire)
        if any(self.plant.is_jack(node) for node in known):
            return None
        return self._phantom(at, known[0]) if kind == PHANTOM else self._fed(kind, at, known[0], known[1])

    # -- without power --------------------------------------------------------------------------------------------------

    def _continuity(self, at: tuple[str, ...], wire: Wire) -> Test:
        called = f"{wire.number}: " if wire.number else ""
        ends = [self.words.node(self.plant.node(name) or 0) for name in at]
        where = f"{called}{ends[0]} to {ends[1]}"
        reverse = "hot and cold exchanged; " if wire.reversed else ""
        mark = _mark(at, wire.reversed, wire.details.cold, wire.details.shield, wire.details.pins, wire.type)
        if self._optical(at):
            ask = "Both units off: clean both ends, never look into them."
            return Test(
                CONTINUITY,
                at,
                where,
                ask,
                "no sharp bend, both plugs click in",
                None,
                None,
                "ok or fail",
                mark,
                wire.number or "",
            )
        ask = "Nothing powered: each wire through, none to another."
        return Test(
            CONTINUITY,
            at,
            where,
            ask,
            f"{reverse}under 2 ohms each way, no short",
            None,
            None,
            "ok or fail",
            mark,
            wire.number or "",
        )

    def _optical(self, at: tuple[str, ...]) -> bool:
        ports = [node for name in at if (node := self.plant.node(name)) is not None and not self.plant.is_jack(node)]
        return any(self.plant.socket(node).signal == "optical8" for node in ports)

    # -- fed ------------------------------------------------------------------------------------------------------------

    def _fed(self, kind: str, at: tuple[str, ...], driver: int, hearer: int) -> Test | None:
        net = self.state.net_of(driver)
        if net is None or net is not self.state.net_of(hearer) or (driver, hearer) not in net.pairs():
            return None
        hop = hop_of(self.figures, driver, hearer)
        level = self.figures.ports.of(driver).level
        names = (self.words.node(driver), self.words.node(hearer))
        polarity = self._polarity(at)
        mark = _mark(at, *self._wiring(net))
        if hop is None or hop.loss is None or level is None or kind == SIGNAL:
            wanted = "locks, no errors" if self._digital(driver) else "is there, and only there"
            ask = "Send from the first, look at the second."
            return (
                None
                if kind == LEVEL
                else Test(SIGNAL, at, " to ".join(names), ask, wanted + polarity, None, None, "ok or fail", mark)
            )
        return self._level(at, names, (level, hop.loss, hop.less), polarity, mark)

    def _level(
        self, at: tuple[str, ...], names: tuple[str, str], fed: tuple[Known, Known, float], polarity: str, mark: str
    ) -> Test:
        """`fed`: what the source port sends, whatever leads to it in the studio, what the line takes of it, and what it may take more."""
        sent_at, loss, less = fed
        rests, arriving = sent_at.default or loss.default, sent_at.amount + loss.amount
        loose = LOOSE_DB if rests else TOLERANCE_DB
        usual = " (rests on a usual figure)" if rests else ""
        gives = self.plant.socket(self.plant.node(at[0]) or 0).written.direction == "out"
        sent = "Let the first send 1 kHz at {} dBu" if gives else "Feed 1 kHz at {} dBu into the first"
        ask = f"{sent.format(_signed(sent_at.amount))}, from low level upwards. Read at the second."
        least = f"{_signed(arriving - less)} to " if less else ""
        expect = f"arrives at {least}{_signed(arriving)} dBu, {loose:g} dB either way{usual}{polarity}"
        return Test(
            LEVEL,
            at,
            " to ".join(names),
            ask,
            expect,
            round(arriving - less - loose, 2),
            round(arriving + loose, 2),
            "dBu",
            mark,
        )

    def _digital(self, node: int) -> bool:
        return self.plant.socket(node).family not in ("analogue", "midi", "gpio")

    def _polarity(self, at: tuple[str, ...]) -> str:
        if self._digital(self.plant.node(at[0]) or 0):
            return ""
        found = {feed.polarity for feed in self.circuit.feeds(None) if (feed.source, feed.target) == at}
        return "; polarity reversed" if found == {"reversed"} else "; polarity kept" if found == {"kept"} else ""

    def _wiring(self, net: Net) -> Iterator[object]:
        """What a net is made of: a result holds as long as this is the same."""
        yield sorted(self.plant.name(node) for node in net.nodes)
        for node in sorted(net.nodes):
            for wire in self.plant.wires_of(node):
                if wire.a == node:
                    yield (
                        self.plant.name(wire.a),
                        self.plant.name(wire.b),
                        wire.reversed,
                        wire.details.cold,
                        wire.details.shield,
                    )
            if self.plant.is_jack(node):
                bay = self.plant.bay_of(node)
                yield bay.normals[bay.place(node)[1]]

    # -- phantom --------------------------------------------------------------------------------------------------------

    def _phantom(self, at: tuple[str, ...], node: int) -> Test | None:
        net = self.state.net_of(node)
        arriving = self.figures.phantom.at(node)
        name = self.words.node(node)
        mark = _mark(at, *(self._wiring(net) if net else ()), arriving is not None)
        if arriving is None:
            ask = "Measure each leg to the shield, phantom switched as the wiring says."
            return Test(PHANTOM, at, name, ask, f"no phantom: under {NO_PHANTOM:g} V", 0.0, NO_PHANTOM, "V", mark)
        volts = self.figures.phantom.left(node)
        ask = "Measure each leg to the shield, nothing plugged in."
        kind = self.figures.phantom.kind(node)
        low, high = _OPEN.get(kind, (volts or (0.0, 60.0)))
        return Test(PHANTOM, at, name, ask, f"phantom {kind}: {low:g} to {high:g} V", low, high, "V", mark)

    # -- plugs ----------------------------------------------------------------------------------------------------------

    def _plug(self, name: str) -> Test | None:
        head, _, rest = name.partition("/")
        bay = self.plant.bays.get(head)
        if bay is None or bay.rows == 1 or not rest.isascii() or not rest.isdecimal() or len(rest) > 5:
            return None
        if not 1 <= int(rest) <= bay.columns:
            return None
        number = int(rest)
        pattern, upper = bay.normals[number], bay.written.sources == "top"
        source, far = ("top", "bottom") if upper else ("bottom", "top")
        told = _plugs(pattern, source, far) if not bay.plugs else _link_plugs(pattern, source, far)
        where = f"{bay.title} column {number} ({from_behind(bay.columns, number)})"
        ask = "A plug in each jack in turn."
        return Test(
            PLUG,
            (name,),
            where,
            ask,
            told,
            None,
            None,
            "ok or fail",
            _mark(name, pattern, bay.written.sources, bay.plugs),
        )


_OPEN = {"P48": (44.0, 52.0), "P24": (20.0, 28.0), "P12": (11.0, 13.0)}
"""Volts of an open phantom supply, least and most: IEC 61938, 48 V +- 4, 24 V +- 4, 12 V +- 1."""


def _signed(amount: float) -> str:
    return f"{amount:+.1f}".replace("+0.0", "0.0").replace("-0.0", "0.0")


def _plugs(pattern: str, source: str, far: str) -> str:
    return {
        "none": f"no normal: nothing passes from {source} to {far}, with a plug or without",
        "half": f"no plug: {source} reaches {far}. A plug in the {source} listens, it still passes. A plug in the {far} breaks it",
        "full": f"no plug: {source} reaches {far}. A plug in either breaks it",
        "parallel": f"{source} reaches {far} always, whatever is plugged",
    }.get(pattern, pattern)


def _link_plugs(pattern: str, source: str, far: str) -> str:
    if pattern == "none":
        return f"no link plug: nothing passes from {source} to {far}"
    if pattern == far:
        return f"link plug in the {far}: {source} reaches {far}. A cord in the {source} listens. Without the link plug nothing passes"
    return f"link plug kept in the {source}: nothing passes from {source} to {far}"


def _mark(*parts: object) -> str:
    """A short mark of what something is made of: the same wiring, the same mark."""
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:10]


# -- which ---------------------------------------------------------------------------------------------------------------


def tests_of(job: "Job") -> tuple[Test, ...]:
    """The tests after a job: for what changed and what was in hands; without power first, then by name. At most MOST."""
    circuit = job.compared.after
    tester, found = Tester(circuit), dict[str, Test]()
    for kind, at in _wanted(job, circuit.plant, tester):
        test = tester.test(kind, at)
        if test is not None:
            found.setdefault(test.id, test)
        if len(found) >= MOST:
            break
    return tuple(sorted(found.values(), key=lambda test: (KINDS.index(test.kind), tuple(map(natural, test.at)))))


def _wanted(job: "Job", plant: Plant, tester: Tester) -> Iterator[tuple[str, tuple[str, ...]]]:
    touched = {name for op in job.todo.ops for name in op.touches}
    again = {
        name for _, new in job.todo.staying if new.called in set(job.retest) for pair in new.pairs for name in pair
    }
    laid = [work.new.pairs[index] for work in job.todo.works if work.new is not None for index in work.lays]
    yield from ((CONTINUITY, pair) for pair in laid)
    for _, new in job.todo.staying:
        if new.cable.number in set(job.retest):
            yield from ((CONTINUITY, pair) for pair in new.pairs)
    nodes = {node for name in touched | again if (node := plant.node(name)) is not None}
    nodes |= {
        node
        for op in job.todo.ops
        if op.kind in ("in", "exchange", "move", "alter", "back again", "turn")
        for node in _of(plant, op.owner)
    }
    for net in {id(net): net for node in sorted(nodes) if (net := tester.state.net_of(node)) is not None}.values():
        for driver, hearer in () if net.either else net.pairs():
            at = (plant.name(driver), plant.name(hearer))
            yield LEVEL, at
            if tester.test(LEVEL, at) is None:
                yield SIGNAL, at
            if plant.socket(hearer).written.phantom == "supply":
                yield PHANTOM, (plant.name(driver),)
    for op in job.todo.ops:
        if op.kind in ("cut", "make") and op.edits[0][0][0] == "column":
            bay, number = op.edits[0][0][1]
            yield PLUG, (f"{bay}/{number}",)


def _of(plant: Plant, head: str) -> list[int]:
    return list(plant.units[head]) if head in plant.units else []


def disturbed(job: "Job") -> tuple[str, ...]:
    """Cables that were not changed and moved all the same: in the same multipin connector, or in the same loom, as what was lifted or laid."""
    looms: set[str] = set()
    shared: set[tuple[str, str]] = set()
    worked = set()
    busy = frozenset(op.owner for op in job.todo.ops if op.kind in ("exchange", "move"))
    for op in job.todo.ops:
        side = None if op.work is None else op.work.old if op.kind == "lift" else op.work.new
        if side is None or op.kind not in ("lift", "lay"):
            continue
        worked.add(side.cable.number)
        looms |= {side.cable.loom} if side.cable.loom else set()
        hands = {end.name for end in handled_ends(op, busy)}
        for index, names in enumerate(side.pairs):
            shared |= {
                (name.partition("/")[0], end.shared)
                for end, name in zip(side.ends(index), names, strict=True)
                if end.shared and end.name in hands
            }
    found = set()
    for _, new in job.todo.staying:
        ends = {
            (name.partition("/")[0], end.shared)
            for index in range(len(new.pairs))
            for end, name in zip(new.ends(index), new.pairs[index], strict=True)
        }
        if new.cable.number not in worked and (new.cable.loom in looms or not shared.isdisjoint(ends)):
            found.add(new.called)
    return tuple(sorted(found, key=natural))
