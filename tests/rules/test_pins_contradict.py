"""Maps of pins against the other keys of the same cable: what contradicts, and what does not."""

import pytest

from tests.rules.studios import judged

STUDIO = """
[unit.desk]
rack = "left"
[[unit.desk.port]]
name = "out"
direction = "out"
signal = "line"
connector = "{one}"
{more}
[unit.rec]
rack = "left"
[[unit.rec.port]]
name = "in"
direction = "in"
signal = "line"
connector = "{other}"
[[cable]]
from = "desk/out"
to = "rec/in"
{keys}
"""


def said(one: str, other: str, keys: str, more: str = "") -> list[str]:
    """The sentences of the rule, after the names of the ends."""
    report = judged(STUDIO.format(one=one, other=other, keys=keys, more=more))
    found = [finding for finding in report.findings if finding.rule == "pins-contradict"]
    assert all(finding.place is not None and finding.place.path[-1] == "pins" for finding in found)
    return [finding.text.partition("rec in ")[2] for finding in found]


EXCHANGED = "exchanges hot and cold against `polarity`."


@pytest.mark.parametrize(
    ("one", "other", "keys", "expected"),
    [
        # pin 2 hot, 3 cold, 1 shield; tip hot, ring cold (check values C1, C4); sleeve the return of a ts (C7)
        ("xlr-m", "xlr-f", 'pins = ["hot 2 2", "cold 3 3", "shield 1 1"]', []),
        ("xlr-m", "xlr-f", 'pins = ["hot 2 3", "cold 3 2", "shield 1 1"]', [EXCHANGED]),
        ("xlr-m", "trs", 'pins = ["hot 2 ring", "cold 3 tip", "shield 1 sleeve"]', [EXCHANGED]),
        ("xlr-m", "xlr-f", 'polarity = "reversed"\npins = ["hot 2 3", "cold 3 2", "shield 1 1"]', []),
        (
            "xlr-m",
            "xlr-f",
            'polarity = "reversed"\npins = ["hot 2 2", "cold 3 3", "shield 1 1"]',
            ["leads hot to hot against `polarity`."],
        ),
        ("xlr-m", "trs", 'pins = ["hot 2 tip", "cold 3 -", "shield 1 sleeve"]', ["leaves out a leg."]),
        ("xlr-m", "trs", 'pins = ["hot 2 tip"]', ["leaves out a leg and leaves the shield open at both ends."]),
        ("xlr-m", "xlr-f", 'pins = ["hot 2 2", "cold 3 3", "shield 1 -"]', []),
        (
            "xlr-m",
            "xlr-f",
            'shield = "to"\npins = ["hot 2 2", "cold 3 3", "shield 1 -"]',
            ["connects the shield otherwise than `shield` says."],
        ),
        ("xlr-m", "xlr-f", 'shield = "from"\npins = ["hot 2 2", "cold 3 3", "shield 1 -"]', []),
        ("xlr-m", "ts", 'pins = ["hot 2 tip", "cold 3 -", "shield 1 sleeve"]', []),
        ("xlr-m", "ts", 'cold = "open"\npins = ["hot 2 tip", "cold 3 -", "shield 1 sleeve"]', []),
        (
            "xlr-m",
            "ts",
            'cold = "open"\npins = ["hot 2 tip", "cold 3 sleeve", "shield 1 sleeve"]',
            ["makes the cold leg otherwise than `cold` says."],
        ),
        (
            "xlr-m",
            "ts",
            'cold = "shield-at-to"\npins = ["hot 2 tip", "cold 3 -", "shield 1 sleeve"]',
            ["makes the cold leg otherwise than `cold` says."],
        ),
        ("ts", "xlr-f", 'cold = "shield-at-from"\npins = ["hot tip 2", "cold sleeve 3", "shield sleeve 1"]', []),
        ("house-plug", "xlr-f", 'pins = ["hot x 3", "cold y -"]', []),  # not published: whatever is written
    ],
)
def test_what_contradicts(one: str, other: str, keys: str, expected: list[str]) -> None:
    assert said(one, other, keys) == expected


def test_a_port_that_says_it_is_unbalanced_needs_no_cold_leg() -> None:
    assert said("xlr-m", "xlr-f", 'pins = ["hot 2 2", "cold - 3", "shield 1 1"]', "balanced = false") == []


def test_the_cables_of_one_statement_are_one_finding() -> None:
    text = STUDIO.format(one="xlr-m", other="xlr-f", keys='pins = ["hot 2 3", "cold 3 2", "shield 1 1"]', more="")
    text = text.replace('"out"\ndirection', '"out 1..3"\ndirection').replace('"in"\ndirection', '"in 1..3"\ndirection')
    text = text.replace('"desk/out"', '"desk/out 1..3"').replace('"rec/in"', '"rec/in 1..3"')
    (finding,) = [finding for finding in judged(text).findings if finding.rule == "pins-contradict"]
    assert len(finding.at) == 6
    assert "(and 2 more)" in finding.text
