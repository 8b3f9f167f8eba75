"""Documents that nobody would write: decoding never fails, and agrees with the schema about what is right."""

from datetime import date
from typing import Any

import jsonschema
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from routecode.language.decode import decode
from routecode.language.kinds import (
    Choice,
    Flag,
    Id,
    Key,
    Kind,
    LegList,
    NameList,
    Number,
    Quantity,
    Tables,
    Text,
    Whole,
)
from routecode.language.plan import declarations
from routecode.language.schema import studio_schema
from routecode.language.written import KEYED, LISTED, SIGNALS, Allowed, Times

_SCHEMA = jsonschema.Draft7Validator(studio_schema())

IDS = st.sampled_from(["a", "b", "A", "north", "ü", "x y", "", "unpatched"])
TEXTS = st.sampled_from(
    ["a", "mic 1..4", "01..3", "x..", "a/b ch 1", "", "two\nlines", "u\u0308", "line", "\x00", "9..1", "é."]
)
NUMBERS = st.sampled_from([0, 1, 2, -1, 48, 3.5, -0.5, 10**15, 10**40, float("nan"), float("inf"), True, False])
SCALARS = st.one_of(TEXTS, NUMBERS, st.sampled_from([date(2026, 3, 1), "2026-03-01"]))
ANYTHING = st.recursive(
    SCALARS,
    lambda below: (
        st.lists(below, max_size=3) | st.dictionaries(st.sampled_from(["at", "name", "from", "a"]), below, max_size=3)
    ),
    max_leaves=6,
)


def likely(kind: Kind) -> st.SearchStrategy[Any]:
    """Values that are often right for a kind."""
    if isinstance(kind, Tables):
        return st.lists(table(kind.record), max_size=2)
    if isinstance(kind, Choice):
        return st.sampled_from(kind.words)
    if isinstance(kind, Whole):
        return st.integers(kind.low, min(kind.high, kind.low + 3))
    if isinstance(kind, Quantity):
        return st.sampled_from(["+4 dBu", "-10 dBV", "1.23 V", "0 V", "4"])
    if isinstance(kind, Number):
        return st.sampled_from([0, 1, 2.5])
    if isinstance(kind, Text) and kind.usual:
        return st.sampled_from(["line", "aes3"])
    if isinstance(kind, Flag):
        return st.booleans()
    if isinstance(kind, Id):
        return st.just("north")
    if isinstance(kind, (NameList, LegList)):
        names = st.lists(st.sampled_from(["mic 1..4", "x 1", "7", "b/in 2..1", *SIGNALS[:2]]), min_size=1, max_size=3)
        return names | names.map(lambda some: some[0]) | st.lists(names, max_size=2)
    return st.sampled_from(["a", "line", "north"]) | st.lists(st.sampled_from(["a", "b", "north"]), max_size=3)


def value(key: Key) -> st.SearchStrategy[Any]:
    return st.integers(0, 24).flatmap(lambda dice: ANYTHING if dice == 0 else likely(key.kind))


def table(record: type) -> st.SearchStrategy[dict[str, Any]]:
    keys = {each.name: value(each.key) for each in declarations(record)}
    required = {each.name for each in declarations(record) if each.key.required}
    return st.fixed_dictionaries(
        {name: keys[name] for name in keys if name in required},
        optional={name: keys[name] for name in keys if name not in required},
    )


_KEYED = {name: st.dictionaries(IDS, table(record), max_size=2) for name, record in KEYED}
_SINGLE = {"allowed": table(Allowed), "times": table(Times)}
_LISTED = {name: st.lists(table(record), max_size=2) for name, record in LISTED}
DOCUMENTS = st.fixed_dictionaries({}, optional={**_KEYED, **_LISTED, **_SINGLE, "x": ANYTHING})
HEAD: tuple[str, dict[str, Any]] = ("studio.toml", {"studio": {"language": 1}})
OTHERS: tuple[str, dict[str, Any]] = (
    "others.toml",
    {name: {"north": {}} for name in ("room", "rack", "model", "cable_type", "setup")},
)
SETTINGS = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow], max_examples=150)


def plain(some: Any) -> Any:
    if isinstance(some, dict):
        return {key: plain(below) for key, below in some.items()}
    if isinstance(some, list):
        return [plain(below) for below in some]
    return some.isoformat() if isinstance(some, date) else some


@SETTINGS
@given(st.lists(DOCUMENTS, min_size=1, max_size=3))
def test_any_documents_give_a_studio_or_mistakes(documents: list[dict[str, Any]]) -> None:
    files = [HEAD, OTHERS, *[(f"{index}.toml", document) for index, document in enumerate(documents)]]
    studio, mistakes = decode(files)
    assert (studio is None) == bool(mistakes)
    assert decode(files[::-1]) == (studio, mistakes)
    for mistake in mistakes:
        assert mistake.text
        assert mistake.place is None or mistake.place.file in {name for name, _ in files}


@SETTINGS
@given(st.sampled_from([record for _, record in (*KEYED, *LISTED)]).flatmap(lambda r: st.tuples(st.just(r), table(r))))
def test_one_table_that_decodes_is_right_by_the_schema(one: tuple[type, dict[str, Any]]) -> None:
    record, made = one
    name = next(name for name, each in (*KEYED, *LISTED) if each is record)
    document = {name: {"a": made} if (name, record) in KEYED else [made]}
    studio, _ = decode([HEAD, OTHERS, ("a.toml", document)])
    if studio is not None:
        _SCHEMA.validate(plain(document))
