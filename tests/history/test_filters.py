"""Which entries are asked for: dates read by the calendar of the standard library, names met and not met."""

from datetime import UTC, datetime, timedelta

import pytest

from routecode.files.git import Commit
from routecode.ground.finding import Mistake
from routecode.history.entry import BROKEN, COMPARED, Entry
from routecode.history.filters import Wanted, meant, moment, unknown
from routecode.history.log import Item


def item(when: str = "2026-03-01T12:00:00+01:00", **fields: object) -> Item:
    entry = Entry(**{"kind": COMPARED, **fields})  # type: ignore[arg-type] # fields by name
    return Item(1, Commit("a" * 40, "title", "Ann", when, (), ""), entry)


@pytest.mark.parametrize(
    ("text", "begin", "days"),
    [
        ("2024", datetime(2024, 1, 1), 366),
        ("2025", datetime(2025, 1, 1), 365),
        ("2024-02", datetime(2024, 2, 1), 29),
        ("2025-12", datetime(2025, 12, 1), 31),
        (" 2024-02-29 ", datetime(2024, 2, 29), 1),
        ("2026-03-01 14:05", datetime(2026, 3, 1, 14, 5), 1 / 1440),
        ("2026-03-01T14:05", datetime(2026, 3, 1, 14, 5), 1 / 1440),
    ],
)
def test_a_date_is_all_of_what_it_names(text: str, begin: datetime, days: float) -> None:
    assert moment(text, "--since") == (begin, begin + timedelta(days=days))


@pytest.mark.parametrize(
    "text",
    ["", "2025-02-29", "2025-13", "26-03-01", "yesterday", "0000", "2026-3-1", "9999-12-31x", "2026-03-01 25:00", "\n"],
)
def test_what_is_no_date_is_a_mistake_with_the_way_out(text: str) -> None:
    found = moment(text, "--until")
    assert isinstance(found, Mistake)
    assert "--until" in found.text
    assert "2026-03-01" in found.do


def test_the_last_year_of_the_calendar_is_no_fault() -> None:
    assert isinstance(moment("9999", "--until"), Mistake)
    assert moment(None, "--until") is None


def test_time_is_judged_with_its_zone_and_both_ends_count() -> None:
    since, until = datetime(2026, 3, 1, 11, tzinfo=UTC), datetime(2026, 3, 1, 12, tzinfo=UTC)
    commit = item().commit  # 11:00 in Greenwich
    assert Wanted(since=since).in_time(commit)
    assert Wanted(until=until).in_time(commit)
    assert not Wanted(until=since).in_time(commit)
    assert not Wanted(since=until).in_time(commit)
    assert Wanted().in_time(item(when="").commit)
    assert not Wanted(since=since).in_time(item(when="").commit)


def test_names_of_one_sort_are_any_and_of_several_sorts_all() -> None:
    touching = item(units=("a", "b"), rooms=("hall",))
    assert Wanted({"unit": frozenset({"b", "z"})}).wants(touching)
    assert Wanted({"unit": frozenset({"b"}), "room": frozenset({"hall"})}).wants(touching)
    assert not Wanted({"unit": frozenset({"b"}), "room": frozenset({"booth"})}).wants(touching)
    assert not Wanted({"bay": frozenset({"b"})}).wants(touching)


def test_losses_are_what_loses_and_what_does_not_compile() -> None:
    assert Wanted(losses=True).wants(item(loses=True))
    assert Wanted(losses=True).wants(item(kind=BROKEN))
    assert not Wanted(losses=True).wants(item(lost=0, gained=4))


def test_a_name_may_be_an_id_or_a_title_of_today() -> None:
    titles = {"comp-a": "Compressor", "comp-b": "Compressor", "desk": "Desk"}
    assert meant(["DESK"], titles) == {"desk"}
    assert meant(["compressor"], titles) == {"comp-a", "comp-b"}
    assert meant(["old-eq"], titles) == {"old-eq"}


def test_an_unknown_name_is_answered_with_the_nearest() -> None:
    titles = {"comp-a": "Compressor A", "desk": "Desk"}
    found = unknown("unit", ["comp-x"], {"eq"}, titles)
    assert found is not None
    assert found.do == "Did you mean `comp-a`?"
    by_title = unknown("unit", ["Compresor A"], set(), titles)
    assert by_title is not None
    assert by_title.do == "Did you mean `comp-a` (Compressor A)?"
    far = unknown("unit", ["zzzzzz"], {"eq"}, titles)
    assert far is not None
    assert far.do == "There are: comp-a, desk, eq."
    assert unknown("unit", ["eq", "desk"], {"eq"}, titles) is None
    none = unknown("bay", ["north"], set(), {})
    assert none is not None
    assert none.do == "The studio never had a bay."
