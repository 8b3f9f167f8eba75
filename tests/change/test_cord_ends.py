"""Where a way stops at a cord or a mult that is still there: what is said of it is so, and stands where its end was edited."""

import pytest

from routecode.change.difference import Difference
from routecode.change.matched import AFTER
from routecode.show.difference_sections import places
from tests.change.wiring import PLAIN, changed, sentences
from tests.show.studios import opened

BARE = changed(PLAIN, ('at = "9..16"\n', 'at = "9..16"\nnormal = "none"\n'))
SETUP = '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n[setup.folk]\n[[setup.folk.cord]]\nfrom = {}\nto = {}\n'
"""A microphone of the booth patched to a line of the converter, or to where nothing is."""


def patched(start: str, *stops: str) -> str:
    to = f'"{stops[0]}"' if len(stops) == 1 else str(list(stops))
    return BARE + SETUP.format(f'"{start}"', to)


ONE = patched("south/top 9", "south/bottom 16")
LEGS = patched("south/top 9", "south/bottom 16", "north/top 13")
NO_CORD = BARE + SETUP.partition("[setup.folk]")[0] + "[setup.folk]\n"


@pytest.mark.parametrize(
    ("before", "after", "why"),
    [
        (ONE, patched("south/top 9", "north/top 13"), "South bay top 9: its cord goes to North bay top 13 now."),
        (ONE, patched("north/top 13", "south/bottom 16"), "South bay top 9: the cord there is gone."),
        (ONE, NO_CORD, "South bay top 9: the cord there is gone."),
        (
            LEGS,
            patched("south/top 9", "north/top 13"),
            "South bay top 9: its cord no longer goes to South bay bottom 16.",
        ),
    ],
)
def test_a_cord_that_is_there_is_not_called_gone(before: str, after: str, why: str) -> None:
    told = [text for text in sentences(before, after, "folk") if "no longer" in text]
    assert [text.partition("stops at ")[2] for text in told if text.startswith("lost")] == [why]


MULT = changed(PLAIN, ("[bay.south]", '[[bay.north.mult]]\nat = "top 13..15"\n\n[bay.south]'))
MULT += '\n[[cable]]\nfrom = "booth/1"\nto = "north/top 13"\n[[cable]]\nfrom = "north/top 15"\nto = "pre-b/mic 1"\n'


def test_a_mult_that_is_there_is_not_called_gone() -> None:
    shorter = changed(MULT, ("top 13..15", "top 13..14"))
    told = [text.partition("stops at ")[2] for text in sentences(MULT, shorter)]
    assert "North bay top 13: its mult joins other jacks now." in told
    gone = MULT.replace('[[bay.north.mult]]\nat = "top 13..15"', "")
    told = [text.partition("stops at ")[2] for text in sentences(MULT, gone)]
    assert "North bay top 13: the mult there is gone." in told


@pytest.mark.parametrize("key", ["from", "to"])
def test_a_cord_stands_where_its_end_was_edited(key: str) -> None:
    before, after = ONE, changed(ONE, ('to = "south/bottom 16"', 'to = "north/top 13"'))
    if key == "from":
        after = changed(ONE, ('from = "south/top 9"', 'from = "north/top 13"'))
    line = next(at for at, text in enumerate(after.splitlines(), 1) if "north/top 13" in text)
    for old, new in ((before, after), (after, before)):
        difference = Difference(opened({"studio.toml": old}), opened({"studio.toml": new}))
        found = [place for change in difference.changes["folk"] for place in places(change, difference)]
        assert {(side, spot.line) for side, spot in found} == {(AFTER, line)}
