"""The JSON document of `before-merge`: its shape, declared once. It is filled in by `branches_document`."""

from routecode.ground.finding import Severity
from routecode.history import branches_kinds as kinds
from routecode.show.document import ANYWHERE, ERROR, Document
from routecode.show.shape import OneOf, OrNull, Record, Several, Whole, Word, Yes

_COMMIT = Word("The full id of a commit.")
_SETUP = OrNull(Word(), "The setup; null is unpatched.")
_SAID = Several(Word(), "In words. Outside the contract.")

TORN = Record(
    (
        ("file", Word("The file, from the top of the repository.")),
        ("line", OrNull(Whole(low=1), "The line in the text as git would leave it; null: the file as a whole.")),
        ("kind", Word("Why, as git calls it: `contents`, `modify/delete`, ...")),
        ("wiring", Yes("Whether it is a wiring file of this studio.")),
        ("ours", _SAID),
        ("theirs", _SAID),
    ),
    "A place that git cannot join.",
)
STANDS = Record(
    (
        ("text", OneOf(("joined", "ours", "theirs"), "In which text it stands.")),
        ("place", ANYWHERE),
    )
)
ENDS = Record((("from", Word()), ("to", Word())))
WRONG = Record(
    (
        ("kind", OneOf(kinds.WRONG, "What is wrong.")),
        ("side", OrNull(OneOf(("ours", "theirs")), "Whose work is undone, where it is that of one.")),
        ("setups", Several(_SETUP, "The states it is true of.")),
        ("paths", Several(ENDS, "The paths it is about.")),
        ("rule", OrNull(Word(), "The rule that found it; null where it is no finding.")),
        ("severity", OrNull(OneOf(tuple(severity.value for severity in Severity)))),
        ("at", Several(Word(), "What the rule found it at.", distinct=True)),
        ("places", Several(STANDS)),
        ("sentence", Word("What a person is told. Outside the contract.")),
    ),
    "What is wrong with the joined wiring, and is on neither side.",
)
BOTH = Record(
    (
        ("kind", OneOf(kinds.BOTH, "Ports count as jacks, bays as units.")),
        ("names", Several(Word(), "What both sides changed.", distinct=True)),
        ("setups", Several(_SETUP, "The states, for paths.")),
        ("alike", Yes("Whether both did the same.")),
        ("ours", _SAID),
        ("theirs", _SAID),
    )
)
BEFORE_MERGE = Document(
    "before-merge",
    "What `routecode before-merge --json` prints. Names are given as the base has them, where a side renamed something.",
    (
        ("ours", _COMMIT),
        ("theirs", _COMMIT),
        ("bases", Several(_COMMIT, "Where they parted; several where they were joined crosswise before.")),
        ("relation", OneOf(kinds.RELATIONS, "How the two stand to each other.")),
        ("fine", Yes("Whether the text joins, compiles and means what both sides meant.")),
        ("torn", Several(TORN, "What git cannot join.")),
        (
            "mistakes",
            OrNull(Several(ERROR), "Why the joined text does not compile; null where git cannot join the wiring."),
        ),
        ("wrong", OrNull(Several(WRONG), "null where there is no joined wiring to be judged.")),
        ("both", Several(BOTH, "What both sides changed.")),
        (
            "drivers",
            Several(Record((("file", Word()), ("driver", Word()))), "Files for which git would run a program."),
        ),
    ),
)
