"""Pins of connectors, and the pin table of a cable between two of them. Knows no studio.

Assignments are those that are published for the family; where only custom says so, it is marked. Colours of wires are never used to tell
hot from cold: every permutation is found in the field.
"""

from typing import NamedTuple

HOT, COLD, SHIELD = "hot", "cold", "shield"
LEFT, RIGHT, SEND, RETURN = "left", "right", "send", "return"
UNUSED = "unused"


class Family(NamedTuple):
    """A family of connectors: its contacts in order with what each carries, whether it is balanced, and who says so."""

    pins: tuple[tuple[str, str], ...]
    balanced: bool
    source: str


FAMILIES: dict[str, Family] = {
    "xlr": Family(
        (("1", SHIELD), ("2", HOT), ("3", COLD)), True, "IEC 60268-12 and AES14: pin 1 screen, 2 hot, 3 cold (C1)"
    ),
    "xlr-unbalanced": Family(
        (("1", SHIELD), ("2", HOT), ("3", SHIELD)), False, "published pin-out: 3 joined to 1 (C2)"
    ),
    "trs": Family((("tip", HOT), ("ring", COLD), ("sleeve", SHIELD)), True, "tip hot, ring cold (C4)"),
    "bantam": Family((("tip", HOT), ("ring", COLD), ("sleeve", SHIELD)), True, "as the larger plug (C4, C8)"),
    "b-gauge": Family(
        (("tip", HOT), ("ring", COLD), ("sleeve", SHIELD)), True, "as the larger plug, another profile (C9)"
    ),
    "ts": Family((("tip", HOT), ("sleeve", SHIELD)), False, "two conductors (C7)"),
    "rca": Family((("pin", HOT), ("shell", SHIELD)), False, "centre signal, shell return; from memory"),
    "bnc": Family((("centre", HOT), ("shell", SHIELD)), False, "centre signal, shell return (C12)"),
    "trs-insert": Family(
        (("tip", SEND), ("ring", RETURN), ("sleeve", SHIELD)),
        False,
        "tip send: common convention, the reverse exists (C5)",
    ),
    "trs-stereo": Family((("tip", LEFT), ("ring", RIGHT), ("sleeve", SHIELD)), False, "tip left, ring right (C6)"),
    "din5": Family(
        (("4", HOT), ("5", COLD), ("2", SHIELD), ("1", UNUSED), ("3", UNUSED)),
        True,
        "IEC 63035: 4 and 5 loop, 2 shield at the output (C11)",
    ),
    "8p8c": Family(
        (
            ("1", HOT),
            ("2", COLD),
            ("3", "hot 2"),
            ("6", "cold 2"),
            ("4", "hot 3"),
            ("5", "cold 3"),
            ("7", "hot 4"),
            ("8", "cold 4"),
        ),
        True,
        "pairs 1-2, 3-6, 4-5, 7-8 (TIA-568), from memory",
    ),
}
"""By name; circuits of multipins are in LAYOUTS."""

FAMILY_OF = {
    **{name: name for name in FAMILIES},
    "xlr-m": "xlr",
    "xlr-f": "xlr",
    "a-gauge": "trs",
    "minijack": "trs",
}
"""Words for connectors and contacts -> their family; words that are not here have no pin table."""

_OF_25 = ("db25", "d-sub-25")
"""Words for the connector of 25 pins, whatever is on them (DIN 41652)."""

AES59 = ((24, 12, 25), (10, 23, 11), (21, 9, 22), (7, 20, 8), (18, 6, 19), (4, 17, 5), (15, 3, 16), (1, 14, 2))
"""AES59 on 25 pins, circuits 1 to 8: (hot, cold, shield); pin 13 is free. Published tables; digital pins 22 to 25 inferred."""
IN_A_ROW = tuple(
    (number, number + 13, shield) for number, shield in zip(range(1, 9), (10, 10, 12, 12, 13, 13, 22, 22), strict=True)
)
"""The other layout of AES3 on 25 pins: hot on 1 to 8, cold on 14 to 21; which ground belongs to which circuit is not published."""
LAYOUTS = {"aes59": AES59, "in-a-row": IN_A_ROW}
"""By name, in small letters."""


def layout_pins(name: str) -> tuple[tuple[int, int, int], ...] | None:
    """The pins of a published layout, circuit by circuit, however its name is written; None for any other."""
    return LAYOUTS.get(name.casefold())


def contacts(connector: str) -> tuple[str, ...]:
    """The contacts of a connector, by a word for it; empty where they are not published."""
    if connector.removesuffix("-m").removesuffix("-f") in _OF_25:
        return tuple(map(str, range(1, 26)))
    family = FAMILY_OF.get(connector)
    return tuple(pin for pin, _ in FAMILIES[family].pins) if family is not None else ()


class Joint(NamedTuple):
    """One wire of a cable: the pin at each end (None: nothing is soldered there) and what it carries.

    `linked`: the end, `from` or `to`, at which its pin is joined to the pin of the shield inside the connector; else empty.
    """

    from_pin: str | None
    carries: str
    to_pin: str | None
    linked: str = ""


def pin_table(
    from_: str, to: str, *, cold: str = "shield-at-to", shield: str = "both", reversed_: bool = False
) -> tuple[Joint, ...]:
    """The wires of a cable between two families, hot first. KeyError for a family that is not known.

    `cold` says what becomes of the cold wire where one end is unbalanced: `shield-at-from`, `shield-at-to` (joined to the shield at that
    end: at the unbalanced one to its sleeve or shell, at the balanced one by a link between its cold pin and its shield pin) or `open`;
    `shield` at which ends the shield is connected: `both`, `from`, `to`; `reversed_` exchanges hot and cold at the far end, which only two
    balanced ends allow (ValueError).
    """
    one, other = FAMILIES[from_], FAMILIES[to]
    if reversed_ and not (one.balanced and other.balanced):
        raise ValueError("hot and cold can be exchanged between balanced ends only")
    joints = []
    for carries in (HOT, COLD):
        far = {HOT: COLD, COLD: HOT}[carries] if reversed_ else carries
        ends = _pin(one, carries), _pin(other, far)
        if ends == (None, None):
            continue
        joint = Joint(ends[0], carries, ends[1])
        joints.append(_cold(one, other, joint, cold) if carries == COLD and None in ends else joint)
    ground = _pin(one, SHIELD), _pin(other, SHIELD)
    joints.append(Joint(ground[0] if shield != "to" else None, SHIELD, ground[1] if shield != "from" else None))
    return tuple(joints)


def _pin(family: Family, carries: str) -> str | None:
    return next((pin for pin, what in family.pins if what == carries), None)


def _cold(one: Family, other: Family, joint: Joint, cold: str) -> Joint:
    """The cold wire where just one end has a pin for it: to the shield of the other, linked to the shield of its own, or open."""
    if cold == "shield-at-from":
        return joint._replace(from_pin=_pin(one, SHIELD)) if joint.from_pin is None else joint._replace(linked="from")
    if cold == "shield-at-to":
        return joint._replace(to_pin=_pin(other, SHIELD)) if joint.to_pin is None else joint._replace(linked="to")
    return joint


def multipin_table(from_: str, to: str) -> tuple[tuple[int, str, int, int], ...]:
    """Every wire between two layouts that carries the same circuit: (circuit, what it carries, pin here, pin there)."""
    one, other = LAYOUTS[from_], LAYOUTS[to]
    return tuple(
        (circuit, carries, here, there)
        for circuit, (mine, yours) in enumerate(zip(one, other, strict=False), 1)
        for carries, here, there in zip((HOT, COLD, SHIELD), mine, yours, strict=True)
    )


def straight_is_wrong(from_: str, to: str) -> tuple[tuple[int, str], ...]:
    """The wires (circuit, what it carries) that a straight cable would put on the wrong pin."""
    return tuple((circuit, carries) for circuit, carries, here, there in multipin_table(from_, to) if here != there)


COLOURS = (
    *(
        ("BK", "black"),
        ("BN", "brown"),
        ("RD", "red"),
        ("OG", "orange"),
        ("YE", "yellow"),
        ("GN", "green"),
        ("BU", "blue"),
    ),
    *(
        ("VT", "violet"),
        ("GY", "grey"),
        ("WH", "white"),
        ("PK", "pink"),
        ("GD", "gold"),
        ("TQ", "turquoise"),
        ("SR", "silver"),
    ),
)
"""IEC 60757, in the order of its table: codes of several colours are joined in that order."""


def colour_code(*names: str) -> str:
    """The code of a wire of one colour or several: red and blue are RDBU. ValueError for a colour that has no code."""
    order = [name for _, name in COLOURS]
    unknown = [name for name in names if name not in order]
    if unknown:
        raise ValueError(f"no colour of IEC 60757: {unknown[0]}")
    return "".join(COLOURS[number][0] for number in sorted({order.index(name) for name in names}))


def is_colour(code: str) -> bool:
    """Whether a text is a code of IEC 60757."""
    names = dict(COLOURS)
    return bool(code) and len(code) % 2 == 0 and all(code[at : at + 2] in names for at in range(0, len(code), 2))


def colours_of(code: str) -> tuple[str, ...]:
    """The colours that a code of IEC 60757 names, in the order of its table. ValueError for anything else."""
    if not is_colour(code):
        raise ValueError(f"no colour code of IEC 60757: {code}")
    pieces, names = [code[at : at + 2] for at in range(0, len(code), 2)], dict(COLOURS)
    order = [name for _, name in COLOURS]
    return tuple(sorted((names[piece] for piece in pieces), key=order.index))
