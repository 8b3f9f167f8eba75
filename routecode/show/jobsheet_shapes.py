"""The shape of the document of a jobsheet."""

from routecode.show.document import Document
from routecode.show.shape import OneOf, OrNull, Real, Record, Several, Whole, Word, Yes

COST = Record(
    (
        ("down", Real("Minutes with the studio down.")),
        ("bench", Real("Minutes at the bench beforehand.")),
        ("walking", Real("Minutes from rack to rack; part of `down`.")),
        ("testing", Real("Minutes of the tests; part of `down`.")),
        ("operations", Whole("Ends taken off, joined or made; normals; units; labels.")),
    )
)
PIN = Record(
    (
        ("carries", Word("What the wire carries.")),
        ("from", OrNull(Word(), "Its pin at the first end; null: none; `?`: not published.")),
        ("to", OrNull(Word(), "Its pin at the second end; null: none; `?`: not published.")),
        ("colour", Word("Its colour, a code of IEC 60757; may be empty.")),
        ("linked", OneOf(("", "from", "to"), "The end at which its pin is joined to that of the shield.")),
    )
)
END = Record(
    (
        ("name", Word("The port or jack.")),
        ("at", OrNull(Word(), "Rack and rack unit, or room.")),
        ("front", OrNull(Whole(low=1), "Of a jack: its column, from the left as seen from the front.")),
        ("behind", OrNull(Whole(low=1), "The same from the left as seen from behind.")),
        ("fitted", Word("What is on the cable there.")),
        ("handled", Yes("Something is done at this end; else it stays as it is.")),
        ("whole", Yes("It is lifted or plugged in a plug of several circuits, in which nothing changes.")),
    )
)
CIRCUIT = Record(
    (
        ("cable", OrNull(Word(), "Its number.")),
        ("circuit", Whole("Which pair of it, by the number that it keeps.", low=1)),
        ("counted", OrNull(Whole(low=1), "Which circuit the after side calls it, where that is another.")),
        ("type", OrNull(Word(), "Its type.")),
        ("metres", OrNull(Real(), "Its length.")),
        ("from", END),
        ("to", END),
        ("pins", Several(PIN)),
        ("becomes", OrNull(Word(), "The number it gets.")),
    )
)
STOP = Record(
    (
        ("setup", Word("The setup.")),
        ("works", Yes("All it needs is met, with everything on again.")),
        ("new", Yes("With its cords as they will be.")),
    )
)
STEP = Record(
    (
        ("number", Whole(low=1)),
        ("part", OneOf(("bench", "racks", "tests"), "tests: it stands between the tests, when the studio comes back.")),
        ("kind", Word("What is done; of labels: strip, loom, flags.")),
        ("text", Word("What a person is told. Outside the contract.")),
        ("mind", Several(Word(), "What to mind. Outside the contract.")),
        (
            "units",
            Several(
                Word(),
                "Units that are switched; at a stopping point on, and off again before the next step.",
                distinct=True,
            ),
        ),
        ("circuits", Several(CIRCUIT)),
        ("minutes", Real("How long it takes.")),
        ("setups", Several(STOP, "At a stopping point.")),
        ("proved", Yes("What stands after it was compiled and has no danger.")),
        ("left", Several(Word(), "Dangers of the finished studio that are there again.")),
        ("lines", Several(Word(), "Of labels: what is to be lettered; of normals: the columns. Outside the contract.")),
    )
)
PATCH = Record(
    (
        ("setup", Word("The setup.")),
        ("presence", OneOf(("new", "gone", "other"), "What becomes of its patch sheet.")),
        ("lines", Several(Word(), "What is patched otherwise. Outside the contract.")),
    )
)
TEST = Record(
    (
        ("id", Word("What it is called in the file of results.")),
        ("kind", OneOf(("continuity", "level", "signal", "phantom", "plug"))),
        ("at", Several(Word(), "What it is of.")),
        ("text", Word("What to do. Outside the contract.")),
        ("expect", Word("What must come out. Outside the contract.")),
        ("low", OrNull(Real(), "Least that may be measured.")),
        ("high", OrNull(Real(), "Most that may be measured.")),
        ("unit", Word("dBu, V, or `ok or fail`.")),
        ("wiring", Word("A mark of the wiring that a result holds for.")),
        (
            "number",
            OrNull(Whole(low=1), "Its number on the sheet, with the steps in one order; null: it is not printed."),
        ),
    )
)
JOBSHEET = Document(
    "jobsheet",
    "What `routecode jobsheet --json` prints. Names of the before side are given as they read after.",
    (
        ("before", Word("The revision before, a full commit id or `worktree`.")),
        ("after", Word("The revision after.")),
        ("nothing", Yes("There is nothing for the hands.")),
        ("plan", COST),
        ("unplanned", COST),
        ("saved_metres", Real("Cable that is used again and need not be bought.")),
        ("saved_connectors", Whole("Connectors that stay on it.")),
        ("steps", Several(STEP, "In order.")),
        ("patches", Several(PATCH, "Setups whose patch sheet changes.")),
        ("retest", Several(Word(), "Cables in the same loom or connector as what was touched.", distinct=True)),
        ("tests", Several(TEST, "Without power first.")),
    ),
)
