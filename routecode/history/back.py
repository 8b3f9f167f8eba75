"""What a return to an earlier revision means: which text of which file is to be what, or why it cannot be.

Pure: takes two opened revisions, gives texts or mistakes; nothing is written here. A return of everything takes the texts as they
were. A partial one puts only the tables that are asked for into the texts as they are now, and must compile.
"""

from collections import Counter
from collections.abc import Iterable

from attrs import frozen

from routecode.files.edit import spliced
from routecode.files.tree import STUDIO, Files, select, skips
from routecode.ground.finding import Mistake
from routecode.ground.nearest import did_you_mean
from routecode.history.back_more import moved_files
from routecode.history.back_names import Between, Names
from routecode.history.back_parts import KINDS, Part, Said, Tables, Wanted, differing, inside, parts, said
from routecode.history.back_refused import impossible, named_otherwise, wrong_together
from routecode.studio.opened import Opened

__all__ = ["Back", "Wanted", "back"]
_HOW_FILES = "Name it as it is below the folder of the studio: --file bays/north.toml"


@frozen
class Back:
    """The studio as it would be; `after` is it, opened, and compiles.

    `spared` are files that the studio would leave out then; they are not touched.
    """

    after: Opened
    spared: tuple[str, ...] = ()

    def changed(self, now: Opened) -> list[str]:
        """The files that would differ from what they are now, sorted."""
        new, old = self.after.files.texts, now.files.texts
        names = (new.keys() | old.keys()) - set(self.spared)
        return sorted(name for name in names if new.get(name) != old.get(name))


def back(
    now: Opened, then: Opened, wanted: Wanted, *, guessing: bool = True, between: Between | None = None
) -> Back | tuple[Mistake, ...]:
    """The studio with what is wanted as it was `then` and all else as it is `now`; or why that cannot be.

    Places in the mistakes are of `then`. `between`: the revisions from one to the other, by which names are followed.
    """
    names = Names(now, then, between, guessing=guessing)
    if wanted.is_whole:
        return then.mistakes or Back(_opened(now, then.files.texts), _spared(now, then))
    mistakes = (*_unreadable(now, then, wanted), *_unknown(now, then, wanted))
    if mistakes:
        return mistakes
    texts = _with_files(now, then, wanted)
    if skips(texts.get(STUDIO, b"")) != skips(now.files.texts.get(STUDIO, b"")):
        return (_other_files(),)
    if wanted != Wanted(files=wanted.files):
        mistakes = tuple(named_otherwise(then, wanted, names))
        put = mistakes or _with_parts(now, then, wanted, texts)
        if isinstance(put, tuple):
            return put
        texts = put
    if texts == now.files.texts:
        return Back(now)
    after = _opened(now, texts)
    wrong = impossible(now, then, after, wanted, names) if after.mistakes else wrong_together(now, then, after, wanted)
    mistakes = tuple(wrong)
    return (mistakes and (tuple(moved_files(tables(now), tables(then), wanted)) or mistakes)) or Back(after)


def _spared(now: Opened, then: Opened) -> tuple[str, ...]:
    """Files of now that the studio left out then, by its `skip` or as another studio's."""
    names = now.files.texts.keys() | then.files.texts.keys()
    read = select(names, skips(then.files.texts.get(STUDIO, b"")))
    return tuple(sorted(now.files.texts.keys() - set(read)))


def _opened(now: Opened, texts: dict[str, bytes]) -> Opened:
    """The studio with other texts."""
    return Opened(Files(now.files.root, dict(sorted(texts.items())), ()), "rollback", now.today, now)


# -- what is asked for -----------------------------------------------------------------------------------------------------


def _unreadable(now: Opened, then: Opened, wanted: Wanted) -> list[Mistake]:
    """The texts that no table can be taken from."""
    if wanted == Wanted(files=wanted.files):
        return []
    sides = (*now.files.mistakes, *then.files.mistakes)
    torn = [mistake for side in (now, then) for mistake in side.mistakes if _is_torn(side, mistake)]
    return [*sides, *torn]


def _is_torn(side: Opened, mistake: Mistake) -> bool:
    return mistake.place is not None and side.table(mistake.place.file) is None


def _unknown(now: Opened, then: Opened, wanted: Wanted) -> list[Mistake]:
    """What neither revision has."""
    found = []
    ids = {kind: _ids(now, kind) | _ids(then, kind) for kind in KINDS}
    for kind in KINDS:
        for each in wanted.of(kind):
            if each not in ids[kind]:
                found.append(_no_such(kind, each, ids))
    files = now.files.texts.keys() | then.files.texts.keys()
    for name in wanted.files:
        if name not in files:
            do = _same_ending(name, files) or did_you_mean(name, files) or _HOW_FILES
            found.append(Mistake("unknown-file", f'Neither revision has a wiring file "{name}".', do=do))
    return found


def _same_ending(name: str, files: Iterable[str]) -> str:
    """The file that is meant where its folder was left out."""
    found = sorted(file for file in files if file.endswith(f"/{name}"))
    return f"Did you mean `{found[0]}`?" if found else ""


def _no_such(kind: str, each: str, ids: dict[str, set[str]]) -> Mistake:
    other = next((kind for kind in KINDS if each in ids[kind]), None)
    if other is not None:
        return Mistake("unknown-name", f"`{each}` is no {kind} but a {other}.", do=f"Write: --{other} {each}")
    known = ", ".join(sorted(ids[kind])[:12]) or "none"
    do = did_you_mean(each, ids[kind]) or f"There are: {known}."
    return Mistake("unknown-name", f"Neither revision has a {kind} `{each}`.", do=do)


def _ids(opened: Opened, kind: str) -> set[str]:
    below = [table.get(kind) for table in tables(opened).values()]
    return {each for part in below if isinstance(part, dict) for each in part}


def tables(opened: Opened) -> Tables:
    """What the files of a revision say, as parsed."""
    found = {name: opened.table(name) for name in opened.files.texts}
    return {name: table for name, table in found.items() if table is not None}


# -- texts -------------------------------------------------------------------------------------------------------------------


def _with_files(now: Opened, then: Opened, wanted: Wanted) -> dict[str, bytes]:
    texts = dict(now.files.texts)
    for name in wanted.files:
        if name in then.files.texts:
            texts[name] = then.files.texts[name]
        else:
            texts.pop(name, None)
    return texts


def _with_parts(
    now: Opened, then: Opened, wanted: Wanted, texts: dict[str, bytes]
) -> dict[str, bytes] | tuple[Mistake, ...]:
    """The texts with the parts of the other revision in them, each in the file it was in, where that is still there."""
    start = _opened(now, texts)
    ours, theirs = differing(parts(tables(start), wanted), parts(tables(then), wanted))
    goes_to = _homes(ours, theirs, texts)
    for file in sorted({part.file for part in ours} | set(goes_to.values())):
        sources = [source for source, home in goes_to.items() if home == file]
        source = sources[0] if sources else None
        text = then.files.texts[source] if source is not None else b""
        put = spliced(
            texts.get(file, b""), inside(ours, file), text, inside(theirs, source) if source else lambda _: False
        )
        texts[file] = put
        if not put.strip() and file in now.files.texts and now.files.texts[file].strip():
            del texts[file]
    wanted_said = said(tables(start)) - _of(ours) + _of(theirs)
    if said(tables(_opened(now, texts))) == wanted_said:
        return texts
    return (_not_spliced(sorted({part.file for part in ours} | set(goes_to.values()))),)


def _of(found: list[Part]) -> Counter[Said]:
    return sum((said({"": _nested(part)}) for part in found), Counter())


def _nested(part: Part) -> dict[str, object]:
    """A part as the only thing in a table of a file."""
    head, key = part.path
    return {str(head): {key: part.value} if isinstance(key, str) else [part.value]}


def _homes(ours: list[Part], theirs: list[Part], texts: dict[str, bytes]) -> dict[str, str]:
    """For each file of the other revision with parts in it: the file they are put into now."""
    sources = sorted({part.file for part in theirs})
    homes = {source: source for source in sources if source in texts}
    free = sorted({part.file for part in ours} - set(homes.values()))
    for source in sources:
        if source not in homes:
            homes[source] = free.pop(0) if free else source
    return homes


def _other_files() -> Mistake:
    return Mistake(
        "other-files",
        f"The `skip` of {STUDIO} was another one, so other files would belong to the studio.",
        do="Return the whole studio, or edit it by hand.",
    )


def _not_spliced(files: list[str]) -> Mistake:
    return Mistake(
        "not-spliced",
        f"The text of {', '.join(files)} is laid out so differently in the two revisions that parts cannot be put together.",
        do="Return the whole file with --file, or the whole studio, or edit the text by hand.",
    )
