"""Settings of all tests: property tests draw the same examples on every machine, and none has a deadline."""

from hypothesis import settings

settings.register_profile("routecode", deadline=None, derandomize=True, database=None)
settings.load_profile("routecode")
