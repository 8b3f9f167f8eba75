"""Random setups of a draft: cords of every kind, plugs, positions, routes, needs, includes. No jack gets two cords."""

from __future__ import annotations

from typing import Any

from .drafts import Draft, Group, Table, one_text
from .random_wiring import family
from .readings import RIGHT
from .state import cord_end
from .written import Written, read


def add_routes(draft: Draft) -> None:
    """Routes at the top level."""
    draft.crosspoints += between_networks(draft)
    for near, far in draft.crosspoints:
        if draft.chance(0.25):
            draft.top("route", {"from": near, "to": far})


def between_networks(draft: Draft) -> list[tuple[str, str]]:
    """Pairs of network channels that a route may join."""
    groups = [g for g in draft.groups if g.direction == "both"]
    pairs = [(a, b) for a in groups for b in groups if a.unit != b.unit]
    return [(network_channel(draft, a), network_channel(draft, b)) for a, b in pairs for _ in range(2)]


def network_channel(draft: Draft, group: Group) -> str:
    """Some channel of a network port, mostly the first."""
    place = group.place(group.names[0])
    return place if group.channels == 1 else f"{place} ch {draft.rng.choice((1, 1, 2))}"


def add_setups(draft: Draft, count: int, text: str) -> None:
    """So many setups; `text` is the studio without them."""
    written = read({"studio.toml": text}, RIGHT)
    names = draft.rng.sample(("drums", "Play-1", "take_2", "x", "edit"), count)
    for number, name in enumerate(names):
        table: Table = draft.whole.setdefault("setup", {}).setdefault(name, {})
        if number and draft.chance(0.75):
            table["include"] = draft.rng.sample(names[:number], draft.rng.randint(1, number))
            if len(table["include"]) == 1 and draft.chance(0.5):
                table["include"] = table["include"][0]
        if draft.chance(0.5):
            table["times_per_year"] = draft.rng.randint(1, 99)
        add_cords(draft, written, table)
        add_plugs(draft, written, table)
        add_sets(draft, written, table)
        chosen = [pair for pair in draft.crosspoints if draft.chance(0.4)]
        table |= {"route": [{"from": a, "to": b} for a, b in dict.fromkeys(chosen)]} if chosen else {}
        add_needs(draft, table)


def add_cords(draft: Draft, written: Written, table: Table) -> None:
    """A few cords, of them some that another setup has too."""
    cords: list[Table] = []
    for _ in range(draft.rng.randint(1, 5)):
        cord = draft.rng.choice((simple, simple, simple, loop_back, loop_back, runs, y_cord, across))(draft, written)
        if cord is not None:
            if draft.chance(0.3):
                cord["polarity"] = draft.rng.choice(("reversed", "reversed", "kept"))
            cords.append(cord)
    earlier = [c for other in draft.whole["setup"].values() if other is not table for c in other.get("cord", [])]
    if earlier and draft.chance(0.6):
        cords.append({**draft.rng.choice(earlier), "polarity": draft.rng.choice(("kept", "reversed"))})
    if cords:
        table["cord"] = cords


def ends_of(draft: Draft, written: Written, directions: tuple[str, ...]) -> list[str]:
    """Places that can take one more cord: free fronts, and ports that stand for one or take the cord themselves."""
    ports = [g.place(n) for g in draft.groups if g.direction in directions for n in g.names]
    usable = [p for p in ports if cord_end(written, p, RIGHT) in draft.free_fronts or is_face(written, p)]
    jacks = [j for j in draft.free_fronts if draft.chance(0.7)]
    return [*jacks, *(p for p in usable if draft.chance(0.4))]


def is_face(written: Written, place: str) -> bool:
    """Whether a cord that names this port is plugged into the port itself."""
    return cord_end(written, place, RIGHT) == place


def used(draft: Draft, written: Written, *places: str) -> None:
    """These places have their cord now."""
    ends = {cord_end(written, place, RIGHT) for place in places}
    draft.free_fronts = [jack for jack in draft.free_fronts if jack not in ends]


def pick(draft: Draft, written: Written, places: list[str], beside: list[str]) -> str | None:
    """One of these places whose signal fits, most of the time, those beside it; never the same end twice."""
    taken = {cord_end(written, place, RIGHT) for place in beside}
    free = [place for place in places if cord_end(written, place, RIGHT) not in taken]
    signals = {family(draft.signal_of[place]) for place in beside if place in draft.signal_of}
    like = [p for p in free if p in draft.signal_of and family(draft.signal_of[p]) in signals]
    chosen = like if like and draft.chance(0.9) else free
    return draft.rng.choice(chosen) if chosen else None


def simple(draft: Draft, written: Written) -> Table | None:
    """One cord."""
    near = pick(draft, written, ends_of(draft, written, ("out", "either", "both")), [])
    far = pick(draft, written, ends_of(draft, written, ("in", "either", "both")), [near]) if near else None
    if near is None or far is None:
        return None
    used(draft, written, near, far)
    draft.likely.append((near, far))
    return {"from": near, "to": far}


def loop_back(draft: Draft, written: Written) -> Table | None:
    """A cord from an output of a unit to an input of the same unit, or of one that feeds it."""
    outs = [p for p in ends_of(draft, written, ("out",)) if p in written.ports]
    ins = [p for p in ends_of(draft, written, ("in",)) if p in written.ports]
    pairs = [(a, b) for a in outs for b in ins if a.partition("/")[0] == b.partition("/")[0]]
    if not pairs:
        return simple(draft, written)
    near, far = draft.rng.choice(pairs)
    if cord_end(written, near, RIGHT) == cord_end(written, far, RIGHT):
        return None
    used(draft, written, near, far)
    return {"from": near, "to": far}


def runs(draft: Draft, written: Written) -> Table | None:
    """As many cords as two ranges of jacks have names."""
    fronts = draft.free_fronts
    found: list[list[str]] = []
    for _ in range(2):
        start = draft.rng.randint(0, max(0, len(fronts) - 2))
        run = fronts[start : start + 2]
        if len(run) == 2 and one_text(run) and not any(set(run) & set(other) for other in found):
            found.append(run[::-1] if draft.chance(0.3) else run)
    if len(found) < 2:
        return None
    used(draft, written, *found[0], *found[1])
    return {"from": one_text(found[0]), "to": one_text(found[1])}


def y_cord(draft: Draft, written: Written) -> Table | None:
    """One end to two or three, or to a list of one."""
    ends: list[str] = []
    for directions in (("out", "either"), ("in", "either"), ("in", "either"), ("in",)):
        end = pick(draft, written, ends_of(draft, written, directions), ends)
        if end is not None and (len(ends) < 3 or draft.chance(0.3)):
            ends.append(end)
    if len(ends) < 2:
        return None
    used(draft, written, *ends)
    draft.likely += [(ends[0], end) for end in ends[1:]]
    return {"from": ends[0], "to": ends[1:]}


def across(draft: Draft, written: Written) -> Table | None:
    """A cord between the two jacks of one column."""
    columns = [
        (f"{c.bay}/top {c.number}", f"{c.bay}/bottom {c.number}")
        for c in written.columns
        if {f"{c.bay}/top {c.number}", f"{c.bay}/bottom {c.number}"} <= set(draft.free_fronts)
        and (c.setting == "parallel" or draft.chance(0.1))
    ]
    if not columns:
        return None
    near, far = draft.rng.choice(columns)
    used(draft, written, near, far)
    return {"from": near, "to": far, "polarity": "reversed"}


def add_plugs(draft: Draft, written: Written, table: Table) -> None:
    """Dummy plugs in switched jacks, and other places for link plugs."""
    plugs: list[Table] = []
    for column in draft.rng.sample(written.columns, min(len(written.columns), draft.rng.randint(0, 6))):
        jack = f"{column.bay}/{draft.rng.choice(('top', 'bottom'))} {column.number}"
        if column.links:
            plugs.append({"at": jack, "set": draft.rng.choice(("bottom", "top", "out"))})
        elif draft.chance(0.6) and jack in draft.free_fronts:
            draft.free_fronts.remove(jack)
            plugs.append({"at": [jack] if draft.chance(0.2) else jack, "set": "broken"})
    if plugs:
        table["plug"] = plugs


def add_sets(draft: Draft, written: Written, table: Table) -> None:
    """Positions of switches."""
    sets = [
        {"switch": f"{unit}/{name}", "to": draft.rng.choice(positions)}
        for (unit, name), positions in sorted(written.switches.items())
        if draft.chance(0.75)
    ]
    if sets:
        table["set"] = sets


def add_needs(draft: Draft, table: Table) -> None:
    """Needs, mostly of paths that may well be there; the parts of a path are ports of one channel or all of theirs."""
    channels = {g.place(n): g.channels for g in draft.groups for n in g.names}
    outputs = {g.place(n) for g in draft.groups if g.direction == "out" for n in g.names}
    pairs = [(a, b) for a, b in draft.likely if channels.get(a, 0) == channels.get(b, -1) and b not in outputs]
    needs: list[Table] = []
    for near, far in draft.rng.sample(pairs, min(len(pairs), draft.rng.randint(0, 4))):
        mode: dict[str, Any] = draft.rng.choice(({}, {}, {"never": True}, {"only": True}))
        needs.append({"path": [near, far], **mode})
    if needs:
        table["need"] = needs
