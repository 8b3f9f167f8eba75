"""Pages to look at: rewirings of small studios and of the example."""

from functools import cache
from pathlib import Path

from routecode.change.difference import Difference
from routecode.files.tree import read_worktree
from routecode.show.drawing.engine import Engine
from routecode.show.review.page import Reviewed, review_page
from routecode.studio.opened import Opened
from tests.change.wiring import PLAIN
from tests.show.studios import MILLRACE, opened

HOSTILE = "<img src=x onerror=\"document.title='run'\"></script><script>document.title='run'</script>"


@cache
def engine() -> Engine:
    """The layout program that the project brings."""
    from routecode.cli.draw import find_engine

    found = find_engine(None)
    assert found is not None
    return found


def page_of(before: Opened, after: Opened) -> str:
    """The page of two sides."""
    return review_page(Reviewed(Difference(before, after), "Weir", ("before, 2026-01-01", "after"), engine()))


@cache
def example() -> str:
    """The example against itself with the compressor away and two columns of the bay exchanged."""
    after = read_worktree(MILLRACE)
    texts = {name: text.decode() for name, text in after.texts.items()}
    bay = texts["bays/south.toml"]
    texts["bays/south.toml"] = bay.replace('bottom = "comp-a/in 1..2"', 'bottom = ["comp-a/in 2", "comp-a/in 1"]', 1)
    assert texts["bays/south.toml"] != bay
    return page_of(Opened(after, "before"), opened(texts))


@cache
def hostile() -> str:
    """A studio whose names try to be markup."""
    bad = HOSTILE.replace("'", "\\u0027").replace('"', '\\"')
    before = PLAIN.replace('title = "Hall"', f'title = "{bad}"').replace(
        'title = "Preamp A"', 'title = "javascript:alert(1)"'
    )
    after = before + f'\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\nnumber = "{bad[:150]}"\n'
    return page_of(opened({"studio.toml": before}), opened({"studio.toml": after}))


def written(folder: Path, name: str, text: str) -> Path:
    """The page as a file."""
    path = folder / f"{name}.html"
    path.write_text(text, "utf-8")
    return path
