"""Seeds of random inputs: a share of them on every run, all of them on a thorough one (`python3 tests/run.py --thorough`)."""

import os
from collections.abc import Sequence

THOROUGH = bool(os.environ.get("ROUTECODE_THOROUGH"))


def some(seeds: Sequence[int], count: int) -> Sequence[int]:
    """`count` of the seeds, evenly spread, the first among them; all of them on a thorough run."""
    if THOROUGH or count >= len(seeds):
        return seeds
    return [seeds[index * len(seeds) // count] for index in range(count)]
