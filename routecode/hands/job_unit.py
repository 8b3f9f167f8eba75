"""A unit with its ports, insides and switches written out one by one, under other names: what a unit was, as it reads after."""

from collections.abc import Iterator, Mapping

from attrs import evolve

from routecode.circuit.parts import Bond, Branch, Kit
from routecode.language.written import Inside, Switch, Unit


def plain_unit(unit: Unit, kit: Kit, names: Mapping[str, str]) -> Unit:
    """The unit without its model, each port by its new name (`names`: old to new, only where they differ)."""
    called = [names.get(socket.name, socket.name) for socket in kit.sockets]
    ports = [
        evolve(socket.written, name=(name,), was=None, pairs=None)
        for name, socket in zip(called, kit.sockets, strict=True)
    ]
    switches = [Switch(name=name, positions=positions, place=unit.place) for name, positions in kit.switches.items()]
    multipins = [
        evolve(many.written, carries=tuple(called[index] for index in many.sockets), place=unit.place)
        for many in kit.multipins
    ]
    insides = (*_branches(unit, kit, called), *_bonds(unit, kit, called))
    return evolve(
        unit, model=None, port=tuple(ports), inside=insides, switch=tuple(switches), multipin=tuple(multipins)
    )


def _branches(unit: Unit, kit: Kit, called: list[str]) -> Iterator[Inside]:
    for branch in kit.branches:
        yield Inside(
            from_=(_channel(kit, called, branch.source, branch.source_channel),),
            to=(_channel(kit, called, branch.target, branch.target_channel),),
            kind=branch.kind,
            control=branch.control,
            polarity=_polarity(branch),
            when=_when(branch),
            unless=None if branch.unless is None else called[branch.unless],
            ratio=branch.ratio if branch.kind == "transformer" else None,
            gain_db=branch.gain_db,
            place=unit.place,
        )


def _bonds(unit: Unit, kit: Kit, called: list[str]) -> Iterator[Inside]:
    for bond in kit.bonds:
        yield Inside(
            from_=(called[bond.source],),
            to=(called[bond.target],),
            kind="hardwired",
            polarity=_polarity(bond),
            when=_when(bond),
            unless=None if bond.unless is None else called[bond.unless],
            place=unit.place,
        )


def _polarity(part: Branch | Bond) -> str:
    return "reversed" if part.reversed else "kept"


def _when(part: Branch | Bond) -> str | None:
    return None if part.switch is None else f"{part.switch} = {part.position}"


def _channel(kit: Kit, called: list[str], socket: int, channel: int) -> str:
    return called[socket] if kit.channels[socket] == 1 else f"{called[socket]} ch {channel + 1}"
