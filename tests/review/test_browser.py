"""The page in a real browser: nothing runs that is not ours, pictures and sentences light each other, and axe-core finds no fault.

Without a browser these tests are skipped loudly; inside CI they fail.
"""

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright

from tests.review.pages import example, hostile, written

SERIOUS = {"minor", "moderate", "serious", "critical"}
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    program = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if program is None:
        reason = "there is no chromium: the page was not looked at in a browser (Debian: apt-get install chromium)"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=program, args=FLAGS)
        yield found
        found.close()


class Looked:
    """A page that was opened, with what the browser complained of and asked for."""

    def __init__(self, browser: Browser, path: Path, **options: Any) -> None:
        self.complaints: list[str] = []
        self.asked: list[str] = []
        self.page: Page = browser.new_page(**options)
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(path.as_uri())


@pytest.mark.parametrize("name", ["example", "hostile"])
def test_nothing_else_is_asked_for_and_nothing_complained_of(browser: Browser, tmp_path: Path, name: str) -> None:
    path = written(tmp_path, name, {"example": example, "hostile": hostile}[name]())
    looked = Looked(browser, path)
    looked.page.wait_for_timeout(200)
    assert looked.asked == [path.as_uri()]
    assert looked.complaints == []
    assert looked.page.title() != "run"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 420])
def test_axe_finds_no_fault(browser: Browser, tmp_path: Path, scheme: str, width: int) -> None:
    path = written(tmp_path, "page", example())
    page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme, bypass_csp=True)  # type: ignore[arg-type] # words
    page.goto(path.as_uri())
    found = Axe().run(page)
    faults = [
        (fault["id"], fault["nodes"][0]["html"][:150])
        for fault in found.response["violations"]
        if fault["impact"] in SERIOUS
    ]
    assert faults == []


def test_a_sentence_lights_its_way_and_a_picture_its_sentences(browser: Browser, tmp_path: Path) -> None:
    page = Looked(browser, written(tmp_path, "page", example())).page
    assert page.locator(".lit").count() == 0
    sentence = page.locator("#summary .said").first
    sentence.hover()
    assert sentence.evaluate("one => one.classList.contains('lit')")
    assert page.locator("svg .lit").count() > 0
    page.mouse.move(0, 0)
    page.keyboard.press("Escape")
    sentence.focus()
    assert page.locator("svg .lit").count() > 0
    for picture in ("#faces svg", ".view-change svg", ".view-before svg"):
        page.keyboard.press("Escape")
        if picture == ".view-before svg":
            page.locator(".pick-before").first.check()
        page.locator(f"{picture} [data-p]").first.hover()
        assert page.locator(".said.lit").count() > 0, picture
        assert page.locator(".heard").is_visible()


def test_the_keyboard_goes_through_a_picture_with_one_stop(browser: Browser, tmp_path: Path) -> None:
    page = Looked(browser, written(tmp_path, "page", example())).page
    picture = page.locator(".view-change svg").first
    assert picture.locator("[tabindex='0']").count() == 1
    page.locator(".drawing .stage").first.focus()
    page.keyboard.press("Tab")
    first = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert page.locator(".said.lit").count() > 0
    page.keyboard.press("ArrowRight")
    second = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert first
    assert second
    assert first != second
    assert picture.locator("[tabindex='0']").count() == 1
    page.keyboard.press("Escape")
    assert page.locator(".lit").count() == 0


def test_what_is_lit_stays_legible_on_a_dark_ground(browser: Browser, tmp_path: Path) -> None:
    """Text in a lit box is dark on the lit ground: at least 4.5 to 1 (WCAG 2.2, 1.4.3)."""
    page = Looked(browser, written(tmp_path, "page", example()), color_scheme="dark").page
    page.locator("#summary .said").first.hover()
    colours = page.evaluate(
        """() => [...document.querySelectorAll('.view-change .lit > polygon')].flatMap(box =>
             [...box.parentNode.querySelectorAll('text'), ...(box.parentNode.followers || []).map(one => one.querySelector('text'))]
             .filter(text => text).map(text => [getComputedStyle(box).fill, getComputedStyle(text).fill]))"""
    )
    assert colours
    for ground, ink in colours:
        assert contrast(ground, ink) >= 4.5, (ground, ink)


def contrast(one: str, other: str) -> float:
    """The contrast of two colours given as `rgb(r, g, b)`, after WCAG 2.2."""
    light, dark = sorted(map(luminance, (one, other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    parts = [int(part) / 255 for part in re.findall(r"[0-9]+", colour)[:3]]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_the_drawings_are_toggled_and_share_their_places(browser: Browser, tmp_path: Path) -> None:
    page = Looked(browser, written(tmp_path, "page", example())).page
    seen = []
    for view in ("change", "before", "after"):
        page.locator(f".pick-{view}").first.check()
        shown = page.locator(".drawing").first.locator(".view:visible")
        assert shown.count() == 1
        assert f"view-{view}" in str(shown.get_attribute("class"))
        seen.append(shown.locator("svg").first.get_attribute("viewBox"))
    assert len(set(seen)) == 1


def test_without_the_script_everything_can_be_reached(browser: Browser, tmp_path: Path) -> None:
    page = Looked(browser, written(tmp_path, "page", example()), java_script_enabled=False).page
    assert page.locator(".when-live:visible").count() == 0
    page.locator(".pick-before").first.check()
    assert page.locator(".drawing").first.locator(".view-before").is_visible()
    assert page.locator("#causes").is_visible()


def test_on_paper_and_on_a_small_screen_nothing_runs_out(browser: Browser, tmp_path: Path) -> None:
    path = written(tmp_path, "page", example())
    for width in (1400, 800, 380):
        page = Looked(browser, path, viewport={"width": width, "height": 900}).page
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.emulate_media(media="print")
    assert page.locator("fieldset.views input:visible").count() == 0
    assert page.locator(".view-change").first.is_visible()
    assert len(page.pdf()) > 10_000


_WHOLE = """stages => stages.map(stage => {
  const frame = stage.getBoundingClientRect(), picture = stage.querySelector('svg').getBoundingClientRect();
  return [picture.left >= frame.left && picture.right <= frame.right + 0.5, stage.scrollLeft];
})"""


@pytest.mark.parametrize("width", [1024, 1280, 1500, 1900])
@pytest.mark.parametrize("script", [True, False])
def test_faces_are_seen_whole(browser: Browser, tmp_path: Path, width: int, script: bool) -> None:
    """North bay has 16 columns beside each other, south bay 24; every one of them is in the window, and the row names too."""
    path = written(tmp_path, "page", example())
    page = Looked(browser, path, viewport={"width": width, "height": 900}, java_script_enabled=script).page
    found = page.locator(".bay .stage").evaluate_all(_WHOLE)
    assert len(found) >= 4
    assert found == [[True, 0]] * len(found)
    if width < 1856:
        left = page.locator("#faces").evaluate("one => one.getBoundingClientRect().left")
        assert left <= page.locator("#summary").evaluate("one => one.getBoundingClientRect().left")


def test_the_summary_never_lies_on_what_follows(browser: Browser, tmp_path: Path) -> None:
    page = Looked(browser, written(tmp_path, "page", example()), viewport={"width": 1280, "height": 700}).page
    page.locator("#faces").evaluate("one => one.scrollIntoView()")
    boxes = "one => { const box = one.getBoundingClientRect(); return [box.top, box.bottom]; }"
    assert page.locator("#summary").evaluate(boxes)[1] <= page.locator("#faces").evaluate(boxes)[0] + 1


def test_faces_can_be_seen_at_full_size_and_whole_again(browser: Browser, tmp_path: Path) -> None:
    page = Looked(browser, written(tmp_path, "page", example()), viewport={"width": 800, "height": 900}).page
    bay = page.locator(".bay").first
    widths = "pictures => pictures.map(one => one.getBoundingClientRect().width - Number(one.getAttribute('width')))"
    bay.get_by_role("button", name="Full size").click()
    assert [round(each) for each in bay.locator("svg").evaluate_all(widths)] == [0, 0]
    bay.get_by_role("button", name="Whole").click()
    assert all(whole for whole, _ in bay.locator(".stage").evaluate_all(_WHOLE))
    bay.get_by_role("button", name="Next change").click()
    assert bay.locator(".jack.lit").count() > 0


def test_short_labels_are_not_broken_on_a_small_screen(browser: Browser, tmp_path: Path) -> None:
    for width in (500, 380, 320):
        path = written(tmp_path, "page", example())
        page = Looked(browser, path, viewport={"width": width, "height": 900}).page
        lines = (
            "all => all.map(one => one.getBoundingClientRect().height / parseFloat(getComputedStyle(one).lineHeight))"
        )
        heights = page.locator(".sides dt, thead th").evaluate_all(lines)
        assert len(heights) == 5
        assert max(heights[:2]) < 1.5
        wide = "all => all.every(one => one.scrollWidth <= one.clientWidth + 1)"
        assert page.locator(".sides dt").evaluate_all(wide)
