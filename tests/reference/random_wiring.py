"""Random bays, normals, mults and fixed cables around the equipment of a draft.

Nothing gets a second cable but by a split, or at the face of a passive port.
"""

from __future__ import annotations

from random import Random
from typing import Any

from .drafts import Draft, Group, Table, some_of, words
from .written import FAMILIES

UP = ("out", "either", "both")
DOWN = ("in", "either", "both")
SWITCHED = ("none", "half", "half", "full", "full", "parallel", "parallel")
LINKS = ("top", "top", "bottom", "bottom", "none")


def family(signal: str) -> str:
    """A rough family, to wire like with like most of the time."""
    return {"house": "analogue", "talkback": "analogue", "deck": "aes3"}.get(signal) or FAMILIES[signal]


def take(draft: Draft, directions: tuple[str, ...], most: int, like: str | None) -> tuple[Group, list[str]] | None:
    """A few free ports side by side, no longer free; None where there are none."""
    fitting = [
        g for g in draft.groups if g.free and g.direction in directions and (like is None or family(g.signal) == like)
    ]
    if not fitting:
        return None
    group = draft.rng.choice(fitting)
    names = some_of(draft.rng, group.free, most)
    group.free = [name for name in group.free if name not in names]
    return group, names


def give_back(group: Group, names: list[str]) -> None:
    """Ports that were taken and are not used."""
    group.free = [name for name in group.names if name in group.free or name in names]


def at_words(draft: Draft, numbers: list[int]) -> Any:
    """Columns as an integer, a range, or a list of both."""
    texts = words(draft.rng, [str(n) for n in numbers])
    parts = texts if isinstance(texts, list) else [texts]
    mixed = [int(p) if p.isdigit() and draft.chance(0.6) else p for p in parts]
    return mixed if isinstance(texts, list) else mixed[0]


def add_bay(draft: Draft, ident: str) -> None:
    """One bay with most of its columns wired."""
    rng = draft.rng
    table: Table = {"columns": rng.randint(4, 8)}
    one_row = draft.chance(0.15)
    if one_row:
        table["rows"] = 1
    else:
        describe(draft, table)
    if draft.chance(0.5):
        table["contact"] = "pin"
    draft.whole.setdefault("bay", {})[ident] = table
    rows = [""] if one_row else ["top ", "bottom "]
    jacks = [f"{ident}/{row}{n}" for row in rows for n in range(1, table["columns"] + 1)]
    draft.free_rears += jacks
    draft.free_fronts += jacks
    number = 1
    while number <= table["columns"]:
        count = rng.randint(1, min(4, table["columns"] - number + 1))
        columns = list(range(number, number + count))
        if draft.chance(0.88):
            wire_columns(draft, ident, table, columns)
        number += count


def describe(draft: Draft, table: Table) -> None:
    """The keys of a bay of two rows."""
    rng = draft.rng
    links = draft.chance(0.4)
    if links or draft.chance(0.3):
        table["normalling"] = "plugs" if links else "switched"
    if draft.chance(0.4):
        table["sources"] = rng.choice(("bottom", "bottom", "top"))
    if draft.chance(0.4):
        table["normal"] = rng.choice(LINKS if links else SWITCHED)
    if draft.chance(0.2):
        table["rows"] = 2


def wire_columns(draft: Draft, ident: str, bay: Table, columns: list[int]) -> None:
    """Some columns side by side: what is wired to them, and their normal."""
    upper, lower = ("bottom", "top") if bay.get("sources") == "bottom" else ("top", "bottom")
    columns = columns[::-1] if draft.chance(0.1) else columns
    like = family(draft.rng.choice(draft.groups).signal) if draft.chance(0.92) else None
    entry: Table = {"at": at_words(draft, columns)}
    wired: list[list[str]] = []
    one_row = bay.get("rows") == 1
    for row, directions in (("top", UP + DOWN),) if one_row else ((upper, UP), (lower, DOWN)):
        found = take(draft, directions, len(columns), like) if draft.chance(0.9) else None
        if found is not None:
            group, names = found
            jacks = [f"{ident}/{n}" if one_row else f"{ident}/{row} {n}" for n in columns[: len(names)]]
            wire_row(draft, entry, row, jacks, [group.place(n) for n in names], len(names) == len(columns))
            wired.append([group.place(n) for n in names])
    if len(wired) == 2:
        draft.likely += list(zip(*wired, strict=False))
    key = "plug" if bay.get("normalling") == "plugs" else "normal"
    if not one_row and draft.chance(0.85):
        setting = draft.rng.choice(LINKS if key == "plug" else SWITCHED)
        if draft.chance(0.2):
            draft.entry("bay", ident, "column", {"at": columns[0], key: setting})
        else:
            entry[key] = setting
    if len(entry) > 1 or draft.chance(0.3):
        draft.entry("bay", ident, "column", entry)


def wire_row(draft: Draft, entry: Table, row: str, jacks: list[str], ports: list[str], whole: bool) -> None:
    """Wire ports to the jacks of a row: in the short form, by cables, or by both."""
    draft.free_rears = [jack for jack in draft.free_rears if jack not in jacks]
    draft.signal_of |= {jack: draft.signal_of[port] for jack, port in zip(jacks, ports, strict=True)}
    short = whole and draft.chance(0.8)
    if short:
        entry[row] = words(draft.rng, ports)
    if not short or draft.chance(0.25):
        lay(draft, ports, jacks)


def lay(draft: Draft, near: list[str], far: list[str], **keys: Any) -> None:
    """Cables from these places to those, either end first."""
    ends = (near, far) if draft.chance(0.5) else (far, near)
    entry: Table = {"from": words(draft.rng, ends[0]), "to": words(draft.rng, ends[1]), **keys}
    if draft.chance(0.3):
        entry["polarity"] = draft.rng.choice(("reversed", "reversed", "kept"))
    if draft.chance(0.5):
        entry["number"] = draft.cable_number(len(near))
    if draft.chance(0.3):
        draft.whole.setdefault("cable_type", {}).setdefault("pair", {"title": "Installation pair"})
        entry["type"] = "pair"
        entry["metres"] = draft.rng.choice((2, 3.5, 12.25))
    draft.top("cable", entry)


def add_mults(draft: Draft) -> None:
    """A mult in some bays, of free jacks for the most part."""
    for ident, bay in draft.whole["bay"].items():
        jacks = [jack for jack in draft.free_rears if jack.startswith(f"{ident}/")]
        if len(jacks) < 2 or not draft.chance(0.5):
            continue
        wired = [jack for jack in draft.free_fronts if jack.startswith(f"{ident}/") and jack not in jacks]
        chosen = draft.rng.sample(jacks, min(len(jacks), draft.rng.randint(2, 3)))
        if wired and draft.chance(0.6):
            chosen.append(draft.rng.choice(wired))
        chosen.sort(key=lambda jack: ("bottom" in jack, jack))
        at = words(draft.rng, [jack.partition("/")[2] for jack in chosen])
        known = [draft.signal_of[jack] for jack in chosen if jack in draft.signal_of]
        signal = known[0] if known else draft.rng.choice(draft.groups).signal
        draft.signal_of |= {jack: draft.signal_of.get(jack, signal) for jack in chosen}
        draft.entry("bay", ident, "mult", {"at": at if isinstance(at, list) or bay.get("rows") == 1 else [at]})


def add_normals(draft: Draft) -> None:
    """A few normals that go sideways, across bays or to a second destination."""
    jacks = [jack for jack in draft.free_fronts if jack in draft.signal_of]
    joined: set[frozenset[str]] = set()
    for _ in range(draft.rng.randint(0, 5)):
        if len(jacks) > 1:
            near = draft.rng.choice(jacks)
            like = [j for j in jacks if family(draft.signal_of[j]) == family(draft.signal_of[near]) and j != near]
            far = draft.rng.choice(like or [j for j in jacks if j != near])
            same_column = near.split(" ")[-1] == far.split(" ")[-1] and near.split("/")[0] == far.split("/")[0]
            if not same_column and frozenset((near, far)) not in joined:
                joined.add(frozenset((near, far)))
                breaks = draft.rng.choice((None, "to", "from", "both", "never"))
                draft.top("normal", {"from": near, "to": far, **({"breaks": breaks} if breaks else {})})


def add_cables(draft: Draft) -> None:
    """Direct cables, splits, cables at faces, and cables between jacks."""
    for _ in range(draft.rng.randint(4, 9)):
        draft.rng.choice((direct, direct, own_loop, split, split_jacks, at_face, at_face, between_jacks))(draft)


def dead_cables(draft: Draft, rng: Random) -> list[Table]:
    """Cables that lie there dead: from a port without cables to one it could feed, or to somewhere in words."""
    free = [(group, group.place(name)) for group in draft.groups for name in group.free]
    found: list[Table] = []
    for group, place in free[: rng.randint(0, 3)]:
        ends = [
            other.place(other.names[0])
            for other in draft.groups
            if other.direction != group.direction and family(other.signal) == family(group.signal)
        ]
        found.append({"from": place, "to": rng.choice([*ends, *ends, "under the floor"]), "status": "dead"})
    return found


def direct(draft: Draft) -> None:
    """Cables from ports to ports."""
    near = take(draft, UP, 3, None)
    if near is None:
        return
    far = take(draft, DOWN, len(near[1]), family(near[0].signal) if draft.chance(0.9) else None)
    if far is None:
        give_back(*near)
        return
    sources = [near[0].place(n) for n in near[1][: len(far[1])]]
    give_back(near[0], near[1][len(far[1]) :])
    sinks = [far[0].place(n) for n in far[1]]
    lay(draft, sources, sinks)
    draft.likely += list(zip(sources, sinks, strict=True))


def own_loop(draft: Draft) -> None:
    """A cable from an output of a unit to an input of the same unit."""
    pairs = [
        (a, b)
        for a in draft.groups
        for b in draft.groups
        if a.unit == b.unit and a.free and b.free and (a.direction, b.direction) == ("out", "in")
    ]
    if not pairs:
        direct(draft)
        return
    near, far = draft.rng.choice(pairs)
    lay(draft, [near.place(near.free.pop())], [far.place(far.free.pop())])


def taken_alike(draft: Draft, count: int, like: str | None) -> list[list[str]]:
    """Two runs of exactly so many free ports that receive, or fewer runs."""
    runs: list[list[str]] = []
    for _ in range(2):
        found = take(draft, DOWN, count, like)
        if found is not None and len(found[1]) == count:
            runs.append([found[0].place(n) for n in found[1]])
        elif found is not None:
            give_back(*found)
    return runs


def lay_split(draft: Draft, near: list[str], runs: list[list[str]]) -> None:
    """A deliberate split; numbers leg by leg, or one for all."""
    split_side = [[*(text if isinstance(text, list) else [text])] for text in (words(draft.rng, run) for run in runs)]
    keys = ("from", "to") if draft.chance(0.7) else ("to", "from")
    entry: Table = {keys[0]: words(draft.rng, near), keys[1]: split_side}
    if draft.chance(0.3):
        entry["polarity"] = "reversed"
    if draft.chance(0.4):
        first, count = draft.numbers + 1, len(near) * len(runs)
        draft.numbers += count
        entry["number"] = f"L{first}" if draft.chance(0.5) else f"L{first}..{first + count - 1}"
    draft.top("cable", entry)
    draft.likely += [pair for run in runs for pair in zip(near, run, strict=True)]


def split(draft: Draft) -> None:
    """One run of ports to two runs."""
    near = take(draft, ("out", "either"), 2, None)
    if near is None:
        return
    runs = taken_alike(draft, len(near[1]), family(near[0].signal))
    if len(runs) < 2:
        give_back(*near)
        for group in draft.groups:
            give_back(group, [n for n in group.names if any(group.place(n) in run for run in runs)])
        return
    lay_split(draft, [near[0].place(n) for n in near[1]], runs)


def split_jacks(draft: Draft) -> None:
    """The rear of one free jack to two ports, or one port to two free jacks (of which none is meant by a cord)."""
    if not draft.free_rears:
        return
    jack = draft.rng.choice(draft.free_rears)
    runs = taken_alike(draft, 1, family(draft.rng.choice(draft.groups).signal))
    if len(runs) == 2:
        draft.free_rears.remove(jack)
        draft.signal_of[jack] = draft.signal_of[runs[0][0]]
        lay_split(draft, [jack], runs)
        return
    for group in draft.groups:
        give_back(group, [n for n in group.names if any(group.place(n) in run for run in runs)])


def at_face(draft: Draft) -> None:
    """A cable at the face of a passive port that has one at its inside already."""
    behind = [g for g in draft.groups if g.direction == "either" and not g.hardwired and len(g.free) < len(g.names)]
    faces = [(g, n) for g in behind for n in g.names if n not in g.free and g.place(n) not in fronts(draft)]
    if not faces:
        return
    group, name = draft.rng.choice(faces)
    other = take(draft, ("in", "out", "either"), 1, family(group.signal))
    if other is not None:
        port = other[0].place(other[1][0])
        lay(draft, [group.place(name)], [port], front=True)
        draft.likely.append((group.place(name), port))


def fronts(draft: Draft) -> set[str]:
    """The ports that have a cable at their face."""
    ends = [entry[side] for entry in draft.whole.get("cable", []) if entry.get("front") for side in ("from", "to")]
    return {place for end in ends for place in (end if isinstance(end, list) else [end])}


def between_jacks(draft: Draft) -> None:
    """A cable between the rears of two free jacks."""
    if len(draft.free_rears) > 1:
        near, far = draft.rng.sample(draft.free_rears, 2)
        draft.free_rears = [jack for jack in draft.free_rears if jack not in (near, far)]
        signal = draft.rng.choice(draft.groups).signal
        draft.signal_of |= {near: signal, far: signal}
        lay(draft, [near], [far])
