"""The tables of setups as written: cords, plugs, switch settings, routes, needs."""

from attrs import frozen

from routecode.language.kinds import (
    Choice,
    Ends,
    Flag,
    NameList,
    Names,
    Number,
    Steps,
    Tables,
    Text,
    TextList,
    Whole,
    key,
)
from routecode.language.table import Table


@frozen(kw_only=True, slots=False)
class Route(Table):
    """A crosspoint that is closed, or a connection between two network ports."""

    from_: Names = key(
        NameList("channels"), "Where the signal comes from.", required=True, example='from = "desk/mic 1"'
    )
    to: Names = key(NameList("channels"), "Where it goes.", required=True, example='to = "desk/bus 1"')


@frozen(kw_only=True, slots=False)
class Cord(Table):
    """A movable patch cord."""

    from_: Names = key(
        NameList("places"),
        "One end. A bay means the front of that jack.",
        required=True,
        example='from = "south/top 1"',
    )
    to: Names = key(Ends(), "The other end; a list is a Y-cord.", required=True, example='to = "comp/in 1"')
    polarity: str = key(Choice(("kept", "reversed")), "Whether the cord exchanges hot and cold.", default="kept")
    adapter: str | None = key(Text(), "The adapter it needs.")
    cord: str | None = key(Text(), "Which cord of those owned.")


@frozen(kw_only=True, slots=False)
class Plug(Table):
    """Link plugs moved, or a dummy plug put in."""

    at: Names = key(NameList("jacks"), "Which jacks.", required=True, example='at = "north/bottom 1..4"')
    set: str | None = key(
        Choice(("bottom", "top", "out", "broken")),
        "Where the link plug sits; `broken`: a dummy plug in a switched jack.",
        required=True,
    )


@frozen(kw_only=True, slots=False)
class SwitchSet(Table):
    """A switch turned."""

    switch: str | None = key(Text(), "Which switch: unit/name.", required=True, example='switch = "monitor/speakers"')
    to: str | None = key(Text(), "The position.", required=True, example='to = "B"')


@frozen(kw_only=True, slots=False)
class Need(Table):
    """A path that must exist, or must not."""

    path: Names = key(
        Steps(),
        "Where the signal starts, then the inputs it must reach, in order.",
        required=True,
        example='path = ["hall/line 1", "pre-a/mic 1", "conv/line 1"]',
    )
    never: bool = key(Flag(), "It must not exist.", default=False)
    only: bool = key(Flag(), "It must exist, and no other source may reach its end.", default=False)


@frozen(kw_only=True, slots=False)
class Setup(Table):
    """A named set of cords, switch positions, routes and needed paths on top of the fixed wiring."""

    id: str
    include: tuple[str, ...] = key(TextList("setups", one=True), "Setups that it builds on.", default=())
    times_per_year: float | None = key(Number(), "How often it is used in a year.")
    sample_rate: int | None = key(Whole(1, 10_000_000), "The sample rate it needs, in Hz.")
    phantom_on: Names = key(NameList("channels"), "Inputs whose phantom power is on.", default=())
    phantom_off: Names = key(NameList("channels"), "Inputs whose phantom power is off.", default=())
    cord: tuple[Cord, ...] = key(Tables(Cord), "Its cords.", default=())
    plug: tuple[Plug, ...] = key(Tables(Plug), "Its link plugs and dummy plugs.", default=())
    set: tuple[SwitchSet, ...] = key(Tables(SwitchSet), "Its switch positions.", default=())
    route: tuple[Route, ...] = key(Tables(Route), "Its routes.", default=())
    need: tuple[Need, ...] = key(Tables(Need), "The paths it needs.", default=())
