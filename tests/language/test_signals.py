"""Kinds of signal: families, channels, kinds of the studio's own."""

import pytest

from routecode.ground.finding import Mistake
from routecode.ground.place import At
from routecode.language.signals import ANALOGUE, KINDS, channels_of, family_of
from routecode.language.written import SIGNALS, Signal

AT = At("a.toml", ("unit", "a", "port", 0))


def own(**likes: str) -> dict[str, Signal]:
    return {name: Signal(id=name, like=like, place=AT) for name, like in likes.items()}


def test_families_are_those_of_the_language() -> None:
    families: dict[str, set[str]] = {}
    for name in SIGNALS:
        families.setdefault(str(family_of(name, {})), set()).add(name)
    assert families.pop(ANALOGUE) == {"mic", "line", "instrument", "headphone", "speaker-level"}
    assert families.pop("aes3") == {"aes3", "aes3id", "spdif"}
    assert families == {name: {name} for name in families}


def test_a_kind_of_ones_own_joins_the_family_it_is_like() -> None:
    kinds = own(stage="aes3id", wall="stage", a="b", b="a", lost="nowhere", self="self")
    assert family_of("stage", kinds) == "aes3"
    assert family_of("wall", kinds) == "aes3"
    for name in ("a", "b", "lost", "self", "unknown"):
        assert family_of(name, kinds) is None
    assert channels_of("wall", None, kinds, AT, []) == 2


@pytest.mark.parametrize(
    ("signal", "channels"),
    [
        ("aes3", 2),  # AES3: two channels on one interface (from memory)
        ("aes3id", 2),
        ("spdif", 2),  # IEC 60958-3: two channels (from memory)
        ("optical8", 8),  # common practice, no source
        ("mic", 1),
        ("madi", 1),
        ("cv", 1),
    ],
)
def test_channels_without_a_word(signal: str, channels: int) -> None:
    assert channels_of(signal, None, {}, AT, []) == channels


def test_channels_as_given() -> None:
    assert channels_of("madi", 64, {}, AT, []) == 64
    assert channels_of("optical8", 4, {}, AT, []) == 4
    assert channels_of("line", 1, {}, AT, []) == 1
    assert channels_of("network", 128, {}, AT, []) == 128


def test_a_network_port_must_say_it() -> None:
    mistakes: list[Mistake] = []
    assert channels_of("network", None, {}, AT, mistakes) is None
    assert channels_of("stage", None, own(stage="network"), AT, mistakes) is None
    assert [mistake.id for mistake in mistakes] == ["channels-missing", "channels-missing"]


def test_an_analogue_port_has_one_channel() -> None:
    mistakes: list[Mistake] = []
    assert channels_of("line", 2, {}, AT, mistakes) is None
    assert [(mistake.id, mistake.place) for mistake in mistakes] == [
        ("analogue-channels", At("a.toml", ("unit", "a", "port", 0, "channels")))
    ]


def test_an_unknown_kind_has_no_channels_and_is_told_elsewhere() -> None:
    mistakes: list[Mistake] = []
    assert channels_of("lien", None, {}, AT, mistakes) is None
    assert mistakes == []


def test_each_kind_is_described() -> None:
    assert all(kind.doc for kind in KINDS.values())
    assert all(kind.source for kind in KINDS.values() if kind.channels not in (1, None))
