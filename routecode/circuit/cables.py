"""Fixed cabling resolved: the cables that columns state in short form, and those of `[[cable]]`, united by their pair of places."""

from typing import Any

from routecode.circuit.plant import PLAIN, Details, Plant, Said, Wire
from routecode.circuit.problems import Problems
from routecode.ground.place import At
from routecode.language.kinds import Legs
from routecode.language.ranges import spread
from routecode.language.written import Cable, Column
from routecode.physics.pins import contacts

_CARRIED = ("number", "type", "metres", "loom", "cold", "shield", "status", "tested", "pins")
DEAD = "dead"
_AN = "aeior8x"
"""Words for connectors that begin with these are spoken with `an`."""
_FEW = 8
"""Most contacts that are told one by one."""
_ENDS = {"shield-at-from": "ab", "shield-at-to": "ba", "from": "ab", "to": "ba"}
"""What a cable says of its ends: the end of the wire that is meant, if the cable begins at its first end, and if not."""


class CableMaker:
    """Collects the wires of a plant."""

    def __init__(self, plant: Plant, problems: Problems) -> None:
        self.plant = plant
        self.problems = problems
        self.splits = 0

    def short_forms(self, forms: list[tuple[str, int, Column, str]]) -> None:
        """The cables that columns state. Most places of a studio are named here, and most of them once."""
        plant = self.plant
        wires, units, first, more = plant.wires, plant.units, plant.wire_at, plant.more_wires
        for place, jack, column, key in forms:
            head, _, rest = place.partition("/")
            unit = units.get(head)
            if unit is not None:
                socket = unit.kit.index.get(rest)
                node = None if socket is None else unit.first + socket
            else:
                node = plant.node(place)
            if node is None or node == jack:
                self._refused(place, node, column, key)
            elif jack in first:
                self._state(node, jack, Said(column, key), None, None, 0)
            else:
                number = first[jack] = len(wires)
                if node in first:
                    more.setdefault(node, []).append(number)
                else:
                    first[node] = number
                wires.append(Wire(node, jack, column, key))

    def cable(self, cable: Cable) -> None:
        """The cables of one `[[cable]]`; a dead one joins nothing (`dead` says more)."""
        if cable.status == DEAD:
            return
        froms = self._side(cable, "from_", cable.from_)
        tos = self._side(cable, "to", cable.to)
        if len(cable.from_) > 1 and len(cable.to) > 1:
            self.problems.add(
                "split-both-sides",
                "Only one side of a cable may be a list of lists.",
                cable.where("to"),
                do="State two cables.",
            )
            return
        split = 0
        if len(cable.from_) > 1 or len(cable.to) > 1:
            self.splits += 1
            split = self.splits
        pairs = self._pairs(cable, froms, tos)
        numbers = self._numbers(cable, len(pairs))
        for pair, number in zip(pairs, numbers, strict=True):
            self._add(cable, pair, number, split)

    def _side(self, cable: Cable, key: str, legs: Legs) -> list[tuple[str, ...]]:
        at = cable.where(key.rstrip("_"))
        return [spread(leg, at, self.problems.mistakes) for leg in legs]

    def _pairs(self, cable: Cable, froms: list[tuple[str, ...]], tos: list[tuple[str, ...]]) -> list[tuple[str, str]]:
        swapped = len(froms) > 1
        legs, (side,) = (froms, tos) if swapped else (tos, froms)
        pairs: list[tuple[str, str]] = []
        for leg in legs:
            if len(leg) != len(side):
                if leg and side:
                    self.problems.unequal(
                        "`from`",
                        len(leg if swapped else side),
                        "`to`",
                        len(side if swapped else leg),
                        cable.where("to"),
                        (*leg, *side),
                    )
                return []
            pairs += zip(leg, side, strict=True) if swapped else zip(side, leg, strict=True)
        return pairs

    def _numbers(self, cable: Cable, count: int) -> list[str | None]:
        if not cable.number:
            return [None] * count
        numbers = spread(cable.number, cable.where("number"), self.problems.mistakes, down=False)
        if len(numbers) == 1:
            return [numbers[0]] * count
        if len(numbers) != count:
            if numbers and count:
                self.problems.unequal("`number`", len(numbers), "the cable", count, cable.where("number"))
            return [None] * count
        return list(numbers)

    def _add(self, cable: Cable, pair: tuple[str, str], number: str | None, split: int) -> None:
        a, b = self.plant.node(pair[0]), self.plant.node(pair[1])
        for node, name, key in ((a, pair[0], "from"), (b, pair[1], "to")):
            if node is None:
                self.problems.unknown_place(self.plant, name, cable.where(key))
        if a is None or b is None:
            return
        if a == b:
            self.problems.add(
                "cable-to-itself",
                f"This cable leads from {pair[0]} to itself.",
                cable.where("to"),
                do="Correct one end.",
            )
            return
        self._state(a, b, Said(cable, "from"), cable, number, split)

    def _state(self, a: int, b: int, said: Said, cable: Cable | None, number: str | None, split: int) -> None:
        """State a cable: a new one, or more of one that is stated already."""
        plant = self.plant
        near, far = sorted((a, b), key=lambda node: len(plant.more_wires.get(node, ())))
        known = next((wire for wire in plant.wires_of(near) if wire.other(near) == far), None)
        if known is not None:
            self.again(known, said, cable, number, split, from_b=known.a != a)
            return
        details = PLAIN
        if cable is not None:
            reverses = cable.polarity == "reversed"
            pins = self._pins(cable, a, b)
            ends = (_end(cable.cold), _end(cable.shield), cable.status, cable.tested, pins)
            details = Details(reverses, bool(cable.front), number, cable.type, cable.metres, cable.loom, *ends, split)
        for node in (a, b):
            if node in plant.wire_at:
                plant.more_wires.setdefault(node, []).append(len(plant.wires))
            else:
                plant.wire_at[node] = len(plant.wires)
        plant.wires.append(Wire(a, b, said.table, said.key, details))

    def _pins(self, cable: Cable, first: int, second: int, *, from_b: bool = False) -> tuple[tuple[str, str, str], ...]:
        """The map of its own that a cable says, as seen from the wire's first end. `first`, `second`: its own ends."""
        rows = []
        for index, text in enumerate(cable.pins):
            parts = text.split()
            at = cable.where("pins")
            if len(parts) != 3:
                said = f"`{text[:80]}` is no wire of a cable: it has {len(parts)} words, not three."
                do = 'Write what it carries and its two pins: "hot 2 tip"; - for nothing.'
                self.problems.add("bad-pins", said, at, do=do)
                continue
            for pin, node in ((parts[1], first), (parts[2], second)):
                self._contact(pin, node, At(at.file, (*at.path, index)))
            rows.append((parts[0], parts[2], parts[1]) if from_b else (parts[0], parts[1], parts[2]))
        return tuple(rows)

    def _contact(self, pin: str, node: int, at: At) -> None:
        """Told where a connector whose contacts are published has none of this name."""
        connector = connector_at(self.plant, node)
        has = contacts(connector)
        if pin == "-" or not has or pin in has:
            return
        listed = ", ".join(has) if len(has) <= _FEW else f"{has[0]} to {has[-1]}"
        do = f"{'An' if connector[0] in _AN else 'A'} {connector} plug has {listed}; - for nothing."
        self.problems.add("bad-pins", f"There is no contact `{pin[:80]}` at {self.plant.name(node)}.", at, do=do)

    def _refused(self, place: str, node: int | None, column: Column, key: str) -> None:
        if node is None:
            self.problems.unknown_place(self.plant, place, column.where(key))
        else:
            self.problems.add(
                "cable-to-itself",
                f"{place} is wired to itself.",
                column.where(key),
                do="Name what is wired behind the jack.",
            )

    def again(
        self, wire: Wire, said: Said, cable: Cable | None, number: str | None, split: int, *, from_b: bool
    ) -> None:
        """A second statement of a cable: it may add keys, never contradict. `from_b`: it begins at the wire's second end."""
        old = wire.details
        values: dict[str, Any] = {"said": (*old.said, said), "split": old.split or split}
        if cable is not None:
            given: dict[str, Any] = {"number": number, "type": cable.type, "metres": cable.metres, "loom": cable.loom}
            given |= {"cold": _end(cable.cold, from_b=from_b), "shield": _end(cable.shield, from_b=from_b)}
            given |= {"status": cable.status, "tested": cable.tested}
            ends = (wire.b, wire.a) if from_b else (wire.a, wire.b)
            given["pins"] = self._pins(cable, *ends, from_b=from_b) or None
            for key in _CARRIED:
                before, new = getattr(old, key) or None, given[key]
                if before is not None and new is not None and before != new:
                    self._contradiction(wire, said, key, before, new)
                values[key] = before if new is None else new
            values["pins"] = values["pins"] or ()
            for key, held, stated in (("polarity", old.reversed, cable.polarity), ("front", old.front, cable.front)):
                self._flag(wire, said, key, held, stated, values)
        wire.details = old._replace(**values)

    def _flag(
        self, wire: Wire, said: Said, key: str, old: bool, new: str | bool | None, values: dict[str, Any]
    ) -> None:
        if new is None:
            return
        stated = [
            one.table for one in wire.said if isinstance(one.table, Cable) and getattr(one.table, key) is not None
        ]
        value = new == "reversed" if key == "polarity" else bool(new)
        if stated and old != value:
            self._contradiction(wire, said, key, getattr(stated[0], key), new)
        values["reversed" if key == "polarity" else "front"] = value

    def _contradiction(self, wire: Wire, said: Said, key: str, old: object, new: object) -> None:
        first = next(
            (one for one in wire.said if isinstance(one.table, Cable) and getattr(one.table, key)), wire.said[0]
        )
        names = f"{self.plant.name(wire.a)} to {self.plant.name(wire.b)}"
        self.problems.add(
            "cable-contradicts",
            f"The cable {names} is stated twice: `{key}` is {old} in one place and {new} in the other.",
            said.table.where(key),
            do="Keep one value.",
            also=(("the first statement", first.table.where(key)),),
        )


def connector_at(plant: Plant, node: int) -> str:
    """The word for the connector at a port or jack that a cable is soldered to, or plugged into; empty where nothing says it."""
    if plant.is_jack(node):
        bay = plant.bay_of(node)
        return "" if bay.has_rear_connectors else bay.written.contact or ""
    many = plant.multipin_of(node)
    return (many[0].connector if many is not None else plant.socket(node).written.connector) or ""


def _end(word: str | None, *, from_b: bool = False) -> str | None:
    """The end of the wire that a word of a cable means; other words as they are."""
    return _ENDS[word][from_b] if word in _ENDS else word
