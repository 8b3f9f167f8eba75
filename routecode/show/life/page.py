"""The page of a studio's life, whole: one HTML file that needs nothing from outside and runs nothing but its own script. The door to this folder.

Useful without its script: the revisions are radio buttons, and style rules show what belongs to the chosen one. Same input, same bytes.
"""

import base64
import hashlib
from collections.abc import Iterator, Mapping, Sequence
from importlib.resources import files

from attrs import frozen

from routecode.history.entry import BROKEN
from routecode.history.log import Item
from routecode.show.drawing.engine import Engine, Fault
from routecode.show.drawing.facts import Side
from routecode.show.escape import visible
from routecode.show.history import between, meaning, short, told
from routecode.show.life.drawn import CHANGED, GONE, NEW, Drawn, draw, keys
from routecode.show.life.union import united
from routecode.show.review.palette import dark_style
from routecode.show.spoken import counted

MADE_BY = "routecode history"
NO_ENGINE = "There is no graphviz here, so nothing is drawn. Install it with: pip install graphviz-pure"
MOST_STEPS = 200
"""Revisions on one page; of more the newest."""


@frozen
class Life:
    """What is shown: entries, the newest first, and the sides that could be drawn, by commit. `engine` None: there is no graphviz.

    `numbers`: of all commits of the history, by id.
    """

    title: str
    items: Sequence[Item]
    sides: Mapping[str, Side]
    engine: Engine | None
    numbers: Mapping[str, int]
    left: int = 0
    """Entries that were asked for and are not among them."""


@frozen
class Step:
    """A revision one can step to. `key` is its control; `drawn`: whether the picture shows it."""

    key: str
    number: int
    date: str
    title: str
    body: str
    by: str
    meaning: str
    said: tuple[str, ...]
    found: tuple[tuple[str, tuple[str, ...]], ...]
    tag: str
    see: str
    drawn: bool


@frozen
class Row:
    """A row of the list: a step, or commits that changed only text."""

    step: Step | None
    said: str = ""
    titles: tuple[str, ...] = ()


def life_page(life: Life) -> str:
    """The page."""
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, finalize=_shown
    )
    return environment.from_string(_own("page.html")).render(_told(life)) + "\n"


def is_ours(start: bytes) -> bool:
    """Whether a file that starts like this is a life of ours."""
    return f'<meta name="generator" content="{MADE_BY}">'.encode() in start[:4096]


def _told(life: Life) -> dict[str, object]:
    from markupsafe import Markup

    rows = list(_rows(life))
    steps = [row.step for row in rows if row.step is not None]
    order = {commit: at for at, commit in enumerate(life.sides)}
    drawn, note = _drawn(life)
    by_number = {item.number: item for item in life.items}
    rules = "".join(_rules(step, by_number[step.number], order, drawn) for step in steps)
    style, script = _own("page.css") + dark_style() + rules, _own("page.js")
    left = f"{counted(life.left, 'older revision')} not on this page. " if life.left else ""
    return {
        "policy": _policy(style, script),
        "style": Markup(style),  # noqa: S704 (files of ours, and numbers)
        "script": Markup(script),  # noqa: S704 (a file of ours)
        "title": life.title,
        "rows": rows,
        "steps": steps,
        "chosen": steps[0].key if steps else "",
        "picture": Markup(drawn.picture.svg) if drawn is not None else "",  # noqa: S704 (made of what `embed` lets through)
        "note": f"{left}{note}",
    }


def _drawn(life: Life) -> tuple[Drawn | None, str]:
    """The picture, and what is to be known about it."""
    if not life.sides:
        return None, "No revision could be drawn."
    if life.engine is None:
        return None, NO_ENGINE
    found = draw(united(list(life.sides.values())), life.title, len(life.sides), life.engine)
    return (None, f"The drawing could not be made: {found.text}") if isinstance(found, Fault) else (found, found.note)


# -- the list ------------------------------------------------------------------------------------------------------------


def _rows(life: Life) -> Iterator[Row]:
    for one in told(life.items, unfolded=False):
        if isinstance(one, list):
            numbers = f"{one[0].number} to {one[-1].number}" if len(one) > 1 else str(one[0].number)
            said = f"{numbers}: {counted(len(one), 'commit')} that changed only text"
            yield Row(None, said, tuple(f"{item.commit.when[:10]}, {item.commit.title}" for item in one))
        else:
            yield Row(_step(one, life))


def _step(item: Item, life: Life) -> Step:
    entry, commit = item.entry, item.commit
    way = between(item, life.numbers)
    found = (("New findings", entry.new.told), ("Findings gone", entry.gone.told)) if item.against else ()
    tag = "does not compile" if entry.kind == BROKEN else ("loss" if entry.loses else "")
    return Step(
        f"s{item.number}",
        item.number,
        commit.when[:10],
        commit.title or "(no message)",
        commit.body,
        f"{commit.author or 'nobody'}, {short(commit.id)}",
        meaning(item),
        entry.said,
        tuple((heading, texts) for heading, texts in found if texts),
        tag,
        f"routecode diff {way}" if way is not None else "",
        commit.id in life.sides,
    )


# -- which parts of the picture each step shows ---------------------------------------------------------------------------

_LOOKS = {
    "hidden": (("p", "", "visibility:hidden"),),
    NEW: (
        ("p", ">path", "stroke:var(--new);stroke-width:2.6"),
        ("p", ">polygon", "stroke:var(--new);stroke-width:2;fill:var(--new-tint)"),
        ("n", "", "visibility:visible"),
    ),
    GONE: (
        ("p", ">path", "stroke:var(--gone);stroke-width:2.6;stroke-dasharray:7 4"),
        ("p", ">polygon", "stroke:var(--gone);stroke-width:2;stroke-dasharray:7 4;fill:var(--gone-tint)"),
        ("g", "", "visibility:visible"),
    ),
    CHANGED: (("c", "", "visibility:visible"),),
    "text": (("t", "", "visibility:visible"),),
}


def _rules(step: Step, item: Item, order: Mapping[str, int], drawn: Drawn | None) -> str:
    """The style rules of a step: its words, its place in the list, and what of the picture is not there, new or gone."""
    chosen = f"#{step.key}:checked~"
    rules = [
        f"{chosen}.told .{step.key}{{display:block}}",
        f"{chosen}.list label[for={step.key}]{{background:var(--chosen);font-weight:600}}",
        f"#{step.key}:focus-visible~.list label[for={step.key}]{{outline:3px solid var(--focus)}}",
    ]
    after = order.get(item.commit.id)
    if drawn is None:
        return "".join(rules)
    if after is None:
        return "".join(
            [*rules, f"{chosen}.drawing .picture{{display:none}}", f"{chosen}.drawing .undrawn{{display:block}}"]
        )
    found = keys(drawn, after, order.get(item.against or ""))
    for kind, looks in _LOOKS.items():
        for letter, below, look in looks:
            groups = ",".join(f'[data-g="{letter}{number}"]' for number in found[kind])
            if groups:
                rules.append(f"{chosen}.drawing :is({groups}){below}{{{look}}}")
    return "".join(rules)


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
