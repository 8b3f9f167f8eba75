"""Nothing is told of studios that are wired as studios are (common practice, no source), beyond what each test names."""

from pathlib import Path

import pytest

from routecode.circuit.circuit import compile_studio
from routecode.files.toml import parse
from routecode.language.decode import decode
from routecode.rules.run import judge
from tests.rules.studios import rules_of, told

UNITS = """
[unit.deck]
model = "player"
rack = "left"
[unit.rec]
model = "recorder"
rack = "left"
"""
HALL = """
[unit.hall]
model = "box"
room = "control"
"""
NORTH = """
[bay.north]
rack = "left"
columns = 8
"""

ORDINARY = {
    "a tie line from room to room by way of a bay": HALL
    + NORTH
    + '[unit.foley]\nmodel = "box"\nroom = "control"\n'
    + '[[bay.north.column]]\nat = "1..2"\ntop = "hall/line 1..2"\nbottom = "foley/line 1..2"\nnormal = "none"\n',
    "a tie line as the only destination of an output": UNITS
    + HALL
    + NORTH
    + '[[bay.north.column]]\nat = "1..2"\ntop = "deck/out 1..2"\nbottom = "rec/in 1..2"\nnormal = "full"\n'
    + '[[bay.north.column]]\nat = "3..4"\nbottom = "hall/line 1..2"\n'
    + '[setup.cue]\n[[setup.cue.cord]]\nfrom = "deck/out 1..2"\nto = "north/bottom 3..4"\n',
    "units on a bay without normals": UNITS
    + NORTH
    + '[[bay.north.column]]\nat = "1..2"\ntop = "deck/out 1..2"\nbottom = "rec/in 1..2"\n',
    "a half-normalled bay by default, half of it wired": UNITS
    + NORTH
    + 'normal = "half"\n[[bay.north.column]]\nat = "1..2"\ntop = "deck/out 1..2"\n'
    + '[[bay.north.column]]\nat = "3..4"\nbottom = "rec/in 1..2"\n',
    "a pattern laid over the whole bay": UNITS
    + NORTH
    + '[[bay.north.column]]\nat = "1..8"\nnormal = "half"\n'
    + '[[bay.north.column]]\nat = "1..2"\ntop = "deck/out 1..2"\nbottom = "rec/in 1"\n'.replace(
        'bottom = "rec/in 1"', 'bottom = "rec/in 1..2"'
    )
    + '[[bay.north.column]]\nat = "3..4"\ntop = "tape/out 1..2"\n[unit.tape]\nmodel = "player"\nrack = "left"\n',
    "a mult that spreads one source": UNITS
    + NORTH
    + '[[bay.north.column]]\nat = "1..2"\ntop = "deck/out 1..2"\nbottom = "rec/in 1..2"\nnormal = "half"\n'
    + '[[bay.north.mult]]\nat = ["top 7..8", "bottom 7..8"]\n'
    + '[setup.take]\n[[setup.take.cord]]\nfrom = "deck/out 1"\nto = "north/top 7"\n'
    + '[[setup.take.cord]]\nfrom = "north/bottom 7"\nto = "rec/in 2"\n',
    "a Y-cord": UNITS
    + NORTH
    + '[[bay.north.column]]\nat = "1..2"\ntop = "deck/out 1..2"\nbottom = "rec/in 1..2"\nnormal = "half"\n'
    + '[setup.take]\n[[setup.take.cord]]\nfrom = "deck/out 1"\nto = ["rec/in 1", "rec/in 2"]\n',
    "two switches on one start line": """
    [[model.button.port]]
    name = "start"
    direction = "out"
    signal = "gpio"
    [[model.machine.port]]
    name = "start"
    direction = "in"
    signal = "gpio"
    [unit.one]
    model = "button"
    room = "control"
    [unit.two]
    model = "button"
    room = "control"
    [unit.machine]
    model = "machine"
    rack = "left"
    [[cable]]
    from = [["one/start"], ["two/start"]]
    to = "machine/start"
    """,
    "left and right to a mono machine and back": """
    [unit.tape]
    model = "stereo-player"
    rack = "left"
    [unit.rec]
    model = "recorder"
    rack = "left"
    [[cable]]
    from = ["tape/out right", "tape/out left"]
    to = "rec/in 1..2"
    """,
    "one number on a multipair that columns restate": UNITS
    + NORTH
    + '[[bay.north.column]]\nat = 1\ntop = "deck/out 1"\nbottom = "rec/in 1"\nnormal = "half"\n'
    + '[[bay.north.column]]\nat = 2\ntop = "deck/out 2"\nbottom = "rec/in 2"\nnormal = "half"\n'
    + '[[cable]]\nnumber = "M1"\nfrom = "deck/out 1..2"\nto = "north/top 1..2"\n',
    "spare jacks with one label, groups with like labels": UNITS
    + NORTH
    + '[[bay.north.column]]\nat = 1\ngroup = "A"\nlabel_top = "1"\ntop = "deck/out 1"\nbottom = "rec/in 1"\nnormal = "half"\n'
    + '[[bay.north.column]]\nat = 2\ngroup = "B"\nlabel_top = "1"\ntop = "deck/out 2"\nbottom = "rec/in 2"\nnormal = "half"\n'
    + '[[bay.north.column]]\nat = 3\nlabel_top = "Spare"\n[[bay.north.column]]\nat = 4\nlabel_top = "Spare"\n',
    "what a visitor carries in": UNITS
    + '[[cable]]\nfrom = "deck/out 1..2"\nto = "rec/in 1..2"\n'
    + '[unit.visitor]\nmodel = "player"\nportable = true\n',
    "a front cable at a tie line that is wired behind": HALL
    + '[unit.pre]\nmodel = "preamp"\nrack = "left"\n[unit.rec]\nmodel = "recorder"\nrack = "left"\n'
    + '[unit.mics]\nroom = "control"\n[[unit.mics.port]]\nname = "out 1..2"\ndirection = "out"\nsignal = "mic"\n'
    + '[[cable]]\nfrom = "hall/line 1..2"\nto = "pre/mic 1..2"\n[[cable]]\nfrom = "pre/out 1..2"\nto = "rec/in 1..2"\n'
    + '[[cable]]\nfrom = "mics/out 1..2"\nto = "hall/line 1..2"\nfront = true\n',
}


@pytest.mark.parametrize("name", sorted(ORDINARY))
def test_nothing_is_told_of_ordinary_wiring(name: str) -> None:
    assert told(ORDINARY[name]) == []


def test_the_example_studio_has_notes_only() -> None:
    root = Path(__file__).resolve().parents[2] / "examples" / "millrace"
    tables = []
    for path in sorted(root.rglob("*.toml")):
        table = parse(path.relative_to(root).as_posix(), path.read_bytes()).table
        assert table is not None
        tables.append((path.relative_to(root).as_posix(), table))
    studio, mistakes = decode(tables)
    assert studio is not None, mistakes
    circuit, mistakes = compile_studio(studio)
    assert circuit is not None, mistakes
    report = judge(circuit)
    assert {finding.severity.value for finding in report.findings} <= {"note"}
    assert rules_of(report.findings) <= {"inputs-unfed", "outputs-unused", "cables-undocumented", "headroom-narrow"}
    for finding in report.findings:
        assert len(finding.text.split()) <= 25
