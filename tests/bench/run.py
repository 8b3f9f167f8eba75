"""Measures what the README quotes: `python -m tests.bench.run` (about two minutes; `--large` adds a million channels).

Whole processes, cold, output thrown away; commands to be compared run in turn, and the median of the pairwise ratios is told. No test
depends on a time.
"""

import argparse
import compileall
import math
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from tests.bench import facility

ROOT = Path(__file__).resolve().parents[2]
PARSE_ONLY = (
    "import pathlib, sys, time, tomllib\n"
    "texts = [path.read_text(encoding='utf-8') for path in pathlib.Path(sys.argv[1]).rglob('*.toml')]\n"
    "start = time.perf_counter()\n"
    "for text in texts: tomllib.loads(text)\n"
    "print(time.perf_counter() - start)\n"
)


class Run(NamedTuple):
    """One run of a process: wall seconds, peak memory in MB, exit status, what it printed."""

    seconds: float
    megabytes: float
    status: int
    said: str


def run(command: Sequence[str]) -> Run:
    """Run a command once, cold."""
    with tempfile.TemporaryFile("w+", encoding="utf-8") as out:
        start = time.perf_counter()
        process = subprocess.Popen(command, stdout=out, stderr=subprocess.DEVNULL, cwd=ROOT)
        _, status, usage = os.wait4(process.pid, 0)
        seconds = time.perf_counter() - start
        process.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        return Run(seconds, usage.ru_maxrss / 1024, process.returncode, out.read(200))


def routecode(*arguments: str) -> list[str]:
    """The command line of the tool in this environment."""
    return [sys.executable, "-m", "routecode", *arguments]


def in_turn(commands: dict[str, list[str]], rounds: int) -> dict[str, list[Run]]:
    """Every command once to warm the disk, then `rounds` times in turn."""
    for command in commands.values():
        run(command)
    runs: dict[str, list[Run]] = {name: [] for name in commands}
    for _ in range(rounds):
        for name, command in commands.items():
            runs[name].append(run(command))
    return runs


def tell(name: str, runs: Sequence[Run], base: Sequence[float] | None = None) -> None:
    """One row: median seconds, peak memory, median ratio to the base."""
    seconds = statistics.median(one.seconds for one in runs)
    row = f"{name:<44} {seconds:8.3f} s {max(one.megabytes for one in runs):7.0f} MB  exit {runs[-1].status}"
    if base is not None:
        row += f"  x {statistics.median(one.seconds / other for one, other in zip(runs, base, strict=True)):.2f}"
    print(row, flush=True)


def start_up(rounds: int) -> None:
    """`--version` against importing click."""
    print("Start-up, against `python -c 'import click'`")
    runs = in_turn(
        {"import click": [sys.executable, "-c", "import click"], "routecode --version": routecode("--version")}, rounds
    )
    base = [one.seconds for one in runs["import click"]]
    for name, these in runs.items():
        tell(name, these, base)


def example(rounds: int) -> None:
    """`check` of the example, cold."""
    print("The example studio")
    runs = in_turn({"check examples/millrace": routecode("check", "--in", "examples/millrace")}, rounds)
    tell("check examples/millrace", runs["check examples/millrace"])


def large(folder: Path, channels: int, rounds: int) -> float:
    """`check` of a facility against tomllib merely parsing its text; seconds of the text run."""
    size = facility.write(folder, channels)
    files = sum(1 for _ in folder.rglob("*.toml"))
    print(f"A facility of {channels:,} channels: {size / 1e6:.1f} MB in {files} files, five setups")
    commands = {
        "tomllib parses the text": [sys.executable, "-c", PARSE_ONLY, str(folder)],
        "check, text": routecode("check", "--in", str(folder)),
        "check, JSON": routecode("check", "--in", str(folder), "--json"),
    }
    runs = in_turn(commands, rounds)
    parsing = [float(one.said) for one in runs["tomllib parses the text"]]
    print(f"{'tomllib parses the text, without start-up':<44} {statistics.median(parsing):8.3f} s")
    for name in ("check, text", "check, JSON"):
        tell(name, runs[name], parsing)
    return statistics.median(one.seconds for one in runs["check, text"])


def rules_and_revisions(folder: Path, rounds: int) -> None:
    """All rules against the compile alone; `diff` of two revisions that differ in one file, against `check` of one."""
    last = sorted((folder / "areas").glob("*.toml"))[-1]
    _git(folder, "init", "--quiet")
    for message in ("As it was", "Two inputs of the recorder exchanged"):
        _git(folder, "add", "--all")
        _git(folder, "-c", "user.name=Bench", "-c", "user.email=bench@example.invalid", "commit", "-qm", message)
        text = last.read_text("utf-8")
        five, six = (f'-rec/in {number}"' for number in (5, 6))
        last.write_text(text.replace(five, "\0").replace(six, five).replace("\0", six), "utf-8")
    merely = (
        "import gc, pathlib, sys; gc.disable(); from routecode.files.tree import read_worktree; from routecode.studio.opened import Opened; "
        "c = Opened(read_worktree(pathlib.Path(sys.argv[1])), 'worktree').circuit; [c.state(name) for name in c.state_names]"
    )
    runs = in_turn(
        {
            "compile alone, unpatched and five setups": [sys.executable, "-c", merely, str(folder)],
            "check with all rules": routecode("check", "--in", str(folder)),
        },
        rounds,
    )
    base = [each.seconds for each in runs["compile alone, unpatched and five setups"]]
    for name, these in runs.items():
        tell(name, these, base)
    one = "compile of one revision, with its paths"
    compiled = (
        "import gc, pathlib, sys; gc.disable(); from routecode.files.git import open_repository; from routecode.studio.opened import Opened; "
        "r = open_repository(pathlib.Path(sys.argv[1])); c = Opened(r.read(r.resolve('last'), r.studio), 'last').circuit; "
        "[c.state(name) for name in c.state_names]; c.flow(None).count()"
    )
    commands = {
        one: [sys.executable, "-c", compiled, str(folder)],
        "check of one revision": routecode("check", "--at", "last", "--in", str(folder)),
        "diff of two that differ in one file": routecode("diff", "last~1..last", "--in", str(folder)),
    }
    runs = in_turn(commands, rounds)
    base = [each.seconds for each in runs[one]]
    for name, these in runs.items():
        tell(name, these, base)


def _git(folder: Path, *arguments: str) -> None:
    subprocess.run(["git", "-C", str(folder), *arguments], check=True, stdout=subprocess.DEVNULL)


def main() -> None:
    """Measure and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--large", action="store_true", help="add a million channels and state the exponent")
    asked = parser.parse_args()
    os.environ["ROUTECODE_KEEP"] = "no"  # every answer is worked out; `tests.bench.life` measures what keeping saves
    compileall.compile_dir(ROOT / "routecode", quiet=1)  # as an installed package is
    start_up(asked.rounds * 2)
    example(asked.rounds)
    with tempfile.TemporaryDirectory() as folder:
        times = {100_000: large(Path(folder) / "100k", 100_000, asked.rounds)}
        rules_and_revisions(Path(folder) / "100k", asked.rounds)
        times[10_000] = large(Path(folder) / "10k", 10_000, asked.rounds)
        if asked.large:
            times[1_000_000] = large(Path(folder) / "1M", 1_000_000, 1)
    first, last = min(times), max(times)
    exponent = math.log(times[last] / times[first]) / math.log(last / first)
    print(f"Growth from {first:,} to {last:,} channels: exponent {exponent:.2f}")


if __name__ == "__main__":
    main()
