"""The command line: what loads, how a run ends, and how a request that cannot be read is answered."""

import json
import os
import re
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from routecode import __version__
from routecode.cli.main import COMMANDS, main
from tests.cli.asking import ROOT, ask, run, small

CLI = ROOT / "routecode" / "cli"


def test_help_lists_every_command_with_its_line() -> None:
    ran = ask("--help")
    assert ran.status == 0
    for name, line in COMMANDS.items():
        assert re.search(rf"^  {name} +{re.escape(line)}$", ran.out, re.MULTILINE)


def test_without_a_command_the_help_is_shown() -> None:
    assert ask().out == ask("--help").out


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_a_module_and_the_same_line_of_help(name: str) -> None:
    command = import_module(f"routecode.cli.{name.replace('-', '_')}").command
    assert isinstance(command, click.Command)
    assert command.name == name
    assert command.callback is not None
    first = (command.help or "").partition("\n")[0]
    assert first.partition(".")[0].split()[0] == COMMANDS[name].split()[0]
    ran = ask(name, "--help")
    assert ran.status == 0
    assert all(len(line) <= 80 for line in ran.out.splitlines())


def test_no_command_is_forgotten() -> None:
    found = {
        path.stem.replace("_", "-") for path in CLI.glob("*.py") if "\ndef command(" in path.read_text(encoding="utf-8")
    }
    assert found == set(COMMANDS)


@pytest.mark.parametrize("option", ["--version", "--help"])
def test_version_and_help_load_nothing_but_click(option: str) -> None:
    code = (
        "import os, sys; sys.argv = ['routecode', sys.argv[1]]; out = sys.stderr\n"
        "ends = os._exit\n"
        "def end(status):\n"
        "    names = {name.partition('.')[0] for name in sys.modules} | {n for n in sys.modules if n.startswith('routecode')}\n"
        "    print(sorted(names & {'attrs', 'attr', 'git', 'networkx', 'graphviz', 'rtoml'} |"
        " {n for n in names if n.startswith('routecode.')}), file=out); out.flush(); ends(status)\n"
        "os._exit = end\n"
        "from routecode.cli.main import run; run()"
    )
    done = subprocess.run([sys.executable, "-c", code, option], cwd=ROOT, capture_output=True, check=True, text=True)
    assert done.stderr.strip() == "['routecode.cli', 'routecode.cli.main']"


def test_version() -> None:
    assert run("--version") == (0, f"routecode {__version__}\n", "")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["chek"], "Did you mean: routecode check"),
        (["frobnicate"], "There are: new, record, check"),
        (["check", "--toletate", "note"], "Did you mean --tolerate?"),
        (["check", "--tolerate", "bad"], "takes one of: error, hazard, warning, note."),
        (["trace"], "Missing argument"),
        (["paths", "--limit", "-1"], "routecode paths --help"),
        (["check", "--in", "nowhere"], "There is no studio.toml"),
    ],
)
def test_a_request_that_cannot_be_read_ends_with_2(arguments: list[str], said: str) -> None:
    ran = ask(*arguments)
    assert (ran.status, ran.out) == (2, "")
    assert said in " ".join(ran.err.split())
    assert "Usage:" not in ran.err


@pytest.mark.parametrize(
    "arguments", [["chek"], ["check", "--nots"], ["check", "--in", "nowhere"], ["trace"], ["paths", "--setup", "x"]]
)
def test_with_json_it_is_one_document_on_stdout(arguments: list[str]) -> None:
    ran = ask(*arguments, "--json")
    assert (ran.status, ran.err) == (2, "")
    document = json.loads(ran.out)
    name = arguments[0] if arguments[0] in COMMANDS else "errors"
    assert (document["schema"], document["ok"]) == (f"routecode/{name}/1", False)
    assert document["errors"]


def test_the_test_runner_of_click_sees_the_same(machine: Path) -> None:
    small(machine)
    for arguments in (["check"], ["check", "--tolerate", "error"], ["chek"], ["paths", "--setup", "none"], ["rules"]):
        result = CliRunner().invoke(main, arguments)
        assert result.exit_code == ask(*arguments).status


def planted(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    def fails(**_: object) -> None:
        raise error

    monkeypatch.setattr(import_module("routecode.cli.rules").command, "callback", fails)


def test_a_fault_of_ours_is_owned_up_to_without_a_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    planted(monkeypatch, RuntimeError("the \x1b[31msky fell"))
    ran = ask("rules")
    assert (ran.status, ran.out) == (3, "")
    assert "This is a fault of routecode" in ran.err
    assert "report" in ran.err
    assert "Traceback" not in ran.err
    assert "\x1b" not in ran.err
    told = ask("rules", "--json")
    assert (told.status, json.loads(told.out)["errors"][0]["id"]) == (3, "fault")
    monkeypatch.setenv("ROUTECODE_DEBUG", "1")
    assert "Traceback" in ask("rules").err


@pytest.mark.parametrize("error", [KeyboardInterrupt(), click.Abort()])
def test_interrupted(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    planted(monkeypatch, error)
    ran = ask("rules")
    assert (ran.status, ran.out, ran.err.strip()) == (130, "", "")


def test_a_reader_that_stops_reading_is_no_fault(machine: Path) -> None:
    small(machine)
    for arguments in (["paths", "--json"], ["rules", "--language"], ["--help"]):
        reader, writer = os.pipe()
        os.close(reader)
        done = subprocess.run(
            [sys.executable, "-m", "routecode", *arguments],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=writer,
            stderr=subprocess.PIPE,
            check=False,
        )
        os.close(writer)
        assert (done.returncode, done.stderr) == (0, b"")


def test_colour_only_on_a_terminal_that_wants_it() -> None:
    pty = pytest.importorskip("pty")
    for environment, expected in (
        ({"NO_COLOR": ""}, True),
        ({"NO_COLOR": "1"}, False),
        ({"NO_COLOR": "", "TERM": "dumb"}, False),
    ):
        ours, theirs = pty.openpty()
        done = subprocess.run(
            [sys.executable, "-m", "routecode", "chek"],
            env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm", **environment},
            stderr=theirs,
            check=False,
        )
        os.close(theirs)
        text = os.read(ours, 100_000).decode()
        os.close(ours)
        assert done.returncode == 2
        assert ("\x1b[" in text) is expected
        assert re.sub(r"\x1b\[[0-9;]*m", "", text).startswith("error    There is no command chek.")


def test_what_a_terminal_cannot_encode_is_escaped_not_a_crash(machine: Path) -> None:
    small(machine, rooms='[room.x]\ntitle = "Küche"\n', bad='[unit.a]\nroom = "Küche 漢"\n')
    ran = run("check", PYTHONIOENCODING="ascii", PYTHONUTF8="0", LC_ALL="C")
    assert ran.status == 2
    assert "Traceback" not in ran.err


def test_the_page_of_every_rule_and_kind_is_within_eighty_columns() -> None:
    found = json.loads(ask("rules", "--json").out)
    ids = [each["id"] for kind in ("rules", "kinds") for each in found[kind]]
    assert len(ids) > 90
    for each in ids:
        told = ask("rules", each)
        assert told.status == 0
        assert [line for line in told.out.splitlines() if len(line) > 80 and not line.startswith(("|", "    "))] == []
        whole = next(row for kind in ("rules", "kinds") for row in found[kind] if row["id"] == each)
        assert told.out.split() == str(whole.get("page", told.out)).split()


PRINTED = ("language", "meaning", "git", "changes", "branches", "history", "jobs", "labels")


@pytest.mark.parametrize("page", PRINTED)
def test_a_page_is_printed_whole_and_within_eighty_columns(page: str) -> None:
    told = ask("rules", f"--{page}")
    assert told.status == 0
    assert told.out == (ROOT / "routecode" / "pages" / f"{page}.md").read_text(encoding="utf-8")
    assert [line for line in told.out.splitlines() if len(line) > 80 and not line.startswith("|")] == []
    assert f"--{page} " in ask("rules", "--help").out
