"""What is said of a step: one sentence to do, and what to mind, each on a line of its own. Titles, not ids."""

from collections.abc import Sequence
from typing import Any

from routecode.circuit.parts import PlacedUnit
from routecode.hands.job_cables import AGAIN, GOES, MOVES, REMADE, UNPLUGGED, Work
from routecode.hands.job_circuits import plugs_moved, plugs_opened
from routecode.hands.job_labels import LOOM, STRIP, Renewed
from routecode.hands.job_operations import Op, turned
from routecode.hands.job_state import OFF, Frame
from routecode.hands.job_steps import Step
from routecode.hands.job_times import MADE_BEFORE
from routecode.hands.job_words import columns, folded, title, where

CAUTIONS = (
    "Headphones off heads, monitors down, no take running.",
    "Amplifiers and powered monitors go off first and come on last.",
    "A valve amplifier is never without its load; a bridged output has no ground side.",
    "Phantom power off, a minute's wait, under 1 V on a meter; only then a contact that shorts on insertion or a ribbon microphone is touched.",
    "Mute before a link plug is pulled under phantom power, and before a digital or clock line is lifted.",
    "Power a unit down before its multipin is lifted. Never lift a mains earth.",
    "Test tones from low level upwards. Never look into a fibre.",
    "Soldering: eye protection, extraction, clean hands before food.",
    "Mains and fixed building wiring belong to licensed people, under the local code. The figures are design aids, not a safety certificate.",
)
"""At the top of every sheet."""


def said(kind: str, frame: Frame, step: Step, works: Sequence[Work], steps: Sequence[Step] = ()) -> str:
    """The words of a step; further lines are what to mind."""
    if kind == "bench":
        return _bench(works) + plugs_opened(works, lifting=False, bench=True)
    names = [_title(frame, name) for name in step.units]
    because = f"\nWithout this: {step.because}" if step.because else ""
    left = "".join(
        f"\nThe finished studio has this: {danger.text} Clear it before anything is played." for danger in step.left
    )
    listed = ", ".join(names)
    stands = "".join(f"\nAs it stands, and not changed by switching off: {danger.text}" for danger in step.left)
    off = f"Then switch off: {listed}." if names else ""
    words = {
        "quiet": f"Pull every cord. Headphones off heads, monitors down. {off}{because}{stands}",
        "phantom off": f"Switch phantom power off at {listed}.\nWait a minute, then measure: under 1 V at each jack you will touch.",
        "power off": f"Power down{', for the tests without power' if step.ending else ''}: {listed}.{because}",
        "power on": f"Power up: {listed}.{left}",
        "phantom on": f"{_phantom_on(frame, step)}{left}" if kind == "phantom on" else "",
        "loud": f"Last of all, switch on, with levels down: {listed}.{left}",
        "stop": _stop(frame, step) if kind == "stop" else "",
    }
    if kind in words:
        return words[kind]
    assert step.op is not None
    warned = "\nNo order without danger was found here: leave everything at this place without power, and measure before it comes on."
    early = f"\nHere, and not while all has power: {step.because}" if step.because else ""
    return _operation(frame, step.op, works, steps) + early + (left if step.proved else warned)


def _stop(frame: Frame, step: Step) -> str:
    """What comes on for work at a stopping point, in order, and goes off again before the next step, the other way round."""
    assert step.again is not None
    power, loud = (", ".join(_title(frame, name) for name in names) for names in (step.again.power, step.again.loud))
    ports = "; ".join(f"{_title(frame, name)} {folded(named)}" for name, named in step.again.phantom)
    units = ", ".join(_title(frame, name) for name, _ in step.again.phantom)
    on = (
        power and f"power up {power}",
        ports and f"phantom power on at {ports}",
        loud and f"last, with levels down, switch on {loud}",
    )
    off = (
        loud and f"switch off {loud}",
        units and f"phantom power off at {units}, and under 1 V measured after a minute",
        power and f"power down {power}",
    )
    steps = "; then ".join(("continuity and shorts of what was joined so far", *filter(None, on)))
    again = "; then ".join(("pull every cord", *filter(None, off)))
    return f"You may stop here.\nTo work meanwhile: {steps}.\nBefore the next step: {again}."


def _title(frame: Frame, name: str) -> str:
    back = {new: old for names in (frame.identity.units, frame.identity.bays) for old, new in names.items()}
    if name in frame.after.units or name in frame.after.bays:
        return title(frame.after, name)
    return title(frame.before, back.get(name, name))


def _where(frame: Frame, name: str, *, before: bool = False) -> str:
    found = where(frame.before if before else frame.after, name)
    return f" ({found})" if found else ""


def _phantom_on(frame: Frame, step: Step) -> str:
    ports = [f"{_title(frame, key[1])} {folded(value)}" for key, value in step.edits if value and key[0] == "phantom"]
    if not ports:
        return "Phantom power stays off."
    return f"Phantom power on again, as the finished studio has it: {'; '.join(ports)}."


def _called(works: Sequence[Work], *, new: bool = False) -> str:
    sides = [(work.new if new else work.old) or work.old or work.new for work in works]
    numbers = [side.cable.number for side in sides if side is not None and side.cable.number]
    more = len(works) - len(numbers)
    without = f"{more} cable{'s' if more > 1 else ''} without a number"
    return folded(numbers) if not more else f"{folded(numbers)} and {without}" if numbers else without


def _bench(works: Sequence[Work]) -> str:
    side = works[0].new
    assert side is not None
    kind = side.plant.studio.cable_type.get(side.cable.type or "")
    sort = (kind.title if kind else None) or side.cable.type
    of = f" of {sort}" if sort else ""
    length = f", {side.cable.metres:g} m each" if side.cable.metres else ", measure the length on the way it will run"
    if len(works) == 1:
        length = length.replace(" each", "")
    it = "it" if len(works) == 1 else "them"
    return (
        f"Make {_called(works, new=True)}{of}{length}. Label both ends.\nThen run {it} where {it} will lie, both ends insulated and tied back, "
        "nothing joined: ends that are soldered behind the rack are made there."
    ).replace("where them", "where they")


def labelled(one: Renewed) -> str:
    """The words of labels to renew; further lines are what to mind."""
    if one.kind == STRIP:
        how = (
            "Print the pieces that changed at true scale (routecode labels, with the same A..B)"
            if one.scaled
            else "Letter them by hand"
        )
        reads = "reads" if len(one.columns) == 1 else "read"
        scale = "" if one.scaled else " (the bay says no pitch_mm)"
        return f"Label strip of {one.title}: {columns(one.columns)} {reads} otherwise.\n{how}{scale}. It goes in when the bay is done."
    numbers = folded(one.cables)
    if one.kind == LOOM:
        where = (
            f"belong{'s' if len(one.cables) == 1 else ''} to loom {one.title} now" if one.at else "in no loom any more"
        )
        verb = f"{'is' if len(one.cables) == 1 else 'are'} " if not one.at else ""
        return f"{numbers} {verb}{where}.\nLace there when what moves has moved; cut no tie of what stays."
    return f"Renew the flags of {numbers}: same number, other ends.\nPut them on when the step of each is done."


def _operation(frame: Frame, op: Op, works: Sequence[Work], steps: Sequence[Step]) -> str:
    if op.kind in ("lift", "lay"):
        lifting = op.kind == "lift"
        whole = plugs_moved(works, lifting=lifting)
        return whole or (_lift(works) if lifting else _lay(works)) + plugs_opened(works, lifting=lifting)
    if op.kind in ("cut", "make"):
        return _normal(frame, op, [step.op for step in steps if step.op is not None])
    name = _title(frame, op.owner)
    without = ", without power yet" if any((("away", op.owner), OFF) in step.edits for step in steps) else ""
    words = {
        "out": f"Take {name} out{_where(frame, op.owner, before=True)}.",
        "in": f"Put {name} in place{_where(frame, op.owner)}{without}.",
        "exchange": f"Exchange {name}{_where(frame, op.owner)} for the new one.",
        "move": f"Move {name} from{_where(frame, op.owner, before=True)} to{_where(frame, op.owner)}.",
        "alter": f"Alter {name}{_where(frame, op.owner)}: {_altered(frame, op)}",
        "sent away": f"Lift the plugs off {name}, then take it out{_where(frame, op.owner)}; its cables stay where they are.\n"
        "Tag each plug before it comes off, and insulate what hangs free then.",
        "back again": f"Put {name} back{_where(frame, op.owner)}, on the cables that hang there{without}.",
        "turn": f"At {name}{_where(frame, op.owner)}: {_turned(frame, op.owner)}. It rests there from now on.\nMute what it feeds first.",
        "label": f"Label {_called(works)} as {_called(works, new=True)}, at both ends.",
    }
    return words[op.kind] + _resting(frame, op) if op.kind in words else _set(frame, op)


def _units(frame: Frame, name: str) -> tuple[PlacedUnit | None, PlacedUnit | None]:
    """A unit before and after; None where it is not there."""
    back = {new: old for old, new in frame.identity.units.items()}
    return frame.before.units.get(back.get(name, name)), frame.after.units.get(name)


def _turned(frame: Frame, name: str) -> str:
    old, new = _units(frame, name)
    found = turned(old, new) if old is not None and new is not None else []
    return "; ".join(f"turn {switch} to {now} (it stands at {was})" for switch, was, now in found)


def _resting(frame: Frame, op: Op) -> str:
    """How the switches of a unit that comes, or is worked on, must stand."""
    unit = _units(frame, op.owner)[1]
    if unit is None or op.kind not in ("in", "exchange", "alter", "move") or not unit.kit.switches:
        return ""
    stand = ", ".join(f"{name} at {positions[0]}" for name, positions in unit.kit.switches.items())
    return f"\nSwitches: {stand}."


def _lift(works: Sequence[Work]) -> str:
    work = works[0]
    called = _called(works)
    then = {
        GOES: "Not used again: take it out, or tie it off and mark it dead.",
        AGAIN: f"It is used again as {_called(works, new=True)}: leave the ends that are not named here joined.",
        MOVES: "The cable stays; only these circuits move.",
        REMADE: "Open it at the end named here; it is made otherwise.",
        UNPLUGGED: "It stays, and goes back where it was.",
    }.get(work.how, "")
    verb = "open" if work.how == REMADE else "take off"
    return f"Tag both ends of {called}, then {verb} as listed.\n{then}"


def _lay(works: Sequence[Work]) -> str:
    work, called = works[0], _called(works, new=True)
    longer = _longer(works)
    if work.how == AGAIN:
        labels = f"Join {called} (it was {_called(works)}). New labels on both ends."
        return f"{labels}\nContinuity and shorts of each circuit before it is joined.{_fitted(works)}{longer}"
    if work.how == UNPLUGGED:
        return f"Put {called} back where it was."
    if work.how in (MOVES, REMADE):
        return f"Join the circuits of {called} as listed.{_exchanged(works)}{_fitted(works)}{longer}"
    side = work.new
    if side is not None and "optical" in {end.plug for end in side.ends(0)}:
        return f"Join {called}.\nClean both ends, no sharp bend, never look into it."
    return f"Join {called}.\nContinuity and shorts of each circuit before it is joined."


def _exchanged(works: Sequence[Work]) -> str:
    """What to mind where a circuit is joined the other way round than it was, hot and cold."""
    found = set()
    for work in works:
        if work.old is not None and work.new is not None:
            was = {work.old.keys[index]: work.old.cable.circuits[index].wire.reversed for index in work.lifts}
            now = {work.new.keys[index]: work.new.cable.circuits[index].wire.reversed for index in work.lays}
            found |= {now[key] for key in now if key in was and now[key] != was[key]}
    if not found:
        return ""
    return (
        "\nHot and cold are exchanged from now on, at the end named here."
        if True in found
        else "\nHot goes to hot from now on."
    )


def _fitted(works: Sequence[Work]) -> str:
    """What connectors a cable that is used on must be given first."""
    found: set[str] = set()
    for work in works:
        old, new = work.old, work.new
        if old is None or new is None:
            continue
        had = {(end.how, end.plug, end.gender) for index in range(len(old.pairs)) for end in old.ends(index)}
        ends = [end for index in work.lays for end in new.ends(index) if end.how in MADE_BEFORE]
        found |= {end.fitted for end in ends if (end.how, end.plug, end.gender) not in had}
    return f"\nFit to it first: {', '.join(sorted(found))}." if found else ""


def _longer(works: Sequence[Work]) -> str:
    """What to mind where a cable that is used on is longer than the finished studio says."""
    for work in works:
        lengths = [side.cable.metres if side is not None else None for side in (work.old, work.new)]
        if lengths[0] and lengths[1] and lengths[0] > lengths[1]:
            return f"\nIt is {lengths[0]:g} m long and shall be {lengths[1]:g} m: shorten it, or coil the rest and correct `metres`."
    return ""


def _normal(frame: Frame, op: Op, ops: Sequence[Op]) -> str:
    (kind, key), value = op.edits[0]
    name = _title(frame, op.owner)
    at = _where(frame, op.owner)
    if kind == "column":
        which = columns(each.edits[0][0][1][1] for each in ops)
        thing = frame.after.bays.get(op.owner)
        if thing is not None and thing.plugs:
            goes = "take the link plug out" if value in (None, "none") else f"link plug into the {value} jack"
            return f"{name}{at}, {which}: {goes}."
        return f"{name}{at}, {which}: set the normal to {value or 'none'}{_was(frame, ops)} (at the back, as the bay's maker says)."
    if kind == "mult":
        verb = "Part" if op.kind == "cut" else "Join"
        return f"{verb} behind {name}{at}, as one mult: {folded(key[1])}."
    ends = [f"{_title(frame, each.partition('/')[0])} {each.partition('/')[2]}" for each in key[:2]]
    return f"{'Take off' if op.kind == 'cut' else 'Make'} the normal from {ends[0]} to {ends[1]}, behind the bays."


def _was(frame: Frame, ops: Sequence[Op]) -> str:
    """How some columns are normalled now, where all are alike."""
    back = {new: old for old, new in frame.identity.bays.items()}
    found = set()
    for op in ops:
        bay, number = op.edits[0][0][1]
        old = frame.before.bays.get(back.get(bay, bay))
        found |= {old.normals[number]} if old is not None and number <= old.columns else set()
    return f", now {found.pop()}" if len(found) == 1 else ""


def _altered(frame: Frame, op: Op) -> str:
    """What of a unit or bay comes and goes."""
    back = {new: old for names in (frame.identity.units, frame.identity.bays) for old, new in names.items()}
    old_bay, new_bay = frame.before.bays.get(back.get(op.owner, op.owner)), frame.after.bays.get(op.owner)
    if old_bay is not None and new_bay is not None:
        return f"from {old_bay.columns} to {new_bay.columns} columns."
    old, new = _units(frame, op.owner)
    if old is None or new is None:
        return "as the finished studio has it."
    ports = frame.identity.ports.get(op.owner, {})
    before, after = (
        {ports.get(socket.name, socket.name) for socket in old.kit.sockets},
        {socket.name for socket in new.kit.sockets},
    )
    pieces = [
        f"{word} {folded(names)}" for word, names in (("fit", after - before), ("take out", before - after)) if names
    ]
    return f"{'; '.join(pieces)}." if pieces else "sockets or joints inside are otherwise; see its table."


def _set(frame: Frame, op: Op) -> str:
    (kind, key), value = op.edits[0]
    if kind == "phantom":
        setting = f"on at {folded(value)}, off elsewhere" if value else "off"
        return f"Phantom power at {_title(frame, op.owner)}: {setting}.\nMute what it feeds first."
    ends = [_channel(frame, name) for name in key]
    return f"{'Set' if value is not None else 'Clear'} the route from {ends[0]} to {ends[1]}."


def _channel(frame: Frame, name: Any) -> str:
    head, _, rest = str(name).partition("/")
    return f"{_title(frame, head)} {rest}"
