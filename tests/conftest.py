"""Settings of all tests: property tests draw the same examples on every machine, and none has a deadline; nothing is kept between runs."""

import os

from hypothesis import settings

settings.register_profile("routecode", deadline=None, derandomize=True, database=None)
settings.load_profile("routecode")
os.environ["ROUTECODE_KEEP"] = "no"  # each test works its answers out; those of keeping switch it on
