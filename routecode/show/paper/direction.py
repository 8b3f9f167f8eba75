"""The order in which signs of one line stand from left to right: the bidirectional algorithm of Unicode (UAX #9) for one paragraph.

Explicit direction signs are not part of it: texts of users never carry them here (`script.cleaned` shows them as escapes). Mirrored
signs and bracket pairs are told from Unicode's own names and properties.
"""

import unicodedata
from collections.abc import Sequence
from functools import cache

_STRONG = {"L": "L", "R": "R", "AL": "R", "EN": "R", "AN": "R"}
_NEUTRAL = ("B", "S", "WS", "ON")
_EXPLICIT = ("LRE", "LRO", "RLE", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI", "BN")


def base_level(text: str) -> int:
    """1 where the first letter with a direction reads from right to left, else 0 (rules P2 and P3)."""
    for sign in text:
        way = unicodedata.bidirectional(sign)
        if way in ("L", "R", "AL"):
            return int(way != "L")
    return 0


def visual(text: str) -> str:
    """The signs as they stand from left to right, mirrored where they have to be; a mark follows its letter (L3)."""
    levels = _levels(text, base_level(text))
    order = _reordered(levels)
    out = [_mirrored(text[index]) if levels[index] % 2 else text[index] for index in order]
    return _marks_behind(out, [levels[index] % 2 == 1 for index in order])


def _levels(text: str, base: int) -> list[int]:
    kinds = [unicodedata.bidirectional(sign) or "L" for sign in text]
    kinds = ["ON" if kind in _EXPLICIT else kind for kind in kinds]
    outer = "R" if base else "L"
    _weak(kinds, outer)
    _brackets(text, kinds, outer)
    _neutral(kinds, outer)
    levels = [base + _raised(kind, base) for kind in kinds]
    for index in range(len(text) - 1, -1, -1):  # L1: blanks at the end stand at the end
        if not text[index].isspace():
            break
        levels[index] = base
    return levels


def _raised(kind: str, base: int) -> int:
    """Rules I1 and I2."""
    if base:
        return 0 if kind == "R" else 1
    return {"R": 1, "AN": 2, "EN": 2}.get(kind, 0)


def _weak(kinds: list[str], outer: str) -> None:
    """Rules W1 to W7: marks, digits and what stands among them."""
    strong, before = outer, outer
    for index, given in enumerate(kinds):
        kind = before if given == "NSM" else given
        if kind == "EN" and strong == "AL":
            kind = "AN"
        if kind in ("L", "R", "AL"):
            strong = kind
        before = kinds[index] = kind
    kinds[:] = ["R" if kind == "AL" else kind for kind in kinds]
    for index in range(1, len(kinds) - 1):
        left, kind, right = kinds[index - 1 : index + 2]
        if left == right and ((kind in ("ES", "CS") and left == "EN") or (kind == "CS" and left == "AN")):
            kinds[index] = left
    for start, end in _stretches(kinds, ("ET",)):
        beside = "EN" in (kinds[start - 1 : start] + kinds[end : end + 1])
        kinds[start:end] = ["EN" if beside else "ON"] * (end - start)
    strong = outer
    for index, kind in enumerate(kinds):
        if kind in ("ES", "CS"):
            kinds[index] = "ON"
        if kind in ("L", "R"):
            strong = kind
        elif kind == "EN" and strong == "L":
            kinds[index] = "L"


def _brackets(text: str, kinds: list[str], outer: str) -> None:
    """Rule N0: both brackets of a pair take the direction of what is between them."""
    for opened, closed in _pairs(text, kinds):
        inner = {_STRONG[kind] for kind in kinds[opened + 1 : closed] if kind in _STRONG}
        if outer in inner:
            way = outer
        elif inner:
            before = next((_STRONG[kind] for kind in reversed(kinds[:opened]) if kind in _STRONG), outer)
            way = before if before in inner else outer
        else:
            continue
        for bracket in (opened, closed):
            end = bracket + 1
            while end < len(text) and unicodedata.bidirectional(text[end]) == "NSM":
                end += 1
            kinds[bracket:end] = [way] * (end - bracket)


def _pairs(text: str, kinds: Sequence[str]) -> list[tuple[int, int]]:
    waiting: list[tuple[str, int]] = []
    found: list[tuple[int, int]] = []
    for index, sign in enumerate(text):
        if kinds[index] != "ON":
            continue
        category = unicodedata.category(sign)
        if category == "Ps" and _mirrored(sign) != sign:
            if len(waiting) == 63:
                return sorted(found)
            waiting.append((_mirrored(sign), index))
        elif category == "Pe":
            for depth in range(len(waiting) - 1, -1, -1):
                if waiting[depth][0] == sign:
                    found.append((waiting[depth][1], index))
                    del waiting[depth:]
                    break
    return sorted(found)


def _neutral(kinds: list[str], outer: str) -> None:
    """Rules N1 and N2: what has no direction takes that of both sides, or the outer one."""
    for start, end in _stretches(kinds, _NEUTRAL):
        left = _STRONG[kinds[start - 1]] if start else outer
        right = _STRONG[kinds[end]] if end < len(kinds) else outer
        kinds[start:end] = [left if left == right else outer] * (end - start)


def _stretches(kinds: Sequence[str], wanted: Sequence[str]) -> list[tuple[int, int]]:
    found = []
    start = 0
    while start < len(kinds):
        end = start
        while end < len(kinds) and kinds[end] in wanted:
            end += 1
        if end > start:
            found.append((start, end))
        start = max(end, start + 1)
    return found


def _reordered(levels: Sequence[int]) -> list[int]:
    """Rule L2: from the highest level down, whatever is on it or above is turned round."""
    order = list(range(len(levels)))
    for level in range(max(levels, default=0), 0, -1):
        start = 0
        while start < len(order):
            end = start
            while end < len(order) and levels[order[end]] >= level:
                end += 1
            order[start:end] = reversed(order[start:end])
            start = max(end, start + 1)
    return order


@cache
def _mirrored(sign: str) -> str:
    """The sign that stands for it in text from right to left (L4): the one of the mirrored name, or the sign itself."""
    if not unicodedata.mirrored(sign):
        return sign
    name = unicodedata.name(sign, "")
    for one, other in (
        ("LEFT", "RIGHT"),
        ("RIGHT", "LEFT"),
        ("LESS-THAN", "GREATER-THAN"),
        ("GREATER-THAN", "LESS-THAN"),
    ):
        if one in name:
            try:
                return unicodedata.lookup(name.replace(one, other))
            except KeyError:
                continue
    return sign


def _marks_behind(signs: Sequence[str], turned: Sequence[bool]) -> str:
    out: list[str] = []
    marks: list[str] = []
    for sign, back in zip(signs, turned, strict=True):
        if back and unicodedata.bidirectional(sign) == "NSM":
            marks.append(sign)
            continue
        out.append(sign)
        out += reversed(marks)
        marks = []
    return "".join(out + marks)
