"""A short run of the fuzzing script; long ones are started by hand."""

from tests.files.fuzz_toml import run


def test_mutated_documents_raise_nothing_and_read_as_the_standard_library_reads_them() -> None:
    totals = run(1500, seed=20260301)
    assert totals["raised"] == 0
    assert totals["wrong"] == 0
    assert totals["valid"] >= 750
    assert totals["refused"] >= 300
