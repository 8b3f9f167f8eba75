"""The setups in the book: each as a patch sheet, in the order in which it is plugged, with boxes to tick and the needs it serves."""

from collections.abc import Iterator, Sequence

from routecode.circuit.circuit import Circuit
from routecode.circuit.needs import NeedJudge, Verdict
from routecode.circuit.parts import CordEnd, PlacedCord, PlacedSetup
from routecode.circuit.setups import whole_cords
from routecode.ground.order import natural
from routecode.rules.words import MUTE, Words, counted, listed
from routecode.show.book_pages import Section, table
from routecode.show.book_served import Serving
from routecode.show.faces.jacks import place_name
from routecode.show.paper import pieces
from routecode.show.paper.pieces import Block, Heading, NewPage, Notice
from routecode.show.paper.table import TICK
from routecode.show.sheets.sheet import number

MOST_SHEETS = 150
"""Patch sheets in one book; what is left out is said."""
MOST_ROWS = 1500
"""Rows of one table of a patch sheet."""
CARE = f"Headphones off heads, monitors down, no take running. {MUTE}"
ORDER = "In this order, from the top; taken down the other way round."
_OVERVIEW = ("setup", "id", "times a year", "cords", "plugs", "switches", "routes", "phantom power", "needs")
_STANDING = ("what", "where", "standing")


class Setups:
    """The chapter of the setups. After `blocks`, `left` says what is left out."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit, self.plant = circuit, circuit.plant
        self.words = Words(circuit.plant)
        self.left: list[str] = []

    def blocks(self) -> Iterator[Block]:
        """The chapter; nothing where there are no setups and nothing stands closed."""
        standing = self._standing()
        if not self.plant.setups and not standing:
            return
        yield Section("Setups", "setups")
        yield pieces.Words(_intro(len(self.plant.setups)))
        yield table(
            _OVERVIEW,
            self._bounded([self._counts(placed) for placed in self.plant.setups.values()], "the list of setups"),
        )
        if standing:
            yield Heading("Standing in every setup that does not say otherwise", 3)
            yield table(_STANDING, self._bounded(standing, "what stands in every setup"))
        for count, (name, placed) in enumerate(self.plant.setups.items(), 1):
            if count > MOST_SHEETS:
                left = len(self.plant.setups) - MOST_SHEETS
                self.left.append(f"The patch sheets of {counted(left, 'setup')}, from {self.words.setup(name)} on.")
                break
            yield NewPage()
            yield from self._sheet(placed)

    def _counts(self, placed: PlacedSetup) -> list[str]:
        """A setup in the list: how much is to be done for it."""
        times = placed.written.times_per_year
        plugs, set_ = len(placed.links) + len(placed.dummies), len(placed.positions)
        amounts = (
            len(whole_cords(placed.cords)),
            plugs,
            set_,
            len(placed.routes),
            len(placed.phantom),
            len(placed.needs),
        )
        return [self.words.setup(placed.id), placed.id, "" if times is None else number(times), *map(str, amounts)]

    def _standing(self) -> list[list[str]]:
        plant = self.plant
        units: dict[str, list[int]] = {}
        for node in sorted(plant.phantom_on, key=self._order):
            units.setdefault(plant.unit_of(node).id, []).append(node)
        found = [["phantom power", self.words.nodes(nodes, len(nodes)), "on"] for nodes in units.values()]
        for source, target in sorted(plant.routes):
            found.append(["route", f"{self.words.channel(source)} to {self.words.channel(target)}", "closed"])
        return found

    # -- one sheet ------------------------------------------------------------------------------------------------------

    def _sheet(self, placed: PlacedSetup) -> Iterator[Block]:
        title = self.words.setup(placed.id)
        yield Section(f"{title} ({placed.id})", f"setup-{placed.id}", 2, named=title)
        yield from map(pieces.Words, self._about(placed))
        tables = [found for found in self._tables(placed) if found[2]]
        if tables:
            yield Notice(CARE)
            yield pieces.Words(ORDER)
        for name, heads, rows in tables:
            yield Heading(name, 3)
            yield table(("", *heads), [(TICK, *row) for row in self._bounded(rows, f"{title}, {name}")], bold=(1,))
        if not tables:
            yield pieces.Words("Nothing is plugged, switched or routed: this setup only says what must reach what.")
        yield from self._needs(placed, title)

    def _about(self, placed: PlacedSetup) -> Iterator[str]:
        written = placed.written
        if written.notes:
            yield written.notes
        said = [
            f"Builds on {listed([self.words.setup(name) for name in written.include], 8)}" if written.include else "",
            f"{number(written.times_per_year)} times a year" if written.times_per_year is not None else "",
            f"{written.sample_rate:,} Hz" if written.sample_rate else "",
            counted(len(whole_cords(placed.cords)), "cord"),
        ]
        yield "; ".join(part for part in said if part) + "."

    def _tables(self, placed: PlacedSetup) -> Iterator[tuple[str, tuple[str, ...], list[list[str]]]]:
        """Title, heads and rows of what is to be done, in order."""
        phantom = sorted(placed.phantom.items(), key=lambda item: self._order(item[0]))
        off = [[self.words.node(node), "off"] for node, on in phantom if not on]
        yield "Phantom power off, and wait a minute", ("input", "phantom power"), off
        yield "Link plugs and dummy plugs", ("jack or column", "plug"), self._plugs(placed)
        yield "Cords", ("cord", "from", "to", "kind", "remark"), self._cords(placed)
        turned = sorted(placed.positions.items(), key=lambda item: (natural(item[0][0]), natural(item[0][1])))
        switches = [[f"{self.plant.units[unit].title} {name}", word] for (unit, name), (word, _) in turned]
        yield "Switches", ("switch", "position"), switches
        routes = [[self.words.channel(source), self.words.channel(target)] for source, target in sorted(placed.routes)]
        yield "Routes", ("from", "to"), routes
        on = [[self.words.node(node), "on"] for node, on in phantom if on]
        yield "Phantom power on, everything else being done", ("input", "phantom power"), on

    def _plugs(self, placed: PlacedSetup) -> list[list[str]]:
        rows = []
        for (bay, column), (word, _) in sorted(
            placed.links.items(), key=lambda item: (natural(item[0][0]), item[0][1])
        ):
            where = "taken out" if word == "none" else f"link plug in the {word} jack"
            rows.append([f"{self.plant.bays[bay].title} column {column}", where])
        dummies = sorted(placed.dummies, key=self._order)
        return rows + [[place_name(self.plant, jack), "dummy plug"] for jack in dummies]

    def _cords(self, placed: PlacedSetup) -> list[list[str]]:
        rows = []
        for index, legs in enumerate(whole_cords(placed.cords), 1):
            to = " and ".join(self._end(leg.b) for leg in legs)
            rows.append([str(index), self._end(legs[0].a), to, self._kind(legs[0]), self._remark(legs, placed)])
        return rows

    def _kind(self, cord: PlacedCord) -> str:
        """Which cord it takes: of those owned, or as written."""
        written = cord.written
        known = self.plant.studio.cord_type.get(written.cord or "")
        adapter = self.plant.studio.adapter.get(written.adapter or "")
        long = f", {number(known.metres)} m" if known is not None and known.metres is not None else ""
        said = [
            f"{(known.title if known is not None else None) or written.cord}{long}" if written.cord else "",
            f"adapter {(adapter.title if adapter is not None else None) or written.adapter}" if written.adapter else "",
        ]
        return ", ".join(part for part in said if part)

    def _remark(self, legs: Sequence[PlacedCord], placed: PlacedSetup) -> str:
        first = legs[0]
        said = [
            f"Y-cord to {counted(len(legs), 'place')}" if len(legs) > 1 else "",
            "hot and cold exchanged" if first.reversed else "",
            f"comes with {self.words.setup(first.setup)}" if first.setup != placed.id else "",
            first.written.title or "",
            first.written.notes or "",
        ]
        return "; ".join(part for part in said if part)

    def _end(self, end: CordEnd) -> str:
        """Where a cord goes: the jack first, then what is wired behind it."""
        if end.node < 0:
            return f"{end.named} (stands for several jacks: {listed([place_name(self.plant, jack) for jack in end.jacks], 4)})"
        name = place_name(self.plant, end.node)
        if end.how != "jack":
            return f"{name} (its own socket)"
        behind = [place_name(self.plant, node) for node in self.plant.wired(end.node)]
        return f"{name}: {listed(behind, 2)}" if behind else f"{name}: nothing wired"

    # -- needs ----------------------------------------------------------------------------------------------------------

    def _needs(self, placed: PlacedSetup, title: str) -> Iterator[Block]:
        if not placed.needs:
            return
        state = self.circuit.state(placed.id)
        judge = NeedJudge(state, self.circuit.flow(placed.id))
        serving = Serving(state, self.circuit.flow(placed.id), whole_cords(placed.cords))
        rows = []
        for need in placed.needs[: self._most(len(placed.needs), f"{title}, needs")]:
            verdict = judge.judge(need)
            by = serving.cords(need.steps) if verdict.met and not need.written.never else ()
            way = " > ".join(self.words.channel(step) for step in need.steps)
            rows.append([way, _wanted(verdict), _stands(verdict), ", ".join(map(str, by))])
        yield Heading("Needs it serves", 3)
        yield table(("path", "wanted", "stands", "by cords"), rows)

    # -- bounds ---------------------------------------------------------------------------------------------------------

    def _bounded(self, rows: list[list[str]], what: str) -> list[list[str]]:
        return rows[: self._most(len(rows), what)]

    def _most(self, count: int, what: str) -> int:
        """How many of so many rows are shown; what is left out is noted."""
        if count > MOST_ROWS:
            self.left.append(f"{what}: the last {counted(count - MOST_ROWS, 'row')} of {count:,}.")
        return min(count, MOST_ROWS)

    def _order(self, node: int) -> list[object]:
        return list(natural(self.plant.name(node)))


def _intro(count: int) -> str:
    return f"{counted(count, 'setup')}, a patch sheet each. What is not named on a sheet stands as it does unpatched."


def _wanted(verdict: Verdict) -> str:
    written = verdict.need.written
    return "must never be" if written.never else "must be, and nothing else at its end" if written.only else "must be"


def _stands(verdict: Verdict) -> str:
    if verdict.met:
        return "met"
    if verdict.need.written.never:
        return "NOT MET: it exists"
    if verdict.others:
        return f"NOT MET: also {listed(list(verdict.others), 2)}"
    return f"NOT MET: the signal gets to step {verdict.reached} of {len(verdict.need.steps)}"
