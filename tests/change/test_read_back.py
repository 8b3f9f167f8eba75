"""Sentences read back: what a person pairs up by reading lists in step is what changed, for any way of wiring twelve lines anew."""

import re
from random import Random

import pytest

from routecode.change.changes import Change
from routecode.change.difference import Compared
from routecode.change.sentence import SINGLY
from tests.change.test_one_sentence import SLUICE, box
from tests.change.wiring import compared

LINES, PLACES = 12, 24
NAMES = f"{SLUICE}{box('mic', 'Mic', LINES, 'out')}{box('track', 'Track', PLACES, 'in')}"
SAID = re.compile(
    r"(?P<whole>Mic .+?) (?:no longer|now) reach(?:es)? (?P<now>Track .+?)(?: instead of (?P<was>Track .+?))?\.(?: .*)?"
)
Wiring = dict[int, int]
Pairs = set[tuple[int, int]]


def studio(wiring: Wiring) -> str:
    """A studio in which line `key` is wired to track `value`, cable by cable."""
    cables = (f'[[cable]]\nfrom = "mic/line {line}"\nto = "track/line {place}"\n' for line, place in wiring.items())
    return NAMES + "".join(cables)


def numbers(text: str) -> list[int]:
    """`lines 1-3, 7 and 9 down to 8`, in the order in which they are said."""
    found: list[int] = []
    text = re.sub(r"(Mic|Track) lines? |, in this order", "", text)
    for part in re.split(r", | and ", text):
        first, _, last = part.replace(" down to ", "-").partition("-")
        step = -1 if "down to" in part else 1
        found += range(int(first), int(last or first) + step, step)
    return found


def pairs(change: Change, found: Compared) -> tuple[Pairs, Pairs]:
    """(lost, gained) of a change by numbers."""
    name = found.matched.channel_name
    lost, gained = (
        {(int(name(a).rpartition(" ")[2]), int(name(b).rpartition(" ")[2])) for a, b, _ in side}
        for side in (change.lost, change.gained)
    )
    return lost, gained


def rewired(rng: Random) -> tuple[Wiring, Wiring]:
    """Some lines wired to some tracks, and a few of them to others (none to a track that another one had)."""
    lines = rng.sample(range(1, LINES + 1), rng.randint(2, LINES))
    if rng.random() < 0.6:
        lines.sort()
    start = rng.randint(1, PLACES // 2 - len(lines) + 1)
    before = {line: start + step for step, line in enumerate(lines)}
    free = list(range(PLACES // 2 + 1, PLACES + 1))
    if rng.random() < 0.5:
        rng.shuffle(free)
    moved = [line for line in lines if rng.random() < 0.7]
    gone = rng.random() < 0.4
    after = {line: place for line, place in before.items() if line not in moved or not gone}
    return before, after if gone else after | dict(zip(moved, free, strict=False))


@pytest.mark.parametrize("seed", range(60))
def test_lists_in_step_say_the_pairs(seed: int) -> None:
    before, after = rewired(Random(seed))
    found = compared(studio(before), studio(after))
    for change in found.changes[None]:
        lost, gained = pairs(change, found)
        if "one each" in change.sentence or " more " in change.sentence:
            continue  # counted, not listed
        said = SAID.fullmatch(change.sentence)
        assert said is not None, change.sentence
        lines, now = numbers(said["whole"]), numbers(said["now"])
        was = numbers(said["was"]) if said["was"] else []
        if change.kind == "redirected":
            assert (set(zip(lines, was, strict=True)), set(zip(lines, now, strict=True))) == (lost, gained)
        else:
            assert set(zip(lines, now, strict=True)) == (lost or gained)


def test_few_are_only_counted() -> None:
    """Lists in step grow long where the wiring has no order: up to eight are then said one by one, and of more the count."""
    counted = []
    for seed in range(60):
        changes = compared(*map(studio, rewired(Random(seed)))).changes[None]
        counted += [change for change in changes if "one each" in change.sentence]
    assert len(counted) > 1
    assert all(max(len(change.lost), len(change.gained)) > SINGLY for change in counted)
