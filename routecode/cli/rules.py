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
@options.as_json
def command(rule: str | None, page: str | None, as_json: bool) -> None:
    """List the rules of `check`, or print the page of one."""
    if page is not None:
        say(files("routecode").joinpath("pages", page).read_text(encoding="utf-8"))
        return
    from routecode.rules.registry import ACCEPT_RULES, RULES
    from routecode.show.document import written
    from routecode.show.rules import Registered, rule_page, rules_document, rules_text

    registered: tuple[Registered, ...] = (*RULES, *ACCEPT_RULES)
    pages = {each.id: rule_page(each) for each in registered}
    if rule is not None and rule not in pages:
        do = f"{did_you_mean(rule, pages)} To see them all: routecode rules".strip()
        raise Refused(Mistake("unknown-rule", f"There is no rule {rule[:80]}.", do=do))
    chosen = list(pages.values()) if rule is None else [pages[rule]]
    if as_json:
        say(written(rules_document(chosen)))
    elif rule is None:
        say(rules_text(chosen, width_of(sys.stdout)))
    else:
        say(f"{chosen[0].page}\n")
