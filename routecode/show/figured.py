"""Figures of a feed in words and as a row: what `trace` and `paths` show of them. Computes nothing."""

from routecode.figures.hops import BALANCED, Hop
from routecode.figures.ports import Known
from routecode.physics.phantom import outward
from routecode.show.document import Row
from routecode.show.documents import FIGURES
from routecode.show.spoken import counted

USUAL = "by usual figures"


def hop_words(hop: Hop) -> list[str]:
    """Phrases about a feed, the most important first; none where nothing is known."""
    found: list[str] = []
    if hop.arriving is not None:
        least = f"{hop.arriving.amount - hop.less:+.1f} to " if hop.less else ""
        found.append(f"{least}{hop.arriving.amount:+.1f} dBu arrive{f', {USUAL}' if hop.usual else ''}")
    if hop.loss is not None and hop.load is not None and not hop.loss.default:
        found.append(f"{-hop.loss.amount:.1f} dB lost into {ohms(hop.load.amount)}")
    if hop.dbfs is not None and not hop.dbfs.default:
        found.append(f"{hop.dbfs.amount:+.1f} dBFS")
    if hop.headroom is not None and not hop.headroom.default and _clips_before_full_scale(hop):
        found.append(f"{hop.headroom.amount:.1f} dB headroom")
    if hop.corner is not None and not hop.corner.default:
        found.append(f"corner {hop.corner.amount / 1000:.3g} kHz")
    if hop.legs is not None and hop.legs != BALANCED:
        found.append(hop.legs)
    if hop.powered is not None:
        found.append(_phantom(hop))
    if hop.metres:
        found.append(f"{hop.metres:g} m{'' if hop.whole else ' and more'}")
    if hop.receivers > 1:
        found.append(f"one of {counted(hop.receivers, 'input')}")
    return found


def _phantom(hop: Hop) -> str:
    assert hop.powered is not None
    if hop.powered.volts is None:
        return "phantom power exposed, not supplied"
    low, high = outward(*hop.powered.volts)
    return f"phantom power{'' if hop.powered.supplied else ' on one leg only,'} {low:.0f} to {high:.0f} V"


def _clips_before_full_scale(hop: Hop) -> bool:
    """Whether the headroom says more than what is said against full scale."""
    if hop.headroom is None or hop.dbfs is None or hop.dbfs.default:
        return hop.headroom is not None
    return round(hop.headroom.amount + hop.dbfs.amount, 1) < 0


def ohms(amount: float) -> str:
    """An impedance as people write it."""
    if amount == float("inf"):
        return "no load"
    return f"{amount / 1000:.3g} kohm" if amount >= 1000 else f"{amount:.3g} ohm"


def hop_row(hop: Hop | None) -> Row | None:
    """The figures as a row of a document."""
    if hop is None:
        return None
    powered = hop.powered
    return FIGURES.row(
        hop.kind,
        _number(hop.arriving),
        _number(hop.source),
        _number(hop.load),
        _number(hop.loss),
        _number(hop.headroom),
        _number(hop.dbfs),
        _number(hop.corner),
        hop.legs,
        None if powered is None else powered.supplied,
        None if powered is None or powered.volts is None else [*outward(*powered.volts, digits=3)],
        hop.metres if hop.whole else None,
        hop.receivers,
        hop.usual,
    )


def _number(known: Known | None) -> float | None:
    return None if known is None or abs(known.amount) == float("inf") else round(known.amount, 4)
