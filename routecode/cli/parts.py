"""`routecode parts`: what a revision contains, or what the way from one to another needs."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from routecode.cli import asked, options
from routecode.cli.say import say, width_of
from routecode.cli.sheet_files import sheet_options, wanted, write_sheets

if TYPE_CHECKING:
    from routecode.circuit.plant import Plant
    from routecode.hands.parts import Bill


@click.command("parts")
@click.argument("what", metavar="[REVISION | A..B]", required=False)
@options.in_folder
@options.no_guess
@sheet_options
@options.as_json
def command(
    what: str | None,
    folder: Path,
    guessing: bool,
    outputs: tuple[Path, ...],
    csv: Path | None,
    xlsx: Path | None,
    html: Path | None,
    pdf: Path | None,
    paper: str,
    force: bool,
    as_json: bool,
) -> None:
    """List what the studio contains that is bought; or with A..B what that change needs, less what it sets free and what is in stock.

    Counted are plugs of fixed cables, connectors behind bays, link plugs, cable, adapters and cords. Prices and stock are those of
    the studio's own [part.ID] tables. `A..` is from A to the last commit, `A..worktree` to the files as they are now; without a
    revision it is what those contain.
    """
    from routecode.show.parts_sheets import book_of

    files = wanted(paper, force, as_json, outputs, csv=csv, xlsx=xlsx, html=html, pdf=pdf)
    found = _found(folder, what, guessing)
    change = found.before is not None
    if files.files:
        book = book_of(found.plant, found.bill, found.called, change=change)
        write_sheets(files, book, "parts", found.revision, ())
    elif as_json:
        from routecode.show.document import written
        from routecode.show.parts_document import parts_document

        say(written(parts_document(found.before, found.revision, found.bill)))
    else:
        from routecode.show.parts import parts_text

        say(parts_text(found.plant, found.bill, found.called, width_of(sys.stdout), change=change))


class _Found(NamedTuple):
    """The list that was asked for, and what of."""

    bill: "Bill"
    plant: "Plant"
    called: str
    before: str | None
    revision: str


def _found(folder: Path, what: str | None, guessing: bool) -> _Found:
    from routecode.hands.parts import bill_of, bill_of_change

    if what is None or not asked.is_range(what):
        one = asked.one(folder, what)
        plant = asked.circuit_of(one.opened).plant
        return _Found(bill_of(plant), plant, one.called, None, one.opened.name)
    from routecode.change.difference import Difference
    from routecode.cli.draw import called_side

    before, after = asked.both(folder, what)
    called = f"from {called_side(folder, before)} to {called_side(folder, after)}"
    bill = bill_of_change(Difference(before, after, guessing=guessing))
    return _Found(bill, asked.circuit_of(after).plant, called, before.name, after.name)
