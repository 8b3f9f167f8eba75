"""`check`, `paths`, `trace` and `rules`: exit statuses, revisions, JSON by its schema, text at 80 columns, hostile names."""

import json
from pathlib import Path
from typing import Any

import fastjsonschema
import pytest

from routecode.hands.tests_rules import RESULT_RULES
from routecode.rules.registry import ACCEPT_RULES, RULES
from routecode.show.measure import width
from tests.cli.asking import MILLRACE, ROOT, ask, change, git, run, small

TIED = '[[cable]]\nfrom = "comp/out"\nto = "near/in 1"\n'
"""The compressor onto the wire that the recorder drives: two outputs on one wire."""


SPARE = """
[unit.spare]
room = "live"
[[unit.spare.port]]
name = "in 1..8"
direction = "in"
signal = "line"
"""


def valid(text: str) -> dict[str, Any]:
    """A document that is valid by the committed schema of its kind."""
    document: dict[str, Any] = json.loads(text)
    name = document["schema"].split("/")[1]
    schema = json.loads((ROOT / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8"))
    fastjsonschema.compile(schema)(document)
    return document


def narrow(text: str) -> bool:
    return all(width(line) <= 80 for line in text.splitlines())


@pytest.mark.parametrize(("tolerate", "status"), [("error", 0), ("hazard", 1), ("warning", 1), ("note", 1)])
def test_errors_and_hazards_fail_unless_they_are_tolerated(machine: Path, tolerate: str, status: int) -> None:
    small(machine, tied=TIED)
    ran = ask("check", "--tolerate", tolerate)
    assert ran.status == status
    assert "outputs-tied" in ran.out
    assert narrow(ran.out)
    document = valid(ask("check", "--tolerate", tolerate, "--json").out)
    assert (document["ok"], document["fine"]) == (True, status == 0)
    assert "outputs-tied" in {each["rule"] for each in document["findings"]}


def test_a_finding_shows_sentence_place_line_mark_why_and_do(machine: Path) -> None:
    small(machine, tied=TIED)
    block = next(part for part in ask("check").out.split("\n\n") if "(outputs-tied)" in part).splitlines()
    assert block[0].startswith("error    ")
    assert any(line.strip().startswith("tied.toml:") and "(outputs-tied)" in line for line in block)
    assert any(set(line.strip()) == {"="} for line in block)
    assert any(line.startswith("  Why:   ") for line in block)
    assert any(line.startswith("  Do:    ") for line in block)


def test_the_summary_counts(machine: Path) -> None:
    small(machine, tied=TIED)
    """Counted by hand: compressor 2, box 8, loudspeakers 2, preamp 16, recorder 10; 8 + 2 + 2 x 8 + 2 cables, and one more."""
    out = ask("check").out
    assert "5 units, 1 bay, 38 channels, 29 cables, 1 setup." in " ".join(out.split())
    document = valid(ask("check", "--json").out)
    assert document["counts"] == {"units": 5, "bays": 1, "channels": 38, "cables": 29, "setups": 1}


def test_what_is_accepted_is_counted_and_listed(machine: Path) -> None:
    found = {"tied": TIED}
    small(machine, **found)
    at = next(each["at"] for each in valid(ask("check", "--json").out)["findings"] if each["rule"] == "outputs-tied")
    accept = f'[[accept]]\nrule = "outputs-tied"\nat = {json.dumps(at)}\nbecause = "Only one is ever on."\n'
    small(machine, accepted=accept, **found)
    assert "1 accepted" in ask("check").out
    accepted = valid(ask("check", "--json").out)["accepted"]
    assert [(each["rule"], each["because"]) for each in accepted] == [("outputs-tied", "Only one is ever on.")]


def test_notes_are_a_line_each_and_in_full_when_asked_for(machine: Path) -> None:
    small(machine, spare=SPARE)
    notes = [each for each in valid(ask("check", "--json").out)["findings"] if each["severity"] == "note"]
    assert notes
    short, full = ask("check"), ask("check", "--notes")
    assert short.status == full.status == 0
    assert "routecode check --notes" in short.out
    assert "Why:" not in short.out
    assert full.out.count("Why:") >= len(notes)


def test_files_are_named_so_that_they_open_from_here(machine: Path) -> None:
    small(machine / "mill", tied=TIED)
    assert "mill/tied.toml:" in ask("check", "--in", "mill").out
    (machine / "mill" / "bays").mkdir(exist_ok=True)
    assert "tied.toml:" in ask("check", "--in", "mill/bays").out


@pytest.mark.parametrize("revision", ["last", "HEAD", "1", "2026-03-01", "first-take", "main"])
def test_revisions_may_be_numbers_dates_tags_names_or_last(machine: Path, revision: str) -> None:
    assert ask("new", "mill").status == 0
    git(machine / "mill", "tag", "first-take")
    git(machine / "mill", "branch", "-m", "main")
    change(machine / "mill" / "cables.toml", "metres = 12", "metres = 13")
    head = git(machine / "mill", "rev-parse", "HEAD")
    for command in (["check"], ["paths"], ["trace", "pre/mic 1"]):
        ran = ask(*command, "--in", "mill", "--at", revision, "--json")
        assert ran.status == 0, ran.err
        assert valid(ran.out)["revision"] == head
    said = " ".join(ask("check", "--in", "mill", "--at", revision).out.split())
    assert f'({head[:10]}, "Start the studio mill", 2026-03-01)' in said


@pytest.mark.parametrize("revision", ["lasst", "99", "2020-01-01", "2026-13-01", "--all", "a..b", "", "\x1b[2J"])
def test_a_revision_that_is_none_is_told_with_the_way_out(machine: Path, revision: str) -> None:
    assert ask("new", "mill").status == 0
    ran = ask("check", "--in", "mill", f"--at={revision}")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("error    ")
    assert "\x1b" not in ran.err
    assert valid(ask("check", "--in", "mill", f"--at={revision}", "--json").out)["ok"] is False


def test_paths_are_folded_in_text_and_complete_in_json(machine: Path) -> None:
    small(machine)
    ran = ask("paths")
    assert "Live room box lines 1-8 reach Recorder lines 1-8, through Preamp.\n" in ran.out
    document = valid(ask("paths", "--json").out)
    assert document["count"] == len(document["paths"]) == 10
    assert document["revision"] == "worktree"
    voice = valid(ask("paths", "--setup", "voice", "--json").out)
    assert voice["setup"] == "voice"
    limited = valid(ask("paths", "--limit", "3", "--json").out)
    assert (limited["paths"], limited["count"]) == (None, 10)
    assert "routecode trace PLACE" in ask("paths", "--limit", "3").out


def test_a_setup_that_is_none(machine: Path) -> None:
    small(machine)
    for command in (["paths"], ["trace", "pre/mic 1"]):
        ran = ask(*command, "--setup", "vioce")
        assert ran.status == 2
        assert "Did you mean `voice`?" in ran.err


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("pre/mic1", 'Did you mean "pre/mic 1"?'),
        ("prre/mic 1", 'Did you mean "pre/mic 1"?'),
        ("preamp/mic 2", 'Did you mean "pre/mic 2"?'),
        ("pre", 'Did you mean "pre/mic 1"?'),
        ("Main bay/top 3", 'Did you mean "main/top 3"?'),
        ("main/3", '"main/top 1"'),
        ("Preamp", 'Did you mean "pre/mic 1"?'),
        ("\x1b]0;x\x07", 'Write "unit/port"'),
        ("pre/zzzzz", "Its ports: mic 1, mic 2"),
    ],
)
def test_a_place_that_is_none(machine: Path, place: str, said: str) -> None:
    small(machine)
    ran = ask("trace", "--", place)
    assert (ran.status, ran.out) == (2, "")
    assert said in " ".join(ran.err.split())
    assert "\x1b" not in ran.err


@pytest.mark.parametrize(
    ("place", "kind"), [("pre/mic 1", "port"), ("main/top 1", "jack"), ("conv/aes out 1 ch 2", "channel")]
)
def test_trace_of_each_kind_of_place(place: str, kind: str) -> None:
    folder = str(MILLRACE)
    if place.startswith(("pre/", "main/")):
        place = place.replace("pre/", "pre-a/").replace("main/", "south/")
    document = valid(ask("trace", place, "--in", folder, "--json").out)
    assert document["kind"] == kind
    assert narrow(ask("trace", place, "--in", folder).out)


def test_the_example_in_every_setup() -> None:
    folder = str(MILLRACE)
    assert ask("check", "--in", folder).status == 0
    valid(ask("check", "--in", folder, "--json").out)
    for setup in (None, "drama", "folk", "foley"):
        arguments = ["paths", "--in", folder, *(["--setup", setup] if setup else [])]
        assert narrow(ask(*arguments).out)
        assert valid(ask(*arguments, "--json").out)["setup"] == setup


def test_rules_are_listed_and_printed() -> None:
    ids = [each.id for each in RULES] + [each.id for each in ACCEPT_RULES] + [each.id for each in RESULT_RULES]
    listed = ask("rules")
    assert listed.status == 0
    assert narrow(listed.out)
    assert [each["id"] for each in valid(ask("rules", "--json").out)["rules"]] == sorted(ids)
    for rule in ids:
        assert f"  {rule} " in listed.out
        page = ask("rules", rule)
        assert page.out.startswith(f"{rule}: ")
        assert ("Bad:" if rule not in {each.id for each in RESULT_RULES} else "What to do:") in page.out
    near = ask("rules", "output-tied")
    assert near.status == 2
    assert "outputs-tied" in near.err


@pytest.mark.parametrize(("option", "page"), [("--language", "language.md"), ("--meaning", "meaning.md")])
def test_pages_are_printed_as_they_are(option: str, page: str) -> None:
    assert ask("rules", option).out == (ROOT / "routecode" / "pages" / page).read_text(encoding="utf-8")


def test_no_title_of_a_studio_becomes_a_control_sequence(machine: Path) -> None:
    small(machine)
    for file, was, now in (
        ("studio.toml", 'title = "Small"', 'title = "Sm\u202eall"'),
        ("equipment.toml", 'title = "Live room box"', 'title = "Box \u2066x"'),
    ):
        change(machine / file, was, now)
    for command in (["check"], ["check", "--notes"], ["paths"], ["trace", "pre/mic 1"]):
        for more in ([], ["--json"]):
            ran = ask(*command, *more)
            assert not set("\x1b\x9b\u202e\u2066") & set(ran.out + ran.err)


def test_a_process_of_its_own_gives_the_same(machine: Path) -> None:
    small(machine, tied=TIED)
    for arguments in (["check"], ["check", "--json"], ["paths"], ["chek"]):
        assert run(*arguments) == ask(*arguments)
