"""How people read the names of ports, jacks and channels, wherever they read them: one plural, one range, one word for a channel.

JSON keeps canonical names. What is not here: titles (each side's own), lists (who tells them).
"""

import re

_NOUNS = {
    "bus": "buses", "channel": "channels", "circuit": "circuits", "group": "groups", "input": "inputs",
    "insert": "inserts", "jack": "jacks", "line": "lines", "mic": "mics", "output": "outputs", "pickup": "pickups",
    "port": "ports", "return": "returns", "send": "sends", "socket": "sockets", "tie": "ties", "track": "tracks",
}  # fmt: skip
"""Words that take a plural. Others (`out`, `top`, `aes`, names in other languages) stay as they are."""
_RANGE = re.compile(r"(?P<stem>.*?)(?P<first>[0-9]+)\.\.(?P<last>[0-9]+)", re.DOTALL)


def channel(port: str, number: int | str) -> str:
    """A channel of a port that has several: `Stage box net ch 2`, as the language writes it."""
    return f"{port} ch {number}"


def plural(stem: str) -> str:
    """What stands before several numbers: `hall line` becomes `hall lines`."""
    start, space, last = stem.rpartition(" ")
    return f"{start}{space}{_NOUNS.get(last, last)}"


def numbered(text: str) -> str:
    """A folded range as people read it: `line 1..8` becomes `lines 1-8`, `out 1..8` becomes `out 1-8`; other texts as they are."""
    found = _RANGE.fullmatch(text)
    if found is None:
        return text
    stem = found["stem"]
    return f"{plural(stem.rstrip(' '))}{' ' if stem.endswith(' ') else ''}{found['first']}-{found['last']}"
