"""Which features of the language a random state has, so that a gate can show that none of them is never tried.

A feature counts where it is written and holds in the state, or where it shows in the answer. Says nothing about right
or wrong.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from attrs import frozen

from .flood import Answer
from .readings import RIGHT
from .state import cord_end, included
from .written import FAMILIES, Table, Written, read, united


@frozen
class Seen:
    """One state: its text as one table, the tables of its setup with all that it includes, and its answer."""

    files: Mapping[str, str]
    whole: Table
    written: Written
    own: Table
    setups: list[Table]
    answer: Answer

    def each(self, kind: str, array: str) -> Iterator[Table]:
        """Every entry of `[[kind.*.array]]`."""
        for table in self.whole.get(kind, {}).values():
            yield from table.get(array, [])

    def ports(self) -> list[Table]:
        """Every statement of a port."""
        return [*self.each("model", "port"), *self.each("unit", "port")]

    def insides(self) -> list[Table]:
        """Every statement of an inside."""
        return [*self.each("model", "inside"), *self.each("unit", "inside")]

    def cables(self) -> list[Table]:
        """Every `[[cable]]`."""
        return list(self.whole.get("cable", []))

    def state(self, array: str) -> list[Table]:
        """Every entry of this array in the setup and what it includes."""
        return [entry for table in self.setups for entry in table.get(array, [])]

    def texts(self) -> Iterator[str]:
        """Every text anywhere."""
        yield from texts_of(self.whole)


def texts_of(value: Any) -> Iterator[str]:
    """Every text in a value."""
    if isinstance(value, str):
        yield value
    for part in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from texts_of(part)


def has(entries: list[Table], key: str, *values: Any) -> bool:
    """Whether some entry has this key, with one of these values if any are given."""
    return any(key in entry and (not values or entry[key] in values) for entry in entries)


def text_like(pattern: str) -> Callable[[Seen], bool]:
    """Whether some text of the studio has this pattern in it."""
    return lambda s: any(re.search(pattern, text) for text in s.texts())


def counts_down(s: Seen) -> bool:
    """Whether some range counts down."""
    found = (re.search(r"([0-9]+)\.\.([0-9]+)", text) for text in s.texts())
    return any(int(m[1]) > int(m[2]) for m in found if m)


def column_with(links: bool, setting: str, sources: str) -> Callable[[Seen], bool]:
    """Whether some column of such a bay has this normal or link plug."""
    return lambda s: any((c.links, c.setting, c.sources) == (links, setting, sources) for c in s.written.columns)


def default_used(s: Seen) -> bool:
    """Whether some bay has a default other than none."""
    return any(bay.get("normal", "none") != "none" for bay in s.whole["bay"].values())


def columns_twice(s: Seen) -> bool:
    """Whether some column is named by a statement that gives it only its normal."""
    return any(set(e) in ({"at", "normal"}, {"at", "plug"}) for e in s.each("bay", "column"))


def split_tables(s: Seen) -> bool:
    """Whether some unit is stated in two files."""
    heads = [set(re.findall(r"^\[+(unit\.[^.\]]+)", text, re.MULTILINE)) for text in s.files.values()]
    return any(a & b for i, a in enumerate(heads) for b in heads[:i])


def restated(s: Seen) -> bool:
    """Whether a column's cable is stated again."""
    ports = {t for e in s.each("bay", "column") for row in ("top", "bottom") if row in e for t in texts_of(e[row])}
    return any(ports & set(texts_of(cable)) for cable in s.cables())


def splits(s: Seen) -> bool:
    """Whether some cable is a deliberate split."""
    sides = [cable[side] for cable in s.cables() for side in ("from", "to")]
    return any(isinstance(side, list) and isinstance(side[0], list) for side in sides)


def jack_to_jack(s: Seen) -> bool:
    """Whether some cable joins two jacks."""
    return any(c.a in s.written.jacks and c.b in s.written.jacks for c in s.written.cables)


def cords(s: Seen) -> list[tuple[str, str]]:
    """The ends of every cord as they are named."""
    return [(e["from"], to) for e in s.state("cord") for to in (e["to"] if isinstance(e["to"], list) else [e["to"]])]


def stands_for_jack(s: Seen) -> bool:
    """Whether some cord names a port and means its jack."""
    ends = [end for pair in cords(s) for end in pair if end in s.written.ports]
    return any(cord_end(s.written, end, RIGHT) in s.written.jacks for end in ends)


def takes(*directions: str) -> Callable[[Seen], bool]:
    """Whether some cord is plugged into a port of such a direction itself."""

    def taken(s: Seen) -> bool:
        ends = [end for pair in cords(s) for end in pair if end in s.written.ports]
        return any(s.written.ports[e].direction in directions and cord_end(s.written, e, RIGHT) == e for e in ends)

    return taken


def two_way(kind: str) -> Callable[[Seen], bool]:
    """Whether some inside of this kind lies between `either` ports."""
    return lambda s: any(
        i.kind == kind and all(s.written.ports[place].direction == "either" for pair in i.pairs for place, _ in pair)
        for i in s.written.insides
    )


def feed_with(test: Callable[[tuple[str, str, tuple[str, ...], str, bool]], bool]) -> Callable[[Seen], bool]:
    """Whether some feed is like this."""
    return lambda s: any(map(test, s.answer.feeds))


def polarity_is(polarity: str) -> Callable[[Seen], bool]:
    """Whether some feed has this polarity."""
    return lambda s: any(feed[3] == polarity for feed in s.answer.feeds)


def port_is(key: str, value: str) -> Callable[[Seen], bool]:
    """Whether some port says this."""
    return lambda s: has(s.ports(), key, value)


def inside_is(key: str, value: str) -> Callable[[Seen], bool]:
    """Whether some inside says this."""
    return lambda s: has(s.insides(), key, value)


def of_family(family: str) -> Callable[[Seen], bool]:
    """Whether some port is of this family."""
    return lambda s: any(port.family == family for port in s.written.ports.values())


def breaks_at(side: str) -> Callable[[Seen], bool]:
    """Whether some sideways normal says that it breaks there."""
    return lambda s: has(s.whole.get("normal", []), "breaks", side)


def network_feed(s: Seen) -> bool:
    """Whether a route makes a feed between network ports."""
    both = {place for place, port in s.written.ports.items() if port.direction == "both"}
    return any(re.sub(r" ch [0-9]+$", "", feed[0]) in both for feed in s.answer.feeds)


def override(s: Seen) -> bool:
    """Whether a unit gives a key for a port of its model."""
    return any("direction" not in port for port in s.each("unit", "port"))


def own_insides_beside_model(s: Seen) -> bool:
    """Whether a unit of a model has insides of its own."""
    return any("model" in unit and "inside" in unit for unit in s.whole["unit"].values())


def one_row(s: Seen) -> bool:
    """Whether some bay has one row."""
    return any(bay.get("rows") == 1 for bay in s.whole["bay"].values())


FEATURES: dict[str, Callable[[Seen], bool]] = {
    "unpatched": lambda s: not s.setups,
    "setup": lambda s: bool(s.setups),
    "several-files": lambda s: len(s.files) > 2,
    "table-continued-elsewhere": split_tables,
    "range-with-step": text_like(r"[0-9]\.\.[0-9]+ step [0-9]"),
    "range-padded": text_like(r"(?<![0-9])0[0-9]+\.\.[0-9]+"),
    "range-down": counts_down,
    "range-of-channels": text_like(r" ch [0-9]+\.\.[0-9]"),
    "one-channel-named": text_like(r" ch [0-9]+$"),
    "odd-names": text_like(r'[\[\]"#%ü]'),
    **{f"direction-{d}": port_is("direction", d) for d in ("in", "out", "either", "both")},
    **{f"family-{family}": of_family(family) for family in sorted(set(FAMILIES.values()))},
    "own-signal": lambda s: bool(s.whole.get("signal")),
    "channels-stated": lambda s: has(s.ports(), "channels"),
    "model": lambda s: has(list(s.whole["unit"].values()), "model"),
    "override": override,
    "insides-beside-model": own_insides_beside_model,
    "away": lambda s: has(list(s.whole["unit"].values()), "away"),
    **{f"inside-{k}": inside_is("kind", k) for k in ("hardwired", "transformer", "capacitor")},
    "transformer-two-way": two_way("transformer"),
    "capacitor-two-way": two_way("capacitor"),
    "all-to-all": lambda s: has(s.insides(), "pairing", "all-to-all"),
    "hardwired-reversed": lambda s: has(s.insides(), "polarity", "reversed"),
    "control-level": lambda s: has(s.insides(), "control", "level"),
    "control-routed": lambda s: has(s.insides(), "control", "routed"),
    "when": lambda s: has(s.insides(), "when"),
    "unless": lambda s: has(s.insides(), "unless"),
    "switch-moved": lambda s: bool(s.state("set")),
    "route-at-top": lambda s: bool(s.whole.get("route")),
    "route-in-setup": lambda s: bool(s.state("route")),
    "network-feed": network_feed,
    **{
        f"{setting}-sources-{sources}": column_with(False, setting, sources)
        for setting in ("none", "half", "full", "parallel")
        for sources in ("top", "bottom")
    },
    **{
        f"plug-{setting}-sources-{sources}": column_with(True, setting, sources)
        for setting in ("none", "top", "bottom")
        for sources in ("top", "bottom")
    },
    "bay-default": default_used,
    "column-twice": columns_twice,
    "bay-of-one-row": one_row,
    "mult": lambda s: any(True for _ in s.each("bay", "mult")),
    "sideways-normal": lambda s: bool(s.whole.get("normal")),
    **{f"breaks-{b}": breaks_at(b) for b in ("to", "from", "both", "never")},
    "cable": lambda s: bool(s.cables()),
    "cable-reversed": lambda s: has(s.cables(), "polarity", "reversed"),
    "cable-number": lambda s: has(s.cables(), "number"),
    "cable-dead": lambda s: has(s.cables(), "status", "dead"),
    "cable-front": lambda s: has(s.cables(), "front"),
    "cable-restated": restated,
    "cable-split": splits,
    "cable-between-jacks": jack_to_jack,
    "cord-reversed": lambda s: has(s.state("cord"), "polarity", "reversed"),
    "cord-y": lambda s: any(isinstance(e["to"], list) and len(e["to"]) > 1 for e in s.state("cord")),
    "cord-range": lambda s: any(".." in e["from"] for e in s.state("cord")),
    "cord-by-port-name": stands_for_jack,
    "cord-behind-rack": takes("in", "out"),
    "cord-at-face": takes("either"),
    "dummy-plug": lambda s: has(s.state("plug"), "set", "broken"),
    "link-plug-moved": lambda s: has(s.state("plug"), "set", "top", "bottom"),
    "link-plug-out": lambda s: has(s.state("plug"), "set", "out"),
    "include": lambda s: "include" in s.own,
    "include-of-include": lambda s: any("include" in table for table in s.setups if table is not s.own),
    "need": lambda s: bool(s.own.get("need")),
    "need-never": lambda s: has(s.own.get("need", []), "never"),
    "need-only": lambda s: has(s.own.get("need", []), "only"),
    "need-fails": lambda s: bool(s.answer.needs),
    "need-holds": lambda s: len(s.own.get("need", [])) > len(s.answer.needs),
    **{f"feed-{p}": polarity_is(p) for p in ("kept", "reversed", "mixed")},
    "feed-between-ends": feed_with(lambda f: f[4]),
    "feed-without-jack": feed_with(lambda f: not f[2]),
    "feed-by-four-jacks": feed_with(lambda f: len(f[2]) > 3),
    "feed-of-several-channels": feed_with(lambda f: f[1].endswith(" ch 2")),
    "idle": lambda s: any(idle for _, _, idle in s.answer.paths),
    "path-not-idle": lambda s: any(not idle for _, _, idle in s.answer.paths),
    "path-through-a-unit": lambda s: bool({p[:2] for p in s.answer.paths} - {f[:2] for f in s.answer.feeds}),
    "feedback-controlled": lambda s: any(controlled for _, controlled in s.answer.feedback),
    "feedback-fixed": lambda s: any(not controlled for _, controlled in s.answer.feedback),
    "jack-with-two-wires": lambda s: any(len(wired) > 1 for _, wired in s.answer.points),
}


def features(files: Mapping[str, str], setup: str | None, answer: Answer) -> frozenset[str]:
    """The ids of all features that this state of a studio has."""
    whole, written = united(files), read(files, RIGHT)
    tables = list(included(written, setup, RIGHT)) if setup is not None else []
    own = written.setups[setup] if setup is not None else {}
    seen = Seen(files, whole, written, own, tables, answer)
    return frozenset(ident for ident, test in FEATURES.items() if test(seen))
