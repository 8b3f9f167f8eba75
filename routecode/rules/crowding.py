"""Two cables at one place as faults: the words that the rules for jacks and for ports share."""

from collections.abc import Iterator

from routecode.rules.cabling import crowded
from routecode.rules.rule import Fault, Scene, place_key
from routecode.rules.words import counted


def faults(scene: Scene, *, jacks: bool) -> Iterator[Fault]:
    """The crowded jacks, or the crowded ports."""
    words, plant = scene.words, scene.plant
    for node, wires in scene.kept(crowded):
        if plant.is_jack(node) != jacks:
            continue
        places = sorted((wire.at for wire in wires), key=place_key)
        others = [wire.other(node) for wire in wires]
        yield Fault(
            scene.names([node]),
            f"{words.node(node)} has {counted(len(wires), 'cable')}: {'to ' if jacks else ''}{words.nodes(others)}.",
            "One place takes one cable; two are a split, and a split is stated.",
            "Delete the cable that is not there, or state one split: `to` as a list of lists.",
            places[-1],
            tuple(("this cable is there already", at) for at in places[:-1]),
        )
