"""The shape of the JSON document of a history, declared once. It is filled in by `history_document`."""

from routecode.change.difference import RESULTS
from routecode.ground.finding import Severity
from routecode.history.counting import SORTS
from routecode.history.entry import KINDS
from routecode.show.document import ANYWHERE, Document
from routecode.show.shape import OneOf, OrNull, Record, Several, Shape, Whole, Word, Yes


def _names(what: str) -> Several:
    return Several(Word(), f"Ids of the {what} it touches, as they read after and as they read before.", distinct=True)


HISTORY_ERROR = Record((("text", Word("One sentence.")), ("place", ANYWHERE)), "The first mistake in the text.")
HISTORY_KIND = Record(
    (
        ("kind", Word("The kind of change.")),
        ("sense", OrNull(OneOf(("new", "gone")))),
        ("count", Whole("How many changes of this kind, each once over all states.")),
    )
)
HISTORY_RENAMED = Record((("kind", OneOf(SORTS)), ("before", Word()), ("after", Word())))
_COUNTS: tuple[tuple[str, Shape], ...] = tuple((severity.value, Whole()) for severity in Severity)
HISTORY_FOUND = Record(
    (*_COUNTS, ("told", Several(Word(), "The worst few in words. Outside the contract."))),
    "How many findings of each severity.",
)
HISTORY_ENTRY = Record(
    (
        ("number", Whole("As revisions take it: 1 is the newest.", low=1)),
        ("id", Word("The full id of the commit.")),
        ("parents", Several(Word(), "Ids, the first parent first.")),
        ("author", Word()),
        ("when", Word("When it was recorded, ISO 8601; may be empty.")),
        ("title", Word("The first paragraph of the message.")),
        ("body", Word("The rest of the message; may be empty.")),
        ("kind", OneOf(KINDS, "first: nothing before it. broken: it does not compile.")),
        ("result", OrNull(OneOf(RESULTS), "As in `diff`; null where nothing was compared.")),
        ("against", OrNull(Word(), "The commit it is put beside; null where there is none.")),
        ("mended", Yes("It compiles and its first parent does not.")),
        ("cut", Yes("Its first parent is not in this copy of the repository.")),
        ("only_text", Yes("Nothing but text changed.")),
        ("loses", Yes("A destination lost its source or hears another, or a need now fails.")),
        ("lost", Whole("Paths told as lost, each pair of ends once over all states.")),
        ("gained", Whole("Paths told as gained, in the same way.")),
        ("rerouted", Whole("Paths that connect the same ends another way.")),
        ("others", Several(HISTORY_KIND, "Changes of the kinds that are not counted by paths.")),
        ("needs_failing", Whole("Needs that now fail.")),
        ("needs_met", Whole("Needs that failed before and are met now.")),
        ("new", HISTORY_FOUND),
        ("gone", HISTORY_FOUND),
        ("rooms", _names("rooms")),
        ("units", _names("units")),
        ("bays", _names("bays")),
        ("setups", _names("setups")),
        ("renamed", Several(HISTORY_RENAMED, "Rooms, units, bays and setups that read otherwise.")),
        ("error", OrNull(HISTORY_ERROR, "Of a revision that does not compile.")),
        ("errors", Whole("How many mistakes there are in it.")),
        ("meaning", Word("One line. Outside the contract.")),
        ("said", Several(Word(), "The sentences that matter most. Outside the contract.")),
    ),
    "A commit that touched the wiring, beside the revision before it.",
)
HISTORY = Document(
    "history",
    "What `routecode history --json` prints.",
    (
        ("title", Word("What the studio is called.")),
        ("commits", Whole("How many commits touched the wiring, listed or not.")),
        ("entries", Several(HISTORY_ENTRY, "Those that were asked for, the newest first.")),
    ),
)
