"""The shapes of the JSON documents about one revision or two, declared once. They are filled in by the modules of their answers.

Shapes that need the words of `history` or `hands` have modules of their own, since every `check` loads this one; all documents are
listed in `contracts`.
"""

from routecode.change.allowed import RULES as ALLOWED_RULES
from routecode.ground.finding import Severity
from routecode.show.document import ANYWHERE, Document
from routecode.show.shape import OneOf, OrNull, Real, Record, Several, Shape, Whole, Word, Yes

REVISION = Word("The full id of a commit, `worktree`, or `staged`.")
SETUP = OrNull(Word(), "The setup; null is unpatched.")
SEVERITY = OneOf(tuple(severity.value for severity in Severity), "How bad it is.")

FINDING = Record(
    (
        ("rule", Word("The rule that says so.")),
        ("severity", SEVERITY),
        ("at", Several(Word(), "Its subjects.", distinct=True)),
        ("setup", SETUP),
        ("place", ANYWHERE),
        ("text", Word("One sentence.")),
    ),
    "What a rule says. Its identity is rule, subjects and setup.",
)
ACCEPTED = Record(
    (
        ("rule", Word("The rule.")),
        ("severity", SEVERITY),
        ("at", Several(Word(), "Its subjects.", distinct=True)),
        ("setup", SETUP),
        ("because", Word("Why it is meant to be so.")),
    ),
    "A finding that the studio accepts.",
)
FEED = Record(
    (
        ("from", Word("The driving channel.")),
        ("to", Word("The receiving channel.")),
        ("jacks", Several(Word(), "The jacks it passes, in order.")),
        ("polarity", OneOf(("kept", "reversed", "mixed"), "Whether hot and cold arrive exchanged.")),
        ("either", Yes("Between passive ends only.")),
    )
)
FIGURES = Record(
    (
        ("kind", Word("The kind of signal of the driving port.")),
        ("arriving_dbu", OrNull(Real(), "The nominal level that arrives, loading included.")),
        ("source_ohms", OrNull(Real(), "The impedance behind the driving port.")),
        ("load_ohms", OrNull(Real(), "All its loads side by side.")),
        ("loss_db", OrNull(Real(), "What the loads cost, 0 or less.")),
        (
            "headroom_db",
            OrNull(Real(), "How far below the first maximum it is: of the output, of the input, or full scale."),
        ),
        ("dbfs", OrNull(Real(), "What arrives, against full scale.")),
        ("corner_hz", OrNull(Real(), "Where source, loads and cables lose 3 dB; at most this.")),
        ("legs", OrNull(OneOf(("balanced", "unbalanced", "cold grounded", "one leg")), "How the line arrives.")),
        (
            "phantom_supplied",
            OrNull(Yes(), "Phantom power at the driving port, on both legs; null where no leg carries any."),
        ),
        (
            "phantom_volts",
            OrNull(
                Several(Real()),
                "What may be left of it: least and most over the tolerances, and of one leg alone where not both are there.",
            ),
        ),
        ("metres", OrNull(Real(), "Cable on the way; null where not all of it says its length.")),
        ("receivers", Whole("How many inputs the driving port feeds.")),
        ("usual", Yes("Whether a level or load rests on a usual figure that nobody wrote down.")),
    ),
    "The figures of a feed.",
)
FIGURED = Record((("from", Word("The driving port.")), ("to", Word("The receiving port.")), ("figures", FIGURES)))
PATH = Record(
    (
        ("from", Word("The source.")),
        ("to", Word("The destination.")),
        ("idle", Yes("The source's unit could bring something and gets nothing.")),
    )
)
POINT = Record((("jack", Word("The jack.")), ("wired", Several(Word(), "What is wired behind it.", distinct=True))))
LOOP = Record(
    (
        ("channels", Several(Word(), "The channels of the loop.", distinct=True)),
        ("controlled", Yes("A fader, pot or crosspoint can open every loop in it.")),
    )
)

_COUNTED = ("units", "bays", "channels", "cables", "setups")
COUNTS: tuple[tuple[str, Shape], ...] = tuple((name, Whole()) for name in _COUNTED)

CHECK = Document(
    "check",
    "What `routecode check --json` prints.",
    (
        ("revision", REVISION),
        ("title", Word("What the studio is called.")),
        ("fine", Yes("Nothing was found above what is tolerated.")),
        ("tolerated", SEVERITY),
        ("counts", Record(COUNTS, "What there is.")),
        ("findings", Several(FINDING, "What was found and is not accepted.")),
        ("accepted", Several(ACCEPTED, "What was found and is accepted.")),
    ),
)
PATHS = Document(
    "paths",
    "What `routecode paths --json` prints.",
    (
        ("revision", REVISION),
        ("setup", SETUP),
        ("feeds", Several(FEED)),
        ("paths", OrNull(Several(PATH), "Every pair; null where there are more than the limit.")),
        ("count", Whole("How many paths there are, exactly.")),
        ("points", Several(POINT, "What is wired behind each jack.")),
        ("feedback", Several(LOOP, "Every loop.")),
        ("figures", OrNull(Several(FIGURED), "Of every feed, port by port; null where they were not asked for.")),
        ("findings", Several(FINDING, "What was found in this state and is not accepted.")),
    ),
)
STEP = Record(
    (
        ("from", Word("The channel it leaves.")),
        ("to", Word("The channel it reaches.")),
        ("by", OneOf(("feed", "inside"), "Over the wiring, or through a unit.")),
        ("jacks", Several(Word(), "The jacks a feed passes, in order.")),
        ("joints", Several(Word(), "What a feed passes: cables, normals, link plugs, cords, mults.")),
        ("polarity", OneOf(("kept", "reversed", "mixed"))),
        ("either", Yes("Between passive ends only.")),
        ("figures", OrNull(FIGURES, "Of a feed between two ports.")),
    )
)
TRACE = Document(
    "trace",
    "What `routecode trace --json` prints.",
    (
        ("revision", REVISION),
        ("setup", SETUP),
        ("place", Word("The place that was asked about.")),
        ("kind", OneOf(("port", "channel", "jack"))),
        ("wired", Several(Word(), "What is wired to it.", distinct=True)),
        ("upstream", Several(STEP, "Every step on the way to it.")),
        ("downstream", Several(STEP, "Every step on the way from it.")),
        ("sources", Several(Word(), "Where the signal starts.", distinct=True)),
        ("destinations", Several(Word(), "Where it ends.", distinct=True)),
    ),
)
RULE = Record((("id", Word()), ("severity", SEVERITY), ("text", Word("What is wrong.")), ("page", Word())))
KIND = Record(
    (
        ("id", Word("The kind of change.")),
        ("harm", Word("How bad it is, and when.")),
        ("text", Word("What it is.")),
        ("examples", Several(Word(), "Sentences that are said of it.")),
    )
)
RULES = Document(
    "rules",
    "What `routecode rules --json` prints.",
    (("rules", Several(RULE)), ("kinds", Several(KIND, "The kinds of change that `diff` tells."))),
)

WAY = Record(
    (
        ("jacks", Several(Word(), "The jacks it passes, in order.")),
        ("polarity", OneOf(("kept", "reversed", "mixed"))),
    )
)
REROUTED = Record(
    (("from", Word("The driving channel.")), ("to", Word("The receiving channel.")), ("before", WAY), ("after", WAY))
)
CAUSE = Record((("side", OneOf(("before", "after"))), ("place", ANYWHERE)))
CHANGE = Record(
    (
        ("id", Word("Made of what is said and of nothing else: it survives unrelated commits.")),
        ("kind", Word("The kind of change.")),
        ("sense", OrNull(OneOf(("new", "gone")), "null: the kind is its own mirror.")),
        ("harm", OneOf(("loss", "risk", "gain", "note"))),
        ("subjects", Several(Word(), "Channels where what changed starts, or the setup.", distinct=True)),
        ("channels", Several(Word(), "The other channels it names.", distinct=True)),
        ("names", Several(Word(), "Units and bays it touches.", distinct=True)),
        ("under", OrNull(Word(), "The id of the change it follows from.")),
        ("cause", Several(CAUSE, "Where in the text it comes from.")),
        ("proof", OneOf(("alone", "together", "not reduced"))),
        ("sentence", Word("What a person is told. Outside the contract.")),
    )
)
ENDS = Record((("from", Word()), ("to", Word())))
CORDED = Record(
    (
        ("paths", Several(ENDS, "The paths of one change, all at once.")),
        ("side", OneOf(("before", "after"), "Gained paths are asked for before, lost ones after.")),
        ("cords", OrNull(Several(ENDS, "The fewest cords found, front to front."), "null: none were found.")),
        ("searched", Whole("Where none were found: with up to so many cords for each path there surely are none.")),
        ("loses", Several(ENDS, "Present paths that these cords cost.")),
        ("link_plugs", Several(Word(), "Jacks whose link plug comes out first.", distinct=True)),
    ),
    "Whether cords, and no soldering, give the paths that a change gained or lost.",
)
STATE = Record(
    (
        ("setup", SETUP),
        ("presence", OneOf(("both", "added", "removed"))),
        ("compared", Whole("How many paths were compared: those of both sides united.")),
        ("paths", Record((("gained", Several(PATH)), ("lost", Several(PATH))))),
        ("feeds", Record((("gained", Several(FEED)), ("lost", Several(FEED)), ("rerouted", Several(REROUTED))))),
        ("points", Record((("gained", Several(POINT)), ("lost", Several(POINT))))),
        ("changes", Several(CHANGE, "The raw sets told: worst first.")),
        ("cords", Several(CORDED, "What cords could do, in the order of the changes.")),
        ("unasked", Whole("Paths told as changes for which cords were not looked for.")),
    )
)
BEYOND = Record(
    (
        ("change", OrNull(Word(), "The id of the change; null where it is wiring.")),
        ("wiring", OrNull(Word(), "The fingerprint of a piece of wiring; null where it is a change.")),
        ("setup", SETUP),
        ("rule", OneOf(ALLOWED_RULES, "Which rule of the table does not allow it.")),
        ("side", OneOf(("before", "after"), "The side whose table says so.")),
        ("place", ANYWHERE),
    ),
    "What goes beyond what the studio allows to change.",
)
NEED = Record(
    (
        ("setup", Word("The setup that asks for it.")),
        ("path", Several(Word(), "Its places in order.")),
        ("never", Yes("It must not exist.")),
        ("only", Yes("Nothing else may reach its end.")),
        ("met", Yes("Whether it is met, on the side that asks for it.")),
        ("place", ANYWHERE),
    )
)
RENAMED = Record((("before", Word()), ("after", Word()), ("how", OneOf(("declared", "proved", "probable")))))
DIFF = Document(
    "diff",
    "What `routecode diff --json` prints. Names of the before side are given as they read after.",
    (
        ("before", REVISION),
        ("after", REVISION),
        ("result", OneOf(("identical", "text-only", "same-ends", "ends-changed"))),
        ("states", Several(STATE, "Unpatched, then every setup of either side.")),
        ("renamed", Several(RENAMED, "Names that read otherwise.")),
        ("findings", Record((("new", Several(FINDING)), ("gone", Several(FINDING))))),
        (
            "asked",
            Record(
                (("new", Several(NEED)), ("gone", Several(NEED))),
                "Needs that only one side asks for, of setups that both sides have. Those are not wiring: `result` does not speak of them.",
            ),
        ),
        ("beyond", Several(BEYOND, "What goes beyond what is allowed.")),
        ("awaited", Several(Word(), "Ids of changes that are listed as allowed and are not there.", distinct=True)),
    ),
)

UNDONE = Record(
    (
        ("setup", SETUP),
        ("back", Several(PATH, "Paths that come back.")),
        ("gone", Several(PATH, "Paths that go again.")),
        ("sentences", Several(Word(), "What a person is told. Outside the contract.")),
    )
)
UNDO = Document(
    "undo",
    "What `routecode diff --undo --json` prints.",
    (
        ("before", REVISION),
        ("after", REVISION),
        ("edit", Several(CAUSE, "Where in the text the edit stands.")),
        ("states", Several(UNDONE, "The states it holds in, with it undone.")),
    ),
)

ROLLBACK_FILE = Record(
    (("file", Word("The file, below the folder of the studio.")), ("becomes", OneOf(("changed", "new", "gone"))))
)
_MANY = Several(Word(), distinct=True)
ROLLBACK = Document(
    "rollback",
    "What `routecode rollback --json` prints.",
    (
        ("head", Word("The full id of the commit that the studio was at.")),
        ("to", Word("The full id of the commit it goes back to.")),
        (
            "only",
            OrNull(Record((("bays", _MANY), ("units", _MANY), ("setups", _MANY), ("files", _MANY))), "null: all."),
        ),
        ("files", Several(ROLLBACK_FILE, "What happens to files; none: it is as it was already.")),
        (
            "difference",
            OrNull(
                Record(DIFF.fields[2:]), "As in `diff`: from what is to what would be. null: what is does not compile."
            ),
        ),
        ("written", OrNull(Word(), "The full id of the new commit; null where nothing was written.")),
        ("undo", OrNull(Word(), "The command that goes back again; null where nothing was written.")),
    ),
)
