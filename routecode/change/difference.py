"""The difference of two studios, whole: raw sets, changes, needs, findings, and the one word for the result. The door here."""

from functools import cached_property

from attrs import define

from routecode.change.besides import besides
from routecode.change.cause import Causes
from routecode.change.changes import Change, changes_of, order_of
from routecode.change.delta import BOTH, Measure, StateDelta
from routecode.change.fact import Fact
from routecode.change.facts import differing
from routecode.change.figured import Figured
from routecode.change.guess import identity_of
from routecode.change.identity import PROBABLE, Identity, Renamed
from routecode.change.matched import Matched
from routecode.change.moves import Moves, moves
from routecode.change.needs import NeedChange, needs_of
from routecode.change.patching import Patching, StatePatching
from routecode.change.proof import Proofs
from routecode.change.records import JackRow, Listed, cabling, equipment, guessed, jack_rows
from routecode.change.words import Words
from routecode.circuit.circuit import Circuit
from routecode.ground.finding import Finding
from routecode.studio.opened import Opened

IDENTICAL, TEXT_ONLY, SAME_ENDS, ENDS_CHANGED = "identical", "text-only", "same-ends", "ends-changed"
RESULTS = (IDENTICAL, TEXT_ONLY, SAME_ENDS, ENDS_CHANGED)


@define(slots=False, eq=False)
class Compared:
    """Two circuits compared. Everything is worked out when first asked for; `same_text` makes the result `identical`."""

    before: Circuit
    after: Circuit
    same_text: bool = False
    guessing: bool = True
    """Whether names that only probably read otherwise are taken so."""

    @cached_property
    def identity(self) -> Identity:
        """Which names read otherwise."""
        return identity_of(self.before.plant, self.after.plant, guessing=self.guessing and not self.same_text)

    @cached_property
    def matched(self) -> Matched:
        """The shared numbers."""
        base = self.after.base
        edited = base[1] if base is not None and base[0] is self.before else None
        return Matched(self.before.plant, self.after.plant, self.identity, edited)

    @cached_property
    def facts(self) -> list[Fact]:
        """The facts of the circuit that differ."""
        return [] if self.same_text else differing(self.matched)

    @cached_property
    def states(self) -> tuple[StateDelta, ...]:
        """The raw sets: unpatched, then every setup of either side."""
        return tuple(Measure(self.before, self.after, self.matched, self.facts).states())

    @cached_property
    def words(self) -> Words:
        """Titles and phrases."""
        return Words(self.matched)

    @cached_property
    def causes(self) -> Causes:
        """Facts by what they touch."""
        return Causes(self.matched, self.facts)

    @cached_property
    def moves(self) -> Moves:
        """Columns that moved along with all that is wired to them."""
        points = (*self.states[0].points_lost, *self.states[0].points_gained)
        return moves(self.matched, {self.matched.node_name(point.jack).partition("/")[0] for point in points})

    @cached_property
    def changes(self) -> dict[str | None, tuple[Change, ...]]:
        """The changes of every state."""
        proved = Proofs(self.matched, self.causes).proved
        found = {delta.setup: changes_of(delta, self.causes, self.words, self.moves, proved) for delta in self.states}
        for setup, more in self.figured.items():
            if more:
                found[setup] = tuple(sorted((*found[setup], *more), key=order_of))
        return found

    @cached_property
    def figured(self) -> dict[str | None, list[Change]]:
        """Levels and phantom power that are otherwise, by state."""
        if self.same_text:
            return {}
        back = {new: old for old, new in self.identity.setups.items()}
        compare = Figured(self.matched, self.facts, self.words, (self.before, self.after))
        return {delta.setup: compare.changes(delta, back.get(delta.setup or "", delta.setup)) for delta in self.states}

    @cached_property
    def patching(self) -> tuple[StatePatching, ...]:
        """What cords could do in every state that both sides have."""
        return Patching(self.before, self.after, self.matched).states(self.states, self.changes)

    @property
    def renamed(self) -> list[Renamed]:
        """Names that read otherwise, sorted."""
        return self.identity.renamed

    @cached_property
    def guessed(self) -> list[str]:
        """Sentences about names that probably read otherwise."""
        return guessed([one for one in self.renamed if one.how == PROBABLE], self.matched, self.words)

    @cached_property
    def result(self) -> str:
        """One of RESULTS."""
        if self.same_text:
            return IDENTICAL
        if any(delta.ends_changed for delta in self.states):
            return ENDS_CHANGED
        if (
            self.facts
            or any(self.figured.values())
            or any(delta.presence != BOTH or not delta.empty for delta in self.states)
        ):
            return SAME_ENDS
        return TEXT_ONLY

    @property
    def compared(self) -> int:
        """Paths compared, over all states."""
        return sum(delta.compared for delta in self.states)

    @cached_property
    def _needs(self) -> list[NeedChange]:
        return [] if self.same_text else [need for delta in self.states for need in needs_of(delta)]

    @property
    def needs(self) -> list[NeedChange]:
        """Needs that now fail, those that are new with them, or are met again."""
        return [need for need in self._needs if need.after is False or need.mended]

    @cached_property
    def asked(self) -> list[NeedChange]:
        """Needs that only one side asks for, of setups that both sides have; those that are new and fail are in `needs`, too."""
        both = {delta.setup for delta in self.states if delta.presence == BOTH}
        return [need for need in self._needs if need.one_sided and need.setup in both]

    @cached_property
    def jacks(self) -> list[JackRow]:
        """What was and is behind the jacks that changed, and how they are normalled."""
        return jack_rows(self.states[0].points_lost, self.states[0].points_gained, self.facts, self.words, self.moves)

    @cached_property
    def cables(self) -> list[Listed]:
        """Cables that are new, gone or described otherwise."""
        return [] if self.same_text else cabling(self.matched, self.words, self.moves)

    @cached_property
    def things(self) -> list[Listed]:
        """Units and bays that are new, gone, moved or called otherwise."""
        return [] if self.same_text else equipment(self.matched, self.words)

    @property
    def cabling(self) -> list[str]:
        """What is said of `cables`."""
        return [line.text for line in self.cables]

    @property
    def equipment(self) -> list[str]:
        """What is said of `things`."""
        return [line.text for line in self.things]

    def besides(self, setup: str | None = None, *, one: bool = False) -> list[str]:
        """What differs and is told neither by a change nor in a list above; with `one` in the state `setup` alone."""
        edits = {edit for changes in self.changes.values() for change in changes for edit in change.edits}
        told = {id(fact) for edit in self.causes.edits if edit.number in edits for fact in edit.facts}
        facts = (fact for fact in self.facts if not one or fact.setup in (None, setup))
        return besides((fact for fact in facts if id(fact) not in told), self.words)

    def untold(self, setup: str | None = None, *, one: bool = False) -> int:
        """How many raw paths are in no change of their own: stubs, and paths of idle sources."""
        count = 0
        for delta in self.states:
            if not one or delta.setup == setup:
                changes = self.changes[delta.setup]
                told = sum(len(change.lost) + len(change.gained) for change in changes)
                count += len(delta.lost) + len(delta.gained) - told
        return count


class Difference(Compared):
    """Two opened revisions compared (ValueError where one has no circuit)."""

    def __init__(self, before: Opened, after: Opened, *, guessing: bool = True) -> None:
        same = before.files.texts == after.files.texts
        old, new = (after.circuit if same else before.circuit), after.circuit
        if old is None or new is None:
            raise ValueError("a studio with mistakes cannot be compared")
        super().__init__(old, new, same, guessing)
        self.old = before
        self.new = after

    @cached_property
    def findings_new(self) -> tuple[Finding, ...]:
        """Findings that only the after side has, by their identity."""
        known = {self._identity(finding) for finding in self.old.report.findings}
        return tuple(finding for finding in self.new.report.findings if finding.identity not in known)

    @cached_property
    def findings_gone(self) -> tuple[Finding, ...]:
        """Findings that only the before side has."""
        known = {finding.identity for finding in self.new.report.findings}
        return tuple(finding for finding in self.old.report.findings if self._identity(finding) not in known)

    def _identity(self, finding: Finding) -> tuple[str, tuple[str, ...], str | None]:
        """Of a finding of the before side, in names as they read after."""
        read = self.identity.read
        setup = finding.setup and self.identity.setups.get(finding.setup, finding.setup)
        return (finding.rule, tuple(sorted(map(read, finding.at))), setup)
