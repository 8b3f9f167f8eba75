"""`routecode check`: what is wrong with the wiring."""

import sys
from pathlib import Path

import click

from routecode.cli import asked, options
from routecode.cli.annotated import annotated, lines
from routecode.cli.racks import racks
from routecode.cli.results import results_held
from routecode.cli.say import page_of, say
from routecode.ground.finding import Severity


@click.command("check")
@options.in_folder
@options.revision
@click.option(
    "--tolerate",
    type=click.Choice([severity.value for severity in Severity]),
    default=Severity.WARNING.value,
    show_default=True,
    help="The worst that may be found without failing.",
)
@click.option("--notes", is_flag=True, help="Every note in full, with its place and its reason.")
@options.formats("annotations")
@options.as_json
@click.pass_context
def command(
    ctx: click.Context, folder: Path, at: str | None, tolerate: str, notes: bool, annotations: bool, as_json: bool
) -> None:
    """Say what is wrong with the wiring.

    Errors and hazards make the exit status 1; `--tolerate` moves that line. A finding that is meant to be so is
    accepted in the wiring itself, by an `[[accept]]` table.
    """
    from routecode.show.check import Judged, check_document, check_text
    from routecode.show.document import written

    if annotations and as_json:
        raise click.UsageError("Choose one of --annotations and --json.")
    with annotated(folder, annotations=annotations):
        found = asked.one(folder, at)
    plant = asked.circuit_of(found.opened).plant
    findings = (*found.opened.report.findings, *results_held(folder, found.opened))
    judged = Judged(
        found.opened, plant, tuple(sorted(findings, key=lambda each: each.severity.rank)), Severity(tolerate)
    )
    if as_json:
        say(written(check_document(judged)))
    elif annotations:
        from routecode.show.annotations import of_findings

        say(lines(of_findings(judged.findings, found.opened, asked.from_top(folder))))
    else:
        say(check_text(judged, page_of(found.opened, sys.stdout, found.prefix), found.called, notes=notes))
        say(racks(folder, found.opened, at))
    ctx.exit(0 if judged.fine else 1)
