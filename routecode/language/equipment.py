"""The tables of equipment as written: kinds of signal, ports, insides, switches, models, units."""

from attrs import frozen

from routecode.language.kinds import (
    Choice,
    Flag,
    Id,
    NameList,
    Names,
    Number,
    Quantity,
    Tables,
    Text,
    TextList,
    Whole,
    key,
)
from routecode.language.table import Table
from routecode.physics.pins import LAYOUTS

DIRECTIONS = ("in", "out", "either", "both")
SIGNALS = (
    "mic",
    "line",
    "instrument",
    "headphone",
    "speaker-level",
    "aes3",
    "aes3id",
    "spdif",
    "optical8",
    "madi",
    "wordclock",
    "midi",
    "timecode",
    "network",
    "usb",
    "gpio",
    "cv",
)
LEVELS = ("dBu", "dBV", "V")
PHANTOM_KINDS = ("P48", "P24", "P12")
DRIVES = ("symmetric", "floating", "transformer", "impedance")
CONNECTORS = (
    *(
        "xlr-m",
        "xlr-f",
        "trs",
        "ts",
        "trs-insert",
        "bantam",
        "rca",
        "minijack",
        "bnc",
        "db25",
        "8p8c",
        "din5",
        "speaker",
    ),
    *("terminals", "optical"),
)


@frozen(kw_only=True, slots=False)
class Signal(Table):
    """A kind of signal of the studio's own."""

    id: str
    like: str | None = key(
        Text(usual=SIGNALS),
        "The kind of signal it joins with; that kind's family and channels hold.",
        required=True,
        example='like = "aes3"',
    )


@frozen(kw_only=True, slots=False)
class Port(Table):
    """A socket of a unit, or a range of like sockets."""

    name: Names = key(
        NameList("ports"),
        "What is printed at the socket; a range makes several ports.",
        required=True,
        example='name = "mic 1..8"',
    )
    direction: str | None = key(
        Choice(DIRECTIONS),
        "Which way its signal goes: into the unit, out of it, either way (passive), or both ways at once (network).",
        example='direction = "in"',
    )
    signal: str | None = key(
        Text(usual=SIGNALS),
        "Its kind of signal; on passive sockets what is expected to be plugged in.",
        example='signal = "line"',
    )
    channels: int | None = key(
        Whole(1, 4096),
        "How many signals it carries.",
        otherwise="2 for aes3, aes3id and spdif, 8 for optical8, else 1; network must say it",
    )
    connector: str | None = key(Text(usual=CONNECTORS), "The kind of socket.", example='connector = "xlr-f"')
    level: str | None = key(Quantity(LEVELS), "Its nominal level.", example='level = "+4 dBu"')
    max_level: str | None = key(
        Quantity(LEVELS), "The highest level it gives or takes before it clips.", example='max_level = "+26 dBu"'
    )
    phantom: str | None = key(
        Choice(("supply", "needs", "safe", "harmed")), "How it stands to phantom power.", example='phantom = "supply"'
    )
    phantom_kind: str | None = key(
        Choice(PHANTOM_KINDS), "The kind of phantom power it supplies or needs (IEC 61938).", otherwise="P48"
    )
    phantom_ma: float | None = key(
        Number(above=True), "The current it draws from phantom power, in milliamperes.", example="phantom_ma = 3.5"
    )
    phantom_bank: str | None = key(
        Text(),
        "The switch that gives phantom power to several inputs at once; inputs of one unit with the same text share it.",
        example='phantom_bank = "1-4"',
    )
    ohms: float | None = key(
        Number(above=True),
        "Its impedance in ohms: of an input what it loads a source with, of an output its source impedance.",
        example="ohms = 10000",
    )
    balanced: bool | None = key(Flag(), "Whether its signal is on two legs, hot and cold, beside the shield.")
    drive: str | None = key(
        Choice(DRIVES),
        "How a balanced output drives its cold leg: both legs against ground, floating, by a transformer, or by impedance alone.",
    )
    min_ohms: float | None = key(Number(above=True), "The lowest load an output may be given, in ohms.")
    bridged: bool | None = key(Flag(), "Both sides of this output are driven: neither may touch ground.")
    needs_load: bool | None = key(
        Flag(), "This output must never work without its load, as valve amplifiers with a transformer."
    )
    terminates: bool | None = key(Flag(), "It ends its line with the line's own impedance.")
    clock: str | None = key(
        Choice(("master", "follows")), "Whether it gives the sample clock of its domain, or takes it."
    )
    full_scale: str | None = key(
        Quantity(LEVELS),
        "The level that is 0 dBFS, on the analogue side of a converter.",
        example='full_scale = "+18 dBu"',
    )
    pairs: bool | None = key(Flag(), "The ports of this range are left and right in turn: 1 left, 2 right, 3 left ...")


@frozen(kw_only=True, slots=False)
class Multipin(Table):
    """One connector that carries the circuits of several ports: lifting it lifts them all."""

    name: str | None = key(Text(), "What is printed at the connector.", required=True, example='name = "out 1-8"')
    connector: str | None = key(Text(usual=CONNECTORS), "The kind of connector.", example='connector = "db25"')
    layout: str | None = key(
        Text(usual=tuple(LAYOUTS)),
        f"Which pins its circuits are on: a published layout ({', '.join(f'`{name}`' for name in LAYOUTS)}; capitals do not count), "
        "or a name of your own, whose pins are not told: then only like joins like.",
        example='layout = "aes59"',
    )
    carries: Names = key(
        NameList("ports"), "The ports it carries, circuit by circuit.", required=True, example='carries = "out 1..8"'
    )


@frozen(kw_only=True, slots=False)
class Inside(Table):
    """What a unit does inside: this input comes out of that output."""

    from_: Names = key(NameList("channels"), "The inputs.", required=True, example='from = "mic 1..8"')
    to: Names = key(NameList("channels"), "The outputs.", required=True, example='to = "out 1..8"')
    kind: str = key(
        Choice(("active", "hardwired", "transformer", "capacitor")), "How the two are joined.", default="active"
    )
    pairing: str = key(
        Choice(("one-to-one", "all-to-all")),
        "One to one in order, or every input to every output.",
        default="one-to-one",
    )
    polarity: str = key(Choice(("kept", "reversed")), "Whether hot and cold are exchanged on the way.", default="kept")
    control: str = key(
        Choice(("none", "level", "routed")),
        "A fader or pot (level), or a crosspoint that is closed only by a route (routed).",
        default="none",
    )
    when: str | None = key(Text(), "The switch position in which it is there.", example='when = "insert = in"')
    unless: str | None = key(
        Text(), "The port that opens it while anything is joined there.", example='unless = "return 1"'
    )
    ratio: float | None = key(
        Number(above=True),
        "Of a transformer: turns at `to` for each turn at `from`; the voltage is multiplied by it.",
        otherwise="1",
    )
    gain_db: float | None = key(
        Number(low=-200.0), "What it adds to the level, in dB, as it usually stands.", example="gain_db = 40"
    )


@frozen(kw_only=True, slots=False)
class Switch(Table):
    """A switch of a unit; the first position is the resting one."""

    name: str | None = key(Text(), "What is printed at the switch.", required=True, example='name = "speakers"')
    positions: tuple[str, ...] = key(
        TextList("positions"),
        "Its positions, the resting one first.",
        required=True,
        default=(),
        example='positions = ["A", "B"]',
    )


@frozen(kw_only=True, slots=False)
class Model(Table):
    """A reusable description of a kind of unit."""

    id: str
    port: tuple[Port, ...] = key(Tables(Port), "Its sockets.", default=())
    inside: tuple[Inside, ...] = key(Tables(Inside), "What it does inside.", default=())
    switch: tuple[Switch, ...] = key(Tables(Switch), "Its switches.", default=())
    multipin: tuple[Multipin, ...] = key(Tables(Multipin), "Connectors that carry several of its ports.", default=())


@frozen(kw_only=True, slots=False)
class Unit(Table):
    """One piece of equipment, wall box, loudspeaker: anything with ports."""

    id: str
    model: str | None = key(
        Id("model"), "The model whose ports, insides and switches it has.", example='model = "pre8"'
    )
    room: str | None = key(Id("room"), "The room it is in.")
    rack: str | None = key(Id("rack"), "The rack it is in.")
    at_u: int | None = key(Whole(1, 100), "Its lowest rack unit, counted from the bottom.")
    portable: bool = key(Flag(), "It is carried about and has no place of its own.", default=False)
    away: str | None = key(
        Text(), "Why it is away; its cables stay, it neither drives nor receives.", example='away = "in repair"'
    )
    phantom_on: Names = key(
        NameList("ports"),
        "The inputs whose phantom power is switched on.",
        default=(),
        example='phantom_on = ["mic 1..4"]',
    )
    port: tuple[Port, ...] = key(
        Tables(Port), "Sockets of its own, or keys that replace those of the model's ports.", default=()
    )
    inside: tuple[Inside, ...] = key(Tables(Inside), "What it does inside, added to the model's.", default=())
    switch: tuple[Switch, ...] = key(Tables(Switch), "Switches of its own.", default=())
    multipin: tuple[Multipin, ...] = key(
        Tables(Multipin), "Connectors that carry several of its ports, added to the model's.", default=()
    )
