"""Measures the history of a large studio: `python -m tests.bench.life` (2,000 commits of 5 MB; `--commits`, `--channels` for less).

The repository is made by `git fast-import`: every commit changes one area of the facility (two inputs exchanged, a normal taken away or
put back, a reversed cable mended), one in ten only a comment. Git's time is the one floor there is: `rev-list` and one `cat-file` that
hands over the blobs that each commit changed.
"""

import argparse
import os
import random
import statistics
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.bench import facility
from tests.bench.run import routecode, run, tell

AREAS = "areas/area-{:05}.toml"


def edited(text: str, area: int, number: int, chance: random.Random) -> str:
    """The text of an area with one change."""
    if number % 10 == 0:
        return f"# Seen at {number}\n{text}"
    kind = chance.randrange(3)
    if kind == 0:
        one, other = chance.sample(range(1, facility.WIDTH + 1), 2)
        first, second = (f'bottom = "a{area:05}-rec/in {line}"\n' for line in (one, other))
        return text.replace(first, "\0").replace(second, first).replace("\0", second)
    if kind == 1 and 'polarity = "reversed"\n' in text:
        return text.replace('polarity = "reversed"\n', "", 1)
    half, open_ = 'normal = "half"\n', 'normal = "none"\n'
    old, new = (open_, half) if open_ in text else (half, open_)
    pieces = text.split(old)
    at = chance.randrange(1, len(pieces))
    return old.join(pieces[:at]) + new + old.join(pieces[at:])


def commands(channels: int, commits: int) -> Iterator[bytes]:
    """What `git fast-import` reads."""
    texts, chance = facility.facility(channels), random.Random(1)
    names = [name for name in texts if name.startswith("areas/")]
    yield from _commit(1, "As it was", texts)
    for number in range(2, commits + 1):
        area = chance.randrange(len(names))
        name = AREAS.format(area)
        texts[name] = edited(texts[name], area, number, chance)
        yield from _commit(number, f"Change {number} in area {area}", {name: texts[name]})


def _commit(number: int, title: str, texts: dict[str, str]) -> Iterator[bytes]:
    when = f"Bench <bench@example.invalid> {1_700_000_000 + 3600 * number} +0000"
    yield f"commit refs/heads/main\ncommitter {when}\ndata {len(title)}\n{title}\n".encode()
    for name, text in sorted(texts.items()):
        data = text.encode()
        yield f"M 100644 inline {name}\ndata {len(data)}\n".encode() + data + b"\n"


def write(folder: Path, channels: int, commits: int) -> None:
    """A repository with this history, packed, and its work tree."""
    subprocess.run(["git", "init", "--quiet", "--initial-branch=main", str(folder)], check=True)
    importing = subprocess.Popen(["git", "-C", str(folder), "fast-import", "--quiet"], stdin=subprocess.PIPE)
    assert importing.stdin is not None
    for part in commands(channels, commits):
        importing.stdin.write(part)
    importing.stdin.close()
    if importing.wait():
        raise SystemExit("git fast-import failed")
    subprocess.run(["git", "-C", str(folder), "reset", "--quiet", "--hard"], check=True)


def git_alone(folder: Path) -> float:
    """Seconds in which git tells every commit's changed blobs and hands them over."""
    start = time.perf_counter()
    told = _git(folder, "log", "--format=", "--raw", "--no-abbrev", "--root", "--no-renames")
    changed = [line.split()[3] for line in told.splitlines()]
    _git(folder, "cat-file", "--batch", given=b"\n".join(changed) + b"\n")
    return time.perf_counter() - start


def trees_alone(folder: Path) -> float:
    """Seconds in which git hands over all files of the last two revisions."""
    start = time.perf_counter()
    for revision in ("HEAD~1", "HEAD"):
        listed = _git(folder, "ls-tree", "-r", revision)
        _git(folder, "cat-file", "--batch", given=b"\n".join(line.split()[2] for line in listed.splitlines()) + b"\n")
    return time.perf_counter() - start


def _git(folder: Path, *arguments: str, given: bytes = b"") -> bytes:
    return subprocess.run(["git", "-C", str(folder), *arguments], input=given, check=True, capture_output=True).stdout


def main() -> None:
    """Make the history, measure, tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--channels", type=int, default=100_000)
    parser.add_argument("--commits", type=int, default=2_000)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--keep", type=Path, help="make the repository here, and leave it")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = asked.keep or Path(scratch) / "life"
        if not (folder / ".git").exists():
            write(folder, asked.channels, asked.commits)
        os.environ["XDG_CACHE_HOME"] = str(Path(scratch) / "kept")
        measure(folder, asked.rounds)


def measure(folder: Path, rounds: int) -> None:
    """The rows."""
    git = [git_alone(folder) for _ in range(rounds)]
    print(f"{'git hands over the blobs that changed':<44} {statistics.median(git):8.3f} s")
    tell("history, nothing kept", [run(routecode("history", "--in", str(folder)))], [statistics.median(git)])
    again = [run(routecode("history", "--in", str(folder))) for _ in range(rounds)]
    tell("history, asked again", again, git)
    trees = [trees_alone(folder) for _ in range(rounds)]
    print(f"{'git hands over two whole trees':<44} {statistics.median(trees):8.3f} s")
    asking = routecode("diff", "HEAD~1..HEAD", "--in", str(folder))
    tell("diff HEAD~1..HEAD, nothing kept", [run(asking)], [statistics.median(trees)])
    tell("diff HEAD~1..HEAD, asked again", [run(asking) for _ in range(rounds)], trees)


if __name__ == "__main__":
    main()
