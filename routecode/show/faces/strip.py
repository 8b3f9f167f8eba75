"""Strips of texts above and below the jacks of a face, read like label strips: one text over neighbouring columns, numbers below."""

import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

from routecode.show.drawing import look, measure
from routecode.show.faces import ink
from routecode.show.faces.jacks import Column, Jack

PITCH = 38.0
"""From column to column."""
_NUMBERED = re.compile(r"(.*?)([0-9]{1,9})", re.DOTALL)
_TAIL_ROOM = PITCH - 4


class Said(NamedTuple):
    """What one jack adds to a label strip: the text that neighbours may share, and what is its own (or empty)."""

    words: str
    tail: str
    quiet: bool = False


class Run(NamedTuple):
    """A text over neighbouring columns, by their position from the left."""

    first: int
    over: int
    words: str
    quiet: bool


class Strip(NamedTuple):
    """Texts at one height, with a caption at the left; `down`: they hang from the strip's upper edge, else they stand on the lower."""

    runs: tuple[Run, ...]
    fits: tuple[ink.Fitted, ...]
    caption: str
    brackets: bool

    @property
    def high(self) -> float:
        """The height it takes."""
        return max((fit.high for fit in self.fits), default=0.0) + (5 if self.fits else 0)


def said_of(column: Column, jack: Jack) -> Said:
    """The label of a jack: what is wired behind it; without that its own label, or what it is reserved for."""
    if len(jack.behind) > 1:
        return Said(ink.shown(" + ".join(one.name for one in jack.behind)), "")
    if jack.behind:
        stem, tail = parted(ink.shown(jack.behind[0].port))
        return Said(f"{ink.shown(jack.behind[0].head)} {stem}".strip(), tail)
    if jack.label:
        stem, tail = parted(ink.shown(jack.label))
        return Said(stem, tail, True) if stem else Said(tail, "", True)
    if column.reserved and jack is next((one for one in column.jacks if not one.behind and not one.label), None):
        text = "reserved" if column.reserved == "reserved" else f"reserved: {column.reserved}"
        return Said(ink.shown(text), "", True)
    return Said("", "")


def parted(name: str) -> tuple[str, str]:
    """A name as the part that neighbours share and its own number or last word, where that fits under one column."""
    found = _NUMBERED.fullmatch(name)
    stem, tail = (found[1].rstrip(), found[2]) if found else name.rpartition(" ")[::2]
    return (stem, tail) if measure.width(tail, ink.SIZE) <= _TAIL_ROOM else (name, "")


def runs(said: Sequence[Said]) -> tuple[Run, ...]:
    """Neighbours that say the same, as one."""
    found: list[Run] = []
    for index, one in enumerate(said):
        if found and one.words and found[-1][2:] == (one.words, one.quiet) and sum(found[-1][:2]) == index:
            found[-1] = found[-1]._replace(over=found[-1].over + 1)
        elif one.words:
            found.append(Run(index, 1, one.words, one.quiet))
    return tuple(found)


def strip(found: tuple[Run, ...], caption: str, longest: float, *, most: int = 3, brackets: bool = False) -> Strip:
    """A strip of these runs; turned texts are at most `longest` long, level ones have at most `most` lines."""
    fits = tuple(ink.fitted(run.words, run.over * PITCH, longest, most) for run in found)
    return Strip(found, fits, caption if found else "", brackets)


def each(texts: Sequence[str], caption: str, longest: float) -> Strip:
    """A strip with a text of its own for every column that has one."""
    found = tuple(Run(index, 1, words, False) for index, words in enumerate(texts) if words)
    return strip(found, caption, longest)


def paint(found: Strip, left: float, edge: float, down: bool, ground: Callable[[Run], bool]) -> str:
    """The strip from the height `edge` away from the jacks: downward or upward. `ground`: whether a run hides what is behind it."""
    out = ""
    sign = 1 if down else -1
    for run, fit in zip(found.runs, found.fits, strict=True):
        start, wide = left + run.first * PITCH, run.over * PITCH
        if found.brackets and run.over > 1:
            tick = edge + sign * 3
            steps = f"M{start + 3:g} {edge:g}V{tick:g}H{start + wide - 3:g}V{edge:g}"
            out += ink.path(steps, ink.QUIET._replace(stroke=look.QUIET, wide=0.8))
        name, fill = ("face-quiet", look.QUIET) if run.quiet else ("face-ink", look.INK)
        middle = start + wide / 2
        out += ink.paint_lines(fit, middle, edge + sign * 4, down=down, ground=ground(run), name=name, fill=fill)
    if found.caption:
        y = edge + (12.4 if down else -5)
        out += ink.text(left - 8, y, found.caption, anchor="end", name="face-quiet", fill=look.QUIET)
    return out
