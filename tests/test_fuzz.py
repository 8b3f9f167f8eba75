"""A short run of `python -m tests.fuzz`: nothing raises, and most inputs are TOML."""

import pytest

from tests.fuzz import outcome


@pytest.mark.parametrize("part", range(6))
def test_damaged_studios_raise_nothing(part: int) -> None:
    outcomes = [outcome(seed) for seed in range(part * 100, part * 100 + 100)]
    assert [one.failure for one in outcomes if one.failure] == []
    assert sum(one.toml for one in outcomes) >= 50
    assert any(one.compiled for one in outcomes)
