"""Readings of the wiring language: the right one, and wrong ones that the random studios must be able to tell from it.

A reading is the set of mistakes it makes. The reference asks at the very spot of each rule whether that mistake is
made, so a wrong reading is a real, small fault of the kind that a compiler could have. Not a list of all that can go
wrong. Under a wrong reading names may be unknown; what names them joins nothing.
"""

from __future__ import annotations

import enum


class Wrong(enum.Enum):
    """One planted misreading; the value says it in one sentence."""

    # Columns, link plugs, normals, mults
    HALF_BREAKS_AT_SOURCE = "A half normal breaks when a plug is in the source row, not in the other."
    HALF_IS_FULL = "A half normal breaks when a plug is in either row."
    FULL_IS_HALF = "A full normal breaks only at the destination row."
    FULL_NEVER_BREAKS = "A full normal is never broken."
    PARALLEL_IS_HALF = "A parallel column is treated as half-normalled."
    NONE_IS_HALF = "A column with the normal `none` is treated as half-normalled."
    TOP_CORD_CUTS_REAR = "A cord in the top jack cuts the rear top contact from the front."
    SOURCES_IGNORED = "`sources = bottom` is ignored everywhere."
    SOURCES_IGNORED_FOR_LINKS = "`sources = bottom` is ignored on bays with link plugs."
    LINK_PLUG_IGNORES_CORDS = "A link plug makes its normal although a cord is in its jack."
    LINK_PLUG_IN_SOURCE_JOINS = "A link plug in the source row makes the normal as well."
    BAY_DEFAULT_IGNORED = "The bay's own `normal` is ignored."
    UNNAMED_COLUMNS_OPEN = "The bay's default holds only for columns that are named."
    COLUMNS_DO_NOT_MERGE = "A column named twice keeps only the keys of one statement."
    DUMMY_PLUG_IGNORED = "A dummy plug breaks nothing."
    PLUG_SETTING_IGNORED = "Link plugs stay as they are in the fixed wiring, whatever the setup says."
    LINK_OUT_IS_BOTTOM = "A link plug that is set `out` still makes the normal."
    NORMAL_BREAKS_AT_FROM = "A sideways normal without `breaks` breaks at `from`."
    NORMAL_BOTH_IS_TO = "A sideways normal that breaks at both breaks only at `to`."
    NORMAL_FROM_IS_TO = "A sideways normal that breaks at `from` breaks at `to`."
    NORMAL_NEVER_IS_TO = "A sideways normal that never breaks breaks at `to`."
    LINK_PLUG_IS_A_PLUG = "A link plug in a jack breaks a sideways normal there."
    MULT_BROKEN_BY_PLUGS = "A jack with a plug in it leaves its mult."
    MULT_IN_PAIRS = "A mult joins its jacks two by two."
    # Cords and setups
    CORD_POLARITY_IGNORED = "A reversed cord is taken as straight."
    CORD_TAKES_THE_PORT = "A cord that names an `in` or `out` port is plugged into the port, not into its jack."
    Y_CORD_FIRST_LEG = "Only the first leg of a Y-cord is there."
    FIRST_CORD_WINS = "Of two statements of one cord the earlier wins."
    INCLUDE_REVERSED = "Included setups are taken in the reverse order."
    INCLUDE_WINS = "What is included wins over the setup's own."
    INCLUDE_ONE_LEVEL = "What the included setups include is not brought along."
    INCLUDE_ONLY_CORDS = "An include brings only the cords."
    NEEDS_COME_ALONG = "An include brings the needs too."
    # Cables
    CABLE_POLARITY_IGNORED = "A reversed cable is taken as straight."
    RESTATED_KEYS_IGNORED = "A second statement of a cable adds nothing."
    SPLIT_FIRST_LEG = "Only the first leg of a split is there."
    DEAD_CABLE_JOINS = "A dead cable is taken as wired."
    FRONT_IGNORED = "A cable marked `front` is at the inside of its ports."
    # Insides
    HARDWIRED_ONE_TO_ONE = "A hardwired inside from all to all is paired one to one."
    HARDWIRED_POLARITY_IGNORED = "A reversed hardwired inside is taken as straight."
    TRANSFORMER_ONE_WAY = "A transformer between `either` ports works only as written."
    CAPACITOR_ONE_WAY = "A capacitor between `either` ports works only as written."
    NO_DEMAND = "Two-way insides take their direction from supply alone."
    SUPPLY_ONE_STEP = "Supply crosses one two-way inside only."
    DEMAND_ONE_STEP = "Demand crosses one two-way inside only."
    DEMAND_SPEAKS_AS_OUT = "A port that speaks by demand holds the ends of its net off."
    WHEN_IGNORED = "An inside is closed in every position of its switch."
    LAST_POSITION_RESTS = "The last position of a switch is the resting one."
    SET_IGNORED = "A setup does not move switches."
    UNLESS_IGNORED = "`unless` is ignored."
    UNLESS_NEEDS_CORD = "`unless` counts cords only."
    UNLESS_NEEDS_CABLE = "`unless` counts fixed cables only."
    ALL_TO_ALL_ONE_TO_ONE = "An inside from all to all is paired one to one."
    ROUTED_IS_CLOSED = "A routed inside needs no route."
    ROUTE_IGNORES_CONDITIONS = "A route closes a routed inside whatever `when` and `unless` say."
    TOP_ROUTES_UNPATCHED_ONLY = "Routes at the top level hold only while unpatched."
    SETUP_ROUTES_IGNORED = "Routes of setups are ignored."
    BOTH_NEEDS_NO_ROUTE = "`both` ports in one net feed each other without a route."
    BOTH_NEEDS_NO_NET = "A route makes a feed between `both` ports that are not in one net."
    BOTH_IS_ONE_THING = "What a channel of a `both` port gets is also what it sends."
    MODEL_INSIDES_REPLACED = "A unit's own insides replace those of its model."
    OVERRIDE_IGNORED = "A unit's keys for a port of its model are ignored."
    # Either ports
    PASSED_IS_END = "A passed `either` port counts as an end."
    ENDS_DRIVE_BESIDE_OUT = "Ends drive although an `out` is in their net."
    ENDS_NEVER_RECEIVE = "An end never receives."
    ENDS_NEVER_DRIVE = "An end never drives an `in`."
    EITHER_ONE_WAY = "A net of ends alone gives each feed in one direction only."
    EITHER_MAKES_PATHS = "Feeds between ends alone make paths."
    LISTENS_ONLY_AS_END = "A passed port that listens does not receive."
    SPEAKER_RECEIVES = "A port that speaks receives as an end does."
    HARDWIRED_PORT_CABLES_INSIDE = "Fixed cables of a hardwired port are its inside."
    OPEN_HARDWIRED_JOINS = "A hardwired inside that is open still counts as the joined inside of its ports."
    # Families, channels, away
    MIXED_FAMILIES_FEED = "A net of two families gives feeds."
    SIGNAL_IS_FAMILY = "Each kind of signal is a family of its own."
    LIKE_IGNORED = "`like` of a signal of one's own is ignored."
    CHANNELS_TO_LARGER = "Feeds go up to the larger number of channels."
    ONLY_FIRST_CHANNEL = "A feed carries the first channel only."
    AWAY_STILL_WORKS = "A unit that is away drives and receives."
    AWAY_INSIDES_STAY = "Insides of a unit that is away still make its `either` ports listen and speak."
    AWAY_HARDWIRED_STAYS = "Hardwired insides of a unit that is away still join."
    AWAY_HAS_NO_FAMILY = "Ports of a unit that is away do not count for the families of their net."
    AWAY_CABLES_GO = "The cables of a unit that is away are gone with it."
    # Spreading
    STEP_IGNORED = "`step` of a range is ignored."
    DOWNWARDS_IGNORED = "A range always counts up."
    PADDING_LOST = "Zero padding of a range is lost."
    # Polarity and jacks
    MIXED_UNNOTICED = "A net with a reversing loop has the polarity of one of its ways."
    POLARITY_FOR_ALL = "Digital feeds have a polarity too."
    JACKS_LAST_OF_EQUALS = "Of equally short ways the last one is named."
    JACKS_FIRST_FOUND = "The way whose list comes first is named, though it is longer."
    # Paths, needs, points
    IDLE_NEVER = "No source is ever idle."
    IDLE_ONLY_CLOSED = "A source is idle only where a closed inside leads to it."
    IDLE_BY_HARDWIRED = "A hardwired inside makes a source idle."
    IDLE_BY_UNIT = "Any inside of the unit makes a source idle, wherever it leads."
    LOOP_HAS_NO_SOURCE = "A channel that only its own feedback feeds is no source."
    LOOP_SOURCE_IDLE = "A source by a loop is idle."
    UNFED_INSIDE_FEEDS = "An inside brings something although nothing arrives at it."
    EVERY_RECEIVER_ENDS = "Every channel that receives is a destination."
    ONE_CONTROL_IS_ENOUGH = "Feedback is controlled when any of its insides has a control."
    ROUTED_IS_NO_CONTROL = "A crosspoint does not count as a control."
    POINTS_WITHOUT_CABLES = "Only `top` and `bottom` make points, not `[[cable]]`."
    NEVER_IGNORED = "`never` of a need is ignored."
    ONLY_IGNORED = "`only` of a need is ignored."
    NEEDS_WITHOUT_EITHER = "Feeds between ends alone satisfy no need."

    @property
    def id(self) -> str:
        """The id in words, such as `half-is-full`."""
        return self.name.lower().replace("_", "-")


Reading = frozenset[Wrong]
"""The mistakes a reading makes; the right reading makes none."""

RIGHT: Reading = frozenset()
