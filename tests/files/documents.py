"""Random documents of TOML 1.0 with all that makes finding places hard. The standard library says what is valid."""

import tomllib
from random import Random

_BARE = ("a", "b-1", "C_2", "3", "from", "-")
_QUOTED = ('"a"', '"x.y"', "'z]'", '"\\u00e9"', '"\\""', '"="', "'#'", '""', '"[q]"', '"tab\\t"', "'\"'")
_LINE_TEXTS = (
    '"x"',
    '""',
    "''",
    '"é # [ \\" ]"',
    "'[[a]]'",
    "'\"\"'",
    '"}, {"',
    "'it = \"1\"'",
    '"\\\\"',
    '"日本 = [ 1"',
    "'\\'",
)
_LONG_TEXTS = (
    '"""\n[a]\nb = 1\n"""',
    "'''\n[[c]]\n# '' x'''",
    '"""a""\\""""',
    '"""""two"""""',
    "''''q''''",
    '"""\\\n  x"""',
)
_BARE_VALUES = (
    "1",
    "-2",
    "3.5",
    "0xff",
    "1_000",
    "true",
    "inf",
    "1e5",
    "2026-03-01",
    "2026-03-01 10:30:00",
    "10:30:00.5",
)


def document(rng: Random, *, is_one_line_each: bool = False) -> str:
    """A valid document of up to some thirty statements."""
    text = ""
    for _ in range(rng.randint(1, 30)):
        longer = text + _statement(rng, is_one_line_each)
        if _is_valid(longer):
            text = longer
    return text if rng.random() < 0.9 else text.rstrip("\n")


def _is_valid(text: str) -> bool:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False
    return True


def _statement(rng: Random, is_line: bool) -> str:
    lead = rng.choice(("", "", "", "  ", "\t"))
    end = rng.choice(("", "", ' # [c] = {"', "\t#")) + rng.choice(("\n", "\n", "\n\n", "\n# [[x]] \n \t\n"))
    chance = rng.random()
    if chance < 0.2:
        return f"{lead}[{_key(rng)}]{end}"
    if chance < 0.4:
        return f"{lead}[[{_key(rng)}]]{end}"
    return f"{lead}{_key(rng)}={_blanks(rng)}{_value(rng, 3, is_line)}{end}"


def _key(rng: Random) -> str:
    parts = [rng.choice(_BARE if rng.random() < 0.7 else _QUOTED) for _ in range(rng.choice((1, 1, 1, 2, 3)))]
    return _blanks(rng) + f"{_blanks(rng)}.{_blanks(rng)}".join(parts) + _blanks(rng)


def _blanks(rng: Random) -> str:
    return rng.choice(("", "", " ", "\t "))


def _value(rng: Random, depth: int, is_line: bool) -> str:
    chance = rng.random()
    if depth and chance < 0.2:
        return _array(rng, depth, is_line)
    if depth and chance < 0.35:
        pairs = [f"{_key(rng)}={_blanks(rng)}{_value(rng, depth - 1, is_line)}" for _ in range(rng.randint(0, 3))]
        return "{" + ",".join(pairs) + _blanks(rng) + "}"
    if chance < 0.6:
        return rng.choice(_BARE_VALUES)
    return rng.choice(_LINE_TEXTS if is_line or chance < 0.9 else _LONG_TEXTS)


def _array(rng: Random, depth: int, is_line: bool) -> str:
    def gap() -> str:
        return _blanks(rng) if is_line else rng.choice(("", " ", "\n", " # ], [\n\t", "\n\n"))

    items = [gap() + _value(rng, depth - 1, is_line) + gap() for _ in range(rng.randint(0, 4))]
    return "[" + ",".join(items) + ("," + gap() if items and rng.random() < 0.3 else "") + "]"
