"""`routecode record`: the wiring files become a commit."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from routecode.cli import asked, options
from routecode.cli.advice import NOT_A_BACKUP, advise, synchronised
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.recovered import recovered
from routecode.cli.say import say, sentences, width_of
from routecode.files.tree import read_worktree
from routecode.ground.finding import Mistake
from routecode.show.escape import visible
from routecode.show.measure import wrapped
from routecode.studio.opened import Opened

if TYPE_CHECKING:
    from routecode.change.difference import Difference
    from routecode.files.git import Repository


_TOLD = 6
"""New errors and hazards that are told."""


@click.command("record")
@click.argument("message", required=False)
@options.in_folder
@click.option("--unfinished", is_flag=True, help="Record wiring that does not compile yet.")
@options.no_guess
def command(message: str | None, folder: Path, unfinished: bool, guessing: bool) -> None:
    """Commit the wiring files, and nothing else.

    What changed is drafted from the diff: under your MESSAGE, or as the message where you give none.
    """
    root = asked.root_of(folder)
    repository = _repository(folder, message)
    recovered(root, repository)
    state = repository.state()
    hindrance = state.hindrance()
    if hindrance is not None:
        raise Refused(hindrance, opened=Opened(read_worktree(root), asked.WORKTREE), prefix=asked.prefix_of(folder))
    before = _last(repository)
    after = Opened(read_worktree(root), asked.WORKTREE, asked.today(), before)
    if after.mistakes and not unfinished:
        raise Refused(*after.mistakes, _unfinished(folder, message), opened=after, prefix=asked.prefix_of(folder))
    if before is not None and before.files.texts == after.files.texts:
        head = repository.head()
        assert head is not None
        say(sentences(f"Nothing has changed since {asked.called(head)}. There is nothing to record."))
        return
    changed = _changed(before, after)
    difference = _difference(before, after, guessing)
    commit = repository.commit(changed, _message(message, before, difference, changed))
    if isinstance(commit, Mistake):
        raise Refused(_again(commit, folder, message))
    files = "1 file" if len(changed) == 1 else f"{len(changed)} files"
    say(sentences(f"Recorded {asked.called(commit)}: {files}.") + _wrong(after, difference) + sentences(NOT_A_BACKUP))
    detached = state.detached()
    if detached is not None:
        advise(detached)
    synchronised(root)


def _repository(folder: Path, message: str | None) -> "Repository":
    try:
        return asked.repository_of(folder)
    except Refused as refused:
        mistake = refused.mistakes[0]
        if mistake.id != "no-repository":
            raise
        root = asked.root_of(folder)
        again = _line(folder, message or asked.AS_IT_IS)
        do = f"Begin its history, then record again:\n{asked.git_init(root)}\n{again}"
        said = f"{root} is not in a git repository, so there is no history to add to."
        raise Refused(Mistake(mistake.id, said, do=do)) from None


def _last(repository: "Repository") -> Opened | None:
    head = repository.head()
    return None if head is None else Opened(repository.read(head, repository.studio), head.id, asked.today())


def _changed(before: Opened | None, after: Opened) -> list[str]:
    """The files that differ, deleted ones too."""
    old = {} if before is None else before.files.texts
    new = after.files.texts
    return sorted(name for name in old.keys() | new.keys() if old.get(name) != new.get(name))


def _message(given: str | None, before: Opened | None, difference: "Difference | None", changed: list[str]) -> str:
    """The title that was given, or a drafted one; below it what changed in the wiring, where both sides compile."""
    from routecode.show.draft import drafted_body, drafted_message

    title = " ".join((given or "").split())
    if given is not None and "\n" in given.strip():
        return given.strip()
    if title:
        return f"{title}\n\n{drafted_body(difference) if difference is not None else ''}".strip()
    if difference is not None and (draft := drafted_message(difference).strip()):
        return draft
    if before is None:
        return asked.AS_IT_IS
    more = f" and {len(changed) - 1} more" if len(changed) > 1 else ""
    return f"Change {changed[0]}{more}"


def _difference(before: Opened | None, after: Opened, guessing: bool) -> "Difference | None":
    """What differs from the last commit, where both compile."""
    if before is None or before.mistakes or after.mistakes:
        return None
    from routecode.change.difference import Difference

    return Difference(before, after, guessing=guessing)


def _wrong(after: Opened, difference: "Difference | None") -> str:
    """The errors and hazards that this commit brought, needs that fail with them; nothing is refused for them."""
    from routecode.show.draft import finding_texts

    if after.mistakes:
        return ""
    new = after.report.findings if difference is None else difference.findings_new
    grave = finding_texts(new, _TOLD, needs=True)
    if not grave:
        return ""
    since = (
        "It has errors or hazards" if difference is None else "It brings errors or hazards that were not there before"
    )
    lines = (wrapped(visible(text), width_of(sys.stdout) - 2) for text in grave)
    told = "".join(f"- {first}\n" + "".join(f"  {line}\n" for line in rest) for first, *rest in lines)
    return sentences(f"{since}; for their places, and what to do: routecode check") + told


def _line(folder: Path, message: str | None) -> str:
    """The command that was given, to be copied."""
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    words = "" if message is None else f" {quoted(message)}"
    return f"routecode record{where}{words}"


def _again(mistake: Mistake, folder: Path, message: str | None) -> Mistake:
    """With the same command to be given again, where the way out is a command."""
    if mistake.id != "no-identity":
        return mistake
    do = f"{mistake.do}\nThen again:\n{_line(folder, message)}"
    return Mistake(mistake.id, mistake.text, mistake.place, mistake.why, do, mistake.also)


def _unfinished(folder: Path, message: str | None) -> Mistake:
    return Mistake(
        "not-recorded",
        "Nothing was recorded, since the wiring does not compile.",
        do=f"Correct it. To record it all the same:\n{_line(folder, message)} --unfinished",
    )
