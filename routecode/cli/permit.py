"""Writing what a difference changes as a table `[allowed]`, for `routecode diff --write-allowed`."""

from pathlib import Path

from routecode.change.allowed import judged
from routecode.change.difference import IDENTICAL, TEXT_ONLY, Difference
from routecode.change.matched import BEFORE
from routecode.cli.advice import advise
from routecode.cli.failure import Refused
from routecode.cli.paper_file import is_wiring_name
from routecode.cli.say import tell
from routecode.files.hostile import MAX_BYTES
from routecode.files.leftover import sweep
from routecode.files.ordinary import read_ordinary
from routecode.files.toml import parse
from routecode.files.write import write_file
from routecode.ground.finding import Mistake
from routecode.show.allowed import allowed_text
from routecode.show.escape import visible


def write_allowed(difference: Difference, output: Path, force: bool, root: Path) -> None:
    """Write the table to a file, whole or not at all; what is there and says something else is only replaced with `force`.

    A wiring file that holds anything but a table `[allowed]` is never replaced.
    """
    if difference.result in (IDENTICAL, TEXT_ONLY):
        do = "Name two revisions that differ: routecode diff A..B --write-allowed FILE"
        raise Refused(Mistake("nothing-to-allow", "No wiring differs, so there is nothing to allow.", do=do))
    data = allowed_text(difference).encode()
    there = _there(output)
    if there is not None and there != data and not force:
        do = "Choose another name, or say --force."
        raise Refused(Mistake("file-exists", f'There is a file "{output}" that says something else.', do=do))
    if there == data:
        sweep(output.parent)
    else:
        problem = write_file(output, data, overwrite=force)
        if problem is not None:
            raise Refused(problem)
    tell(f"Written: {visible(str(output))}\n")
    _advise(difference, output, root)


def _there(output: Path) -> bytes | None:
    """What is in the file, None where there is none; refused where it is wiring of any other kind than what is written here."""
    data = read_ordinary(output, MAX_BYTES + 1)
    if isinstance(data, Mistake):
        raise Refused(data)
    if data is not None and is_wiring_name(output) and not _only_allows(output, data):
        text = f'The file "{output}" holds more than a table [allowed]; it is not replaced.'
        raise Refused(Mistake("file-exists", text, do="Choose another name."))
    return data


def _only_allows(output: Path, data: bytes) -> bool:
    """Whether a wiring file has nothing but a table `[allowed]`, or nothing at all; one that cannot be read may have anything."""
    table = parse(output.name, data).table
    return table is not None and set(table) <= {"allowed"}


def _advise(difference: Difference, output: Path, root: Path) -> None:
    """What must be known before it counts."""
    written, folder = output.resolve(), root.resolve()
    if written.suffix != ".toml" or folder not in written.parents:
        do = f"Write it to a file that ends in .toml, below {folder}."
        advise(Mistake("not-in-studio", f'"{output}" is no file of the studio: there it allows nothing.', do=do))
    now = difference.matched.after.studio.allowed
    if now is not None and folder / now.place.file != written:
        text = f"There is a table [allowed] in {now.place.file} too; keys that both give are a mistake."
        advise(
            Mistake(
                "allowed-twice", text, do=f"Take `others` and `wiring` out of {now.place.file}, or the whole table."
            )
        )
    verdict = judged(difference)
    if any(each.side == BEFORE or not verdict.differs for each in verdict.beyond):
        text = "What was allowed before this rewiring does not allow it, and still holds for this range."
        advise(Mistake("allowed-before", text, do="Record what is allowed first, and the rewiring after it."))
