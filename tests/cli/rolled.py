"""A small studio in git to be rolled back, and how it is asked: for the tests of `rollback`."""

from pathlib import Path

from tests.cli.asking import Ran, ask, change, forget, git

UNITS = """# The units.

[unit.talk]
title = "Talk microphone"
[[unit.talk.port]]
name = "out"
direction = "out"
signal = "mic"

[unit.box]
title = "Wall box"
[[unit.box.port]]
name = "line 1..8"
direction = "either"
signal = "mic"

[unit.pre]
title = "Preamp"
[[unit.pre.port]]
name = "in 1..8"
direction = "in"
signal = "mic"
[[unit.pre.port]]
name = "out 1..8"
direction = "out"
signal = "line"
[[unit.pre.inside]]
from = "in 1..8"
to = "out 1..8"

[unit.tape]
title = "Tape machine"
[[unit.tape.port]]
name = "in 1..8"
direction = "in"
signal = "line"
"""
BAYS = """[bay.north]
title = "North bay"
columns = 16
normalling = "switched"
normal = "half"

# Lines to preamps.
[[bay.north.column]]
at = "1..8"
top = "box/line 1..8"
bottom = "pre/in 1..8"
"""
CABLES = """# Cables by number.

[[cable]]
number = "T1"
from = "talk/out"
to = "north/top 9"

[[cable]]
number = "L1..8"
from = "pre/out 1..8"
to = "tape/in 1..8"
"""
SETUPS = """[setup.song]
title = "Song"

[[setup.song.cord]]
from = "north/top 9"
to = "pre/in 1"
"""
STUDIO = '[studio]\ntitle = "Mill"\nlanguage = 1\n'


def write(mill: Path, **texts: str) -> None:
    for name, text in texts.items():
        path = mill / f"{name}.toml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def record(mill: Path, title: str) -> str:
    forget()
    ran = ask("record", "--in", str(mill), title)
    assert ran.status == 0, ran.err
    forget()
    return git(mill, "rev-parse", "HEAD")


def begun(machine: Path) -> Path:
    """A studio with one commit, the folder of the repository."""
    folder = machine / "mill"
    folder.mkdir()
    git(folder, "init", "-q", "-b", "main")
    write(folder, studio=STUDIO, units=UNITS, bays=BAYS, cables=CABLES, setups=SETUPS)
    record(folder, "As it is")
    return folder


def back(mill: Path, *words: str) -> Ran:
    forget()
    ran = ask("rollback", *words, "--in", str(mill))
    forget()
    return ran


def flat(text: str) -> str:
    return " ".join(text.split())


def state(mill: Path) -> tuple[dict[str, bytes], str, str]:
    files = {path.relative_to(mill).as_posix(): path.read_bytes() for path in mill.rglob("*") if path.is_file()}
    own = {name: data for name, data in files.items() if not name.startswith(".git/")}
    return own, git(mill, "rev-parse", "HEAD"), git(mill, "status", "--porcelain")


def rewired(mill: Path) -> str:
    """A second commit: column 8 loses its line, another cable, a setup more."""
    change(
        mill / "bays.toml",
        'at = "1..8"\ntop = "box/line 1..8"\nbottom = "pre/in 1..8"',
        'at = "1..7"\ntop = "box/line 1..7"\nbottom = "pre/in 1..7"',
    )
    change(mill / "cables.toml", 'to = "north/top 9"', 'to = "north/top 10"')
    (mill / "more.toml").write_text('[setup.voice]\ntitle = "Voice"\n', encoding="utf-8")
    return record(mill, "Rewired")


def refused(mill: Path, *words: str) -> str:
    """What is told, with nothing changed."""
    before = state(mill)
    ran = back(mill, *words, "--write")
    assert ran.status == 2, ran.out
    assert "Traceback" not in ran.err
    assert state(mill) == before
    return flat(ran.err)
