"""`routecode cables`: the cable schedule, and the loom sheets."""

import sys
from pathlib import Path

import click

from routecode.cli import asked, options
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.say import say, width_of
from routecode.cli.sheet_files import sheet_options, wanted, write_sheets
from routecode.ground.finding import Mistake


@click.command("cables")
@click.argument("revision", metavar="[REVISION]", required=False)
@options.in_folder
@click.option(
    "--looms",
    is_flag=True,
    help="Print the loom sheets: every cable of each loom, and every multipair that is in none, with its pins and colours.",
)
@sheet_options
@options.as_json
def command(
    revision: str | None,
    folder: Path,
    looms: bool,
    outputs: tuple[Path, ...],
    csv: Path | None,
    xlsx: Path | None,
    html: Path | None,
    pdf: Path | None,
    paper: str,
    force: bool,
    as_json: bool,
) -> None:
    """List every fixed cable: number, type, ends, connectors, how cold and shield are made, length, loom, state, last test.

    REVISION: as it was recorded (a commit, `last`, a date, a tag, a number). Without it: the files as they are now. Spare circuits of
    cables with several are listed after it; workbook, page and PDF have the loom sheets too.
    """
    from routecode.hands.cables import schedule
    from routecode.show.schedule_sheets import CAUTIONS, book_of

    files = wanted(paper, force, as_json, outputs, csv=csv, xlsx=xlsx, html=html, pdf=pdf)
    if revision is not None and ".." in revision:
        do = f"Name one; what differs: routecode diff {quoted(revision)}; what it needs: routecode parts {quoted(revision)}"
        raise Refused(Mistake("one-revision", "A cable schedule is of one revision, not of two.", do=do))
    found = asked.one(folder, revision)
    plant = asked.circuit_of(found.opened).plant
    cables = schedule(plant)
    if files.files:
        book = book_of(plant, cables, found.called, looms_first=looms)
        write_sheets(files, book, "cables", found.opened.name, CAUTIONS)
    elif as_json:
        from routecode.show.document import written
        from routecode.show.schedule_document import cables_document

        say(written(cables_document(found.opened.name, cables)))
    else:
        from routecode.show.schedule import looms_text, schedule_text

        text = looms_text if looms else schedule_text
        say(text(plant, cables, found.called, width_of(sys.stdout)))
