"""Published figures against the formulas, each by its id; the page that shows them is not stale."""

import pytest

from tests.physics.table import PAGE, fits, page
from tests.physics.values import Row, rows

ROWS = rows()


@pytest.mark.parametrize("row", ROWS, ids=[row.id for row in ROWS])
def test_a_published_figure_comes_out(row: Row) -> None:
    assert fits(row), f"{row.what}: published {row.published}, computed {row.computed} ({row.source})"


def test_no_id_is_there_twice() -> None:
    ids = [row.id for row in ROWS]
    assert len(ids) == len(set(ids))


def test_a_wrong_figure_would_be_seen() -> None:
    for row in ROWS:
        wrong = row._replace(computed=row.computed * 1.1 + 2 * row.tolerance)
        assert row.computed == 0 or row.unit == "" or not fits(wrong) or row.tolerance > abs(row.published) * 0.05


def test_the_page_is_not_stale() -> None:
    assert PAGE.read_text("utf-8") == page(), "run: python -m tests.physics.table --write"
