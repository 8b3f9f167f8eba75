"""Faults beyond the examples of the pages: one small studio each, with what must be told and where."""

from routecode.ground.finding import Finding
from tests.rules.studios import rules_of, told

UNITS = """
[unit.deck]
model = "player"
rack = "left"
title = "Deck"
[unit.rec]
model = "recorder"
rack = "left"
title = "Recorder"
"""
NORTH = """
[bay.north]
title = "North bay"
rack = "left"
columns = 4
[[bay.north.column]]
at = "1..2"
top = "deck/out 1..2"
bottom = "rec/in 1..2"
normal = "half"
"""


def only(findings: list[Finding]) -> Finding:
    (one,) = findings
    return one


def cord(a: str, b: str, more: str = "", setup: str = "take") -> str:
    return f'[[setup.{setup}.cord]]\nfrom = "{a}"\nto = "{b}"\n{more}\n'


def test_outputs_tied_by_a_cord_name_the_cord() -> None:
    tape = '[unit.tape]\nmodel = "player"\nrack = "left"\n[[bay.north.column]]\nat = "3..4"\ntop = "tape/out 1..2"\n'
    one = only(told(UNITS + NORTH, tape, "[setup.take]\n" + cord("deck/out 1", "tape/out 1")))
    assert (one.rule, one.at, one.setup) == ("outputs-tied", ("deck/out 1", "tape/out 1"), "take")
    assert one.place is not None
    assert one.place.path == ("setup", "take", "cord", 0, "to")
    assert one.text == "Deck out 1 and tape out 1 drive one wire, into Recorder in 1."


def test_a_fault_of_the_wiring_is_not_repeated_in_a_setup() -> None:
    text = UNITS + '[[cable]]\nfrom = "deck/out 1..2"\nto = "rec/in 1..2"\npolarity = "reversed"\n[setup.take]\n'
    found = told(text)
    assert [(one.rule, one.at, one.setup) for one in found] == [
        ("polarity-reversed", ("rec/in 1",), None),
        ("polarity-reversed", ("rec/in 2",), None),
    ]


def test_a_fault_that_came_with_an_included_setup_is_told_there() -> None:
    text = UNITS + NORTH + "[setup.base]\n" + cord("deck/out 1", "north/bottom 3", setup="base")
    found = told(text, '[setup.take]\ninclude = ["base"]\n')
    assert [(one.rule, one.setup) for one in found] == [("cord-into-nothing", "base")]


def test_a_reversed_cord_is_told_at_the_input_and_points_at_the_key() -> None:
    one = only(told(UNITS + NORTH, "[setup.take]\n" + cord("deck/out 1", "rec/in 2", 'polarity = "reversed"')))
    assert (one.rule, one.at) == ("polarity-reversed", ("rec/in 2",))
    assert one.place is not None
    assert one.place.path[-1] == "polarity"


def test_two_cords_in_one_jack() -> None:
    cords = cord("deck/out 1", "rec/in 1") + cord("deck/out 1", "rec/in 2")
    one = only(told(UNITS + NORTH, "[setup.take]\n" + cords, rule="cord-into-occupied"))
    assert one.at == ("north/top 1",)
    assert len(one.also) == 1


def test_a_cord_into_a_socket_that_a_cable_is_plugged_into() -> None:
    direct = '[[cable]]\nfrom = "deck/out 1..2"\nto = "rec/in 1..2"\n'
    visitor = '[unit.visitor]\nmodel = "recorder"\nportable = true\n'
    found = told(UNITS + direct, visitor, "[setup.take]\n" + cord("deck/out 1", "visitor/in 1"))
    assert rules_of(found) == {"cord-into-occupied", "cord-behind-rack"}
    assert [one.at for one in found if one.rule == "cord-into-occupied"] == [("deck/out 1",)]


def test_an_input_that_another_setup_feeds_is_not_unfed() -> None:
    text = UNITS + '[setup.take]\n[[setup.take.cord]]\nfrom = "deck/out 1..2"\nto = "rec/in 1..2"\n'
    assert rules_of(told(text)) == {"cord-behind-rack"}


def test_unfed_and_unused_are_one_note_a_unit_with_ranges() -> None:
    text = UNITS + '[[unit.rec.port]]\nname = ["in 3..8", "key"]\ndirection = "in"\nsignal = "line"\n'
    found = told(text)
    assert [(one.rule, one.text) for one in found] == [
        ("outputs-unused", "Nothing uses 2 outputs of Deck: out 1-2."),
        ("inputs-unfed", "Nothing feeds 9 inputs of Recorder: in 1-8 and key."),
    ]


def test_a_need_says_how_far_the_signal_gets_and_where_it_should_be() -> None:
    need = '[setup.take]\n[[setup.take.plug]]\nat = "north/bottom 1"\nset = "broken"\n'
    need += '[[setup.take.need]]\npath = ["deck/out 1", "rec/in 1"]\n'
    one = only(told(UNITS + NORTH, need))
    assert one.rule == "need-unmet"
    assert one.why == "It stops at North bay top 1. Recorder in 1 is on North bay bottom 1."


def test_a_need_that_depends_on_a_unit_that_is_away_says_so() -> None:
    away = UNITS.replace('title = "Recorder"', 'title = "Recorder"\naway = "in repair"') + NORTH
    found = told(away, '[setup.take]\n[[setup.take.need]]\npath = ["deck/out 1", "rec/in 1"]\n')
    assert rules_of(found) == {"need-unmet", "unit-away"}
    assert found[0].why.startswith("Recorder is away (in repair).")


def test_a_loop_that_a_cord_closes_is_a_hazard_in_that_setup_only() -> None:
    text = """
    [unit.comp]
    model = "processor"
    rack = "left"
    title = "Compressor"
    [bay.north]
    rack = "left"
    columns = 2
    [[bay.north.column]]
    at = "1..2"
    top = "comp/out 1..2"
    bottom = "comp/in 1..2"
    """
    one = only(told(text, "[setup.take]\n" + cord("comp/out 1", "comp/in 1")))
    assert (one.rule, one.setup, one.at) == ("feedback-fixed", "take", ("comp/in 1", "comp/out 1"))
    assert one.place is not None
    assert one.place.path[:2] == ("setup", "take")
    assert "headphones off heads" in one.do


def test_a_loop_that_a_switch_closes() -> None:
    text = """
    [unit.box]
    rack = "left"
    [[unit.box.port]]
    name = "in"
    direction = "in"
    signal = "line"
    [[unit.box.port]]
    name = "out"
    direction = "out"
    signal = "line"
    [[unit.box.switch]]
    name = "loop"
    positions = ["off", "on"]
    [[unit.box.inside]]
    from = "in"
    to = "out"
    when = "loop = on"
    [[cable]]
    from = "box/out"
    to = "box/in"
    """
    assert told(text) == []
    one = only(told(text, '[setup.take]\n[[setup.take.set]]\nswitch = "box/loop"\nto = "on"\n'))
    assert (one.rule, one.setup) == ("feedback-fixed", "take")


def test_a_way_past_the_fader_makes_a_loop_a_hazard() -> None:
    text = """
    [unit.desk]
    model = "mixer"
    rack = "left"
    [[unit.desk.inside]]
    from = "in 1"
    to = "out thru"
    [[unit.desk.port]]
    name = "out thru"
    direction = "out"
    signal = "line"
    [[cable]]
    from = "desk/out thru"
    to = "desk/in 1"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = "desk/out 1..2"
    to = "rec/in 1..2"
    """
    assert [one.at for one in told(text, rule="feedback-fixed")] == [("desk/in 1", "desk/out thru")]


def test_left_and_right_by_the_names_of_the_units() -> None:
    text = """
    [unit.tape]
    model = "stereo-player"
    rack = "left"
    [[model.speaker.port]]
    name = "in"
    direction = "in"
    signal = "line"
    [unit.near-left]
    model = "speaker"
    room = "control"
    [unit.near-right]
    model = "speaker"
    room = "control"
    [[cable]]
    from = ["tape/out left", "tape/out right"]
    to = ["near-right/in", "near-left/in"]
    """
    assert only(told(text)).rule == "left-right-exchanged"
    assert told(text.replace('["near-right/in", "near-left/in"]', '["near-left/in", "near-right/in"]')) == []


def test_a_sideways_normal_with_nothing_behind() -> None:
    normal = '[[normal]]\nfrom = "north/top 1"\nto = "north/bottom 3"\n'
    one = only(told(UNITS + NORTH, normal))
    assert (one.rule, one.at) == ("normal-one-side", ("north/bottom 3",))


def test_a_bay_with_sources_below_is_the_right_way_up() -> None:
    upside = NORTH.replace("columns = 4", 'columns = 4\nsources = "bottom"').replace(
        'top = "deck/out 1..2"\nbottom = "rec/in 1..2"', 'top = "rec/in 1..2"\nbottom = "deck/out 1..2"'
    )
    assert told(UNITS + upside) == []
    assert rules_of(told(UNITS + upside.replace('sources = "bottom"\n', ""))) == {"normal-wrong-way"}


def test_a_cord_into_a_reserved_column() -> None:
    spare = '[[bay.north.column]]\nat = 3\nreserved = "echo"\n'
    found = told(UNITS + NORTH + spare, "[setup.take]\n" + cord("deck/out 1", "north/bottom 3"))
    assert rules_of(found) == {"jack-reserved", "cord-into-nothing"}


def test_a_route_to_an_inside_that_is_no_crosspoint() -> None:
    text = UNITS.replace('model = "recorder"', 'model = "mixer"')
    text += '[[cable]]\nfrom = "deck/out 1..2"\nto = "rec/in 1..2"\n[[route]]\nfrom = "rec/in 1"\nto = "rec/out 1"\n'
    found = told(text, rule="route-without-effect")
    assert only(found).at == ("rec/in 1", "rec/out 1")


def test_inputs_joined_by_a_cable() -> None:
    text = UNITS.replace('model = "player"', 'model = "recorder"').replace("[unit.deck]", "[unit.tape]")
    one = only(told(text + '[[cable]]\nfrom = "tape/in 1..2"\nto = "rec/in 1..2"\n', rule="inputs-joined")[:1])
    assert one.at == ("rec/in 1", "tape/in 1")


def test_the_worst_is_told_first() -> None:
    text = UNITS + '[[cable]]\nfrom = "deck/out 1..2"\nto = "rec/in 1..2"\npolarity = "reversed"\n'
    text += '[unit.tape]\nmodel = "player"\nrack = "left"\n[[cable]]\nfrom = "tape/out 1"\nto = "rec/in 1"\n'
    found = told(text)
    assert [one.severity.value for one in found] == sorted(
        (one.severity.value for one in found), key=["error", "hazard", "warning", "note"].index
    )
    assert found[0].severity.value == "error"


LINK = """
[unit.one]
room = "control"
port = [{{ name = "out", direction = "out", signal = "{signal}", channels = 2 }}]
[unit.other]
room = "control"
port = [{{ name = "in", direction = "in", signal = "{signal}", channels = 2 }}]
[[cable]]
from = "one/out"
to = "other/in"
metres = {metres}
"""


def test_a_network_cable_that_is_too_long_is_told_once() -> None:
    found = told(LINK.format(signal="network", metres=100.5))
    assert rules_of(found) == {"line-too-long"}
    assert only(found).text == "The network cable to other in is 100.5 m long."


def test_metres_are_written_out() -> None:
    assert only(told(LINK.format(signal="aes3id", metres=1001))).why.startswith("aes3id goes 1,000 m (")
