"""Two branches joined by the ordinary git: each way in which clean text is wrong wiring, with a studio beside it that is not."""

import pytest

from routecode.history.branches_kinds import BACK, FOUND, GAINED, LOST, NEED, OURS, THEIRS, TIED, TWICE, UNDONE
from tests.history.joining import branches, of, swapped, told, weir

BOOTH_1 = '[[cable]]\nfrom = "booth/1"\nto = "north/top 13"\n'
TWO_WAYS = """
[unit.dup]
title = "Doubler"
[[unit.dup.port]]
name = "in"
direction = "in"
signal = "line"
[[unit.dup.port]]
name = ["a", "b"]
direction = "out"
signal = "line"
[[unit.dup.inside]]
from = "in"
to = ["a", "b"]
pairing = "all-to-all"
[unit.player]
title = "Player"
[[unit.player.port]]
name = "out"
direction = "out"
signal = "line"
[unit.mix]
title = "Mixer"
[[unit.mix.port]]
name = ["a", "b"]
direction = "in"
signal = "line"
[[unit.mix.port]]
name = "out"
direction = "out"
signal = "line"
[[unit.mix.inside]]
from = ["a", "b"]
to = "out"
pairing = "all-to-all"
[unit.rec]
title = "Recorder"
[[unit.rec.port]]
name = "in"
direction = "in"
signal = "line"
[[cable]]
from = "player/out"
to = "dup/in"
[[cable]]
from = "mix/out"
to = "rec/in"
"""
WAY_A = '[[cable]]\nfrom = "dup/a"\nto = "mix/a"\n'
WAY_B = '[[cable]]\nfrom = "dup/b"\nto = "mix/b"\n'
NEED_IT = '[setup.take]\ntitle = "Take"\n[[setup.take.need]]\npath = ["dup/in", "rec/in"]\n'
ENDS = (("player/out", "rec/in"),)


# -- used twice, tied ----------------------------------------------------------------------------------------------------


def test_one_jack_used_twice() -> None:
    base = weir()
    there = '[[cable]]\nfrom = "booth/2"\nto = "north/top 13"\n'
    found = branches(base, weir(ours=BOOTH_1), weir(theirs=there))
    assert not found.fine
    (twice,) = of(found, TWICE)
    assert "North bay top 13" in twice.text
    spots = [found.joined.spot(at) for _, at in twice.places]
    assert {spot.file for spot in spots if spot is not None} == {"ours.toml", "theirs.toml"}


def test_two_jacks_used_once_are_fine() -> None:
    found = branches(weir(), weir(ours=BOOTH_1), weir(theirs=BOOTH_1.replace("booth/1", "booth/2").replace("13", "14")))
    assert found.fine
    assert found.wrong == []


def test_a_jack_that_one_side_used_twice_itself_is_its_own_affair() -> None:
    there = '[[cable]]\nfrom = "booth/2"\nto = "north/top 13"\n'
    found = branches(weir(), weir(ours=BOOTH_1 + there), weir(theirs="# nothing\n"))
    assert found.wrong == []


def tying(unit: str, port: str) -> str:
    return f'[[cable]]\nfrom = "{unit}"\nto = "pre-b/mic {port}"\n'


def test_outputs_tied() -> None:
    found = branches(weir(), weir(ours=tying("booth/1", "1")), weir(theirs=tying("booth/2", "1")))
    assert [kind for kind, _ in told(found)][:2] == [TWICE, TIED]
    assert {each.finding.rule for each in of(found, TIED) if each.finding} == {"outputs-tied"}


def test_outputs_on_two_inputs_are_fine() -> None:
    assert branches(weir(), weir(ours=tying("booth/1", "1")), weir(theirs=tying("booth/2", "2"))).fine


# -- does not compile ----------------------------------------------------------------------------------------------------

EQ = '[unit.{0}]\ntitle = "Equaliser"\n[[unit.{0}.port]]\nname = "in"\ndirection = "in"\nsignal = "line"\n'


def test_a_unit_that_both_sides_add_in_files_of_their_own_does_not_compile() -> None:
    found = branches(weir(), weir(ours=EQ.format("eq")), weir(theirs=EQ.format("eq")))
    assert not found.fine
    assert not found.compiles
    assert found.mistakes
    assert found.wrong == []


def test_two_units_compile() -> None:
    found = branches(weir(), weir(ours=EQ.format("eq-1")), weir(theirs=EQ.format("eq-2").replace("Equaliser", "Other")))
    assert found.compiles
    assert found.mistakes == ()
    assert found.fine


def test_a_unit_that_one_side_takes_away_and_the_other_uses_does_not_compile() -> None:
    base = weir(eq=EQ.format("eq"))
    use = weir(eq=EQ.format("eq"), use='[[cable]]\nfrom = "pre-b/out 1"\nto = "eq/in"\nfront = true\n')
    found = branches(base, weir(), use)
    assert [mistake.place is not None for mistake in found.mistakes] == [True]
    assert "eq" in found.mistakes[0].text


# -- lost, made and undone, gained, taken away and back -----------------------------------------------------------------


def test_a_path_is_lost_that_neither_side_lost() -> None:
    base = weir(TWO_WAYS, a=WAY_A, b=WAY_B)
    found = branches(base, weir(TWO_WAYS, b=WAY_B), weir(TWO_WAYS, a=WAY_A))
    assert told(found) == [(LOST, None)]
    (lost,) = found.wrong
    assert lost.paths == ENDS
    assert "Player" in lost.text
    assert "no longer reaches Recorder" in lost.text


def test_a_path_that_one_side_lost_is_not_told() -> None:
    base = weir(TWO_WAYS, a=WAY_A, b=WAY_B)
    assert branches(base, weir(TWO_WAYS), weir(TWO_WAYS, a=WAY_A)).wrong == []
    assert branches(base, weir(TWO_WAYS, a=WAY_A), weir(TWO_WAYS)).wrong == []


def test_a_path_that_keeps_one_of_its_ways_is_not_told() -> None:
    base = weir(TWO_WAYS, a=WAY_A, b=WAY_B)
    found = branches(base, weir(TWO_WAYS, b=WAY_B), weir(TWO_WAYS, a=WAY_A, b=WAY_B, more="# their remark\n"))
    assert found.fine


def booth_through_b() -> str:
    return BOOTH_1 + '[[bay.north.column]]\nat = 13\nbottom = "pre-b/mic 1"\n'


def test_what_one_side_made_is_gone_once_joined() -> None:
    base = weir()
    cut = swapped(
        base,
        (
            'at = "9..16"\ntop = "pre-b/out 1..8"\nbottom = "conv/line 9..16"',
            'at = "10..16"\ntop = "pre-b/out 2..8"\nbottom = "conv/line 10..16"',
        ),
    )
    found = branches(base, weir(ours=booth_through_b()), cut)
    assert told(found) == [(UNDONE, OURS)]
    assert found.wrong[0].paths == (("booth/1", "conv/line 9"),)
    assert "Narration booth 1 no longer reaches Converter line 9" in found.wrong[0].text
    turned = branches(base, cut, weir(theirs=booth_through_b()))
    assert told(turned) == [(UNDONE, THEIRS)]


def test_what_one_side_made_and_the_other_left_alone_is_fine() -> None:
    base = weir()
    cut = swapped(
        base,
        (
            'at = "9..16"\ntop = "pre-b/out 1..8"\nbottom = "conv/line 9..16"',
            'at = "9..15"\ntop = "pre-b/out 1..7"\nbottom = "conv/line 9..15"',
        ),
    )
    assert branches(base, weir(ours=booth_through_b()), cut).fine


def test_a_path_is_gained_that_neither_side_made() -> None:
    column = '[[bay.north.column]]\nat = {}\nbottom = "pre-b/mic 1"\n'
    found = branches(weir(), weir(ours=BOOTH_1), weir(theirs=column.format(13)))
    assert told(found) == [(GAINED, None)]
    assert found.wrong[0].paths == (("booth/1", "conv/line 9"),)
    assert branches(weir(), weir(ours=BOOTH_1), weir(theirs=column.format(14))).fine


def test_what_one_side_took_away_is_there_again() -> None:
    base = weir(TWO_WAYS, a=WAY_A)
    found = branches(base, weir(TWO_WAYS), weir(TWO_WAYS, a=WAY_A, b=WAY_B))
    assert told(found) == [(BACK, OURS)]
    assert found.wrong[0].paths == ENDS
    other = branches(base, weir(TWO_WAYS), weir(TWO_WAYS, a=WAY_A, more="# their remark\n"))
    assert other.fine


# -- needs and findings -------------------------------------------------------------------------------------------------


def test_a_need_fails_that_neither_side_broke() -> None:
    base = weir(TWO_WAYS, NEED_IT, a=WAY_A, b=WAY_B)
    found = branches(base, weir(TWO_WAYS, NEED_IT, b=WAY_B), weir(TWO_WAYS, NEED_IT, a=WAY_A))
    assert told(found) == [(NEED, None), (LOST, None)]
    need = found.wrong[0]
    assert need.setups == ("take",)
    assert need.paths == (("dup/in", "rec/in"),)


def test_a_need_that_one_side_broke_is_not_told() -> None:
    base = weir(TWO_WAYS, NEED_IT, a=WAY_A, b=WAY_B)
    assert of(branches(base, weir(TWO_WAYS, NEED_IT), weir(TWO_WAYS, NEED_IT, a=WAY_A)), NEED) == []


def test_a_need_that_one_side_brings_and_the_other_makes_fail_is_told() -> None:
    base = weir(TWO_WAYS, a=WAY_A)
    found = branches(base, weir(TWO_WAYS, a=WAY_A, need=NEED_IT), weir(TWO_WAYS))
    assert (NEED, None) in told(found)
    assert branches(base, weir(TWO_WAYS, a=WAY_A, need=NEED_IT), weir(TWO_WAYS, a=WAY_A, b=WAY_B)).fine


RING = "".join(
    f"""[unit.{name}]
title = "{name}"
[[unit.{name}.port]]
name = "in"
direction = "in"
signal = "line"
[[unit.{name}.port]]
name = "out"
direction = "out"
signal = "line"
[[unit.{name}.inside]]
from = "in"
to = "out"
"""
    for name in ("delay", "chorus")
)


def ring(source: str, target: str) -> str:
    return f'[[cable]]\nfrom = "{source}/out"\nto = "{target}"\n'


def test_a_finding_that_neither_side_has() -> None:
    found = branches(
        weir(RING), weir(RING, ours=ring("delay", "chorus/in")), weir(RING, theirs=ring("chorus", "delay/in"))
    )
    rules = {each.finding.rule for each in of(found, FOUND) if each.finding}
    assert "feedback-fixed" in rules
    other = branches(
        weir(RING), weir(RING, ours=ring("delay", "chorus/in")), weir(RING, theirs=ring("chorus", "pre-b/mic 3"))
    )
    assert of(other, FOUND) == [] or "feedback-fixed" not in {
        each.finding.rule for each in of(other, FOUND) if each.finding
    }


def test_a_finding_that_one_side_has_already_is_not_told() -> None:
    both_cables = ring("delay", "chorus/in") + ring("chorus", "delay/in")
    assert branches(weir(RING), weir(RING, ours=both_cables), weir(RING, theirs="# nothing\n")).fine


# -- setups of one side, names of one side -----------------------------------------------------------------------------

COMP = RING.replace("delay", "comp").partition("[unit.chorus]")[0]
SETUP = '[setup.warm]\ntitle = "Warm"\n[[setup.warm.cord]]\nfrom = "south/top 1"\nto = "comp/in"\n'


def test_a_new_setup_of_one_side_is_held_against_the_work_of_the_other() -> None:
    base = weir(COMP)
    cut = swapped(
        base,
        (
            'at = "1..8"\ntop = "pre-a/out 1..8"\nbottom = "conv/line 1..8"',
            'at = "2..8"\ntop = "pre-a/out 2..8"\nbottom = "conv/line 2..8"',
        ),
    )
    found = branches(base, weir(COMP, setup=SETUP), cut)
    assert (UNDONE, OURS) in told(found)
    assert [each.setups for each in of(found, UNDONE)] == [("warm",)]
    assert branches(base, weir(COMP, setup=SETUP), weir(COMP, theirs=BOOTH_1)).fine


def test_what_the_other_side_takes_away_everywhere_is_not_told_of_a_new_setup() -> None:
    base = weir(COMP)
    cut = swapped(
        base,
        (
            'top = "hall/line 1..8"\nbottom = "pre-a/mic 1..8"',
            'top = ["hall/line 1..7", "booth/2"]\nbottom = "pre-a/mic 1..8"',
        ),
    )
    found = branches(base, weir(COMP, setup=SETUP), cut)
    assert found.wrong == []


def test_a_unit_renamed_by_one_side_is_the_same_unit() -> None:
    base = weir(more=BOOTH_1)
    text = (
        base["studio.toml"].replace("[unit.pre-a]\n", '[unit.pre-west]\nwas = "pre-a"\n').replace("pre-a/", "pre-west/")
    )
    theirs = weir(more=BOOTH_1, theirs=tying("booth/2", "3"))
    found = branches(base, {**base, "studio.toml": text}, theirs)
    assert found.fine
    assert found.both == []
    turned = branches(base, theirs, {**base, "studio.toml": text})
    assert turned.fine


@pytest.mark.parametrize("turned", [False, True])
def test_a_path_is_lost_of_a_unit_that_one_side_renamed(turned: bool) -> None:
    base = weir(TWO_WAYS, a=WAY_A, b=WAY_B)
    text = base["studio.toml"].replace("[unit.player]\n", '[unit.deck]\nwas = "player"\n')
    text = text.replace("unit.player.", "unit.deck.").replace("player/", "deck/")
    one, other = {"studio.toml": text, "b.toml": WAY_B}, weir(TWO_WAYS, a=WAY_A)
    found = branches(base, other, one) if turned else branches(base, one, other)
    assert told(found) == [(LOST, None)]
    assert found.wrong[0].paths == ENDS


# -- what both sides changed --------------------------------------------------------------------------------------------


def test_both_sides_on_one_jack() -> None:
    found = branches(weir(), weir(ours=BOOTH_1), weir(theirs=BOOTH_1.replace("booth/1", "booth/2")))
    (jack,) = [each for each in found.both if each.kind == "jack"]
    assert jack.names == ("north/top 13",)
    assert jack.ours == ("New: cable Narration booth 1 to North bay top 13.",)
    assert jack.theirs == ("New: cable Narration booth 2 to North bay top 13.",)
    assert not jack.alike


def test_both_sides_on_jacks_of_their_own() -> None:
    found = branches(weir(), weir(ours=BOOTH_1), weir(theirs=BOOTH_1.replace("booth/1", "booth/2").replace("13", "14")))
    assert found.both == []


def test_both_sides_did_the_same() -> None:
    edit = swapped(weir(), ('title = "Preamp A"', 'title = "Preamp West"'))
    found = branches(weir(), {**edit, "ours.toml": "# ours\n"}, {**edit, "theirs.toml": "# theirs\n"})
    (unit,) = found.both
    assert (unit.kind, unit.names, unit.alike) == ("unit", ("pre-a",), True)
    assert found.fine


def test_both_sides_on_one_unit() -> None:
    base = weir()
    ours = swapped(
        base, ('[unit.pre-a]\nmodel = "pre"\ntitle = "Preamp A"', '[unit.pre-a]\nmodel = "pre"\ntitle = "Preamp West"')
    )
    theirs = {**base, "theirs.toml": '[room.hall]\ntitle = "Hall"\n[unit.pre-a]\nroom = "hall"\n'}
    (unit,) = branches(base, ours, theirs).both
    assert (unit.kind, unit.names) == ("unit", ("pre-a",))
    assert unit.ours == ("Preamp A is now called Preamp West.",)
    assert unit.theirs == ("Preamp A now stands in room hall. Before: no stated place.",)


def test_both_sides_on_the_path_to_one_input() -> None:
    ways = weir(TWO_WAYS, a=WAY_A)
    ours = swapped(ways, ('from = "player/out"\nto = "dup/in"', 'from = "booth/1"\nto = "dup/in"'))
    theirs = weir(TWO_WAYS)
    found = branches(ways, ours, theirs)
    (path,) = [each for each in found.both if each.kind == "path"]
    assert "rec/in" in path.names
    assert path.ours != path.theirs
