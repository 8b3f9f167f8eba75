"""Every kind of change as the page `changes.md` defines it: harm, definition, and sentences as the tool says them."""

from collections.abc import Iterator
from typing import NamedTuple

from routecode.change.claims import KINDS

RENAMED = "renamed"
"""A name that only probably reads otherwise. It claims no path, so it is not among the kinds of the changes."""
REGISTRY = (*KINDS, RENAMED)


class Kind(NamedTuple):
    """A kind of change as people read of it; `page` is its whole section, `examples` the sentences in it."""

    id: str
    harm: str
    definition: str
    examples: tuple[str, ...]
    page: str


def kinds(page: str) -> dict[str, Kind]:
    """The kinds by id, in the order of the text of the page."""
    return {kind.id: kind for kind in _sections(page)}


def _sections(page: str) -> Iterator[Kind]:
    part = page.partition("\n## Each kind\n")[2].partition("\n## ")[0]
    for section in part.split("\n### ")[1:]:
        name, _, body = section.partition("\n")
        blocks = [block.strip() for block in body.strip().split("\n\n")]
        quoted = "\n".join(line.removeprefix(">").strip() for line in blocks[-1].splitlines())
        said = [" ".join(paragraph.split()) for paragraph in quoted.split("\n\n")]
        harm = blocks[0].removeprefix("Harm:").strip().removesuffix(".")
        definition = " ".join(" ".join(blocks[1:-1]).split())
        yield Kind(name.strip(), harm, definition, tuple(filter(None, said)), f"{name.strip()}\n\n{body.strip()}")
