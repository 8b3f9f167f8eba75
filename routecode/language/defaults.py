"""What holds for a port that does not say its figures: one table by kind of signal, each figure with its source.

Usual figures, for orientation: an answer that rests on one of them says so, and no finding above a note does. Nothing is computed here.
"""

from collections.abc import Mapping
from types import MappingProxyType

from attrs import frozen


@frozen
class Default:
    """Usual figures of one kind of signal; None: nothing is assumed. Levels in dBu, impedances in ohms."""

    out_ohms: float | None = None
    in_ohms: float | None = None
    level: float | None = None
    max_level: float | None = None
    balanced: bool | None = None
    line_ohms: float | None = None
    """The impedance that source, cable and receiver are made for; None where nothing is matched."""
    source: str = "common practice, no source"


DEFAULTS: Mapping[str, Default] = MappingProxyType(
    {
        "mic": Default(
            150.0,
            1500.0,
            -50.0,
            None,
            True,
            source="microphones of 100 to 200 ohms into about 1 kilohm or more (IEC 61938 as paraphrased); level from memory",
        ),
        "line": Default(
            100.0,
            10000.0,
            4.0,
            24.0,
            True,
            source="outputs of 50 to 100 ohms into 10 kilohms or more (IEC 61938 as paraphrased); 0 dBFS = +24 dBu as SMPTE RP 155",
        ),
        "instrument": Default(
            10000.0,
            1000000.0,
            -17.8,
            None,
            False,
            source="pickups of 5 to 15 kilohms; input of 1 megohm and a level of about -20 dBV from memory",
        ),
        "headphone": Default(None, None, None, None, False),
        "speaker-level": Default(
            0.1, 8.0, None, None, None, source="IEC 61938 as paraphrased: up to 0.1 ohm into 4, 8 or 16"
        ),
        "aes3": Default(110.0, 110.0, None, None, True, 110.0, "IEC 60958-4-4 (AES3)"),
        "aes3id": Default(75.0, 75.0, None, None, False, 75.0, "AES-3id"),
        "spdif": Default(75.0, 75.0, None, None, False, 75.0, "IEC 60958-3"),
        "wordclock": Default(75.0, None, None, None, False, 75.0, "AES11, annex B"),
        "madi": Default(75.0, 75.0, None, None, False, 75.0, "AES10"),
    }
)
"""By kind of signal of the language; kinds that are not here have no figures."""

NOTHING = Default()


def default_of(kind: str | None) -> Default:
    """The usual figures of a kind."""
    return DEFAULTS.get(kind or "", NOTHING)
