"""Every rule's page, run: its bad example trips it and only it, its good example trips nothing, its acceptance accepts."""

import importlib
from datetime import date
from pathlib import Path

import pytest

import routecode.rules
from routecode.rules.manual import Page, book, listing, page, pages, suggestion
from routecode.rules.registry import ACCEPT_RULES, RULES
from tests.rules.studios import judged, rules_of

PAGES = {one.rule.id: one for one in pages()}
IDS = [*(rule.id for rule in RULES), *(rule.id for rule in ACCEPT_RULES)]
TODAY = date(2026, 3, 1)


@pytest.fixture(params=sorted(PAGES))
def one(request: pytest.FixtureRequest) -> Page:
    return PAGES[str(request.param)]


def test_the_bad_example_trips_the_rule_and_only_it(one: Page) -> None:
    report = judged(one.bad, today=TODAY)
    apart = {"outputs-unused"} if one.rule.id == "accept-ran-out" else set()  # what is told again, by its purpose
    if one.rule.id in ("accept-unknown", "accept-names-nothing"):
        assert one.rule.id in rules_of(report.findings)
        apart = {"outputs-unused"}
    assert rules_of(report.findings) - apart == {one.rule.id}
    assert {finding.severity for finding in report.findings if finding.rule == one.rule.id} == {one.rule.severity}


def test_the_good_example_trips_nothing(one: Page) -> None:
    assert judged(one.good, today=TODAY).findings == ()


def test_the_acceptance_of_the_page_accepts(one: Page) -> None:
    if one.rule in ACCEPT_RULES:
        assert "cannot be accepted" in one.accept
        return
    report = judged(one.bad, one.accept, today=TODAY)
    assert report.findings == ()
    beside = rules_of(
        [finding for finding, _ in judged(one.bad, today=TODAY).accepted]
    )  # accepted in the example itself
    assert rules_of([finding for finding, _ in report.accepted]) - beside == {one.rule.id}


def test_a_finding_says_what_why_what_to_do_and_where(one: Page) -> None:
    for finding in judged(one.bad, today=TODAY).findings:
        assert finding.at == tuple(sorted(set(finding.at)))
        assert finding.place is not None
        for sentence in (finding.text, finding.why, finding.do):
            assert sentence.endswith((".", "?")) or "routecode rules" in sentence
            for part in sentence.split(". "):
                assert len(part.split()) <= 25, part


def test_the_page_says_enough(one: Page) -> None:
    assert len(one.text.split()) > 20
    assert one.headline.endswith(".")
    assert one.rule.id in (page(one.rule.id) or "")
    assert one.headline in listing()


def test_no_module_with_a_rule_is_forgotten() -> None:
    folder = Path(routecode.rules.__file__).parent
    modules = [importlib.import_module(f"routecode.rules.{path.stem}") for path in sorted(folder.glob("*.py"))]
    found = {module.RULE.id: module.__name__ for module in modules if hasattr(module, "RULE")}
    assert set(found) == set(IDS)
    for rule_id, module in found.items():
        assert module.endswith(rule_id.replace("-", "_")), "a module is called as its rule"
        assert PAGES[rule_id].headline, "the docstring starts with the id"


def test_rules_are_listed_the_worst_first() -> None:
    ranks = [rule.severity.rank for rule in RULES]
    assert ranks == sorted(ranks)
    assert len(set(IDS)) == len(IDS)


def test_a_rule_that_is_none_has_no_page_but_a_suggestion() -> None:
    assert page("outputs-tide") is None
    assert suggestion("outputs-tide") == "Did you mean `outputs-tied`?"


def test_the_book_holds_every_page() -> None:
    text = book()
    for rule_id in PAGES:
        assert f"## {rule_id}\n" in text
