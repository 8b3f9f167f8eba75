"""pins-contradict: the pins of a cable say something else than its other keys.

Polarity, the cold leg and the shield are worked out from `polarity`, `cold` and `shield`; the hands solder what `pins` says. Told where
`pins` exchanges hot and cold and `polarity` does not say so, or the other way round; where it makes the cold leg or the shield otherwise
than `cold` or `shield` says; and where it leaves out a leg between two balanced ends, or the shield at both ends. Only between
connectors whose pins are published.

Bad:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    connector = "xlr-m"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    connector = "xlr-f"
    [[cable]]
    from = "desk/out"
    to = "rec/in"
    pins = ["hot 2 3", "cold 3 -", "shield 1 1"]

Good:

    [unit.desk]
    rack = "left"
    [[unit.desk.port]]
    name = "out"
    direction = "out"
    signal = "line"
    connector = "xlr-m"
    [unit.rec]
    rack = "left"
    [[unit.rec.port]]
    name = "in"
    direction = "in"
    signal = "line"
    connector = "xlr-f"
    [[cable]]
    from = "desk/out"
    to = "rec/in"
    pins = ["hot 2 2", "cold 3 3", "shield 1 1"]

Accept:

    [[accept]]
    rule = "pins-contradict"
    at = ["desk/out", "rec/in"]
    because = "The recorder has pin 3 hot and pin 2 at ground inside."
"""

from collections.abc import Iterator
from typing import NamedTuple

from routecode.circuit.plant import Wire
from routecode.figures.soldering import Published, published
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.language.written import Cable
from routecode.physics.pins import COLD, HOT, SHIELD
from routecode.rules.rule import Fault, Rule, Scene
from routecode.rules.words import listed

LEGS = (HOT, COLD)


def check(scene: Scene) -> Iterator[Fault]:
    """Cables whose own map of pins disagrees with what else is said of them, those of one statement in one fault."""
    found: dict[tuple[At, tuple[str, ...]], list[Wire]] = {}
    for wire in scene.plant.wires:
        reasons = tuple(_reasons(scene, wire)) if wire.details.pins else ()
        if reasons:
            found.setdefault((_place(wire), reasons), []).append(wire)
    for (place, reasons), wires in found.items():
        first = wires[0]
        more = f" (and {len(wires) - 1} more)" if len(wires) > 1 else ""
        yield Fault(
            scene.names([node for wire in wires for node in (wire.a, wire.b)]),
            f"`pins` of the cable from {scene.words.node(first.a)} to {scene.words.node(first.b)}{more} {listed(list(reasons), 4)}.",
            "The hands solder what `pins` says; everything else is worked out from the other keys.",
            "Correct `pins`, or write `polarity`, `cold` and `shield` as it is soldered.",
            place,
        )


class _Map(NamedTuple):
    """The rows of a cable's own map with what is published for its ends. `joined`: what each wire joins, by the contacts."""

    wire: Wire
    one: Published
    other: Published

    @property
    def joined(self) -> set[tuple[str, str]]:
        return {
            (self.one.carries.get(a, ""), self.other.carries.get(b, ""))
            for _, a, b in self.wire.details.pins
            if "-" not in (a, b)
        }

    @property
    def shield(self) -> tuple[bool, bool]:
        """Whether the shield is connected at each end."""
        rows = [(a, b) for what, a, b in self.wire.details.pins if what not in LEGS and self._is_shield(what, a, b)]
        return any(a != "-" for a, _ in rows), any(b != "-" for _, b in rows)

    def _is_shield(self, what: str, a: str, b: str) -> bool:
        return what == SHIELD or SHIELD in (self.one.carries.get(a), self.other.carries.get(b))


def _reasons(scene: Scene, wire: Wire) -> Iterator[str]:
    one, other = published(scene.plant, wire.a), published(scene.plant, wire.b)
    if one is None or other is None:
        return
    made = _Map(wire, one, other)
    if one.balanced and other.balanced:
        yield from _balanced(made)
    elif one.balanced or other.balanced:
        yield from _cold(made)
    yield from _shield(made)


def _balanced(made: _Map) -> Iterator[str]:
    joined = made.joined
    exchanged = (HOT, COLD) in joined or (COLD, HOT) in joined
    if exchanged and not made.wire.reversed:
        yield "exchanges hot and cold against `polarity`"
    if made.wire.reversed and not exchanged and joined & {(HOT, HOT), (COLD, COLD)}:
        yield "leads hot to hot against `polarity`"
    legs = [pair for pair in joined if set(pair) <= set(LEGS)]
    if any(leg not in {pair[which] for pair in legs} for leg in LEGS for which in (0, 1)):
        yield "leaves out a leg"


def _cold(made: _Map) -> Iterator[str]:
    """Where one end is unbalanced: whether the cold leg is on the shield there."""
    said = made.wire.details.cold
    unbalanced, pair = ("b", (COLD, SHIELD)) if made.one.balanced else ("a", (SHIELD, COLD))
    end = made.other if made.one.balanced else made.one
    plain = HOT in end.carries.values() and COLD not in end.carries.values()
    if said is not None and plain and (pair in made.joined) != (said == unbalanced):
        yield "makes the cold leg otherwise than `cold` says"


def _shield(made: _Map) -> Iterator[str]:
    if any(SHIELD not in end.carries.values() for end in (made.one, made.other)):
        return
    said, on = made.wire.details.shield, made.shield
    if said is not None and on != (said in ("a", "both"), said in ("b", "both")):
        yield "connects the shield otherwise than `shield` says"
    elif on == (False, False):
        yield "leaves the shield open at both ends"


def _place(wire: Wire) -> At:
    """Where the text says the pins."""
    tables = [wire.table, *(said.table for said in wire.said)]
    table = next(table for table in tables if isinstance(table, Cable) and table.pins)
    return table.where("pins")


RULE = Rule("pins-contradict", Severity.WARNING, check, "unpatched")
