"""The answer of `paths`: as a folded list for people, and as a JSON document."""

from collections.abc import Iterable, Iterator

from routecode.circuit.circuit import Circuit
from routecode.circuit.paths import Flow
from routecode.circuit.plant import Plant
from routecode.figures.figures import Figures
from routecode.figures.hops import Hop, hop_of
from routecode.ground.finding import Finding
from routecode.ground.order import natural
from routecode.show.document import Row, place
from routecode.show.documents import FEED, FIGURED, FINDING, LOOP, PATH, PATHS, POINT
from routecode.show.escape import visible
from routecode.show.figured import hop_row, hop_words
from routecode.show.listing import Line, Way, folded, ways
from routecode.show.measure import wrapped
from routecode.show.spoken import counted, joined, places, title
from routecode.studio.opened import Opened

LIMIT = 1_000_000
_INDENT = 4


def paths_document(
    opened: Opened, circuit: Circuit, setup: str | None, limit: int = LIMIT, *, figures: bool = False
) -> Row:
    """The document of one state; above `limit` the paths are counted and not listed. `figures`: with those of every feed."""
    flow = circuit.flow(setup)
    count = flow.count()
    feeds = [(feed.source, feed.target, feed.jacks, feed.polarity, feed.either) for feed in circuit.feeds(setup)]
    return PATHS.answer(
        opened.name,
        setup,
        FEED.rows(feeds),
        PATH.rows(flow.paths()) if count <= limit else None,
        count,
        POINT.rows(circuit.points),
        LOOP.rows(flow.feedback()),
        list(_figured(circuit, setup)) if figures else None,
        finding_rows((each for each in opened.report.findings if each.setup in _states(circuit.plant, setup)), opened),
    )


def _figured(circuit: Circuit, setup: str | None) -> Iterator[Row]:
    for source, target, hop in _hops(circuit, setup):
        yield FIGURED.row(source, target, hop_row(hop))


def _hops(circuit: Circuit, setup: str | None) -> Iterator[tuple[str, str, Hop]]:
    """(driving port, receiving port, figures) of every feed, port by port, by name."""
    found, plant, state = Figures(circuit).state(setup), circuit.plant, circuit.state(setup)
    ends = {(driver, hearer) for net in state.all_nets() if not net.either for driver, hearer in net.pairs()}
    for source, target, driver, hearer in sorted((plant.name(a), plant.name(b), a, b) for a, b in ends):
        hop = hop_of(found, driver, hearer)
        if hop is not None:
            yield source, target, hop


def _figured_lines(circuit: Circuit, setup: str | None, width: int) -> Iterator[str]:
    for source, target, hop in sorted(_hops(circuit, setup), key=lambda row: (natural(row[0]), natural(row[1]))):
        told = "; ".join(hop_words(hop)) or "nothing known"
        sentence = f"{places(circuit.plant, [source])} to {places(circuit.plant, [target])}: {told}."
        yield from (f"  {text}" for text in _wrapped(sentence, width - 2))


def _states(plant: Plant, setup: str | None) -> set[str | None]:
    """The states whose findings hold in this one: itself, unpatched, what it includes (rules tell a finding once)."""
    found: list[str | None] = [setup]
    for name in found:
        if name is not None and name in plant.setups:
            found += [each for each in plant.setups[name].written.include if each not in found]
    return {None, *found}


def finding_rows(findings: Iterable[Finding], opened: Opened) -> list[Row]:
    """Findings as the contract has them, sorted by code point."""
    ordered = sorted(findings, key=lambda each: (each.rule, each.at, each.setup or "", each.text))
    return [
        FINDING.row(
            each.rule, each.severity.value, list(each.at), each.setup, place(opened.spot(each.place)), each.text
        )
        for each in ordered
    ]


def paths_text(
    circuit: Circuit, setup: str | None, limit: int = LIMIT, width: int = 80, *, figures: bool = False
) -> str:
    """The list of one state, folded; above `limit` only the count. `figures`: and those of every feed."""
    plant, flow = circuit.plant, circuit.flow(setup)
    count = flow.count()
    lines = [_headline(plant, flow, setup, count), ""]
    if count > limit:
        lines.append(f"More than {limit:,}: not listed. Ask about one place: routecode trace PLACE")
    else:
        found = list(ways(flow))
        told = folded(way for way in found if not way.idle)
        for line in told:
            lines += _told(plant, line, width)
        lines += _section("Nothing arrives at these units now; if it did:", plant, found, width)
    lines += _joined_only(circuit, setup, width)
    lines += _feedback(plant, flow, width)
    if figures:
        lines += ["", "Figures of every feed:", *_figured_lines(circuit, setup, width)]
    while not lines[-1]:
        lines.pop()
    return "\n".join(lines) + "\n"


def _headline(plant: Plant, flow: Flow, setup: str | None, count: int) -> str:
    state = "Unpatched" if setup is None else visible(plant.setups[setup].written.title or setup)
    if not count:
        return f"{state}: no paths. Nothing that drives is joined to anything that receives."
    sources = sum(1 for source in flow.sources if flow.reached.get(2 * source + 1))
    ends = len(flow.destinations)
    return f"{state}: {counted(count, 'path')} from {counted(sources, 'source')} to {counted(ends, 'destination')}."


def _told(plant: Plant, line: Line, width: int) -> Iterator[str]:
    verb = "reaches" if len(line.sources) == 1 else "reach" if line.parallel else "each reach"
    sentence = f"{places(plant, line.sources)} {verb} {places(plant, line.targets)}"
    if line.through:
        sentence += f", through {joined(title(plant, unit) for unit in line.through)}"
    yield from _wrapped(f"{sentence}.", width)


def _wrapped(sentence: str, width: int) -> Iterator[str]:
    first, *rest = wrapped(visible(sentence), width - _INDENT)
    yield first
    for more in rest:
        yield " " * _INDENT + more


def _section(heading: str, plant: Plant, found: list[Way], width: int) -> Iterator[str]:
    told = folded(way for way in found if way.idle)
    if told:
        yield ""
        yield heading
        for line in told:
            yield from (f"  {text}" for text in _told(plant, line, width - 2))


def _joined_only(circuit: Circuit, setup: str | None, width: int) -> Iterator[str]:
    pairs = [(feed.source, feed.target) for feed in circuit.feeds(setup) if feed.either and feed.source < feed.target]
    if not pairs:
        return
    yield ""
    yield "Joined, but nothing drives them and nothing receives:"
    for line in folded(Way(source, target, (), False) for source, target in pairs):
        sentence = f"{places(circuit.plant, line.sources)} and {places(circuit.plant, line.targets)}."
        yield from (f"  {text}" for text in _wrapped(sentence, width - 2))


def _feedback(plant: Plant, flow: Flow, width: int) -> Iterator[str]:
    loops = flow.feedback()
    if not loops:
        return
    yield ""
    yield "Feedback:"
    for loop in loops:
        how = "a fader or crosspoint can open it" if loop.controlled else "nothing in it can be turned down"
        yield from (f"  {text}" for text in _wrapped(f"{places(plant, loop.channels)}: {how}.", width - 2))
