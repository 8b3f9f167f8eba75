"""Random equipment: models and units with ports, insides and switches of every kind."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from random import Random
from typing import Any

from attrs import Factory, define

from .drafts import Draft, Group, Table, some_of, words
from .readings import RIGHT
from .spread import spread_channels

ANALOGUE = ("mic", "line", "line", "instrument", "headphone", "speaker-level")
DIGITAL = ("aes3", "aes3", "spdif", "aes3id", "optical8", "madi", "wordclock", "midi", "timecode", "usb", "gpio", "cv")
OWN = {"house": "line", "deck": "aes3", "talkback": "mic"}
MANY = {"aes3": 2, "spdif": 2, "aes3id": 2, "optical8": 8, "deck": 2}
STEMS = ("in ", "out ", "line ", "L", "", "süd [x] ", "a.b ", "50% #", 'so "x" ', "p = q ", "mic ")


@define
class Kit:
    """One unit or model while its ports are chosen."""

    rng: Random
    table: Table = Factory(dict)
    groups: list[Group] = Factory(list)
    taken: set[str] = Factory(set)

    def ports(self, direction: str, count: int, signal: str, channels: int | None = None) -> Group:
        """A few ports side by side."""
        rng = self.rng
        first, step = rng.choice((1, 1, 1, 3)), rng.choice((1, 1, 1, 1, 2))
        width = rng.choice((1, 1, 1, 2))
        numbers = [f"{n:0{width}d}" for n in range(first, first + step * count, step)]
        stem = next(s for s in self.stems() if not any((s + n).casefold() in self.taken for n in numbers))
        names = [stem + n for n in numbers]
        self.taken |= {name.casefold() for name in names}
        entry: Table = {"name": words(rng, names), "direction": direction, "signal": signal}
        if channels is not None or signal == "network" or rng.random() < 0.1:
            entry["channels"] = channels or MANY.get(signal, 1)
        self.table.setdefault("port", []).append(entry)
        group = Group("", names, direction, signal, channels or MANY.get(signal, 1))
        self.groups.append(group)
        return group

    def stems(self) -> list[str]:
        """Stems to try, in a random order; the last ones always serve."""
        chosen = self.rng.sample(STEMS, len(STEMS))
        return [*chosen, *(f"x{n} " for n in range(99))]

    def inside(self, near: list[str], far: list[str], **keys: Any) -> None:
        """An inside from these to those."""
        entry = {"from": words(self.rng, near), "to": words(self.rng, far), **keys}
        self.table.setdefault("inside", []).append({k: v for k, v in entry.items() if v is not None})

    def condition(self) -> Table:
        """Now and then a switch, or a port that opens the inside when something is plugged there."""
        rng = self.rng
        keys: Table = {}
        if rng.random() < 0.3:
            positions = rng.choice((["off", "on"], ["A", "B", "C"]))
            fresh = {"name": rng.choice(("pad", "Mode A", "s-1")), "positions": positions}
            entry = self.table.setdefault("switch", [fresh])[0]
            keys["when"] = f"{entry['name']} = {rng.choice(entry['positions'])}"
        if rng.random() < 0.15:
            keys["unless"] = rng.choice([name for group in self.groups for name in group.names])
        return keys

    def control(self, chance: float = 0.4) -> str | None:
        """A control of an inside, or none."""
        return self.rng.choice(("level", "level", "routed", "none")) if self.rng.random() < chance else None


def per_channel(group: Group) -> list[str]:
    """The channels of a group, each named."""
    if group.channels == 1:
        return group.names
    return [f"{name} ch {n}" for name in group.names for n in range(1, group.channels + 1)]


def unusual(kit: Kit, signal: str) -> int | None:
    """Now and then another number of channels than is usual for a digital signal."""
    return kit.rng.randint(1, 3) if signal in MANY and kit.rng.random() < 0.4 else None


def source(kit: Kit, signal: str) -> None:
    """Something that only drives."""
    kit.ports("out", kit.rng.randint(1, 4), signal, unusual(kit, signal))


def sink(kit: Kit, signal: str) -> None:
    """Something that only receives."""
    kit.ports("in", kit.rng.randint(1, 4), signal, unusual(kit, signal))


def chain(kit: Kit, signal: str) -> None:
    """Inputs that come out again, one by one."""
    count = kit.rng.randint(1, 3)
    near, far = kit.ports("in", count, signal), kit.ports("out", count, signal)
    kind = kit.rng.choice((None, None, None, "active", "transformer", "capacitor"))
    kit.inside(near.names, far.names, kind=kind, control=kit.control(), **kit.condition())
    if kit.rng.random() < 0.2:
        kit.ports("in", 1, signal)


def mixer(kit: Kit, signal: str) -> None:
    """Inputs that all come out of all outputs."""
    near, far = kit.ports("in", kit.rng.randint(1, 4), signal), kit.ports("out", kit.rng.randint(1, 2), signal)
    kit.inside(near.names, far.names, pairing="all-to-all", control=kit.control(0.7), **kit.condition())


def insert(kit: Kit, signal: str) -> None:
    """A channel whose way inside is opened by whatever is plugged into its return."""
    near, far = kit.ports("in", 1, signal), kit.ports("out", 1, signal)
    send, back = kit.ports("out", 1, signal), kit.ports("in", 1, signal)
    kit.inside(near.names, far.names, unless=back.names[0], control=kit.control())
    kit.inside(near.names, send.names)
    kit.inside(back.names, far.names, control=kit.control())


def wall(kit: Kit, signal: str) -> None:
    """Passive sockets."""
    kit.ports("either", kit.rng.randint(1, 4), signal, unusual(kit, signal))


def tie(kit: Kit, signal: str) -> None:
    """Passive sockets that are joined inside: tie lines, mults, parallel splits."""
    near = kit.ports("either", kit.rng.randint(1, 2), signal)
    pairing = kit.rng.choice((None, "one-to-one", "all-to-all"))
    far = kit.ports("either", kit.rng.randint(1, 3) if pairing == "all-to-all" else len(near.names), signal)
    near.hardwired = far.hardwired = True
    polarity = kit.rng.choice((None, None, "reversed", "kept"))
    kit.inside(near.names, far.names, kind="hardwired", pairing=pairing, polarity=polarity, **kit.condition())


def isolator(kit: Kit, signal: str) -> None:
    """Passive sockets with a transformer or a capacitor between them; now and then two in a row."""
    near = kit.ports("either", kit.rng.randint(1, 2), signal)
    pairing = kit.rng.choice((None, None, "all-to-all"))
    far = kit.ports("either", kit.rng.randint(1, 2) if pairing else len(near.names), signal)
    kind = kit.rng.choice(("transformer", "transformer", "capacitor"))
    kit.inside(near.names, far.names, kind=kind, pairing=pairing, **kit.condition())
    if kit.rng.random() < 0.3:
        last = kit.ports("either", len(far.names), signal)
        kit.inside(far.names, last.names, kind=kind)


def converter(kit: Kit, signal: str) -> None:
    """Separate inputs that come out as the channels of one port."""
    digital = signal if signal in MANY else kit.rng.choice(("aes3", "spdif", "deck", "optical8"))
    far = kit.ports("out", 1, digital)
    near = kit.ports("in", min(far.channels, 4), "line")
    kit.inside(near.names, per_channel(far)[: len(near.names)])


def back_converter(kit: Kit, signal: str) -> None:
    """The channels of one port that come out of separate outputs."""
    digital = signal if signal in MANY else kit.rng.choice(("aes3", "spdif", "deck", "optical8"))
    near = kit.ports("in", 1, digital)
    far = kit.ports("out", min(near.channels, 4), "line")
    kit.inside(per_channel(near)[: len(far.names)], far.names, control=kit.control(0.2))


def stage(kit: Kit, signal: str) -> None:
    """A network port that sends the inputs and gives out what it gets."""
    count = kit.rng.randint(1, 3)
    net = kit.ports("both", 1, "network", kit.rng.randint(count, 4))
    near, far = kit.ports("in", count, "line"), kit.ports("out", count, "line")
    channels = per_channel(net)[:count]
    kit.inside(near.names, channels)
    kit.inside(channels, far.names, control=kit.control(0.3))
    if kit.rng.random() < 0.3:
        kit.inside(per_channel(net)[:1], per_channel(net)[-1:], control="routed")


def net_tie(kit: Kit, signal: str) -> None:
    """Network sockets that are joined inside."""
    near, far = kit.ports("either", 1, "network", 4), kit.ports("either", 1, "network", 4)
    near.hardwired = far.hardwired = True
    kit.inside(near.names, far.names, kind="hardwired")


def jack_field(kit: Kit, signal: str) -> None:
    """Sockets that may take either plug, with electronics behind them."""
    face = kit.ports("either", kit.rng.randint(1, 2), signal)
    if kit.rng.random() < 0.5:
        kit.inside(face.names, kit.ports("out", len(face.names), signal).names, **kit.condition())
    else:
        kit.inside(kit.ports("in", len(face.names), signal).names, face.names, **kit.condition())
    if kit.rng.random() < 0.3:
        kit.inside(face.names, kit.ports("either", len(face.names), signal).names)


KINDS: tuple[Callable[[Kit, str], None], ...] = (
    source, source, sink, sink, chain, chain, chain, mixer, mixer, insert, wall, wall, tie, tie,
    isolator, isolator, converter, back_converter, stage, stage, stage, net_tie, jack_field,
)  # fmt: skip


def make_kit(rng: Random, signals: list[str]) -> Kit:
    """One unit or model of a random kind."""
    kit = Kit(rng)
    rng.choice(KINDS)(kit, rng.choice(signals))
    if rng.random() < 0.15:
        rng.choice((source, sink, wall))(kit, rng.choice(signals))
    return kit


def add_units(draft: Draft, count: int, signals: list[str]) -> None:
    """So many units, some of them of a few models."""
    rng = draft.rng
    models = {f"model-{n}": make_kit(rng, signals) for n in range(rng.randint(1, 3))}
    for ident, kit in models.items():
        draft.whole.setdefault("model", {})[ident] = kit.table
    for ident in rng.sample(IDS, count):
        table = draft.whole.setdefault("unit", {})[ident] = {}
        if rng.random() < 0.35:
            model = rng.choice(sorted(models))
            table["model"] = model
            of_model(draft, ident, table, models[model])
        else:
            kit = make_kit(rng, signals)
            table |= kit.table
            adopt(draft, ident, kit.groups, kit.table)
        if rng.random() < 0.3:
            table["title"] = rng.choice(("Old desk", "Wall box \\ left", "Größe 2", 'The "good" one'))
        if rng.random() < 0.1:
            table["away"] = "in repair"


IDS = ("pre-a", "pre-b", "desk", "hall", "booth", "tape", "conv", "comp", "eq_1", "plate", "amp", "7", "2-track", "Net",
       "box", "split", "cue", "echo", "ring", "pit")  # fmt: skip


def of_model(draft: Draft, ident: str, table: Table, model: Kit) -> None:
    """A unit of a model, that may override keys of its ports and have ports and insides of its own."""
    rng = draft.rng
    own = Kit(rng, taken=set(model.taken))
    groups = [Group(ident, list(g.names), g.direction, g.signal, g.channels, g.hardwired) for g in model.groups]
    if rng.random() < 0.4:
        group = rng.choice(groups)
        other = other_signal(rng, group.signal)
        names = some_of(rng, sorted(group.names), 2)
        own.table.setdefault("port", []).append({"name": words(rng, sorted(names)), "signal": other})
    if rng.random() < 0.4:
        rng.choice((sink, chain, mixer, source))(own, model.groups[0].signal)
        if "switch" in own.table and "switch" in model.table:
            own.table = {}
            own.groups = []
    table |= own.table
    adopt(draft, ident, [*groups, *own.groups], {"inside": both_insides(own.table, model.table)})


def both_insides(own: Table, model: Table) -> list[Table]:
    """The insides of a unit and its model."""
    return [*model.get("inside", []), *own.get("inside", [])]


def other_signal(rng: Random, signal: str) -> str:
    """Another kind of signal with as many channels; seldom one of another family."""
    if signal in ("mic", "line", "instrument", "headphone", "speaker-level"):
        return rng.choice(("mic", "line", "headphone", "cv", "timecode"))
    return rng.choice(("aes3", "spdif", "aes3id")) if MANY.get(signal) == 2 else signal


def adopt(draft: Draft, ident: str, groups: list[Group], table: Table) -> None:
    """Take the ports of a unit into the draft."""
    channels: dict[str, int] = {}
    for group in groups:
        made = Group(ident, group.names, group.direction, group.signal, group.channels, group.hardwired, [*group.names])
        draft.groups.append(made)
        draft.signal_of |= {made.place(name): made.signal for name in made.names}
        channels |= dict.fromkeys(made.names, made.channels)
    for inside in table.get("inside", []):
        if inside.get("control") == "routed":
            near, far = (each_channel(ident, inside[side], channels) for side in ("from", "to"))
            crossed = inside.get("pairing") == "all-to-all"
            draft.crosspoints += product(near, far) if crossed else zip(near, far, strict=True)


def each_channel(ident: str, value: Any, channels: dict[str, int]) -> list[str]:
    """Each channel of one side of an inside by its name."""
    found: list[str] = []
    for text in value if isinstance(value, list) else [value]:
        for name, number in spread_channels(text, RIGHT):
            numbers = [number] if number else range(1, channels[name] + 1)
            found += [f"{ident}/{name}" + (f" ch {n}" if channels[name] > 1 else "") for n in numbers]
    return found
