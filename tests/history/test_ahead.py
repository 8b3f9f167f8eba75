"""A history worked out ahead, part by part, says of every revision what the whole revisions say, opened anew and put beside each other."""

from collections import Counter
from collections.abc import Iterator
from random import Random

import pytest

from routecode.files.git.objects import Commit
from routecode.files.tree import Files
from routecode.history import log
from routecode.history.entry import BROKEN, FIRST, Entry, entry_of
from routecode.history.log import Item, entries
from routecode.history.part import Parts
from routecode.studio.opened import Opened
from tests.history.test_part import edited, files, studio
from tests.seeds import some

SPOILT = b'\n[[cable]]\nfrom = "nobody/1"\nto = "nothing/2"\n'


class Line:
    """A line of revisions in memory, each with the one before it as its parent."""

    def __init__(self, revisions: list[dict[str, bytes]]) -> None:
        self.revisions = {f"{number:040x}": texts for number, texts in enumerate(revisions, 1)}

    def commits(self) -> Iterator[Commit]:
        for commit_id in reversed(self.revisions):
            found = self.commit(commit_id)
            assert found is not None
            yield found

    def commit(self, commit_id: str) -> Commit | None:
        if commit_id not in self.revisions:
            return None
        number = int(commit_id, 16)
        parents = (f"{number - 1:040x}",) if number > 1 else ()
        return Commit(commit_id, f"Change {number}", "A. Writer", "2026-01-01T00:00:00+00:00", parents, "")

    def key(self, commit_id: str) -> str:
        return repr(sorted(self.revisions[commit_id].items()))

    def files(self, commit_id: str) -> Files:
        return files(self.revisions[commit_id])


def compiling(texts: dict[str, bytes], rng: Random) -> dict[str, bytes]:
    """An edit that compiles."""
    while True:
        after = edited(texts, rng)
        if not Opened(files(after), "after").mistakes:
            return after


def line(seed: int, count: int) -> Line:
    """Areas edited at random; now and then a revision that does not compile, one with a comment more, and one that goes back."""
    rng, revisions = Random(seed), [studio(6, tie=seed == 4)]
    good = revisions[0]
    for _ in range(count):
        kind = rng.random()
        if kind < 0.06:
            revisions.append({**good, "area2.toml": good["area2.toml"] + SPOILT})
            continue
        if kind < 0.12:
            good = {**good, "area3.toml": good["area3.toml"] + b"# seen\n"}
        elif kind < 0.2:
            good = revisions[0]  # edits tie areas together, and what is tied together is no part
        else:
            good = compiling(good, rng)
        revisions.append(good)
    return Line(revisions)


def whole(reader: Line, item: Item) -> Entry:
    """The entry of a revision, both sides opened whole and neither made of the other."""
    before = Opened(reader.files(item.against), "before") if item.against is not None else None
    return entry_of(before, Opened(reader.files(item.commit.id), "after"))


CASES = ((1, 64_000_000), (2, 64_000_000), (3, 2_000), (4, 2_000))


@pytest.mark.parametrize(("seed", "most"), [CASES[number] for number in some(range(len(CASES)), 2)])
def test_what_is_worked_out_ahead_is_what_the_whole_says(seed: int, most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(log, "MOST_WAITING", most)
    met: Counter[str] = Counter()
    between = Parts.between

    def counted(self: Parts, before: Files, after: Files) -> tuple[Files, Files] | None:
        found = between(self, before, after)
        met["parts"] += found is not None
        return found

    monkeypatch.setattr(Parts, "between", counted)
    reader, told = line(seed, 60), list[int]()
    items = list(entries(reader, progress=told.append))
    assert [item.number for item in items] == list(range(1, 62))
    for item in items:
        assert item.entry == whole(reader, item), item.number
        met[item.entry.kind] += 1
    assert told == sorted(set(told))
    assert told[-1] == len(items)
    assert met[FIRST] == 1
    assert met[BROKEN] > 0
    assert met["parts"] > 5, met


def test_a_part_that_changed_together_with_another_one_in_between_is_not_taken_as_it_was() -> None:
    before = studio(6, False)
    one = {**before, "area1.toml": before["area1.toml"].replace(b'loom = "W1"\n', b"")}
    two = {
        **one,
        "area1.toml": one["area1.toml"].replace(b'from = "north1/top 9"', b'from = "north1/top 10"'),
        "area2.toml": one["area2.toml"].replace(b'from = "north2/top 9"', b'from = "north2/top 10"'),
    }
    three = {**two, "area1.toml": two["area1.toml"].replace(b'to = "pre-b1/mic 3"', b'to = "pre-b1/mic 4"', 1)}
    reader = Line([before, one, two, three])
    items = list(entries(reader))
    assert [item.entry for item in items] == [whole(reader, item) for item in items]
    assert len({item.entry.meaning for item in items}) > 2
