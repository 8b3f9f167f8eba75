"""What `[[accept]]` covers, and what is told of acceptances themselves."""

from datetime import date

from tests.rules.studios import judged, rules_of, told

DECK = """
[unit.deck]
model = "player"
rack = "left"
"""
TAKE = """
[unit.deck]
model = "player"
rack = "left"
[unit.rec]
model = "recorder"
rack = "left"
[bay.north]
rack = "left"
columns = 3
[[bay.north.column]]
at = "1..2"
top = "deck/out 1..2"
bottom = "rec/in 1..2"
normal = "half"
[setup.take]
[[setup.take.cord]]
from = "deck/out 1"
to = "north/bottom 3"
[setup.other]
[[setup.other.cord]]
from = "deck/out 1"
to = "north/bottom 3"
"""


def accept(rule: str, at: str, more: str = "") -> str:
    return f'[[accept]]\nrule = "{rule}"\nat = {at}\nbecause = "So."\n{more}\n'


def test_every_subject_must_be_named() -> None:
    whole = judged(DECK, accept("outputs-unused", '"deck/out 1..2"'))
    assert whole.findings == ()
    assert [(finding.rule, written.because) for finding, written in whole.accepted] == [("outputs-unused", "So.")]
    part = judged(DECK, accept("outputs-unused", '"deck/out 1"'))
    assert rules_of(part.findings) == {"outputs-unused", "accept-unused"}
    assert part.accepted == ()


def test_a_new_subject_is_told_again() -> None:
    third = '[[unit.deck.port]]\nname = "out 3"\ndirection = "out"\nsignal = "line"\n'
    assert "outputs-unused" in rules_of(told(DECK, third, accept("outputs-unused", '"deck/out 1..2"')))


def test_a_unit_covers_all_that_is_its_own() -> None:
    assert told(DECK, accept("outputs-unused", '"deck"')) == []


def test_a_port_covers_its_channels() -> None:
    route = """
    [unit.stage]
    model = "network-box"
    rack = "left"
    [unit.pc]
    model = "network-box"
    rack = "left"
    [[route]]
    from = "stage/net ch 1..2"
    to = "pc/net ch 1..2"
    """
    assert rules_of(told(route)) == {"route-without-effect"}
    assert told(route, accept("route-without-effect", '["stage/net", "pc/net ch 1..2"]')) == []


def test_one_setup_only() -> None:
    assert {one.setup for one in told(TAKE)} == {"take", "other"}
    left = told(TAKE, accept("cord-into-nothing", '"north/bottom 3"', 'setup = "take"'))
    assert [(one.rule, one.setup) for one in left] == [("cord-into-nothing", "other")]
    assert told(TAKE, accept("cord-into-nothing", '"north/bottom 3"')) == []


def test_until_is_the_last_day_on_which_it_holds() -> None:
    text = accept("outputs-unused", '"deck"', "until = 2026-03-01")
    assert judged(DECK, text, today=date(2026, 3, 1)).findings == ()
    assert judged(DECK, text).findings == ()  # no day is known
    late = judged(DECK, text, today=date(2026, 3, 2))
    assert rules_of(late.findings) == {"outputs-unused", "accept-ran-out"}
    assert late.accepted == ()
    (note,) = [one for one in late.findings if one.rule == "accept-ran-out"]
    assert "2026-03-01" in note.why


def test_one_that_ran_out_and_is_not_needed_is_told_as_not_needed() -> None:
    text = accept("outputs-tied", '"deck"', "until = 2026-03-01")
    late = judged(DECK, text, today=date(2026, 3, 2))
    assert rules_of(late.findings) == {"outputs-unused", "accept-unused"}


def test_an_unknown_rule_is_told_with_the_nearest() -> None:
    (told_of,) = told(DECK, accept("outputs-unusd", '"deck"'), rule="accept-unknown")
    assert told_of.do == "Did you mean `outputs-unused`?"
    assert told_of.severity.value == "warning"


def test_a_name_that_is_none_is_told_and_does_not_stop_the_rest() -> None:
    report = judged(DECK, accept("outputs-unused", '["deck/out 1..2", "deck/uot 2"]'))
    assert [finding.rule for finding in report.findings] == ["accept-names-nothing"]
    assert report.findings[0].do == "Did you mean `deck/out 2`?"
    assert len(report.accepted) == 1


def test_names_that_cannot_be_spread_are_told() -> None:
    found = told(DECK, accept("outputs-unused", '["deck/out 1..2", "deck/out 1"]'))
    assert rules_of(found) == {"outputs-unused", "accept-names-nothing"}


def test_cables_are_accepted_by_number() -> None:
    twice = """
    [unit.deck]
    model = "player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    number = "M1"
    from = "deck/out 1"
    to = "rec/in 1"
    [[cable]]
    number = "M1"
    from = "deck/out 2"
    to = "rec/in 2"
    """
    assert rules_of(told(twice)) == {"cable-number-twice"}
    assert told(twice, accept("cable-number-twice", '"M1"')) == []
