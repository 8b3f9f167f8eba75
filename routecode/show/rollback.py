"""The answer of `rollback`: what would be otherwise, the risks first, and what it takes; as text and as a document."""

from collections import Counter
from collections.abc import Iterable, Sequence

from attrs import frozen

from routecode.change.difference import IDENTICAL, TEXT_ONLY, Difference
from routecode.history.back_parts import Wanted
from routecode.show.allowed import EXCEEDED
from routecode.show.diagnostic import Page
from routecode.show.difference import section_lines
from routecode.show.difference_document import difference_document
from routecode.show.difference_sections import FAILING, HEADINGS, UNASKED, Scope, Section, result_text, sections
from routecode.show.document import Row
from routecode.show.documents import ROLLBACK, ROLLBACK_FILE
from routecode.show.draft import drafted_body
from routecode.show.escape import visible
from routecode.show.measure import width, wrapped
from routecode.show.spoken import counted
from routecode.studio.opened import Opened

_FIRST = (FAILING, UNASKED, EXCEEDED, HEADINGS["loss"], HEADINGS["risk"], "New findings")
_TITLE = 72
_SHOWN = 6
CAUTIONS = (
    "A commit is not the racks: they stay as they are until somebody rewires them.",
    "Before that: headphones off heads, monitors down, no take running. Amplifiers and powered monitors go off first "
    "and on last. Phantom power off, a minute's wait and under 1 V on a meter before a contact that shorts on "
    "insertion or a ribbon microphone is touched. Mute before a link plug under phantom is pulled, and before clock or digital lines "
    "are lifted. Power a unit down before its multipin. Never lift a mains earth; mains belongs to licensed people "
    "under the local code. Eye protection and extraction when soldering.",
)


@frozen
class Told:
    """What is told: the two commits as people call them, what is asked for, the files that change, and the difference.

    `difference` None: what is now does not compile, so that nothing can be compared.
    """

    head: str
    to: str
    short: str
    """The commit it goes back to, in few words."""
    wanted: Wanted
    now: Opened
    after: Opened
    files: Sequence[str]
    difference: Difference | None
    beside: Sequence[str] = ()
    """What was otherwise, too, and stays."""


def only(wanted: Wanted, *sides: Opened) -> str:
    """What is asked for, as people call it on the first of the sides that has it; empty for the whole studio."""
    named = [(_title(kind, each, sides), each) for kind in ("bay", "unit", "setup") for each in wanted.of(kind)]
    titles = Counter(title for title, _ in named)
    names = [title if titles[title] == 1 else f"{title} ({each})" for title, each in named]
    return ", ".join([*names, *wanted.files])


def _title(kind: str, each: str, sides: Sequence[Opened]) -> str:
    for opened in sides:
        table = getattr(opened.studio, kind).get(each) if opened.studio is not None else None
        if table is not None:
            return str(table.title or each)
    return each


def rollback_text(told: Told, page: Page) -> str:
    """What would be otherwise."""
    lines = _wrap(f"Now: {told.head}", page, 5) + _wrap(f"Back to: {told.to}", page, 9)
    part = only(told.wanted, told.after, told.now)
    if part:
        lines += _wrap(f"Only: {visible(part)}", page, 6)
    lines += _wrap(f"Text: {_files(told)}", page, 6)
    for text in told.beside:
        lines += _wrap(f"Stays: {visible(text)}", page, 7)
    difference = told.difference
    if difference is None:
        text = (
            "The wiring as it is now does not compile, so what changes cannot be told. What it goes back to compiles."
        )
        return "\n".join([*lines, "", *wrapped(text, page.width)]) + "\n"
    lines += ["", *(page.paint(line, "strong") for line in wrapped(result_text(difference), page.width))]
    for section in _risks_first(sections(difference, Scope(how="routecode diff --expand, once it is written,"))):
        heading, body = section_lines(section, difference, page)
        lines += ["", page.paint(heading, "strong"), *body]
    if difference.result not in (IDENTICAL, TEXT_ONLY) or any(line.made for line in difference.cables):
        lines += ["", *(line for text in CAUTIONS for line in wrapped(text, page.width))]
    return "\n".join(lines) + "\n"


def _risks_first(told: Iterable[Section]) -> list[Section]:
    rank = {heading: number for number, heading in enumerate(_FIRST)}
    return sorted(told, key=lambda section: rank.get(section.heading, len(rank)))


def _files(told: Told) -> str:
    words = [f"{visible(name)}{_becomes(told, name, ' (new)', ' (goes)')}" for name in told.files[:_SHOWN]]
    more = f" and {counted(len(told.files) - _SHOWN, 'more file')}" if len(told.files) > _SHOWN else ""
    return ", ".join(words) + more


def _becomes(told: Told, name: str, new: str, gone: str, changed: str = "") -> str:
    if name not in told.now.files.texts:
        return new
    return changed if name in told.after.files.texts else gone


def _wrap(text: str, page: Page, indent: int) -> list[str]:
    first, *rest = wrapped(text, page.width - indent)
    return [first, *(" " * indent + line for line in rest)]


def unmet_text(told: Told) -> str:
    """How many needs would fail, and of which setups; empty for none. They are named among what would change."""
    difference = told.difference
    failing = Counter(need.setup for need in difference.needs if need.after is False) if difference is not None else {}
    if difference is None or not failing:
        return ""
    setups = (f"{difference.words.setup(setup)}: {counted(count, 'need')}" for setup, count in failing.items())
    return visible(f"Needs would fail, which is told and not refused: {'; '.join(setups)}.")


def rollback_message(told: Told) -> str:
    """The message of the commit: what went back to what, then what changed."""
    part = only(told.wanted, told.after, told.now)
    title = f"{visible(part)} back to {told.short}" if part else f"Back to {told.short}"
    if width(title) > _TITLE:
        title = f"Parts back to {told.short}"
    body = drafted_body(told.difference) if told.difference is not None else ""
    return f"{title}\n\n{body}".strip()


def rollback_document(told: Told, ids: tuple[str, str], written: str | None, undo: str | None) -> Row:
    """The document; `ids`: of the commit now and of the one it goes back to."""
    wanted = told.wanted
    names = {"bays": wanted.bays, "units": wanted.units, "setups": wanted.setups, "files": wanted.files}
    difference = difference_document(told.difference) if told.difference is not None else None
    files = [(name, _becomes(told, name, "new", "gone", "changed")) for name in told.files]
    skipped = ("schema", "ok", "before", "after")
    return ROLLBACK.answer(
        *ids,
        None if wanted.is_whole else {kind: sorted(each) for kind, each in names.items()},
        ROLLBACK_FILE.rows(files),
        None if difference is None else {key: value for key, value in difference.items() if key not in skipped},
        written,
        undo,
    )
