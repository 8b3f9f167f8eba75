"""The shape of the document of one place's story. Which documents there are is in `documents`."""

from routecode.change.identity import DECLARED, PROBABLE, PROVED
from routecode.ground.finding import Severity
from routecode.history.story import MOMENTS
from routecode.history.story_fails import KINDS
from routecode.history.story_place import KINDS as PLACES
from routecode.show.document import PLACE, Document
from routecode.show.shape import OneOf, OrNull, Record, Several, Shape, Whole, Word, Yes

_SETUP = OrNull(Word(), "The setup, as it is asked about; null is unpatched.")
REVISION = Record(
    (
        ("id", Word("The full id of a commit, or `worktree`: the files as they are now.")),
        ("title", Word("The first line of its message; may be empty.")),
        ("author", Word("Who made it; may be empty.")),
        ("when", Word("When it was recorded; may be empty.")),
    )
)
ENDS = Record((("from", Word("The source.")), ("to", Word("The destination."))))
STEP = Record(
    (
        ("from", Word("The channel it leaves.")),
        ("to", Word("The channel it reaches.")),
        ("by", OneOf(("feed", "inside"), "Over the wiring, or through a unit.")),
        ("jacks", Several(Word(), "The jacks a feed passes, in order.")),
        ("polarity", OneOf(("kept", "reversed", "mixed"))),
    )
)
WAY = Record(
    (
        ("from", Word("The source.")),
        ("to", Word("The destination.")),
        ("way", OrNull(Several(STEP, "Step by step."), "null: there are too many paths to tell the way of each.")),
    )
)
WAYS = Record(
    (
        ("setup", _SETUP),
        ("paths", Several(WAY, "The paths through the place that carry something.")),
        ("arrives", Several(Word(), "Sources whose signal gets there and goes no further.", distinct=True)),
        ("cut", Yes("There are too many paths to be listed.")),
    )
)
LINE = Record(
    (
        ("side", OneOf(("before", "after"), "The revision itself, or the one it is compared with.")),
        ("place", PLACE),
        ("text", Word("What the line says.")),
    )
)
NEED = Record(
    (
        ("setup", Word("The setup that asks for it.")),
        ("path", Several(Word(), "Its places in order.")),
        ("never", Yes("It must not exist.")),
        ("only", Yes("Nothing else may reach its end.")),
    )
)
FINDING = Record(
    (
        ("rule", Word("The rule that says so.")),
        ("severity", OneOf(tuple(severity.value for severity in Severity))),
        ("at", Several(Word(), "Its subjects.", distinct=True)),
        ("text", Word("One sentence.")),
    )
)
TODAY = Record(
    (
        ("since", REVISION),
        ("lines", Several(LINE, "The lines of text that did it.")),
        ("sentences", Several(Word(), "What a person is told. Outside the contract.")),
    )
)
_LOST = Several(ENDS, "Paths lost, by the names they had right after; empty for other kinds.")
SINCE = Record(
    (
        ("kind", OneOf(KINDS, "The place is gone, a need fails, paths were lost, a finding stands.")),
        ("setup", _SETUP),
        ("since", REVISION),
        (
            "until",
            OrNull(REVISION, "The last revision in which it worked; null: it never did, or was never asked for."),
        ),
        ("unsure", Whole("Revisions right before it that do not compile: it may have begun in one of them.")),
        ("paths", _LOST),
        ("instead", Several(ENDS, "Paths from or to the same ends that came with the loss and still stand.")),
        ("need", OrNull(NEED)),
        ("finding", OrNull(FINDING)),
        ("lines", Several(LINE, "The lines of text that did it.")),
        ("sentences", Several(Word(), "What a person is told. Outside the contract.")),
        ("today", OrNull(TODAY, "What stands against it today, where what it began with was mended; else null.")),
    )
)
TURNED = Record(
    (
        ("setup", _SETUP),
        ("lost", Several(ENDS, "Paths that went through the place before.")),
        ("still", Several(ENDS, "Those of them that get there another way.")),
        ("gained", Several(WAY, "Paths that go through it now and did not before.")),
        ("rerouted", Several(WAY, "Paths with the same ends and another way: the way they take now.")),
        ("sentences", Several(Word(), "What a person is told. Outside the contract.")),
    )
)
_NAME: tuple[tuple[str, Shape], ...] = (
    ("name", Word("The canonical name of the place, of a cable its number.")),
    ("kind", OneOf(PLACES)),
)
WAS = Record((("name", Word()), ("how", OneOf((DECLARED, PROVED, PROBABLE), "How it is known."))))
CABLED = Record((("at", Word("The place, or one end of the cable.")), ("to", Word("The other end."))))
MOMENT = Record(
    (
        ("kind", OneOf(MOMENTS, "What happened to the place; broken: revisions that do not compile.")),
        ("revision", REVISION),
        ("last", OrNull(REVISION, "Of several revisions that do not compile, the oldest; else null.")),
        ("before", OrNull(REVISION, "What it is compared with: the newest one before it that compiles.")),
        ("name", Word("What the place is called after it, or was called where it is gone.")),
        ("was", OrNull(WAS, "What it was called before, where that was otherwise.")),
        ("states", Several(TURNED, "The states in which paths or ways, levels or phantom power are otherwise.")),
        ("uncabled", Several(CABLED, "Fixed cables at it that are gone.")),
        ("cabled", Several(CABLED, "Fixed cables at it that are new.")),
        ("lines", Several(LINE, "The lines of text that did it.")),
        ("notes", Several(Word(), "What else is said of its unit or cable. Outside the contract.")),
        ("error", OrNull(Word(), "Why it does not compile: the first error.")),
    )
)
STORY = Document(
    "story",
    "What `routecode history --of PLACE --json` prints. Names are those of the revision they are told of.",
    (
        *_NAME,
        ("setup", OrNull(Word(), "The setup asked about beside the unpatched state.")),
        ("standing", Yes("The newest revision that compiles has the place.")),
        ("revision", REVISION),
        ("last", REVISION),
        ("revisions", Whole("How many revisions there are, those that did not touch the place with them.")),
        ("ways", Several(WAYS, "What goes through it in `last`, the newest revision that has it.")),
        ("since", Several(SINCE, "What does not work now, and since when; the worst first.")),
        ("moments", Several(MOMENT, "Every revision in which something of it changed, newest first.")),
    ),
)
