"""Channels that a link loses at a sample rate: optical links of eight, and MADI."""

import pytest

from tests.show.studios import opened

LINK = """
[studio]
title = "Small"
language = 1
sample_rate = RATE
[room.here]
[unit.one]
room = "here"
port = [{ name = "out", direction = "out", signal = "SIGNAL", channels = COUNT }]
[unit.other]
room = "here"
port = [{ name = "in", direction = "in", signal = "SIGNAL", channels = COUNT }]
[[cable]]
from = "one/out"
to = "other/in"
"""


@pytest.mark.parametrize(
    ("signal", "count", "rate", "told"),
    [
        ("madi", 64, 48_000, ""),
        ("madi", 64, 96_000, "other in gets channels 1-32 only."),
        ("madi", 32, 96_000, ""),
        ("madi", 56, 192_000, "other in gets channels 1-16 only."),
        ("optical8", 8, 96_000, "other in gets channels 1-4 only."),
        ("optical8", 4, 96_000, ""),
        ("optical8", 2, 384_000, "other in gets nothing."),
    ],
)
def test_only_what_is_lost_is_told(signal: str, count: int, rate: int, told: str) -> None:
    text = LINK.replace("SIGNAL", signal).replace("COUNT", str(count)).replace("RATE", str(rate))
    assert [each.text for each in opened({"studio.toml": text}).report.findings] == [told] * bool(told)
