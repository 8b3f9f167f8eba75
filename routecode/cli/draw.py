"""`routecode draw`: the wiring as a picture, or the difference between two states of it as three pictures with one layout."""

import os
import shutil
import sys
import sysconfig
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from routecode.cli import asked, options
from routecode.cli.failure import Refused
from routecode.cli.paper_file import deliver
from routecode.cli.quoted import quoted
from routecode.cli.say import tell
from routecode.ground.finding import Mistake
from routecode.ground.nearest import did_you_mean

if TYPE_CHECKING:
    from routecode.show.drawing.drawing import Asked, Drawn, Plan
    from routecode.show.drawing.engine import Answer, Engine, Fault
    from routecode.studio.opened import Opened

SETTING = "ROUTECODE_DOT"
_HOW = "Install it with: pip install graphviz-pure"


@click.command("draw")
@options.in_folder
@click.argument("what", metavar="[REVISION | A..B]", required=False)
@options.setup
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The file; a range makes three, NAME-before, NAME-after and NAME-change.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["svg", "png", "pdf", "gv"]),
    help="The format. Without it: by the name of the file, else SVG.",
)
@click.option("--around", "place", metavar="PLACE", help="Only what is near this unit, bay, port or jack.")
@click.option(
    "--whole",
    is_flag=True,
    help="All of it, however large. Without it a change of a large studio is drawn with what is near it.",
)
@click.option(
    "--face", "bay", metavar="BAY", help="The face of this bay instead: its jacks, what is wired behind them."
)
@click.option("--rear", is_flag=True, help="With --face: as it is seen from behind, where one solders.")
@options.no_guess
@click.option(
    "--dot", "dot", metavar="PROGRAM", envvar=SETTING, help=f"The graphviz program to use (or set {SETTING})."
)
@click.option("--force", is_flag=True, help="Replace files that were not drawn by routecode.")
def command(
    folder: Path,
    what: str | None,
    setup: str | None,
    output: Path | None,
    form: str | None,
    place: str | None,
    whole: bool,
    bay: str | None,
    rear: bool,
    guessing: bool,
    dot: str | None,
    force: bool,
) -> None:
    """Draw the wiring, or the difference between two states of it.

    Signals flow from top to bottom. For a range the three pictures share one layout: what did not change is at the same
    place in each. With --face one bay is drawn as it looks, jack by jack.
    """
    face = bay is not None or rear
    form = _form(form, output, face)
    if face:
        _write_face(_face(folder, what, setup, bay, rear), form, place is not None or whole, output, force)
        return
    request = _request(folder, what, setup, place, whole, guessing)
    if output is None:
        output = Path(f"{_file_name(request.title, request.setup or '')}.{form}")
    engine = find_engine(dot)
    if engine is None:
        _without_engine(request, output, force)
        return
    planned = _planned(request, engine)
    _write([_drawn(planned, view.value, form, engine) for view in planned.views], output, force)


def _form(form: str | None, output: Path | None, face: bool) -> str:
    """The format: as said, as the file is called, or SVG, which alone is for faces."""
    from routecode.show.drawing.drawing import FORMATS

    if form is not None:
        return form
    ending = output.suffix.lower().lstrip(".") if output is not None else "svg"
    if ending not in FORMATS:
        name = output.name if output is not None else ""
        ends = "End it with .svg" if face else f"End it with one of: {', '.join(FORMATS)}"
        text = f'The name "{name}" does not say which format.'
        raise Refused(Mistake("unknown-format", text, do=f"{ends}; or say --format{' svg' if face else ''}."))
    return ending


def _request(
    folder: Path, what: str | None, setup: str | None, place: str | None, whole: bool, guessing: bool
) -> "Asked":
    from routecode.show.drawing.drawing import Asked

    if what is None or ".." not in what:
        found = asked.one(folder, what)
        asked.checked_setup(found.opened, setup)
        after = asked.circuit_of(found.opened)
        return Asked(None, after, title_of(found.opened), (found.called,), setup, place, whole)
    before, after_side = asked.both(folder, what)
    if setup is None or setup not in asked.circuit_of(before).setups:
        asked.checked_setup(after_side, setup)
    called = tuple(called_side(folder, side) for side in (before, after_side))
    circuits = asked.circuit_of(before), asked.circuit_of(after_side)
    return Asked(*circuits, title_of(after_side), called, setup, place, whole, guessing)


def title_of(opened: "Opened") -> str:
    """What the studio is called above a picture."""
    head = asked.circuit_of(opened).plant.studio.head
    return head.title or "Studio"


def called_side(folder: Path, opened: "Opened") -> str:
    """What a side is called below a picture."""
    return "the files as they are now" if opened.name == asked.WORKTREE else asked.named(folder, opened.name, opened)


def _file_name(*words: str) -> str:
    """A name made of the studio's title and what else is given: letters and digits that every system allows."""
    text = "-".join(
        "".join(sign if sign.isascii() and sign.isalnum() else " " for sign in word).lower() for word in words if word
    )
    return "-".join(text.replace("-", " ").split())[:60] or "drawing"


# -- the face of a bay --------------------------------------------------------------------------------------------------


def _face(folder: Path, what: str | None, setup: str | None, bay: str | None, rear: bool) -> "tuple[str, Drawn]":
    """The face of a bay, and what its file is called where the user does not say it."""
    from routecode.show.drawing.drawing import Drawn
    from routecode.show.drawing.paint import View
    from routecode.show.faces.face import face_file

    if bay is None:
        raise Refused(Mistake("no-bay", "--rear is for the face of a bay.", do="Name the bay: --face BAY --rear"))
    if what is not None and ".." in what:
        do = f"Name one revision. What differs between two, on the faces too: routecode review {quoted(what)}"
        raise Refused(Mistake("one-state", "A face shows one state of the studio.", do=do))
    found = asked.one(folder, what)
    asked.checked_setup(found.opened, setup)
    circuit = asked.circuit_of(found.opened)
    if bay not in circuit.plant.bays:
        names = sorted(circuit.plant.bays)
        known = f"There are: {', '.join(names)}." if names else "The studio has no bays."
        raise Refused(Mistake("unknown-bay", f"There is no bay {bay}.", do=did_you_mean(bay, names) or known))
    name = _file_name(title_of(found.opened), bay, "rear" if rear else "", setup or "")
    text = face_file(circuit, bay, rear=rear, setup=setup, called=found.called)
    return name, Drawn(View.ONE, text.encode())


def _write_face(named: "tuple[str, Drawn]", form: str, part: bool, output: Path | None, force: bool) -> None:
    if form != "svg":
        do = "End the name with .svg. A browser shows, prints and converts it."
        raise Refused(Mistake("face-format", f"The face of a bay is written as SVG, not as {form}.", do=do))
    if part:
        do = "Leave --around and --whole out."
        raise Refused(Mistake("face-whole", "The face of a bay is always the whole bay.", do=do))
    _write([named[1]], output or Path(f"{named[0]}.svg"), force)


# -- graphviz -----------------------------------------------------------------------------------------------------------


def find_engine(setting: str | None) -> "Engine | None":
    """Graphviz: the one that is set, the one installed with routecode, the one of the system; None where there is none."""
    if setting:
        found = shutil.which(setting)
        if found is None:
            do = f"Correct --dot or {SETTING}, or leave it out."
            raise Refused(Mistake("no-graphviz", f"There is no program {setting}.", do=do))
        return _engine(found, setting)
    beside = os.pathsep.join([sysconfig.get_path("scripts"), str(Path(sys.executable).parent)])
    own = shutil.which("graphviz-pure", path=beside)
    if own is not None:
        return _engine(own, "graphviz-pure")
    for name in ("graphviz-pure", "dot"):
        found = shutil.which(name)
        if found is not None:
            return _engine(found, name)
    return None


def _engine(program: str, name: str) -> "Engine":
    from routecode.show.drawing.engine import Engine

    return Engine(name, partial(_start, program))


def _start(program: str, arguments: tuple[str, ...], text: bytes, seconds: float) -> "Answer | Fault":
    """Run graphviz on a text. It is given no file names and no links, so it reads and writes nothing."""
    import subprocess

    from routecode.show.drawing.engine import Answer, Fault

    try:
        done = subprocess.run(  # noqa: S603 (the program is the user's own graphviz, the arguments are ours)
            [program, *arguments], input=text, capture_output=True, timeout=seconds, check=False
        )
    except subprocess.TimeoutExpired:
        return Fault(f"took longer than {seconds:g} seconds.")
    except OSError as error:
        return Fault(f"cannot be run: {error.strerror or error}.")
    return Answer(done.returncode, done.stdout, done.stderr.decode(errors="replace"))


def _planned(request: "Asked", engine: "Engine") -> "Plan":
    from routecode.show.drawing.drawing import picture_of, plan
    from routecode.show.drawing.engine import Fault

    found = picture_of(request)
    if found is None:
        do = "Name a unit, a bay, a port or a jack, as in: desk, north/top 3, pre-a/mic 1"
        raise Refused(Mistake("unknown-place", f"There is no place {request.place}.", do=do))
    planned = plan(request, *found, engine)
    if isinstance(planned, Fault):
        raise _failed(planned.text)
    return planned


def _drawn(planned: "Plan", view: str, form: str, engine: "Engine") -> "Drawn":
    from routecode.show.drawing.drawing import drawn
    from routecode.show.drawing.engine import Fault
    from routecode.show.drawing.paint import View

    made = drawn(planned, View(view), form, engine)
    if isinstance(made, Fault):
        raise _failed(made.text)
    return made


def _failed(text: str) -> Refused:
    do = f"Try a smaller part with --around, or another graphviz with --dot. {_HOW}"
    return Refused(Mistake("not-drawn", f"The drawing could not be made: {text}", do=do))


def _without_engine(request: "Asked", output: Path, force: bool) -> None:
    """No graphviz anywhere: the text for it is written, and how to render it is said."""
    from routecode.show.drawing.drawing import Drawn, picture_of
    from routecode.show.drawing.layout import readable_text
    from routecode.show.drawing.paint import View
    from routecode.show.drawing.svg import MADE_BY

    found = picture_of(request)
    if found is None:
        raise Refused(Mistake("unknown-place", f"There is no place {request.place}."))
    target = output.with_suffix(".gv")
    _write([Drawn(View.ONE, f"// {MADE_BY}\n{readable_text(found[1])}".encode())], target, force)
    tell(
        f"There is no graphviz here, so this is a plain graph without our layout. To render it: dot -Tsvg -O {target}\nFor the full drawing: {_HOW}\n"
    )


# -- files --------------------------------------------------------------------------------------------------------------


def _write(made: "list[Drawn]", output: Path, force: bool) -> None:
    """All pictures, or none of them where one cannot be written."""
    from routecode.show.drawing.drawing import is_ours

    paths = [
        output.with_name(f"{output.stem}-{each.view.value}{output.suffix}") if each.view.value else output
        for each in made
    ]
    deliver({path: each.data for path, each in zip(paths, made, strict=True)}, force, is_ours)
    for each in made:
        if each.note:
            tell(f"{each.note}\n")
