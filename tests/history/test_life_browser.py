"""The page of a life in a real browser: nothing runs that is not ours, what stays stands still, keys step, axe-core finds no fault.

Without a browser these tests are skipped loudly; inside CI they fail.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.change.wiring import PLAIN
from tests.cli.asking import ask, forget
from tests.files.shop import pin
from tests.history.mill import commit, example, new
from tests.history.test_life import BAD
from tests.review.test_browser import SERIOUS, Looked, browser

__all__ = ["browser"]


@pytest.fixture(scope="module")
def mill(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("life") / "life.html"
    forget()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("ROUTECODE_KEEP", "no")
        assert ask("history", "--in", str(example()), "--page", str(path)).status == 0
    return path


@pytest.fixture
def page(browser: Browser, mill: Path) -> Iterator[Page]:
    looked = Looked(browser, mill, viewport={"width": 1400, "height": 1000})
    yield looked.page
    assert looked.complaints == []
    assert set(looked.asked) == {mill.as_uri()}
    looked.page.close()


PLACES = """() => {
    const from = document.querySelector('.picture').getBoundingClientRect();
    return [...document.querySelectorAll('.picture g:not([data-g]) > polygon')].map(one => {
        const box = one.getBoundingClientRect();
        return [Math.round(box.x - from.x), Math.round(box.y - from.y), Math.round(box.width), Math.round(box.height)];
    });
}"""


def shown(page: Page) -> str:
    return page.locator(".step:visible h2").inner_text()


def test_hostile_text_does_not_run(browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home")
    folder = new(tmp_path / "weir")
    commit(folder, BAD, studio=PLAIN.replace('title = "Hall"', f'title = "{BAD}"'))
    path = tmp_path / "life.html"
    assert ask("history", "--in", str(folder), "--page", str(path)).status == 0
    looked = Looked(browser, path)
    looked.page.on("dialog", lambda dialog: looked.complaints.append(dialog.message))
    looked.page.wait_for_timeout(200)
    assert looked.complaints == []
    assert looked.asked == [path.as_uri()]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 420])
def test_axe_finds_no_fault(browser: Browser, mill: Path, scheme: str, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme, bypass_csp=True)  # type: ignore[arg-type] # words
    for step in ("", "#s6", "#s17"):
        page.goto(mill.as_uri() + step)
        found = Axe().run(page)
        faults = [
            (one["id"], one["nodes"][0]["html"][:150])
            for one in found.response["violations"]
            if one["impact"] in SERIOUS
        ]
        assert faults == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.close()


def test_one_steps_by_buttons_keys_and_list(page: Page) -> None:
    assert shown(page).startswith("1. ")
    assert page.locator(".later").is_disabled()
    page.locator(".earlier").click()
    assert shown(page).startswith("2. ")
    page.locator("#s2").focus()
    page.keyboard.press("ArrowDown")
    assert shown(page).startswith("3. ")
    page.keyboard.press("ArrowUp")
    assert shown(page).startswith("2. ")
    page.locator("label[for=s5]").click()
    assert shown(page).startswith("5. ")
    assert page.url.endswith("#s5")
    page.reload()
    assert shown(page).startswith("5. ")


def test_what_stays_stands_still_and_what_comes_and_goes_is_told(page: Page) -> None:
    """Every box that is always there has the same place at every step; words are visible only where something is new, gone or changed."""
    places = set()
    words = {}
    for step in page.locator(".life > input").evaluate_all("all => all.map(one => one.id)"):
        page.evaluate("id => document.getElementById(id).click()", step)
        places.add(str(page.evaluate(PLACES)))
        words[step] = page.evaluate(
            """() => [...document.querySelectorAll('.picture [data-g]')].filter(one => 'ngc'.includes(one.dataset.g[0])
                && getComputedStyle(one).visibility === 'visible').map(one => one.textContent)"""
        )
    assert len(places) == 1
    last = max(words, key=lambda key: int(key[1:]))
    assert words[last] == []
    assert sum(map(bool, words.values())) > 8
    assert {word for each in words.values() for word in each} == {"new", "gone", "changed"}


def test_the_drawing_is_made_smaller_and_larger(page: Page) -> None:
    wide = "document.querySelector('.picture').getBoundingClientRect().width"
    natural = page.evaluate(wide)
    page.locator(".fit").click()
    fit = page.evaluate(wide)
    assert fit < natural
    assert fit <= page.evaluate("document.querySelector('.stage').clientWidth")
    page.locator(".more").click()
    assert page.evaluate(wide) == pytest.approx(fit * 1.25, abs=1)


def test_without_the_script_one_steps_as_well(browser: Browser, mill: Path) -> None:
    page = Looked(browser, mill, java_script_enabled=False).page
    assert page.locator(".when-live:visible").count() == 0
    page.locator("label[for=s6]").click()
    assert page.locator(".step.s6").is_visible()
    assert page.locator(".step:visible").count() == 1
    page.close()
