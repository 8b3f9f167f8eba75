"""A part of a studio says of two revisions exactly what the whole says: random edits of studios of several areas, each compared both ways."""

import re
import tomllib
from collections import Counter
from random import Random

import pytest

from routecode.files.tree import Files
from routecode.history.entry import Entry, entry_of
from routecode.history.part import Parts
from routecode.studio.opened import Opened
from tests.change.any_edit import any_edit
from tests.change.wiring import PLAIN
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united

HEAD = '[studio]\ntitle = "Weir"\nlanguage = 1\n'
MODELS = PLAIN[PLAIN.index("[model.pre]") : PLAIN.index("[unit.hall]")]
AREA = PLAIN[PLAIN.index("[unit.hall]") :]


def area(number: int) -> str:
    """The small studio with ids and titles of its own, a cable, a setup and an acceptance."""
    text = re.sub(r"\b(hall|booth|pre-a|pre-b|conv|north|south)(?=[/\]\.])", rf"\g<1>{number}", AREA)
    text = re.sub(r'title = "([^"]+)"', rf'title = "\g<1> {number}"', text)
    return text + (
        f'\n[[cable]]\nnumber = "C{number}1..{number}2"\nfrom = "booth{number}/1..2"\nto = "pre-b{number}/mic 1..2"\nloom = "W{number}"\n'
        f'\n[setup.s{number}]\n[[setup.s{number}.cord]]\nfrom = "north{number}/top 9"\nto = "pre-b{number}/mic 3"\n'
        f'[[setup.s{number}.need]]\npath = ["hall{number}/line 9", "pre-b{number}/mic 3"]\n'
        f'\n[[accept]]\nrule = "inputs-unfed"\nat = "pre-b{number}"\nbecause = "Kept free."\n'
    )


def studio(count: int, tie: bool) -> dict[str, bytes]:
    """Some areas in a file each; with `tie` the first two are joined by a cable."""
    texts = {f"area{number}.toml": area(number) for number in range(1, count + 1)}
    texts |= {"studio.toml": HEAD, "models.toml": MODELS}
    if tie:
        texts["tie.toml"] = '[[cable]]\nnumber = "T1"\nfrom = "booth1/1"\nto = "north2/top 16"\n'
    return {name: text.encode() for name, text in texts.items()}


def files(texts: dict[str, bytes]) -> Files:
    return Files("", dict(sorted(texts.items())), ())


def whole(before: dict[str, bytes], after: dict[str, bytes]) -> Entry:
    return entry_of(Opened(files(before), "a"), Opened(files(after), "b"))


def edited(texts: dict[str, bytes], rng: Random) -> dict[str, bytes]:
    """One or two files with a place in them changed."""
    after = dict(texts)
    for _ in range(rng.choice((1, 1, 1, 2))):
        name = rng.choice([name for name in sorted(texts) if name not in ("studio.toml", "models.toml")])
        table = tomllib.loads(after[name].decode())
        table = linked(table, rng) if rng.random() < 0.25 else any_edit(table, rng)
        after[name] = document(rng, table).encode()
    return after


def linked(table: dict[str, object], rng: Random) -> dict[str, object]:
    """What hangs together by more than cables: a title, a number or a loom of another area; and a cable to it."""
    other = rng.randint(1, 6)
    units = table.get("unit")
    cables = table.get("cable")
    kind = rng.choice(("title", "number", "loom", "cable", "case"))
    if kind == "title" and isinstance(units, dict) and units:
        units[rng.choice(sorted(units))]["title"] = f"Hall {other}"
    elif kind == "number" and isinstance(cables, list) and cables:
        cables[0]["number"] = f"C{other}1..{other}2"
    elif kind == "loom" and isinstance(cables, list) and cables:
        cables[0]["loom"] = f"W{other}"
    elif kind == "case":
        table.setdefault("unit", {})  # an id that differs from another in capitals only is a mistake
        assert isinstance(table["unit"], dict)
        table["unit"][f"HALL{other}"] = {"port": [{"name": "x", "direction": "out", "signal": "line"}]}
    else:
        table["cable"] = [
            *(cables if isinstance(cables, list) else []),
            {"from": "booth1/1", "to": f"north{other}/top {rng.randint(12, 16)}"},
        ]
    return table


def in_part(parts: Parts, before: dict[str, bytes], after: dict[str, bytes]) -> Entry | str:
    """What the part says, or why there is none."""
    found = parts.between(files(before), files(after))
    if found is None:
        return "whole"
    if not found[0].texts:
        return "text"
    one = Opened(found[0], "a")
    other = Opened(found[1], "b", None, one)
    assert not one.mistakes
    return "mistakes" if other.mistakes else entry_of(one, other)


@pytest.mark.parametrize("tie", [False, True])
def test_a_part_says_what_the_whole_says(tie: bool) -> None:
    rng, parts = Random(7 + tie), Parts()
    before = studio(6, tie)
    assert Opened(files(before), "a").circuit is not None
    met: Counter[str] = Counter()
    for _ in range(160):
        after = edited(before, rng)
        opened = Opened(files(after), "b")
        said = in_part(parts, before, after)
        if isinstance(said, Entry):
            assert not opened.mistakes
            assert said == entry_of(Opened(files(before), "a"), opened)
            met["part"] += 1
        elif said == "text":
            assert not opened.mistakes
            assert entry_of(Opened(files(before), "a"), opened).only_text
            met["text"] += 1
        else:
            met["broken" if opened.mistakes else said] += 1
            assert said == "whole" or opened.mistakes
        if not opened.mistakes and rng.random() < 0.5:
            before = after if rng.random() < 0.7 else studio(6, tie)
    assert met["part"] > 25, met
    assert met["broken"] > 5


def test_random_studios_beside_each_other_are_apart() -> None:
    """Random studios of all that the language has, four in one: each edited as if it stood alone."""
    met: Counter[str] = Counter()
    for seed in range(24):
        rng, parts = Random(seed), Parts()
        texts: dict[str, bytes] = {"studio.toml": HEAD.encode()}
        for number in range(4):
            table = renamed(united(random_studio(4 * seed + number)), number)
            texts[f"area{number}.toml"] = document(rng, table).encode()
        if Opened(files(texts), "a").circuit is None:
            met["not together"] += 1
            continue
        for _ in range(6):
            name = f"area{rng.randrange(4)}.toml"
            after = {**texts, name: document(rng, any_edit(tomllib.loads(texts[name].decode()), rng)).encode()}
            said = in_part(parts, texts, after)
            if isinstance(said, Entry):
                assert said == whole(texts, after), seed
                met["part"] += 1
            else:
                met[said] += 1
    assert met["part"] > 20, met


SUMMED = ("shield", "shields", "metres", "sample_rate")
"""Keys of which rules add up the whole studio."""


def renamed(table: dict[str, object], number: int) -> dict[str, object]:
    """A studio without its head and without what is added up over all of it, its names ending in a number."""
    kinds = ("room", "rack", "signal", "model", "unit", "bay", "cable_type", "setup")
    ids = {name for kind in kinds for name in (table.get(kind) or {})}  # type: ignore[attr-defined] # tables by id

    def read(value: object, key: str = "") -> object:
        if isinstance(value, dict):
            kept = {name: one for name, one in value.items() if key in kinds or name not in SUMMED}
            return {(f"{name}-{number}" if key in kinds else name): read(one, name) for name, one in kept.items()}
        if isinstance(value, list):
            return [read(one, key if key == "number" else "") for one in value]
        if isinstance(value, str):
            if key in ("title", "loom"):
                return f"{value} {number}"
            if key == "number":
                return f"N{number}-{value}"
            head, slash, rest = value.partition("/")
            return f"{head}-{number}{slash}{rest}" if head in ids else value
        return value

    return {kind: read(value, kind) for kind, value in table.items() if kind not in ("studio", "allowed")}


def test_what_belongs_to_no_place_is_taken_whole() -> None:
    before = studio(4, False)
    after = {**before, "models.toml": before["models.toml"].replace(b"Preamplifier", b"Mic amplifier")}
    assert Parts().between(files(before), files(after)) is None
    comment = {**before, "models.toml": before["models.toml"] + b"# bought second hand\n"}
    found = Parts().between(files(before), files(comment))
    assert found is not None
    assert found[0].texts == {}


def test_rules_that_add_up_the_studio_are_asked_of_the_whole() -> None:
    before = studio(4, False)
    shielded = {**before, "area4.toml": before["area4.toml"].replace(b'loom = "W4"', b'loom = "W4"\nshield = "from"')}
    after = {**shielded, "area1.toml": before["area1.toml"].replace(b'"north1/top 9"', b'"north1/top 10"')}
    assert Parts().between(files(shielded), files(after)) is None
    fast = {**before, "area4.toml": before["area4.toml"].replace(b"[setup.s4]", b"[setup.s4]\nsample_rate = 96000")}
    assert Parts().between(files(fast), files({**fast, "area1.toml": after["area1.toml"]})) is None
    assert Parts().between(files(before), files({**before, "area1.toml": after["area1.toml"]})) is not None


def test_new_files_and_files_that_are_gone_are_taken_whole() -> None:
    before = studio(4, False)
    for after in ({**before, "more.toml": b""}, {name: text for name, text in before.items() if name != "area4.toml"}):
        assert Parts().between(files(before), files(after)) is None


def test_numbers_that_are_equal_and_not_written_alike_differ() -> None:
    """`columns = 16.0` is a mistake where `columns = 16` is none, and `true` equals 1: neither is only text."""
    before = studio(4, False)
    assert b"columns = 16" in before["area1.toml"]
    after = {**before, "area1.toml": before["area1.toml"].replace(b"columns = 16", b"columns = 16.0", 1)}
    assert Opened(files(after), "b").mistakes
    assert in_part(Parts(), before, after) == "mistakes"
