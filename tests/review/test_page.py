"""The page as text: whole in itself, closed against what names hold, the same every time, useful without its script."""

import base64
import hashlib
import re
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest

from routecode.show.review.palette import DARK
from tests.change.wiring import PLAIN
from tests.cli.asking import ask
from tests.review.pages import example, hostile, page_of
from tests.show.studios import opened

PAGES = {"example": example, "hostile": hostile}


class Read(HTMLParser):
    """Tags with their attributes, the text, and what stands in scripts and styles."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.inside = ""
        self.own: dict[str, list[str]] = {"script": [], "style": []}
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self.inside = tag

    def handle_endtag(self, tag: str) -> None:
        self.inside = ""

    def handle_data(self, data: str) -> None:
        self.own.get(self.inside, self.words).append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]


@pytest.fixture(params=sorted(PAGES))
def text(request: pytest.FixtureRequest) -> str:
    return PAGES[str(request.param)]()


def test_nothing_comes_from_outside(text: str) -> None:
    read = Read(text)
    for tag, attributes in read.tags:
        for name in ("src", "href", "xlink:href", "action", "data", "poster", "srcset"):
            value = attributes.get(name)
            assert value is None or value.startswith("#"), (tag, name, value)
        assert not [name for name in attributes if name.startswith("on")], tag
    assert not re.search(r"url\((?!#)", "".join(read.own["style"]))
    assert "@import" not in text
    assert not {tag for tag, _ in read.tags} & {
        "iframe",
        "object",
        "embed",
        "base",
        "form",
        "link",
        "img",
        "foreignobject",
    }


def test_the_policy_lets_only_the_pages_own_style_and_script_run(text: str) -> None:
    read = Read(text)
    (policy,) = [one["content"] for one in read.all("meta") if one.get("http-equiv") == "Content-Security-Policy"]
    assert policy is not None
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    for kind in ("script", "style"):
        (own,) = read.own[kind]
        made = base64.b64encode(hashlib.sha256(own.encode()).digest()).decode()
        assert f"'sha256-{made}'" in policy
    assert not [tag for tag, attributes in read.tags if "style" in attributes], "the policy would not let it work"


def test_ids_are_there_once_and_links_lead_to_them(text: str) -> None:
    read = Read(text)
    ids = [str(attributes["id"]) for _, attributes in read.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    wanted = {
        str(attributes[name])[1:]
        for _, attributes in read.tags
        for name in ("href", "xlink:href")
        if name in attributes
    }
    wanted |= {
        one
        for _, each in read.tags
        for name in ("aria-labelledby", "for", "aria-describedby")
        for one in str(each.get(name) or "").split()
    }
    assert wanted <= set(ids)


def test_all_is_there_without_the_script() -> None:
    read = Read(example())
    words = " ".join(" ".join(read.words).split())
    for part in ("Summary", "Drawing", "Bays", "Causes in the text", "By jack", "paths compared"):
        assert part in words
    radios = [one for one in read.all("input") if one.get("type") == "radio"]
    assert len(radios) % 3 == 0
    assert radios
    assert sum("hidden" in one for _, one in read.tags if "when-live" in str(one.get("class"))) > 0
    assert "South bay" in words
    assert "mains" in words


def test_names_are_only_text() -> None:
    read = Read(hostile())
    assert [tag for tag, _ in read.tags].count("script") == 1
    assert "img" not in {tag for tag, _ in read.tags}
    assert "<img src=x onerror=" in "".join(read.words)


def test_every_sentence_has_its_own_number_in_the_pictures() -> None:
    read = Read(example())
    said = {str(one["data-s"]) for _, one in read.tags if "data-s" in one and one.get("class") == "said"}
    assert said
    lit = {number for _, one in read.tags for number in str(one.get("data-p") or "").split()}
    assert lit
    assert lit <= said


def test_every_colour_of_a_picture_has_its_like_on_a_dark_ground(text: str) -> None:
    read = Read(text)
    used = {str(one[name]).lower() for _, one in read.tags for name in ("fill", "stroke") if name in one}
    assert used - {"none", "transparent", "currentcolor"} <= {colour.lower() for colour in DARK}


def test_the_same_input_gives_the_same_bytes() -> None:
    first = example()
    example.cache_clear()
    assert example() == first


def test_a_y_cord_is_one_line_of_a_setup() -> None:
    """North bay top 13 to two free jacks: one cord with three plugs, and not two with two in one jack."""
    setup = '\n[setup.folk]\n[[setup.folk.cord]]\nfrom = "north/top 13"\nto = {}\n'
    before, after = (PLAIN + setup.format(to) for to in ('"north/bottom 13"', '["north/bottom 15", "north/bottom 14"]'))
    page = page_of(opened({"studio.toml": before}), opened({"studio.toml": after}))
    assert "Y-cord new: North bay top 13 to North bay bottom 14 and North bay bottom 15." in page
    assert "Cord gone: North bay top 13 to North bay bottom 13." in page
    assert page.count("ord new: ") == 1


def test_a_file_of_somebody_else_is_not_overwritten(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = build(tmp_path)
    monkeypatch.chdir(tmp_path)
    Path("review.html").write_text("mine", "utf-8")
    refused = ask("review", "last~1..last", "--in", str(folder))
    assert refused.status == 2
    assert "--force" in refused.err
    assert Path("review.html").read_text("utf-8") == "mine"
    assert ask("review", "last~1..last", "--in", str(folder), "--force").status == 0
    assert ask("review", "last~1..last", "--in", str(folder)).status == 0
    assert Path("review.html").read_text("utf-8").startswith("<!DOCTYPE html>")
    assert ask("review", "last~1..last", "--in", str(folder), "-o", "-").out == Path("review.html").read_text("utf-8")


def build(base: Path) -> Path:
    """A studio with two commits."""
    folder = base / "studio"
    folder.mkdir()
    (folder / "studio.toml").write_text(PLAIN, "utf-8")
    git(folder, "init", "--quiet")
    git(folder, "add", "--all")
    git(folder, "commit", "--quiet", "-m", "One")
    (folder / "studio.toml").write_text(PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n', "utf-8")
    git(folder, "commit", "--quiet", "--all", "-m", "Two")
    return folder


def git(folder: Path, *words: str) -> None:
    who = ["-c", "user.name=Ada", "-c", "user.email=ada@example.invalid"]
    subprocess.run(["git", "-C", str(folder), *who, *words], check=True, capture_output=True)


def test_a_place_stands_once_at_a_sentence_of_many_needs() -> None:
    """A range in a need asks for eight things at one place of the text."""
    need = '\n[setup.all]\ntitle = "All"\n[[setup.all.need]]\npath = ["hall/line 1..8", "conv/line 1..8"]\n'
    before = '\n[setup.all]\ntitle = "All"\n'
    page = page_of(opened({"studio.toml": PLAIN + before}), opened({"studio.toml": PLAIN + need}))
    said = [each for each in re.findall(r"<li>(?:(?!</li>).)*</li>", page, re.DOTALL) if "asks that" in each]
    assert [each.count("(after)") for each in said] == [1, 0], "in the summary, and under the place itself"
