"""Damaged studios through the whole tool, in process: `python -m tests.fuzz --count 100000 [--seed 0]`.

Each input is a random studio with legal edits, edits of single lines (keys, values and tables moved, doubled, dropped, renamed) or damaged bytes.
It is parsed, decoded, compiled, judged by all rules, shown as text and JSON, traced, and now and then compared with the undamaged one.
Nothing may raise: a user's mistake is a message. Two processes; status 1 on any exception.
"""

import argparse
import sys
import time
import traceback
from collections import Counter
from multiprocessing import Pool
from random import Random
from typing import NamedTuple

from routecode.change.difference import Difference
from routecode.files.toml import parse
from routecode.files.tree import Files
from routecode.ground.finding import Severity
from routecode.show.check import Judged, check_document, check_text
from routecode.show.diagnostic import Page, all_mistakes
from routecode.show.difference import Asked, difference_text, draft
from routecode.show.difference_document import difference_document
from routecode.show.document import refused, written
from routecode.show.paths import paths_document, paths_text
from routecode.show.trace import trace_document, trace_text
from routecode.show.tracing import Trace
from routecode.studio.opened import Opened
from tests.reference.studios import mutate, random_studio

SNIPPETS = (
    '"', "'", '"""', "[", "]", "{", "}", "=", ",", "#", "..", "1..8", "8..1", "step 0", "\\", "\\u0000", "\r", "\t", "\0", "\x1b[31m",
    "\u202e", "\u200b", "é", "🎚", "-1", "1e999", "0x1F", "9" * 30, "true", "2026-03-01", "in", "out", "ch 2", "a/b", "[[cable]]\n", "[studio]\n",
    "[unit.x]\n", "was = 'x'\n", "1..99999999999", " ch 1..3", "top 1", "bottom 9..2", "nan", "''", '""', "\ufeff", "%s", "<b>", "&amp;", "\u2028",
)  # fmt: skip


class Outcome(NamedTuple):
    """What became of one input: whether it was TOML, whether it compiled, how long it took, the traceback if it raised."""

    toml: bool
    compiled: bool
    seconds: float
    failure: str


def damaged(seed: int) -> tuple[dict[str, str], dict[str, bytes]]:
    """(the sound studio, the damaged one) of a seed."""
    rng = Random(seed)
    sound = random_studio(rng.randrange(1_000_000), size="tiny")
    files = sound
    for _ in range(rng.choice((0, 0, 1))):
        files = mutate(dict(files), rng)
    texts = dict(files)
    way = rng.random()
    for _ in range(rng.randint(1, 3)):
        name = rng.choice(sorted(texts))
        texts[name] = _lines(texts[name], rng) if way < 0.75 else texts[name]
    data = {name: text.encode() for name, text in texts.items()}
    if way >= 0.75:
        name = rng.choice(sorted(data))
        data[name] = _bytes(data[name], rng)
    return sound, data


def _lines(text: str, rng: Random) -> str:
    """One line dropped, doubled, moved, or given the value or name of another."""
    lines = text.split("\n")
    here, there = rng.randrange(len(lines)), rng.randrange(len(lines))
    way = rng.randrange(7)
    if way == 0:
        del lines[here]
    elif way == 1:
        lines.insert(there, lines[here])
    elif way == 2:
        lines[here], lines[there] = lines[there], lines[here]
    elif way == 3:
        key, equals, value = lines[here].partition("=")
        lines[here] = f"{key}={lines[there].partition('=')[2] or value}" if equals else lines[here]
    elif way == 4:
        key, equals, value = lines[here].partition("=")
        lines[here] = f"{lines[there].partition('=')[0]}={value}" if equals else lines[here]
    elif way == 5:
        digits = [at for at, character in enumerate(lines[here]) if character.isdigit()]
        if digits:
            at = rng.choice(digits)
            lines[here] = f"{lines[here][:at]}{rng.choice(('0', '2', '12', '9999', '1..3'))}{lines[here][at + 1 :]}"
    else:
        key, equals, _ = lines[here].partition("=")
        values = (
            "true",
            "1",
            "-7",
            "1.5",
            '"x"',
            "[]",
            '["a 1..3", "b"]',
            "{}",
            '[["a/b"], ["c/d"]]',
            "2026-03-01",
            '"hall/line 1..2"',
        )
        lines[here] = f"{key}= {rng.choice(values)}" if equals else lines[here]
    return "\n".join(lines)


def _bytes(data: bytes, rng: Random) -> bytes:
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(data) + 1)
        end = min(len(data), at + rng.choice((0, 0, 1, 1, 2, 8, 60)))
        new = rng.choice(SNIPPETS).encode() if rng.random() < 0.7 else bytes((rng.randrange(256),))
        data = data[:at] + new + data[end:]
    return data


def outcome(seed: int) -> Outcome:
    """One input through the whole tool."""
    start = time.process_time()
    toml = compiled = False
    failure = ""
    try:
        sound, data = damaged(seed)
        toml = all(parse(name, text).mistake is None for name, text in data.items())
        compiled = _through(Opened(Files("studio", data, ()), "worktree"), sound, Random(seed))
    except Exception:
        failure = traceback.format_exc()
    return Outcome(toml, compiled, time.process_time() - start, failure)


def _through(opened: Opened, sound: dict[str, str], rng: Random) -> bool:
    page = Page(opened)
    if opened.mistakes:
        shown = all_mistakes(opened.mistakes, page)
        assert shown
        assert "\x1b" not in shown
        assert written(refused("check", opened.mistakes, opened))
        return False
    circuit = opened.circuit
    assert circuit is not None
    judged = Judged(opened, circuit.plant, opened.report.findings, Severity.WARNING)
    shown = check_text(judged, page, "the files", notes=True)
    assert "\x1b" not in shown
    written(check_document(judged))
    setup = rng.choice(circuit.state_names)
    written(paths_document(opened, circuit, setup))
    paths_text(circuit, setup)
    if circuit.plant.ports:
        trace = Trace(circuit, setup, circuit.plant.name(rng.randrange(circuit.plant.hubs)))
        trace_text(trace)
        written(trace_document(trace, "worktree"))
    if rng.random() < 0.3:
        before = Opened(Files("studio", {name: text.encode() for name, text in sound.items()}, ()), "0" * 40)
        difference = Difference(before, opened)
        difference_text(difference, page, Asked("before", "after", expand=True))
        written(difference_document(difference))
        draft(before, opened)
    return True


def main() -> int:
    """Damage, run and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    counted: Counter[str] = Counter()
    with Pool(2) as pool:
        seeds = range(asked.seed, asked.seed + asked.count)
        for seed, one in zip(seeds, pool.imap(outcome, seeds, chunksize=50), strict=True):
            counted.update(
                inputs=1, toml=one.toml, compiled=one.compiled, raised=bool(one.failure), slow=one.seconds > 1
            )
            if one.failure:
                print(f"seed {seed}:\n{one.failure}", flush=True)
            if one.seconds > 1:
                print(f"seed {seed}: {one.seconds:.1f} s", flush=True)
            if counted["inputs"] % 10_000 == 0:
                print(dict(counted), flush=True)
    print(
        f"{counted['inputs']} inputs, {counted['toml']} of them valid TOML, {counted['compiled']} compiled; "
        f"{counted['raised']} raised, {counted['slow']} took more than a second."
    )
    return 1 if counted["raised"] else 0


if __name__ == "__main__":
    sys.exit(main())
