"""Names that probably read otherwise: when they are taken for one thing, when they are not, and that a guess hides nothing."""

from random import Random
from typing import Any

import pytest

from routecode.change.difference import Difference
from routecode.change.identity import PROBABLE
from routecode.show.diagnostic import Page
from routecode.show.difference import Asked, difference_text
from routecode.show.difference_document import difference_document
from routecode.show.drawing.compare import renamed
from tests.change.wiring import PLAIN, changed, circuit
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.show.studios import opened

STUDIO = """
[studio]
language = 1
[model.pre8]
[[model.pre8.port]]
name = "mic 1..8"
direction = "in"
signal = "mic"
[[model.pre8.port]]
name = "out 1..8"
direction = "out"
signal = "line"
[[model.pre8.inside]]
from = "mic 1..8"
to = "out 1..8"
[unit.hall]
[[unit.hall.port]]
name = "line 1..8"
direction = "either"
signal = "mic"
[unit.conv]
[[unit.conv.port]]
name = "in 1..8"
direction = "in"
signal = "line"
[unit.{name}]
title = "{title}"
model = "pre8"
[[cable]]
from = "hall/line {lines}"
to = "{name}/mic {lines}"
[[cable]]
from = "{name}/out 1..8"
to = "conv/in 1..8"
"""


def studio(name: str, title: str = "Preamp", lines: str = "1..8") -> str:
    return STUDIO.format(name=name, title=title, lines=lines)


def compared(before: str, after: str, *, guessing: bool = True) -> Difference:
    sides = opened({"studio.toml": before}), opened({"studio.toml": after})
    return Difference(*sides, guessing=guessing)


def how(difference: Difference) -> list[tuple[str, str, str]]:
    return [(one.before, one.after, one.how) for one in difference.renamed]


def text(difference: Difference) -> str:
    return difference_text(difference, Page(difference.new, 80), Asked("before", "after"))


def test_a_unit_renamed_with_one_cable_less_is_probably_the_same() -> None:
    found = compared(studio("pre-a"), studio("pre-west", lines="1..7"))
    assert how(found) == [("pre-a", "pre-west", "probable")]
    assert "- Probably renamed: pre-a is now called pre-west." in text(found), "titles alike say nothing; ids do"
    assert [pair[:2] for pair in found.states[0].lost] != []
    assert [pair for pair in found.states[0].gained if not pair.idle] == []
    document_ = difference_document(found)
    assert document_["renamed"] == [{"before": "pre-a", "after": "pre-west", "how": "probable"}]


def test_with_guessing_off_it_is_lost_and_gained() -> None:
    found = compared(studio("pre-a"), studio("pre-west", lines="1..7"), guessing=False)
    assert how(found) == []
    told = text(found)
    assert "Probably" not in told
    assert "Gone: Preamp, 16 ports." in told


def test_with_nothing_changed_it_is_proved_and_not_guessed() -> None:
    assert how(compared(studio("pre-a"), studio("pre-west"))) == [("pre-a", "pre-west", "proved")]


def test_too_little_in_common_is_no_guess() -> None:
    assert (
        how(
            compared(
                studio("pre-a"),
                studio("pre-west", lines="1..2")
                .replace('out 1..8"\nto', 'out 1"\nto')
                .replace('in 1..8"\n', 'in 1"\n', 2),
            )
        )
        == []
    )


def test_other_ports_are_no_guess() -> None:
    other = (
        studio("pre-west", lines="1..7")
        .replace('name = "mic 1..8"', 'name = "input 1..8"')
        .replace("/mic 1..7", "/input 1..7")
    )
    other = other.replace('from = "mic 1..8"', 'from = "input 1..8"').replace(
        'name = "out 1..8"', 'name = "output 1..8"'
    )
    other = other.replace('to = "out 1..8"', 'to = "output 1..8"').replace("pre-west/out 1..8", "pre-west/output 1..8")
    assert how(compared(studio("pre-a", lines="1..7"), other)) == []


def test_what_is_declared_stands_before_a_guess() -> None:
    declared = studio("pre-west", lines="1..7").replace('title = "Preamp"', 'title = "Preamp"\nwas = "pre-a"')
    assert how(compared(studio("pre-a"), declared)) == [("pre-a", "pre-west", "declared")]


def test_two_that_are_alike_are_not_told_apart() -> None:
    twice = """
[unit.{0}]
[[unit.{0}.port]]
name = ["in", "spare 1", "spare 2"]
direction = "in"
signal = "line"
[unit.{1}]
[[unit.{1}.port]]
name = ["in", "spare 1", "spare 2"]
direction = "in"
signal = "line"
[[cable]]
from = "conv2/out 1..3"
to = [["{0}/in", "{0}/spare 1", "{0}/spare 2"], ["{1}/in", "{1}/spare 1", "{1}/spare 2"]]
[unit.conv2]
[[unit.conv2.port]]
name = "out 1..3"
direction = "out"
signal = "line"
"""
    found = compared(studio("pre-a") + twice.format("left", "right"), studio("pre-a") + twice.format("one", "two"))
    assert how(found) == []


@pytest.mark.parametrize("seed", range(40))
def test_a_guess_is_the_same_backwards_and_hides_nothing(seed: int) -> None:
    rng = Random(seed)
    before = united(random_studio(seed))
    after = _renamed_and_one_cable_less(before, rng)
    sides = opened({"studio.toml": document(Random(0), before)}), opened({"studio.toml": document(Random(0), after)})
    if sides[1].circuit is None:
        return
    there, back = Difference(*sides), Difference(sides[1], sides[0])
    assert {(one.kind, one.before, one.after, one.how) for one in there.renamed} == {
        (one.kind, one.after, one.before, one.how) for one in back.renamed
    }
    for delta, mirror in zip(there.states, back.states, strict=True):
        assert len(delta.lost) == len(mirror.gained)
        assert delta.empty == mirror.empty
    for one in there.renamed:
        if one.how == PROBABLE and one.kind == "unit":
            assert one.before not in after.get("unit", {})
            assert one.after not in before.get("unit", {})


def _renamed_and_one_cable_less(whole: dict[str, Any], rng: Random) -> dict[str, Any]:
    """One unit under another name everywhere, and one cable gone."""
    name = rng.choice(sorted(whole["unit"]))
    after: dict[str, Any] = _otherwise(whole, f"{name}/", "quite-new/")
    after["unit"]["quite-new"] = after["unit"].pop(name)
    if after.get("cable"):
        after["cable"] = after["cable"][1:]
    return after


def _otherwise(value: Any, old: str, new: str) -> Any:
    if isinstance(value, dict):
        return {key: _otherwise(inner, old, new) for key, inner in value.items()}
    if isinstance(value, list):
        return [_otherwise(inner, old, new) for inner in value]
    return new + value.removeprefix(old) if isinstance(value, str) and value.startswith(old) else value


# -- every kind of thing -------------------------------------------------------------------------------------------------

BAYS = changed(PLAIN, ('bottom = "conv/line 1..8"', 'bottom = ["conv/line 2", "conv/line 1", "conv/line 3..8"]'))


def test_a_bay_called_otherwise_with_two_cables_exchanged() -> None:
    found = compared(PLAIN, BAYS.replace("[bay.south]", "[bay.line]").replace("bay.south.", "bay.line."))
    assert how(found) == [("south", "line", "probable")]
    assert [change.kind for change in found.changes[None]] == ["exchanged"]


def test_ports_called_as_their_neighbours() -> None:
    """Fifteen lines are proved by their cables; the sixteenth lost its own and is called alike."""
    after = PLAIN.replace('"line 1..16"', '"input 1..16"').replace('"conv/line 9..16"', '"conv/input 9..15"')
    after = after.replace("conv/line", "conv/input").replace(
        'at = "9..16"\ntop = "pre-b/out 1..8"', 'at = "9..15"\ntop = "pre-b/out 1..7"'
    )
    found = compared(PLAIN, after)
    assert ("conv/line 16", "conv/input 16", "probable") in how(found)
    assert found.guessed == ["Probably renamed: Converter line 16 is now called input 16."]


def test_a_port_is_known_by_its_insides() -> None:
    """An insert return under another name, with its cable on another jack: the inside behind it is the same."""
    desk = """
[unit.desk]
title = "Desk"
[[unit.desk.port]]
name = "{0}"
direction = "in"
signal = "line"
[[unit.desk.port]]
name = "main"
direction = "out"
signal = "line"
[[unit.desk.inside]]
from = "{0}"
to = "main"
[[cable]]
from = "hall/line {1}"
to = "desk/{0}"
"""
    found = compared(PLAIN + desk.format("return", 9 + 2), PLAIN + desk.format("effects", 9 + 3))
    assert [one for one in how(found) if "desk" in one[0]] == [("desk/return", "desk/effects", "probable")]


CORDS = "\n[setup.{0}]\n" + "".join(
    f'[[setup.{{0}}.cord]]\nfrom = "north/top {number}"\nto = "north/bottom {number - 8}"\n' for number in (9, 10, 11)
)


def test_a_setup_called_otherwise_with_one_cord_more() -> None:
    more = '[[setup.folk.cord]]\nfrom = "north/top 12"\nto = "north/bottom 4"\n'
    found = compared(PLAIN + CORDS.format("radio"), PLAIN + CORDS.format("folk") + more)
    assert how(found) == [("radio", "folk", "probable")]
    assert [(delta.setup, delta.presence) for delta in found.states] == [(None, "both"), ("folk", "both")]
    assert found.changes["folk"], "the cord more is told"


def test_a_guess_that_was_denies_is_none() -> None:
    """The new preamplifier says that it was another one, which is still there."""
    after = studio("pre-west", lines="1..7").replace('title = "Preamp"', 'title = "Preamp"\nwas = "conv"')
    assert how(compared(studio("pre-a"), after)) == []


def test_a_title_alone_decides_nothing() -> None:
    strange = '\n[unit.{0}]\ntitle = "Tape echo"\n[[unit.{0}.port]]\nname = "{1}"\ndirection = "in"\nsignal = "line"\n'
    found = compared(PLAIN + strange.format("echo", "in"), PLAIN + strange.format("echo-2", "audio"))
    assert how(found) == []


def test_a_unit_is_never_taken_for_a_bay() -> None:
    unit = '[unit.box]\n[[unit.box.port]]\nname = ["top 1", "bottom 1"]\ndirection = "either"\nsignal = "line"\n'
    bay = "[bay.panel]\ncolumns = 1\n"
    cable = '[[cable]]\nfrom = "booth/1"\nto = "{}/top 1"\n'
    assert how(compared(PLAIN + unit + cable.format("box"), PLAIN + bay + cable.format("panel"))) == []


@pytest.mark.parametrize("seed", range(30))
def test_one_thing_renamed_and_one_of_its_cables_gone_hides_no_path(seed: int) -> None:
    """The paths that differ under the guess, read by name, are those of both texts compiled by themselves."""
    before = united(random_studio(seed))
    after = _renamed_and_one_cable_less(before, Random(seed))
    sides = opened({"studio.toml": document(Random(0), before)}), opened({"studio.toml": document(Random(0), after)})
    if sides[1].circuit is None:
        return
    found = Difference(*sides)
    assert found.old.circuit is not None
    assert found.new.circuit is not None
    read, name = found.identity.read, found.matched.channel_name
    was, now = found.old.circuit.flow(None).paths(), found.new.circuit.flow(None).paths()
    old, new = {(read(a), read(b), idle) for a, b, idle in was}, {(a, b, idle) for a, b, idle in now}
    delta = found.states[0]
    assert {(name(a), name(b), idle) for a, b, idle in delta.lost} == old - new
    assert {(name(a), name(b), idle) for a, b, idle in delta.gained} == new - old


def test_drawings_take_names_as_the_diff_does() -> None:
    old, new = (circuit(text) for text in (studio("pre-a"), studio("pre-west", lines="1..7")))
    assert renamed(old, new) == {"pre-a": "pre-west"}
    assert renamed(old, new, guessing=False) == {}
    assert renamed(old, circuit(studio("pre-west")), guessing=False) == {"pre-a": "pre-west"}, "that is proved"
