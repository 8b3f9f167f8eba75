"""`routecode rules`: the rules of `check`, and the pages that come with the tool."""

import sys
from importlib.resources import files

import click

from routecode.cli import options
from routecode.cli.failure import Refused
from routecode.cli.say import say, width_of
from routecode.ground.finding import Mistake
from routecode.ground.nearest import did_you_mean


@click.command("rules")
@click.argument("rule", metavar="[ID]", required=False)
@click.option("--language", "page", flag_value="language.md", help="Print the reference of the wiring language.")
@click.option("--meaning", "page", flag_value="meaning.md", help="Print what wiring means, case by case.")
@click.option(
    "--git", "page", flag_value="git.md", help="Print recipes for plain git, hooks and continuous integration."
)
@click.option("--changes", "page", flag_value="changes.md", help="Print what a diff says, kind by kind.")
@click.option(
    "--branches", "page", flag_value="branches.md", help="Print how branches, revisions and what is built are told."
)
@click.option(
    "--history", "page", flag_value="history.md", help="Print what history, rollback and kept answers do and mean."
)
@click.option("--jobs", "page", flag_value="jobs.md", help="Print what jobsheets promise, and the file of results.")
@click.option("--labels", "page", flag_value="labels.md", help="Print how label strips and flags are made and printed.")
@options.as_json
def command(rule: str | None, page: str | None, as_json: bool) -> None:
    """List the rules of `check` and the kinds of change of `diff`, or print the page of one."""
    if page is not None:
        say(_page(page))
        return
    from routecode.change.kinds import kinds
    from routecode.hands.tests_rules import RESULT_RULES
    from routecode.rules.registry import ACCEPT_RULES, RULES
    from routecode.show.document import written
    from routecode.show.rules import Registered, page_text, result_page, rule_page, rules_document, rules_text

    registered: tuple[Registered, ...] = (*RULES, *ACCEPT_RULES)
    pages = {each.id: rule_page(each) for each in registered}
    results = {each.id: result_page(each) for each in RESULT_RULES}
    pages |= results
    changes = kinds(_page("changes.md"))
    if rule is not None and rule not in pages and rule not in changes:
        do = f"{did_you_mean(rule, [*pages, *changes])} To see them all: routecode rules".strip()
        raise Refused(Mistake("unknown-rule", f"There is no rule {rule[:80]}, and no such kind of change.", do=do))
    chosen = [each for each in pages.values() if rule in (None, each.id)]
    told = [each for each in changes.values() if rule in (None, each.id)]
    if as_json:
        say(written(rules_document(chosen, told)))
    elif rule is None:
        listed = [page for page in chosen if page.id not in results]
        say(rules_text(listed, changes, width_of(sys.stdout), results.values()))
    else:
        pages_told = (*(each.page for each in chosen), *(each.page for each in told))
        say("".join(f"{page_text(each, width_of(sys.stdout))}\n" for each in pages_told))


def _page(name: str) -> str:
    return files("routecode").joinpath("pages", name).read_text(encoding="utf-8")
