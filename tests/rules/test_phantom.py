"""What the rules about phantom power say, and where they keep still.

Currents and voltages: 48 V behind 6.8 kohm in each leg, 12 V behind 680 ohm, at most 10 and 15 mA (IEC 61938 as summarised in print);
the rest follows by Ohm's law, worked out beside each case. The path of a grounded leg's current through a microphone's coil: published
papers on phantom power and patching (check value P13).
"""

import pytest

from routecode.ground.finding import Finding, Severity
from tests.rules.studios import rules_of, told

PAGE = """
[unit.m]
room = "control"
[[unit.m.port]]
name = "{name}"
direction = "out"
signal = "mic"
{mic}
[unit.p]
rack = "left"
phantom_on = {on}
[[unit.p.port]]
name = "b 1..4"
direction = "in"
signal = "mic"
phantom = "supply"
[unit.r]
rack = "left"
[[unit.r.port]]
name = "c"
direction = "in"
signal = "mic"
{other}
[[cable]]
from = "m/{name}"
{to}
[[accept]]
rule = "inputs-unfed"
at = ["p", "r"]
because = "Free."
"""
SHORTED = 'to = "p/b 1"\ncold = "shield-at-to"'
SPLIT = 'to = [["p/b 1"], ["r/c"]]'
UNBALANCED = "balanced = false"


def found(
    mic: str, to: str, other: str = "", *, on: str = '"b 1"', more: str = "", unlike: bool = False
) -> list[Finding]:
    text = PAGE.format(mic=mic, to=to, other=other, on=on, name="a") + more
    if unlike:
        text = text.replace(
            'name = "b 1..4"', 'name = "b 2"\nphantom_kind = "P12"\nKEYS[[unit.p.port]]\nname = ["b 1", "b 3..4"]'
        )
        text = text.replace("KEYS", 'direction = "in"\nsignal = "mic"\nphantom = "supply"\n')
    return [one for one in told(text) if one.rule != "split-grounds"]


@pytest.mark.parametrize(
    ("to", "other", "where"), [(SHORTED, "", "p b 1"), (SPLIT, UNBALANCED, "r c")], ids=["cable", "split"]
)
@pytest.mark.parametrize(
    "mic",
    ["", "balanced = true", 'drive = "transformer"', 'drive = "floating"'],
    ids=["", "balanced", "transformer", "floating"],
)
def test_a_grounded_leg_is_a_hazard_for_a_microphone_that_says_nothing(
    to: str, other: str, where: str, mic: str
) -> None:
    """48 V / 6.8 kohm = 7.06 mA through the coil (check values P9, P13)."""
    (one,) = found(mic, to, other)
    assert (one.rule, one.severity, one.at) == ("phantom-harms", Severity.HAZARD, ("m/a",))
    assert one.why == f"A leg is grounded at {where}: 7.1 mA flow through it as long as the line is fed."
    assert one.do.startswith("Switch phantom power off, wait a minute and measure under 1 V; only then unplug.")


@pytest.mark.parametrize("mic", ['phantom = "safe"', 'drive = "impedance"', 'phantom = "needs"'])
def test_a_grounded_leg_is_no_hazard_where_the_source_stands_it(mic: str) -> None:
    assert "phantom-harms" not in rules_of([*found(mic, SHORTED), *found(mic, SPLIT, UNBALANCED)])


def test_each_leg_of_a_symmetric_output_is_driven_by_itself() -> None:
    assert rules_of(found('balanced = true\ndrive = "symmetric"', SHORTED)) == {"leg-grounded"}


def test_electronics_behind_a_port_is_no_winding() -> None:
    inside = '[[unit.m.port]]\nname = "in"\ndirection = "in"\nsignal = "mic"\n[[unit.m.inside]]\nfrom = "in"\nto = "a"\n{kind}\n'
    free = '[[accept]]\nrule = "inputs-unfed"\nat = "m/in"\nbecause = "Free."\n'
    for kind, rules in (
        ('kind = "transformer"', {"phantom-harms"}),
        ('kind = "active"', set()),
        ('kind = "capacitor"', set()),
    ):
        assert rules_of(found("", SHORTED, more=inside.format(kind=kind) + free)) - {"inputs-unfed"} == rules, kind


def test_what_is_only_usually_unbalanced_grounds_nothing() -> None:
    """An instrument input that does not say `balanced` is unbalanced as a rule: no hazard rests on it."""
    text = PAGE.format(mic="", to=SPLIT, other="", on='"b 1"', name="a").replace(
        'name = "c"\ndirection = "in"\nsignal = "mic"', 'name = "c"\ndirection = "in"\nsignal = "instrument"'
    )
    assert not {"phantom-harms", "phantom-too-little"} & rules_of(told(text))


def test_a_leg_grounded_behind_an_open_one_leads_nothing_through_the_microphone() -> None:
    """The cold leg is open between the microphone and the input that grounds it: no way for the current."""
    to = 'to = "p/b 1"\n[[cable]]\nfrom = "m/a"\nto = "r/c"\ncold = "open"'
    assert "phantom-harms" not in rules_of(found("", to, UNBALANCED))


@pytest.mark.parametrize(
    ("shield", "rules"), [("from", set()), ("to", {"phantom-harms"})], ids=["no way back", "a way back"]
)
def test_a_leg_that_is_joined_to_a_shield_without_a_way_back_carries_nothing(shield: str, rules: set[str]) -> None:
    """Joined at the input to a shield that goes on to the microphone alone, the leg leads nowhere."""
    assert rules_of(found("", f'{SHORTED}\nshield = "{shield}"')) - {"shield-lifted-phantom"} == rules


def test_a_passive_end_says_what_may_be_plugged_there() -> None:
    text = PAGE.format(mic="", to=SHORTED, other="", on='"b 1"', name="a").replace(
        'direction = "out"', 'direction = "either"'
    )
    (one,) = [one for one in told(text) if one.rule == "phantom-harms"]
    assert "7.1 mA flow through a dynamic or ribbon microphone there" in one.why


def test_an_unbalanced_microphone_carries_the_current_all_the_time() -> None:
    (one,) = found(UNBALANCED, 'to = "p/b 1"')
    assert one.why == "It is unbalanced, and grounds one leg itself: 7.1 mA flow through it as long as the line is fed."


def test_a_microphone_that_is_harmed_needs_a_short() -> None:
    (one,) = found('phantom = "harmed"', 'to = "p/b 1"')
    assert one.why == "A short of one leg, as when plugging, sends current through it."
    assert one.do.index("off") < one.do.index("wait") < one.do.index("measure") < one.do.index("unplug")


def test_an_input_that_is_harmed_is_not_spoken_of_as_a_microphone() -> None:
    (one,) = found("", SPLIT, 'phantom = "harmed"')
    assert one.at == ("r/c",)
    assert "microphone" not in one.do
    assert "plug" not in one.do


@pytest.mark.parametrize(("to", "other"), [(SHORTED, ""), (SPLIT, UNBALANCED)])
def test_one_leg_alone_is_too_little(to: str, other: str) -> None:
    """From 0 (a centre tap is grounded through half the winding) to 52 V - 2 mA x 6.12 kohm = 39.76 V."""
    (one,) = found('phantom = "needs"\nphantom_ma = 2', to, other)
    assert (one.rule, one.severity) == ("phantom-too-little", Severity.WARNING)
    assert one.why.endswith("at 2 mA 0 to 39.8 V are left of P48.")


def test_one_leg_alone_in_a_setup() -> None:
    cord = '[setup.y]\n[[setup.y.cord]]\nfrom = "m/a"\nto = ["p/b 1", "r/c"]\n'
    text = PAGE.format(mic='phantom = "needs"', to="", other=UNBALANCED, on='"b 1"', name="a").replace(
        '[[cable]]\nfrom = "m/a"\n', ""
    )
    (one,) = [one for one in told(text + cord) if one.rule == "phantom-too-little"]
    assert (one.setup, one.why) == ("y", "A leg is grounded at r c: one leg of P48 is left at most.")


def test_an_open_leg_leaves_the_other() -> None:
    """At least 44 V - 2 mA x 7.48 kohm = 29.04 V, at most 52 V - 2 mA x 6.12 kohm."""
    (one,) = found('phantom = "needs"\nphantom_ma = 2', 'to = "p/b 1"\ncold = "open"')
    assert one.rule == "phantom-too-little"
    assert (one.why, one.do) == (
        "A leg is open on the way: at 2 mA 29 to 39.8 V are left of P48.",
        "Connect both legs at both ends.",
    )


KINDS = """
[unit.m]
room = "control"
[[unit.m.port]]
name = "a 1..4"
direction = "out"
signal = "mic"
phantom = "{how}"
phantom_ma = {ma}
phantom_kind = "{wants}"
[unit.p]
rack = "left"
phantom_on = "b 1..4"
[[unit.p.port]]
name = "b 1..4"
direction = "in"
signal = "mic"
phantom = "supply"
phantom_kind = "{gives}"
[[cable]]
from = "m/a 1..4"
to = "p/b 1..4"
"""


def kinds(wants: str, gives: str, ma: float, how: str = "needs") -> Finding | None:
    """The one finding, which is of all four microphones."""
    every = told(KINDS.format(wants=wants, gives=gives, ma=ma, how=how))
    if not every:
        return None
    (one,) = every
    assert one.at == tuple(f"m/a {number}" for number in (1, 2, 3, 4))
    assert "m a 1-4 " in one.text
    return one


@pytest.mark.parametrize(
    ("kind", "ma", "rule"),
    [
        ("P48", 5, None),  # 44 - 5 x 3.74 = 25.3 V, above half
        ("P48", 5.5, "phantom-low"),  # 23.4 V
        ("P48", 10, "phantom-low"),  # allowed (check value P5)
        ("P48", 10.1, "phantom-too-little"),
        ("P24", 10, None),
        ("P24", 10.1, "phantom-too-little"),
        ("P12", 15, "phantom-low"),  # allowed (check value P5)
        ("P12", 15.1, "phantom-too-little"),
    ],
)
def test_within_the_allowed_current_there_is_a_note_at_most(kind: str, ma: float, rule: str | None) -> None:
    one = kinds(kind, kind, ma)
    assert (one.rule if one else None) == rule
    if one is not None:
        assert one.severity == (Severity.NOTE if rule == "phantom-low" else Severity.WARNING)
        assert ("maker" in one.do) == (rule == "phantom-low")


def test_more_volts_than_a_microphone_is_made_for_are_a_hazard() -> None:
    """44 - 2 x 3.74 = 36.52 and 52 - 2 x 3.06 = 45.88 V at a microphone for 12 V; neither end is told narrower than it is."""
    one = kinds("P12", "P48", 2)
    assert one is not None
    assert (one.rule, one.severity) == ("phantom-too-much", Severity.HAZARD)
    assert "36.5 to 45.9 V reach it" in one.why
    assert kinds("P12", "P48", 2, "safe") is None


def test_less_volts_than_a_microphone_is_made_for_are_too_little() -> None:
    one = kinds("P48", "P12", 2)
    assert one is not None
    assert (one.rule, one.why) == ("phantom-too-little", "It needs P48, and P12 arrives.")


@pytest.mark.parametrize(
    ("cable", "why", "do"),
    [
        (
            'to = "p/b 1"\nshield = "from"',
            "The shield is open on the way",
            "Connect the shield at both ends of that cable",
        ),
        (
            'to = "p/b 1"\nshield = "to"',
            "The shield is open on the way",
            "Connect the shield at both ends of that cable",
        ),
        ('to = "p/b 2"', "p b 2 has it switched off", "Switch it on at that input"),
        ('to = "r/c"', "r c gives none", "Use an input that gives it"),
    ],
)
def test_what_to_do_about_none_follows_from_the_cause(cable: str, why: str, do: str) -> None:
    one = next(one for one in found('phantom = "needs"', cable) if one.rule == "phantom-missing")
    assert why in one.why
    assert do in one.do
    assert ("Switch it on" in one.do) == ("switched off" in one.why)


def test_the_cables_with_lifted_shields_are_shown() -> None:
    bay = '[bay.n]\nrack = "left"\ncolumns = 1\nnormal = "full"\n'
    to = f'to = "n/top 1"\nshield = "from"\n[[cable]]\nfrom = "n/bottom 1"\nto = "p/b 1"\nshield = "to"\n{bay}'
    (one,) = [one for one in found('phantom = "needs"', to) if one.rule == "phantom-missing"]
    assert one.do.endswith("these cables.")
    assert len(one.also) == 1


def test_an_input_that_is_off_beside_one_that_is_on_is_told() -> None:
    """At least (44 V / 3.74 kohm - 4 mA) / (1 / 3.74 kohm + 1 / 3.06 kohm) = 13.07 V; at most 52 - 4 x 3.06 = 39.76 V."""
    (one,) = found('phantom = "needs"\nphantom_ma = 4', 'to = [["p/b 1"], ["p/b 2"]]')
    assert (one.rule, one.severity, one.at) == ("phantom-low", Severity.NOTE, ("m/a",))
    assert one.why == "p b 2 is off, and may hold its resistors at 0 V: at 4 mA 13 to 39.8 V are left."


def test_two_unlike_supplies_drive_each_other() -> None:
    """48 / 6800 + 12 / 680 = 24.7 mA; (48 - 12) / (3400 + 340) = 9.63 mA."""
    (one,) = found("", 'to = [["p/b 1"], ["p/b 2"]]', on='["b 1", "b 2"]', unlike=True)
    assert one.rule == "phantom-twice"
    assert one.why == "P12 and P48 meet: 9.6 mA flow back into p b 2 all the time. A short of one leg takes 24.7 mA."


@pytest.mark.parametrize(("kind", "short"), [("P48", "14.1 mA instead of 7.1"), ("P12", "35.3 mA instead of 17.6")])
def test_two_equal_supplies_give_a_short_twice_the_current(kind: str, short: str) -> None:
    """2 x 48 / 6800 (check value P14), 2 x 12 / 680."""
    text = PAGE.format(mic="", to='to = [["p/b 1"], ["p/b 2"]]', other="", on='["b 1", "b 2"]', name="a")
    (one,) = told(text.replace('phantom = "supply"', f'phantom = "supply"\nphantom_kind = "{kind}"'))
    assert short in one.why


def test_two_unlike_supplies_are_too_little_for_one_and_too_much_for_the_other() -> None:
    """(48 / 6800 + 12 / 680) / (1 / 6800 + 1 / 680) = 15.3 V."""
    split, on = 'to = [["p/b 1"], ["p/b 2"]]', '["b 1", "b 2"]'
    high = found('phantom = "needs"', split, on=on, unlike=True)
    assert rules_of(high) == {"phantom-twice", "phantom-too-little"}
    assert any("15.3 V" in one.why for one in high)
    low = found('phantom = "needs"\nphantom_kind = "P12"', split, on=on, unlike=True)
    assert rules_of(low) == {"phantom-twice", "phantom-too-much"}
