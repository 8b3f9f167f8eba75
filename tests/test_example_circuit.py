"""What each commit of the example means: the paths its message promises, gained or lost there and nowhere else.

The expectations are written from the commit messages and the meaning page, by hand.
"""

import importlib.util
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from routecode.circuit.circuit import Circuit, compile_studio
from routecode.circuit.needs import NeedJudge
from routecode.files.tree import Files
from routecode.ground.finding import Severity
from routecode.language.decode import decode
from routecode.studio.opened import Opened

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"


def load_script() -> Any:
    """The script as a module; `examples` is no package."""
    spec = importlib.util.spec_from_file_location("build_history", EXAMPLES / "build_history.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


SCRIPT = load_script()
COMMITS = SCRIPT.read_history(EXAMPLES / "history.toml")
STATES = SCRIPT.states(COMMITS, SCRIPT.read_studio(EXAMPLES / "millrace"))
LAST = len(COMMITS) - 1


def number(words: str) -> int:
    """Which commit has these words in its message."""
    (found,) = [place for place, commit in enumerate(COMMITS) if words in commit.message]
    return found


@cache
def circuit(commit: int) -> Circuit:
    studio, mistakes = decode([(name, tomllib.loads(text)) for name, text in sorted(STATES[commit].items())])
    assert not mistakes
    assert studio is not None
    compiled, problems = compile_studio(studio)
    assert not problems
    assert compiled is not None
    return compiled


@cache
def paths(commit: int, setup: str | None = None) -> frozenset[tuple[str, str]]:
    """Source and destination of every path that is not idle."""
    return frozenset((path.source, path.target) for path in circuit(commit).flow(setup).paths() if not path.idle)


def change(words: str, setup: str | None = None) -> tuple[set[tuple[str, str]], set[tuple[str, str]]]:
    """Paths that a commit gained and lost."""
    at = number(words)
    before, after = paths(at - 1, setup), paths(at, setup)
    return set(after - before), set(before - after)


@pytest.mark.parametrize("commit", range(len(COMMITS)), ids=[commit.message for commit in COMMITS])
def test_every_commit_compiles_in_every_state(commit: int) -> None:
    for setup in circuit(commit).state_names:
        assert paths(commit, setup)


@pytest.mark.parametrize("commit", range(len(COMMITS)), ids=[commit.message for commit in COMMITS])
def test_needs_fail_only_while_compressor_b_is_away(commit: int) -> None:
    compiled = circuit(commit)
    failed = {
        (setup, need.names[0], need.names[-1])
        for setup in compiled.setups
        for need in compiled.plant.setups[setup].needs
        if not NeedJudge(compiled.state(setup), compiled.flow(setup)).judge(need).met
    }
    mix = ("folk", "computer/madi out ch 5")
    away = {(*mix, "conv/line 21"), (*mix, "two-track/in left")}
    assert failed == (away if commit == number("to the workshop") else set())


def test_everyday_work_needs_no_cords() -> None:
    wanted = {(f"hall/line {line}", f"computer/madi in ch {line}") for line in range(1, 17)}
    wanted |= {
        (f"booth/line {line}", f"computer/madi in ch {track}")
        for line, track in zip((1, 2, 3, 4), (17, 18, 25, 26), strict=True)
    }
    wanted |= {(f"foley/line {line}", f"computer/madi in ch {26 + line}") for line in range(1, 7)}
    wanted |= {("turntable/left", "computer/madi in ch 19"), ("turntable/right", "computer/madi in ch 20")}
    assert wanted <= paths(LAST)


@pytest.mark.parametrize(
    "words",
    ["Comments:", "needs the turntable", "renumbered D309", "soldered the right way", "talkback to the booth"],
)
def test_words_numbers_and_needs_change_no_path(words: str) -> None:
    assert change(words) == (set(), set())


def test_the_preamp_brings_eight_hall_lines_to_the_computer() -> None:
    gained, lost = change("Preamp B bought")
    assert {pair for pair in gained if pair[1].startswith("computer/")} == {
        (f"hall/line {line}", f"computer/madi in ch {line}") for line in range(9, 17)
    }
    assert not lost


def test_the_favourite_chain_passes_the_compressor_without_a_cord() -> None:
    at = number("by normal")
    assert change("by normal") == (set(), set())
    fed_before, fed_now = ({(feed.source, feed.target) for feed in circuit(commit).feeds()} for commit in (at - 1, at))
    assert fed_before - fed_now == {("voice-a/out", "conv/line 17"), ("voice-b/out", "conv/line 18")}
    assert {("voice-a/out", "comp-a/in 1"), ("comp-a/out 1", "conv/line 17")} <= fed_now - fed_before


def test_the_mistake_exchanges_the_turntable_and_the_rollback_puts_it_right() -> None:
    crossed = {("turntable/left", "computer/madi in ch 20"), ("turntable/right", "computer/madi in ch 19")}
    straight = {("turntable/left", "computer/madi in ch 19"), ("turntable/right", "computer/madi in ch 20")}
    assert change("leads made anew") == (crossed, straight)
    assert change("exchanged since") == (straight, crossed)


def test_the_reversed_line_shows_as_reversed_while_it_is() -> None:
    for commit in (number("is reversed at the box"), number("soldered the right way")):
        said = {feed.source for feed in circuit(commit).feeds() if feed.polarity != "kept"}
        assert said == ({"hall/line 11"} if commit == number("is reversed at the box") else set())


def test_the_longer_bay_brings_two_foley_lines() -> None:
    gained, lost = change("extended to 32")
    assert {source for source, _ in gained} == {"foley/line 5", "foley/line 6"}
    assert not lost


def test_the_rename_changes_the_name_and_no_feed() -> None:
    at = number("called Plate")
    for setup in circuit(at).state_names:
        before, after = (circuit(commit).feeds(setup) for commit in (at - 1, at))
        assert any(feed.source.startswith("reverb/") for feed in before)
        renamed = {
            (feed.source.replace("reverb/", "plate/"), feed.target.replace("reverb/", "plate/")) for feed in before
        }
        assert renamed == {(feed.source, feed.target) for feed in after}


def test_the_splitter_leaves_the_first_eight_lines_where_they_were() -> None:
    gained, lost = change("Stage box and splitter")
    assert not lost
    assert {pair for pair in gained if pair[0].startswith("hall/")} == {
        (f"hall/line {line}", f"stage/mic {line}") for line in range(1, 9)
    }
    assert {(f"hall/line {line}", f"computer/net ch {line}") for line in range(1, 9)} <= paths(LAST, "folk")


def test_aux_3_closes_a_loop_through_faders_since_the_plate_is_on_channels() -> None:
    first = number("comes back on desk channels")
    for commit in range(len(COMMITS)):
        loops = circuit(commit).flow().feedback()
        assert [loop.controlled for loop in loops] == ([True] if commit >= first else [])


def told(commit: int) -> set[tuple[str, str | None]]:
    """Rule and setup of every finding above a note that is not accepted."""
    texts = {name: text.encode() for name, text in sorted(STATES[commit].items())}
    report = Opened(Files("", texts, ()), "worktree").report
    return {(finding.rule, finding.setup) for finding in report.findings if finding.severity is not Severity.NOTE}


@pytest.mark.parametrize("commit", range(len(COMMITS)), ids=[commit.message for commit in COMMITS])
def test_check_tells_what_the_messages_tell_and_no_more(commit: int) -> None:
    expected: set[tuple[str, str | None]] = set()
    if commit < number("renumbered D309"):
        expected.add(("cable-number-twice", None))
    if number("leads made anew") <= commit < number("exchanged since"):
        expected.add(("left-right-exchanged", None))
    if commit == number("is reversed at the box"):
        expected.add(("polarity-reversed", None))
    if commit == number("to the workshop"):
        expected.add(("need-unmet", "folk"))
    if commit < number("comes back on desk channels"):
        expected.add(("headroom-low", None))  # the tape echo, driven hard; accepted with the others
    if commit == number("phantom power on all eight"):
        expected.add(("phantom-harms", "folk"))
    assert told(commit) == expected


def test_all_acceptances_are_used() -> None:
    texts = {name: text.encode() for name, text in sorted(STATES[LAST].items())}
    report = Opened(Files("", texts, ()), "worktree").report
    assert {accept.rule for _, accept in report.accepted} == {"feedback-controlled", "cord-behind-rack", "headroom-low"}
    assert not [finding for finding in report.findings if finding.rule.startswith("accept-")]
