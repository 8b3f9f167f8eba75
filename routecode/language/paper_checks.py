"""Checks of the keys for paper that need more than one of them: colours, gaps, cords, adapters, parts. Knows no circuit."""

from collections.abc import Iterator

from routecode.ground.finding import Mistake
from routecode.ground.place import At
from routecode.language.mistakes import unknown_name
from routecode.language.written import Bay, CableType, Part, Studio
from routecode.physics.pins import is_colour

_CODES = "Write two letters, such as RD, BU or WH; several colours joined: RDBU."


def paper_mistakes(studio: Studio) -> Iterator[Mistake]:
    """Every mistake in the tables for paper, table by table."""
    for kind in studio.cable_type.values():
        yield from _colours(kind)
        yield from _circuits(kind)
    for bay in studio.bay.values():
        yield from _gaps(bay)
    yield from _cords(studio)
    yield from _fits(studio)


def _colours(kind: CableType) -> Iterator[Mistake]:
    for name in ("hot_colour", "cold_colour"):
        code = getattr(kind, name)
        if code is not None and not is_colour(code):
            text = f"`{code[:80]}` is no colour code of IEC 60757."
            yield Mistake("bad-colour", text, kind.where(name), do=_CODES)


def _circuits(kind: CableType) -> Iterator[Mistake]:
    """The colours of circuits: one or two codes each, and as many of them as circuits: they count on."""
    at = kind.where("colours")
    for index, text in enumerate(kind.colours):
        codes = text.split(" ")
        wrong = next((code for code in codes if not is_colour(code)), None)
        place = At(at.file, (*at.path, index))
        if wrong is not None:
            yield Mistake("bad-colour", f"`{wrong[:80]}` is no colour code of IEC 60757.", place, do=_CODES)
        elif len(codes) > len(("hot", "cold")):
            says = f"`{text[:80]}` names {len(codes)} wires; a circuit has a hot one and a cold one."
            yield Mistake("bad-colour", says, place, do='Write the two codes with a space between: "RD BK".')
    if kind.colours and len(kind.colours) != (kind.circuits or 1):
        says = f"`colours` names {len(kind.colours)} circuits, and this cable has {kind.circuits or 1}."
        do = f"Name the colours of every circuit, in order, or write `circuits = {len(kind.colours)}`."
        yield Mistake("circuits-unequal", says, at, do=do)


def _gaps(bay: Bay) -> Iterator[Mistake]:
    seen: dict[int, At] = {}
    for gap in bay.gaps:
        if gap.after is None or bay.columns is None:
            continue
        at = gap.where("after")
        if gap.after >= bay.columns:
            says = f"The gap after column {gap.after} is behind the last of {bay.columns} columns."
            yield Mistake("out-of-range", says, at, do=f"Name a column from 1 to {bay.columns - 1}.")
        elif gap.after in seen:
            also = (("the other gap", seen[gap.after]),)
            says = f"There are two gaps after column {gap.after}."
            yield Mistake("repeated-name", says, at, do="Make one of them.", also=also)
        seen.setdefault(gap.after, at)


def _cords(studio: Studio) -> Iterator[Mistake]:
    """Cords of setups that name what the studio owns: once kinds are listed, the name must be one of them."""
    told = 0
    for setup in studio.setup.values():
        for cord in setup.cord:
            for key, what, known in (
                ("cord", "cord type", studio.cord_type),
                ("adapter", "adapter", studio.adapter),
            ):
                name = getattr(cord, key)
                if name is not None and known and name not in known:
                    yield unknown_name(what, name, cord.where(key), known, told)
                    told += 1


def _fits(studio: Studio) -> Iterator[Mistake]:
    """No two parts may be counted for the same thing, and what is counted by what it fits must say so."""
    first: dict[tuple[str, str], Part] = {}
    for part in studio.part.values():
        if part.unit != "set" and part.pieces != 1:
            says = f"`pieces` is said of a part that is counted in {part.unit}s."
            yield Mistake(
                "pieces-without-set", says, part.where("pieces"), do='Add unit = "set", or take `pieces` out.'
            )
        for index, word in enumerate(part.fits):
            at = part.where("fits")
            place = at if len(part.fits) == 1 else At(at.file, (*at.path, index))
            if part.kind == "other":
                do = "Take `fits` out, or say which kind it is: plug, rear, link-plug, dummy-plug."
                yield Mistake("fits-nothing", "A part of kind `other` is counted for nothing.", place, do=do)
                continue
            other = first.setdefault((part.kind, word), part)
            if other is not part:
                says = f"Two parts are the {part.kind.replace('-', ' ')} for `{word[:80]}`: {other.id} and {part.id}."
                also = (("the other one", other.where("fits")),)
                do = "Take the word out of `fits` of the one that is not bought any more."
                yield Mistake("fits-twice", says, place, do=do, also=also)
