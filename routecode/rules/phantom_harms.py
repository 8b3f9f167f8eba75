"""phantom-harms: phantom power reaches something that it harms.

A port that says `phantom = "harmed"`, such as a ribbon microphone wired unsafely, or an unbalanced microphone, lies on a line with phantom
power. Any leg that arrives is enough: an open cold leg or an open shield does not protect it. So is any source of microphone level with a
leg grounded, by its cable or by an unbalanced input on its line: the other leg drives 7 mA of P48 through its coil, ribbon or transformer
as long as the line is fed. Sources that say `phantom = "safe"` or `"needs"` are left alone then, and so is electronics: what an active
inside or a capacitor leads to, and outputs of `drive = "symmetric"` or `"impedance"`. Told at that port.

Bad:

    [unit.pre]
    rack = "left"
    phantom_on = "mic"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.ribbon]
    room = "control"
    [[unit.ribbon.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "harmed"
    [[cable]]
    from = "ribbon/out"
    to = "pre/mic"

Good:

    [unit.pre]
    rack = "left"
    [[unit.pre.port]]
    name = "mic"
    direction = "in"
    signal = "mic"
    phantom = "supply"
    [unit.ribbon]
    room = "control"
    [[unit.ribbon.port]]
    name = "out"
    direction = "out"
    signal = "mic"
    phantom = "harmed"
    [[cable]]
    from = "ribbon/out"
    to = "pre/mic"

Accept:

    [[accept]]
    rule = "phantom-harms"
    at = "ribbon/out"
    because = "Its box holds a transformer that stops the supply."
"""

from collections.abc import Iterator

from routecode.circuit.nets import Net
from routecode.circuit.plant import IN, OUT
from routecode.figures.phantom import Arriving
from routecode.ground.finding import Severity
from routecode.rules.electric import fed_with_phantom, place_of_net
from routecode.rules.phantom_told import OFF, leg_grounded, milliamperes_of_a_leg
from routecode.rules.rule import Fault, Rule, Scene


def check(scene: Scene) -> Iterator[Fault]:
    """Ports that phantom power reaches and harms."""
    for net, supplies in scene.kept(fed_with_phantom):
        for node in net.nodes:
            if node >= scene.plant.ports:
                continue
            if _harmed(scene, node):
                yield _fault(scene, net, node, supplies, "{which} reaches {node}, which it harms.")
            elif node in net.drives and _winding(scene, node) and _arriving(scene, node).grounded:
                yield _fault(scene, net, node, supplies, "{which} reaches {node} with one leg grounded.")


def _fault(scene: Scene, net: Net, node: int, supplies: list[int], text: str) -> Fault:
    place, also = place_of_net(scene, net, [node])
    said = text.format(which=f"Phantom power of {scene.words.nodes(supplies)}", node=scene.words.node(node))
    bank = scene.plant.socket(supplies[0]).written.phantom_bank
    shared = f" Its switch {bank} feeds other inputs too." if bank else ""
    return Fault(scene.names([node]), said, _why(scene, node, supplies) + shared, _do(scene, node), place, also)


def _arriving(scene: Scene, node: int) -> Arriving:
    arriving = scene.figures.phantom.at(node)
    assert arriving is not None, "its net is fed"
    return arriving


def _harmed(scene: Scene, node: int) -> bool:
    """Whether a port says that phantom power harms it, or is an unbalanced microphone or pickup that does not say it stands it."""
    port = scene.plant.socket(node).written
    if port.phantom is not None:
        return port.phantom == "harmed"
    unbalanced = port.balanced is False and scene.plant.direction[node] == OUT
    return unbalanced and scene.figures.ports.of(node).kind == "mic"


def _winding(scene: Scene, node: int) -> bool:
    """Whether a source of microphone level may carry direct current from leg to leg; whether it is balanced makes no difference."""
    port = scene.plant.socket(node).written
    if port.phantom is not None or scene.figures.ports.of(node).kind != "mic":
        return False
    if port.drive in ("symmetric", "impedance"):
        return False  # each leg is driven by itself: a grounded one leads nothing through the other
    return port.drive == "transformer" or not _inside(scene, node) - {"transformer"}


def _inside(scene: Scene, node: int) -> set[str]:
    """The kinds of the insides that a port speaks for."""
    unit = scene.plant.unit_of(node)
    own = node - unit.first
    passive = {"transformer", "capacitor"}
    ends = [
        (branch, branch.target == own or (branch.source == own and branch.kind in passive))
        for branch in unit.kit.branches
    ]
    return {branch.kind for branch, here in ends if here}


def _why(scene: Scene, node: int, supplies: list[int]) -> str:
    if scene.plant.direction[node] == IN:
        return 'It says phantom = "harmed", and any leg that arrives is enough.'
    arriving = _arriving(scene, node)
    if not arriving.grounded:
        return "A short of one leg, as when plugging, sends current through it."
    current, own = milliamperes_of_a_leg(scene, supplies), arriving.grounded == (node,)
    cause = "It is unbalanced, and grounds one leg itself" if own else leg_grounded(scene, arriving)
    where = (
        "it" if scene.plant.direction[node] == OUT or _inside(scene, node) else "a dynamic or ribbon microphone there"
    )
    return f"{cause}: {current:.1f} mA flow through {where} as long as the line is fed."


def _do(scene: Scene, node: int) -> str:
    if scene.plant.direction[node] == IN:
        return "Switch phantom power off and wait a minute; then part the two, or put a transformer before it."
    if _harmed(scene, node) or not _arriving(scene, node).grounded:
        return f"{OFF} Leave it off there, or put a transformer between."
    return f"{OFF} Free that leg, or put a transformer before what grounds it."


RULE = Rule("phantom-harms", Severity.HAZARD, check)
