"""The story of places of the example studio, held against every one of its revisions compiled cold and asked by `trace` and `paths`.

Names before a rename are given by hand here: the Plate was called reverb. Revisions are found by what was written about them.
"""

from itertools import pairwise
from pathlib import Path

import pytest

from routecode.circuit.circuit import Circuit
from routecode.files.git import Repository, open_repository
from routecode.files.git.mainline import mainline
from routecode.history.story import APPEARED, CHANGED, Story, story
from routecode.history.story_fails import NEED, PATH
from routecode.history.story_found import Unknown
from routecode.history.story_line import Line
from tests.history.story_truth import cold, commit, line_of, replayed, through
from tests.test_example import HISTORY, SCRIPT, texts_at
from tests.test_example import commits as commit_ids

PLACES = ("hall/line 9", "hall/line 1", "hall/line 11", "turntable/left", "pre-b/out 3", "foley/line 5")
SETUPS = (None, "folk")
RENAMED = {"plate/in": "reverb/in", "plate/out left": "reverb/out left"}
"""As they are called now, and as they were before."""


@pytest.fixture(scope="module")
def texts(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, bytes]]:
    """Every revision, oldest first."""
    dest = tmp_path_factory.mktemp("story") / "millrace"
    HISTORY.build(dest)
    return [texts_at(dest, name) for name in commit_ids(dest)]


@pytest.fixture(scope="module")
def circuits(texts: list[dict[str, bytes]]) -> list[Circuit | None]:
    """Every revision compiled as a whole, newest first."""
    return [cold(one) for one in reversed(texts)]


TITLES = [commit.message for commit in HISTORY.read_history(SCRIPT.parent / "history.toml")]
"""Oldest first."""


def number(start: str) -> int:
    """The number of the one revision whose message begins so; 0 is the newest."""
    (found,) = [index for index, title in enumerate(TITLES) if title.startswith(start)]
    return len(TITLES) - 1 - found


FIRST, LEADS, BACK = (number(start) for start in ("First record", "Turntable leads", "Turntable left and right were"))


def told(line: Line, place: str, setup: str | None = None) -> Story:
    found = story(line, place, setup)
    assert isinstance(found, Story)
    return found


@pytest.mark.parametrize("setup", SETUPS)
def test_the_story_gives_back_what_every_revision_says(
    texts: list[dict[str, bytes]], circuits: list[Circuit | None], setup: str | None
) -> None:
    changes = 0
    for place in PLACES:
        found = told(line_of(texts), place, setup)
        truth = [through(circuit, place, setup) for circuit in circuits]
        assert replayed(found, len(texts), setup) == truth, place
        changes += sum(one != other for one, other in pairwise(truth))
    assert changes > 5


def test_a_renamed_unit_is_followed_through_its_rename(
    texts: list[dict[str, bytes]], circuits: list[Circuit | None]
) -> None:
    for now, before in RENAMED.items():
        truth = [through(circuit, now) or through(circuit, before) for circuit in circuits]
        for asked in (now, before):
            found = told(line_of(texts), asked)
            assert found.place.name == now
            assert replayed(found, len(texts)) == truth
            (renamed,) = [moment for moment in found.moments if moment.was is not None]
            assert (renamed.was and renamed.was.name, renamed.how) == (before, "declared")
            assert renamed.at == number("The reverb is called Plate")
            assert b"[unit.reverb]" in texts[len(texts) - 2 - renamed.at]["units/machine.toml"]
            assert b"[unit.plate]" in texts[len(texts) - 1 - renamed.at]["units/machine.toml"]


def test_every_mark_stands_in_the_text_it_names(texts: list[dict[str, bytes]]) -> None:
    marks = 0
    for place in ("hall/line 9", "turntable/left", "pre-b", "D309", "M231", "north/top 25", "plate"):
        for moment in told(line_of(texts), place, "folk").moments:
            for mark in moment.marks:
                number = moment.at if mark.side == "after" else moment.before
                assert number is not None
                own = texts[len(texts) - 1 - number][mark.spot.file].decode().split("\n")
                assert own[mark.spot.line - 1].strip() == mark.text
                marks += 1
    assert marks > 15


def test_the_exchange_of_the_turntable_is_told_with_its_lines_and_is_no_fault_now(
    texts: list[dict[str, bytes]],
) -> None:
    found = told(line_of(texts), "turntable/left")
    ways = [(moment.at, [each for turned in moment.states for each in turned.lost]) for moment in found.moments]
    assert ways == [
        (BACK, [("turntable/left", "computer/madi in ch 20")]),
        (LEADS, [("turntable/left", "computer/madi in ch 19")]),
        (FIRST, []),
    ]
    assert found.since == (), "the old leads are back in: what the wrong ones reached is not missed"


def test_while_the_leads_were_wrong_it_was_told_since_when(texts: list[dict[str, bytes]]) -> None:
    """The answer as it would have been given on the day before the leads were put back."""
    then = texts[: len(texts) - BACK - 1]
    found = told(line_of(then), "turntable/left")
    (since,) = [one for one in found.since if one.kind == PATH]
    assert since.paths == (("turntable/left", "computer/madi in ch 19"),)
    assert since.instead == (("turntable/left", "computer/madi in ch 20"),)
    assert (since.since, since.until) == (LEADS - BACK - 1, LEADS - BACK)
    assert [mark.text for mark in since.marks] == ['to = ["match/in right", "match/in left"]']


def test_a_renumbered_cable_is_followed_by_what_it_joins(
    texts: list[dict[str, bytes]], circuits: list[Circuit | None]
) -> None:
    found = told(line_of(texts), "D309")
    names = [(moment.at, moment.place.name, moment.was and moment.was.name) for moment in found.moments]
    assert names[:2] == [(number("Fibre of Preamp C"), "D309", "D303"), (number("North bay extended"), "D303", None)]
    assert names[-1] == (FIRST, "D303", None)
    assert replayed(found, len(texts)) == [through(circuit, "pre-c/optical out") for circuit in circuits]


def test_needs_that_fail_are_followed_back(texts: list[dict[str, bytes]]) -> None:
    """The normals of the south bay are taken out; what folk needs of hall line 1 was met until then."""
    last = dict(texts[-1])
    last["bays/south.toml"] = last["bays/south.toml"].replace(b'normal = "half"', b'normal = "none"')
    broken = {**last, "cables.toml": last["cables.toml"] + b"\n[\n"}
    found = told(line_of([*texts, broken, broken, last]), "hall/line 1", "folk")
    needs = [one for one in found.since if one.kind == NEED]
    assert {(one.since, one.until, one.unsure) for one in found.since} == {(0, 3, 2)}
    assert {one.need.steps[-1] for one in needs if one.need} == {"computer/madi in ch 1", "safety/aes in 1 ch 1"}
    assert all(mark.text == 'normal = "none"' for one in found.since for mark in one.marks)
    assert [(moment.at, moment.until) for moment in found.moments if moment.mistake is not None] == [(1, 2)]


def test_the_mainline_of_the_example_is_all_of_it(tmp_path: Path) -> None:
    HISTORY.build(tmp_path / "mill")
    repository = open_repository(tmp_path / "mill")
    assert isinstance(repository, Repository)
    head = repository.head()
    assert head is not None
    assert [one.id for one in mainline(repository.top, head.id, "")] == commit_ids(tmp_path / "mill")[::-1]


def test_a_place_that_never_was(texts: list[dict[str, bytes]]) -> None:
    found = story(line_of(texts), "hall/line 99")
    assert isinstance(found, Unknown)
    assert found.plant is not None
    assert {"plate", "D309"} <= found.names


def test_nothing_compiles() -> None:
    assert story(line_of([{"studio.toml": b"["}]), "x/y") == Unknown(frozenset(), None)


def test_the_first_record_is_where_it_begins(texts: list[dict[str, bytes]]) -> None:
    found = told(line_of(texts[:1]), "hall/line 1")
    (moment,) = found.moments
    assert (moment.kind, moment.before) == (APPEARED, None)
    assert commit(moment.at).title == "Change 0"
    assert CHANGED not in {one.kind for one in found.moments}
