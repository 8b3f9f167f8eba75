"""Two revisions that differ in one file: only that file is parsed, read and resolved a second time."""

from tests.show.studios import millrace, opened


def test_only_the_changed_file_is_parsed_twice() -> None:
    before = millrace()
    assert before.circuit is not None
    texts = {name: text.decode() for name, text in before.files.texts.items()}
    changed = "cables.toml"
    after = opened({**texts, changed: f"# one more line\n{texts[changed]}"}, like=before)
    assert after.mistakes == ()
    shared = {name for name in texts if after.table(name) is before.table(name)}
    assert shared == set(texts) - {changed}
    assert after.studio is not None
    assert before.studio is not None
    assert all(after.studio.unit[name] is unit for name, unit in before.studio.unit.items())
    assert all(after.studio.bay[name] is bay for name, bay in before.studio.bay.items())
    assert after.circuit is not None
    assert after.circuit.base is not None
    flooded = {id(net) for net in after.circuit.state(None).nets} - {id(net) for net in before.circuit.state(None).nets}
    assert len(flooded) < len(before.circuit.state(None).nets)
