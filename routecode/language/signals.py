"""Kinds of signal: which family each belongs to, and how many channels a socket of the kind carries.

Two kinds of one family may be joined. Nothing here knows levels, impedances or connectors.
"""

from collections.abc import Mapping

from attrs import frozen

from routecode.ground.finding import Mistake
from routecode.ground.place import At
from routecode.language.written import SIGNALS, Signal

ANALOGUE = "analogue"
"""The family of audio that is a voltage: microphone to loudspeaker."""


@frozen
class SignalKind:
    """A kind of signal of the language; `channels` None: each port must say it; `source`: what the count rests on."""

    family: str
    channels: int | None = 1
    doc: str = ""
    source: str = ""


KINDS: Mapping[str, SignalKind] = {
    "mic": SignalKind(ANALOGUE, doc="microphone level"),
    "line": SignalKind(ANALOGUE, doc="line level"),
    "instrument": SignalKind(ANALOGUE, doc="instrument level, high impedance"),
    "headphone": SignalKind(ANALOGUE, doc="headphone feed"),
    "speaker-level": SignalKind(ANALOGUE, doc="amplifier to loudspeaker"),
    "aes3": SignalKind("aes3", 2, "digital audio on a balanced pair", "AES3: one interface, two channels"),
    "aes3id": SignalKind("aes3", 2, "digital audio on 75 ohm coaxial cable", "AES-3id: AES3 on coaxial cable"),
    "spdif": SignalKind("aes3", 2, "consumer digital audio", "IEC 60958-3: two channels"),
    "optical8": SignalKind("optical8", 8, "eight channels on one optical fibre", "common practice, no source"),
    "madi": SignalKind(
        "madi", doc="multichannel digital audio", source="AES10 carries up to 64; say how many, or one is assumed"
    ),
    "wordclock": SignalKind("wordclock", doc="sample clock"),
    "midi": SignalKind("midi", doc="control of instruments"),
    "timecode": SignalKind("timecode", doc="time code"),
    "network": SignalKind("network", None, "audio over a network"),
    "usb": SignalKind("usb", doc="USB"),
    "gpio": SignalKind("gpio", doc="switching contacts"),
    "cv": SignalKind("cv", doc="control voltage"),
}
assert tuple(KINDS) == SIGNALS


def kind_of(signal: str, own: Mapping[str, Signal]) -> str | None:
    """The kind of the language that a signal is or is like; None where it is unknown or its `like` runs in a loop."""
    seen: set[str] = set()
    while signal not in KINDS:
        if signal in seen or signal not in own:
            return None
        seen.add(signal)
        signal = own[signal].like or ""
    return signal


def family_of(signal: str, own: Mapping[str, Signal]) -> str | None:
    """The family of a signal, following `[signal.x] like`; None where it is unknown or runs in a loop."""
    if signal in KINDS:
        return KINDS[signal].family
    kind = kind_of(signal, own)
    return None if kind is None else KINDS[kind].family


def channels_of(
    signal: str, given: int | None, own: Mapping[str, Signal], at: At, mistakes: list[Mistake]
) -> int | None:
    """How many channels a port of this signal carries; `given` is what its `channels` says, `at` the place of the port.

    None where the signal is unknown (told elsewhere) and on a mistake, which is appended: several channels on an
    analogue port, none said on a network port.
    """
    kind = KINDS.get(signal) or KINDS.get(kind_of(signal, own) or "")
    if kind is None:
        return None
    if given is None:
        if kind.channels is None:
            mistakes.append(_unsaid(signal, at))
        return kind.channels
    if given > 1 and kind.family == ANALOGUE:
        mistakes.append(_several(signal, given, at))
        return None
    return given


def _unsaid(signal: str, at: At) -> Mistake:
    text = f"A port of signal `{signal}` must say how many channels it carries."
    return Mistake("channels-missing", text, at, do="Add a line such as `channels = 64`.")


def _several(signal: str, given: int, at: At) -> Mistake:
    return Mistake(
        "analogue-channels",
        f"A port of signal `{signal}` carries one channel, not {given}.",
        At(at.file, (*at.path, "channels")),
        why="An analogue socket is one conductor set; a socket with several circuits is several ports.",
        do=f'Give each its own name, such as `name = "out 1..{given}"`, and leave `channels` out.',
    )
