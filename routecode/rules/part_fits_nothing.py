"""part-fits-nothing: a part of the catalogue fits no connector of the studio, and its word is nearly that of one.

Parts are counted by the words that ports say in `connector` and bays in `contact`. A part whose word nobody says is counted for nothing
and is in no list of parts. That is right for stock that waits for other equipment; a slip of the pen takes the part out of every order.

Bad:

    [unit.deck]
    rack = "left"
    [[unit.deck.port]]
    name = "in 1"
    direction = "either"
    signal = "line"
    connector = "xlr-f"
    [part.xlr-plug]
    fits = "xlrf"

Good:

    [unit.deck]
    rack = "left"
    [[unit.deck.port]]
    name = "in 1"
    direction = "either"
    signal = "line"
    connector = "xlr-f"
    [part.xlr-plug]
    fits = "xlr-f"

Accept:

    [[accept]]
    rule = "part-fits-nothing"
    at = "xlr-plug"
    because = "It waits for the sockets of the new stage box."
"""

from collections.abc import Iterator

from routecode.ground.finding import Severity
from routecode.ground.nearest import nearest
from routecode.ground.place import At
from routecode.language.equipment import CONNECTORS
from routecode.language.written import Part
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Words of `fits` that no connector of the studio has and that are nearly those of one."""
    sockets, contacts = scene.kept(words_of_sockets), scene.kept(words_of_contacts)
    for part in scene.plant.studio.part.values():
        known = sockets if part.kind == "plug" else contacts
        for index, word in enumerate(part.fits):
            near = nearest(word, known) if word not in known and word not in CONNECTORS else None
            if near is not None:
                yield Fault(
                    (part.id,),
                    f"The part {part.id} fits no connector of this studio: nothing has a `{word[:80]}`.",
                    "It is counted for nothing, and is in no list of parts.",
                    f"Did you mean `{near}`?",
                    _place(part, index),
                )


def words_of_sockets(scene: Scene) -> frozenset[str]:
    """What the ports and multipins of the studio say in `connector`."""
    kits = [unit.kit for unit in scene.plant.units.values()]
    ports = {socket.written.connector for kit in kits for socket in kit.sockets}
    return frozenset(
        word for word in ports | {many.written.connector for kit in kits for many in kit.multipins} if word
    )


def words_of_contacts(scene: Scene) -> frozenset[str]:
    """What the bays of the studio say in `contact`."""
    return frozenset(bay.written.contact for bay in scene.plant.bays.values() if bay.written.contact)


def _place(part: Part, index: int) -> At:
    at = part.where("fits")
    return at if len(part.fits) == 1 else At(at.file, (*at.path, index))


RULE = Rule("part-fits-nothing", Severity.NOTE, check, "unpatched")
