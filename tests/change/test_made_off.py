"""What is soldered otherwise without joining other ends: it is listed, and nobody is told that only text differs."""

import pytest

from routecode.change.difference import TEXT_ONLY, Difference
from routecode.history.counting import count
from routecode.show.difference_sections import result_text
from tests.show.studios import opened

STUDIO = """
[studio]
title = "Small"
language = 1
[unit.mic]
port = [{ name = "out", direction = "out", signal = "mic", balanced = true, connector = "xlr", phantom = "PHANTOM" }]
[unit.pre]
port = [{ name = "in", direction = "in", signal = "mic", connector = "xlr", phantom = "supply" }]
phantom_on = "in"
[[cable]]
number = "L1"
from = "mic/out"
to = "pre/in"
metres = 3
"""
HARMLESS, HARMED = STUDIO.replace("PHANTOM", "safe"), STUDIO.replace("PHANTOM", "harmed")
ONLY_TEXT = "Only text differs: wiring, paths and what is behind the jacks are the same."


def compared(before: str, after: str) -> Difference:
    return Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('cold = "open"', "(the cold leg is made off otherwise)"),
        ('shield = "from"', "(the shield is connected otherwise)"),
        ('pins = ["hot 2 3", "cold 3 2", "shield 1 1"]', "(the pins are others)"),
    ],
)
def test_a_cable_made_off_otherwise_is_listed_and_not_called_text(line: str, told: str) -> None:
    plain = HARMLESS.replace('phantom_on = "in"\n', "")
    found = compared(plain, plain + line + "\n")
    assert found.result == TEXT_ONLY
    assert [told in each.text for each in found.cables] == [True]
    assert result_text(found).startswith("Everything is joined as before; how cables are made off differs. 1 of 1 path")
    entry = count(found.old, found.new)
    assert not entry["only_text"]
    assert told in " ".join(entry["said"])


def test_a_hazard_that_only_a_figure_brings_is_not_called_text() -> None:
    found = compared(HARMLESS, HARMED)
    assert found.findings_new
    assert result_text(found).startswith(
        "Everything is joined as before, and paths are the same; what is found differs."
    )


@pytest.mark.parametrize(("was", "now"), [("metres = 3", "metres = 4"), ("[unit.mic]", '[unit.mic]\ntitle = "Voice"')])
def test_lengths_and_titles_are_text(was: str, now: str) -> None:
    found = compared(HARMLESS, HARMLESS.replace(was, now))
    assert result_text(found).startswith(ONLY_TEXT)
