"""Damaged studios through the whole tool, in process: `python -m tests.fuzz --count 100000 [--seed 0]`.

Each input is a random studio (now and then the example) with legal edits, edits of its tables (keys, values and tables dropped, doubled, moved,
exchanged), of single lines, or of bytes. It is parsed, decoded, compiled, judged by all rules, shown as text and JSON, traced, and now and then
drawn and compared with the undamaged one; now and then the documents are held against their schemas.
Nothing may raise: a user's mistake is a message. Two processes; status 1 on any exception.
"""

import argparse
import json
import sys
import time
import tomllib
import traceback
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from copy import deepcopy
from functools import cache
from multiprocessing import Pool
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import fastjsonschema

from routecode.change.difference import Difference
from routecode.circuit.circuit import Circuit
from routecode.files.toml import parse
from routecode.files.tree import Files
from routecode.ground.finding import Severity
from routecode.show.annotations import of_difference, of_findings, of_mistakes
from routecode.show.check import Judged, check_document, check_text
from routecode.show.diagnostic import Page, all_mistakes
from routecode.show.difference import Asked, difference_text
from routecode.show.difference_document import difference_document
from routecode.show.difference_markdown import Named, difference_markdown, refused_markdown
from routecode.show.difference_sections import Scope
from routecode.show.document import refused, written
from routecode.show.draft import draft
from routecode.show.drawing.drawing import Asked as Pictured
from routecode.show.drawing.drawing import picture_of
from routecode.show.drawing.layout import layout_text, readable_text
from routecode.show.paths import paths_document, paths_text
from routecode.show.plain import plain_text
from routecode.show.trace import trace_document, trace_text
from routecode.show.tracing import Trace
from routecode.studio.opened import Opened
from tests.reference.studios import mutate, random_studio
from tests.reference.toml_text import document

SNIPPETS = (
    '"', "'", '"""', "[", "]", "{", "}", "=", ",", "#", "..", "1..8", "8..1", "step 0", "\\", "\\u0000", "\r", "\t", "\0", "\x1b[31m",
    "\u202e", "\u200b", "é", "🎚", "-1", "1e999", "0x1F", "9" * 30, "true", "2026-03-01", "in", "out", "ch 2", "a/b", "[[cable]]\n", "[studio]\n",
    "[unit.x]\n", "was = 'x'\n", "1..99999999999", " ch 1..3", "top 1", "bottom 9..2", "nan", "''", '""', "\ufeff", "%s", "<b>", "&amp;", "\u2028",
)  # fmt: skip


ODD: tuple[Any, ...] = (
    True, 0, 1, -7, 1.5, 10**18, "", "x", " ", "a/b", "1..3", "x 1..99999", "up ch 1..2", [], [[]], {}, [["a/b"], ["c/d"]],
    ["a 1..3", "b"], {"like": "aes3"}, [{}, {}], "in", "out", "either", "both", "hardwired", "never", "2026-03-01",
    "+4 dBu", "-999999 dBV", "0.000001 V", "supply", "needs", "mic", "aes3", 1e-300, 1e300, 0.0, "xlr-m", "hot 2 tip",
)  # fmt: skip
KEYS = (
    "at", "top", "bottom", "from", "to", "name", "direction", "signal", "channels", "normal", "plug", "include", "cord", "need", "path", "was",
    "unit", "bay", "setup", "cable", "model", "port", "inside", "column", "mult", "route", "set", "title", "front", "when", "unless", "nosuch",
    "ohms", "level", "max_level", "full_scale", "phantom", "phantom_on", "phantom_ma", "phantom_bank", "balanced", "gain_db", "ratio", "kind",
    "metres", "type", "cold", "shield", "pins", "multipin", "carries", "terminates", "clock", "min_ohms", "contact", "shields", "signal",
)  # fmt: skip
MILLRACE = Path(__file__).parents[1] / "examples" / "millrace"
EXAMPLES = 0.02
"""How many of the inputs are the example studio, which takes twenty times as long."""


class Outcome(NamedTuple):
    """What became of one input: whether it was TOML, whether it compiled, how long it took, the traceback if it raised."""

    toml: bool
    compiled: bool
    seconds: float
    failure: str


def damaged(seed: int) -> tuple[dict[str, str], dict[str, bytes]]:
    """(the sound studio, the damaged one) of a seed."""
    rng = Random(seed)
    if rng.random() < EXAMPLES:
        sound = files = example()
    else:
        sound = files = random_studio(rng.randrange(1_000_000), size="tiny")
        if rng.random() < 0.3:
            files = mutate(dict(files), rng)
    texts = dict(files)
    way = rng.random()
    for _ in range(rng.choice((1, 1, 2, 3))):
        name = rng.choice(sorted(texts))
        if way < 0.4:
            texts[name] = _tables(texts[name], rng)
        elif way < 0.75:
            texts[name] = _lines(texts[name], rng)
    data = {name: text.encode() for name, text in texts.items()}
    if way >= 0.75:
        name = rng.choice(sorted(data))
        data[name] = _bytes(data[name], rng)
    return sound, data


@cache
def example() -> dict[str, str]:
    """The files of the example studio."""
    return {path.relative_to(MILLRACE).as_posix(): path.read_text("utf-8") for path in sorted(MILLRACE.rglob("*.toml"))}


def _tables(text: str, rng: Random) -> str:
    """Keys, values and tables dropped, doubled, moved, exchanged or replaced; always TOML again."""
    try:
        whole = tomllib.loads(text)
    except tomllib.TOMLDecodeError:  # an edit before this one broke it
        return text
    holders = list(_holders(whole))
    here, there = rng.choice(holders), rng.choice(holders)
    if here:
        _exchange(here, there, rng)
    return document(rng, whole)


def _holders(value: Any) -> Iterator[Any]:
    """All tables and arrays within a value, itself included."""
    if isinstance(value, dict | list):
        yield value
        for inner in value.values() if isinstance(value, dict) else value:
            yield from _holders(inner)


def _exchange(here: Any, there: Any, rng: Random) -> None:
    """One thing done to an item of a table or array; another table or array may lend or take."""
    key = rng.choice(sorted(here)) if isinstance(here, dict) else rng.randrange(len(here))
    other = rng.choice(sorted(there) if isinstance(there, dict) else range(len(there))) if there else None
    way = rng.randrange(6)
    if way == 0:
        del here[key]
    elif way == 1:
        here[key] = rng.choice(ODD)
    elif way == 2 and other is not None:
        here[key] = deepcopy(there[other])
    elif way == 3 and isinstance(here, dict):
        renamed = rng.choice(sorted(there)) if isinstance(there, dict) and there else rng.choice(KEYS)
        here[renamed] = here.pop(key)
    elif way == 4:
        here[key] = [here[key]] if rng.random() < 0.5 else {rng.choice(KEYS): here[key]}
    elif isinstance(here[key], str):
        here[key] = _retyped(here[key], rng)


def _retyped(text: str, rng: Random) -> str:
    """A text with one of its signs changed."""
    at = rng.randrange(len(text) + 1)
    return text[:at] + rng.choice(("", " ", "/", "1", "9999", "..", "1..3", " ch 2", "é", "\u202e")) + text[at + 1 :]


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
    for name, data in opened.files.texts.items():
        assert not set(plain_text(name, data)) & {*range(9), *range(11, 32), 127}
    if opened.mistakes:
        shown = all_mistakes(opened.mistakes, page)
        assert shown
        assert len(refused_markdown(opened.mistakes, opened, "", 3000)) <= 3000
        _one_a_line(of_mistakes(opened.mistakes, opened, ""))
        assert "\x1b" not in shown
        _documented("check", refused("check", opened.mistakes, opened), rng)
        return False
    circuit = opened.circuit
    assert circuit is not None
    judged = Judged(opened, circuit.plant, opened.report.findings, Severity.WARNING)
    shown = check_text(judged, page, "the files", notes=True)
    assert "\x1b" not in shown
    _documented("check", check_document(judged), rng)
    _one_a_line(of_findings(opened.report.findings, opened, ""))
    setup = rng.choice(circuit.state_names)
    _documented("paths", paths_document(opened, circuit, setup), rng)
    paths_text(circuit, setup)
    if circuit.plant.ports:
        trace = Trace(circuit, setup, circuit.plant.name(rng.randrange(circuit.plant.hubs)))
        trace_text(trace)
        _documented("trace", trace_document(trace, "worktree"), rng)
    if rng.random() < 0.3:
        before = Opened(Files("studio", {name: text.encode() for name, text in sound.items()}, ()), "0" * 40)
        sides = (before, opened) if rng.random() < 0.7 else (opened, before)
        difference = Difference(*sides)
        difference_text(difference, page, Asked("before", "after", expand=True))
        _documented("diff", difference_document(difference), rng)
        draft(*sides)
        assert len(difference_markdown(difference, Named("before", "after", "diff"), Scope(), 3000)) <= 3000
        _one_a_line(of_difference(difference, Scope(), ""))
        _pictured(circuit, before.circuit, setup)
    return True


def _one_a_line(annotations: Iterable[str]) -> None:
    """An annotation is one line, and only one command."""
    for line in annotations:
        assert line.startswith(("::error ", "::warning "))
        assert not set(line) & set(map(chr, [*range(32), 127, 0x2028, 0x2029]))


def _documented(name: str, row: dict[str, Any], rng: Random) -> None:
    """A document is written, and now and then held against its schema."""
    text = written(row)
    if rng.random() < 0.2:
        validator(name)(json.loads(text))


@cache
def validator(name: str) -> Callable[[Any], Any]:
    """The committed schema of a document as a check."""
    schemas = Path(__file__).parents[1] / "schemas"
    check: Callable[[Any], Any] = fastjsonschema.compile(
        json.loads((schemas / f"{name}.schema.json").read_text("utf-8"))
    )
    return check


def _pictured(circuit: Circuit, before: Circuit | None, setup: str | None) -> None:
    """What a drawing hands to the layout program."""
    found = picture_of(Pictured(before, circuit, "x", ("before", "after"), setup))
    assert found is not None
    layout_text(found[1])
    readable_text(found[1])


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
