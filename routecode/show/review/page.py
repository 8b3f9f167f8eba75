"""The page of a review, whole: one HTML file that needs nothing from outside and runs nothing but its own script. The door to this folder.

Useful without its script, and on paper. Same input, same bytes.
"""

import base64
import hashlib
from importlib.resources import files

from attrs import frozen

from routecode.change.difference import Difference
from routecode.show.difference_sections import CUT, result_text
from routecode.show.drawing.engine import Engine
from routecode.show.escape import visible
from routecode.show.review.embed import Picture
from routecode.show.review.faces import Face, faces
from routecode.show.review.numbered import Numbers
from routecode.show.review.palette import dark_style
from routecode.show.review.pictures import VIEWS, Drawings, Drawn, Sheet, drawings
from routecode.show.review.told import Teller
from routecode.show.review.touching import Toucher
from routecode.show.spoken import counted

MADE_BY = "routecode review"
NO_ENGINE = "There is no graphviz here, so nothing is drawn. Install it with: pip install graphviz-pure"


@frozen
class Reviewed:
    """What is reviewed. `called`: how the two revisions are called; `engine` None: there is no graphviz."""

    difference: Difference
    title: str
    called: tuple[str, str]
    engine: Engine | None
    whole: bool = False


@frozen
class State:
    """A drawn state for the page: a key for its controls, and its pictures by view."""

    key: str
    title: str
    note: str
    views: tuple[tuple[str, Picture], ...]


@frozen
class Bay:
    """The faces of a bay for the page; `said`: how many jacks are marked, and what else is to be known."""

    title: str
    said: str
    front: Picture
    rear: Picture


def review_page(asked: Reviewed) -> str:
    """The page."""
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, finalize=_shown
    )
    return environment.from_string(_own("page.html")).render(_told(asked)) + "\n"


def is_ours(start: bytes) -> bool:
    """Whether a file that starts like this is a review of ours."""
    return f'<meta name="generator" content="{MADE_BY}">'.encode() in start[:4096]


def _told(asked: Reviewed) -> dict[str, object]:
    from markupsafe import Markup

    difference = asked.difference
    numbers = Numbers()
    teller = Teller(difference, Toucher(difference), numbers)
    parts, rows = teller.summary()
    new, gone = teller.findings()
    setups, causes = teller.setups(parts), teller.causes(parts)
    sheet = Sheet(difference, asked.title, asked.called, numbers, asked.whole)
    pictures = drawings(sheet, asked.engine) if asked.engine is not None else Drawings((), NO_ENGINE)
    bays, left = faces(difference, numbers)
    style, script = _own("page.css") + dark_style(), _own("page.js")
    listed = (
        ("summary", "Summary", True),
        ("drawing", "Drawing", bool(pictures.drawn or pictures.note)),
        ("faces", "Bays", bool(bays)),
        ("setups", "Setups", bool(setups)),
        ("findings", "Findings", bool(new or gone)),
        ("causes", "Causes in the text", bool(causes)),
        ("jacks", "By jack", bool(rows)),
    )
    return {
        "policy": _policy(style, script),
        "style": Markup(style),  # noqa: S704 (a file of ours)
        "script": Markup(script),  # noqa: S704 (a file of ours)
        "title": asked.title,
        "called": asked.called,
        "contents": [(key, name) for key, name, there in listed if there],
        "result": result_text(difference),
        "cut": CUT if any(delta.cut for delta in difference.states) else "",
        "parts": parts,
        "rows": rows,
        "drawings": pictures,
        "drawn": [_state(one, difference) for one in pictures.drawn],
        "faces": [_bay(face) for face in bays],
        "bays_left": f"{counted(left, 'more bay')} {'have' if left > 1 else 'has'} no such jack." if left else "",
        "setups": setups,
        "new": new,
        "gone": gone,
        "causes": causes,
    }


def _state(drawn: Drawn, difference: Difference) -> State:
    place = [delta.setup for delta in difference.states].index(drawn.setup)
    name = "the wiring, unpatched" if drawn.setup is None else f"setup {difference.words.setup(drawn.setup)}"
    views = tuple((view.value, picture) for view, picture in zip(VIEWS, drawn.pictures, strict=True))
    return State(f"drawn{place}", name[:1].upper() + name[1:], drawn.note, views)


def _bay(face: Face) -> Bay:
    said = f"{counted(face.marked, 'jack')} marked." if face.marked else "Nothing differs here."
    return Bay(face.title, f"{said} {face.note}".strip(), face.front, face.rear)


def _shown(value: object) -> object:
    """Every text that is not markup of ours with its control characters made visible."""
    return visible(value) if type(value) is str else value


def _policy(style: str, script: str) -> str:
    """What a browser may do with the page: its own style and its own script, known by their hashes, and nothing else."""
    hashes = (base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in (style, script))
    own_style, own_script = (f"'sha256-{digest}'" for digest in hashes)
    return f"default-src 'none'; script-src {own_script}; style-src {own_style}; base-uri 'none'; form-action 'none'"


def _own(name: str) -> str:
    """A part of the page that comes with routecode."""
    return files(__package__).joinpath(name).read_text(encoding="utf-8")
