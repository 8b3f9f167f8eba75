"""One drawing of all revisions: what is there when is held against each revision alone; names and sizes; the page and its policy."""

import base64
import hashlib
import re
from functools import cache
from pathlib import Path

import pytest

from routecode.cli.draw import find_engine
from routecode.cli.life import sides_of
from routecode.show.drawing.engine import Answer, Engine, Fault
from routecode.show.drawing.facts import Side, side
from routecode.show.life.drawn import GONE, NEW, Drawn, draw, keys
from routecode.show.life.page import Life, is_ours, life_page
from routecode.show.life.union import key_of, united
from routecode.studio.opened import Opened
from tests.change.wiring import PLAIN
from tests.cli.asking import ask, forget
from tests.files.shop import pin, put
from tests.history.mill import commit, example, history, new, opened, weir
from tests.show.studios import opened as of_texts

BAD = "<img src=x onerror=alert(1)></script>"


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    forget()
    return tmp_path


@cache
def engine() -> Engine:
    found = find_engine(None)
    assert found is not None
    return found


@cache
def mill_sides() -> dict[str, Side]:
    with opened(example()).walking() as reader:
        return sides_of(history(example()), reader)


@cache
def mill_drawn() -> Drawn:
    sides = list(mill_sides().values())
    found = draw(united(sides), "Mill", len(sides), engine())
    assert isinstance(found, Drawn), found
    return found


@cache
def mill_page() -> str:
    items = history(example())
    return life_page(Life("Mill", items, mill_sides(), engine(), {item.commit.id: item.number for item in items}))


def sides(*texts: str) -> list[Side]:
    found = []
    for text in texts:
        circuit = of_texts({"studio.toml": text}).circuit
        assert circuit is not None
        found.append(side(circuit, None))
    return found


# -- the union -------------------------------------------------------------------------------------------------------------


def test_the_union_holds_at_each_time_what_the_revision_alone_has() -> None:
    """Read back at each time, it is that revision: units, bays, ports, joints, normals."""
    named = mill_sides()
    union = united(list(named.values()))
    for at, found in enumerate(named.values()):
        assert {name for name, times in union.blocks.items() if at in times} == {*found.units, *found.bays}
        ports = {(name, port) for name, unit in found.units.items() for port, _ in unit.ports}
        columns = {(name, str(number)) for name, bay in found.bays.items() for number in range(1, bay.columns + 1)}
        assert {pin_ for pin_, times in union.pins.items() if at in times} == ports | columns
        assert {key for key, times in union.joints.items() if at in times} == {key_of(joint) for joint in found.joints}
        for name, bay in found.bays.items():
            for number, normal in bay.normals.items():
                assert at in union.normals[name, number][normal]
        for name, unit in found.units.items():
            assert at in union.written[name][unit.title, unit.note]


def test_what_was_called_otherwise_is_one_box(shelf: Path) -> None:
    """The example's unit `plate` was `reverb` before: all sides know it by its last name."""
    assert all("plate" in found.units for found in mill_sides().values())
    assert not any("reverb" in found.units for found in mill_sides().values())


def test_a_name_given_away_twice_is_followed(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    for old, name in (("pre-b", "pre-c"), ("pre-c", "pre-d")):
        text = (folder / "studio.toml").read_text(encoding="utf-8")
        text = re.sub(rf"\[unit\.{old}\]\n(was = .*\n)?", f'[unit.{name}]\nwas = "{old}"\n', text).replace(
            f'"{old}/', f'"{name}/'
        )
        commit(folder, f"{old} is {name} now", studio=text)
    with opened(folder).walking() as reader:
        found = sides_of(history(folder), reader)
    assert [sorted(one.units) for one in found.values()] == [["booth", "conv", "hall", "pre-a", "pre-d"]] * 3


def test_an_id_that_was_a_unit_and_is_a_bay_is_two_boxes() -> None:
    unit = PLAIN + '\n[unit.odd]\n[[unit.odd.port]]\nname = "1"\ndirection = "out"\nsignal = "mic"\n'
    bay = PLAIN + "\n[bay.odd]\ncolumns = 4\n"
    one_row = PLAIN + "\n[bay.odd]\ncolumns = 4\nrows = 1\n"
    union = united(sides(bay, unit, one_row, PLAIN))
    assert {name for name in union.blocks if name.startswith("odd")} == {"odd", "odd (unit)", "odd (bay, 1)"}
    assert isinstance(draw(union, "x", 4, engine()), Drawn)


def test_no_revisions_have_no_union() -> None:
    with pytest.raises(ValueError, match="no revisions"):
        united([])


# -- the picture --------------------------------------------------------------------------------------------------------------


def groups(drawn: Drawn) -> dict[str, list[str]]:
    """Key -> the words and titles in the groups that carry it."""
    found: dict[str, list[str]] = {}
    for key, inner in re.findall(r'<g data-g="(\w+)">(.*?)</g>', drawn.picture.svg):
        found.setdefault(key, []).append(re.sub("<[^>]*>", "", inner))
    return found


def test_a_box_that_comes_and_goes_is_shown_new_there_and_gone() -> None:
    more = (
        PLAIN + '\n[unit.eq]\ntitle = "Equaliser"\n[[unit.eq.port]]\nname = "in"\ndirection = "in"\nsignal = "line"\n'
    )
    more += '[[cable]]\nfrom = "booth/1"\nto = "eq/in"\n'
    drawn = draw(united(sides(PLAIN, more, PLAIN)), "x", 3, engine())
    assert isinstance(drawn, Drawn)
    (number,) = {key[1:] for key, texts in groups(drawn).items() if any("Equaliser" in text for text in texts)}
    assert drawn.sets[int(number)] == {1}
    assert number in keys(drawn, 1, 2)[NEW]
    assert number in keys(drawn, 0, 1)[GONE]
    assert number in keys(drawn, 2, None)["hidden"]
    words = groups(drawn)
    assert set(words[f"n{number}"]) == {"new"}
    assert set(words[f"g{number}"]) == {"gone"}


def test_a_box_written_otherwise_says_so_and_shows_the_text_of_its_time() -> None:
    drawn = draw(united(sides(PLAIN.replace('"Preamp A"', '"Preamp West"'), PLAIN)), "x", 2, engine())
    assert isinstance(drawn, Drawn)
    words = groups(drawn)
    shown = {at: [words[f"t{number}"] for number in keys(drawn, at, None)["text"]] for at in (0, 1)}
    assert shown == {0: [["Preamp West"]], 1: [["Preamp A"]]}
    assert keys(drawn, 0, 1)["changed"] == ["0"]
    assert words["c0"] == ["changed"]


def test_a_cable_made_otherwise_is_another_line_in_the_same_place() -> None:
    cable = '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
    drawn = draw(united(sides(f'{PLAIN}{cable}polarity = "reversed"\n', PLAIN + cable)), "x", 2, engine())
    assert isinstance(drawn, Drawn)
    assert sorted(map(sorted, drawn.sets)) == [[0], [1]]
    assert sorted(len(keys(drawn, 0, 1)[kind]) for kind in (NEW, GONE)) == [1, 1]


def test_every_step_of_the_example_shows_something_of_what_it_says(shelf: Path) -> None:
    """Where paths were lost or gained by cables, something in the picture is new or gone."""
    order = {name: at for at, name in enumerate(mill_sides())}
    seen = 0
    for item in history(example()):
        if item.against is None or item.entry.result != "ends-changed" or "away" in "".join(item.entry.said):
            continue
        found = keys(mill_drawn(), order[item.commit.id], order[item.against])
        assert found[NEW] or found[GONE] or found["changed"], item.commit.title
        seen += 1
    assert seen > 4


def test_a_large_studio_is_drawn_in_part() -> None:
    many = "".join(
        f'[unit.x{n}]\n[[unit.x{n}.port]]\nname = "1"\ndirection = "out"\nsignal = "mic"\n' for n in range(250)
    )
    drawn = draw(
        united(sides(f'{PLAIN}{many}\n[[cable]]\nfrom = "x7/1"\nto = "pre-b/mic 1"\n', PLAIN + many)), "x", 2, engine()
    )
    assert isinstance(drawn, Drawn)
    assert drawn.note.startswith("What changed, with what is joined to it: ")
    assert "x7" in drawn.picture.svg
    assert "x8" not in drawn.picture.svg


# -- the page ----------------------------------------------------------------------------------------------------------------


def test_the_page_lets_nothing_run_but_its_own_script() -> None:
    page = mill_page()
    for element in ("style", "script"):
        (inner,) = re.findall(rf"<{element}>(.*?)</{element}>", page, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(inner.encode()).digest()).decode()
        assert f"{element}-src &#39;sha256-{digest}&#39;" in page
    assert "default-src &#39;none&#39;" in page
    assert not re.search(r'(?:src|href)="(?!#)', page)
    assert " style=" not in page
    assert is_ours(page.encode())


def test_same_input_same_bytes() -> None:
    items = history(example())
    numbers = {item.commit.id: item.number for item in items}
    assert life_page(Life("Mill", items, mill_sides(), engine(), numbers)) == mill_page()


def test_every_revision_is_a_step_or_folded() -> None:
    page = mill_page()
    items = history(example())
    steps = re.findall(r'<input type="radio" name="step" id="s(\d+)"', page)
    assert steps == [str(item.number) for item in items if not item.entry.only_text]
    assert page.count(" checked>") == 1
    for item in items:
        assert item.commit.title.split(":")[0] in page


def test_hostile_names_and_messages_are_text(shelf: Path) -> None:
    folder = new(shelf / "weir")
    text = PLAIN.replace('title = "Hall"', f'title = "{BAD}"').replace(
        "[unit.pre-b]", f'[room.r]\ntitle = "{BAD}"\n[unit.pre-b]\nroom = "r"'
    )
    commit(folder, f"{BAD} \x1b[2J\n\n{BAD}", studio=text)
    commit(folder, BAD, studio=text.replace('title = "Preamp A"', f'title = "A {BAD}"'))
    path = shelf / "page.html"
    ran = ask("history", "--in", str(folder), "--page", str(path))
    assert (ran.status, ran.out) == (0, f"{path}\n")
    page = path.read_text(encoding="utf-8")
    assert "<img" not in page
    assert page.count("</script>") == 1
    assert "\x1b" not in page


def test_without_a_layout_program_the_list_is_there() -> None:
    items = history(example())
    page = life_page(Life("Mill", items, {}, None, {}))
    assert "pip install graphviz-pure" in " ".join(page.split()) or "No revision could be drawn." in page
    assert "88 paths lost" in page
    assert "<svg class=" not in page


def test_a_layout_program_that_fails_is_told() -> None:
    broken = Engine("dot", lambda *_: Answer(1, b"", "no"))
    page = life_page(Life("Mill", history(example()), mill_sides(), broken, {}))
    assert "The drawing could not be made: dot failed (status 1): no" in page
    assert isinstance(draw(united(list(mill_sides().values())), "x", 1, broken), Fault)


def test_a_file_of_somebody_else_is_not_replaced(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    path = put(shelf, "notes.html", "mine\n")
    ran = ask("history", "--in", str(folder), "--page", str(path))
    assert ran.status == 2
    assert "--force" in ran.err
    assert path.read_text(encoding="utf-8") == "mine\n"
    assert ask("history", "--in", str(folder), "--page", str(path), "--force").status == 0
    assert ask("history", "--in", str(folder), "--page", str(path)).status == 0
    assert ask("history", "--in", str(folder), "--page", "-").out == path.read_text(encoding="utf-8")


def test_a_revision_that_does_not_compile_is_a_step_without_a_drawing(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    commit(folder, "Typing mistake", studio=PLAIN.replace("columns = 16", "colums = 16", 1))
    commit(folder, "Mended", studio=PLAIN)
    page = ask("history", "--in", str(folder), "--page", "-").out
    assert "does not compile" in page
    assert "#s2:checked~.drawing .picture{display:none}" in page
    assert "#s1:checked~.drawing .picture{display:none}" not in page


def test_only_the_newest_stand_on_the_page(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("routecode.show.life.page.MOST_STEPS", 1)
    folder = weir(shelf / "weir")
    commit(folder, "Second", studio=PLAIN.replace('"Preamp A"', '"Preamp West"'))
    page = ask("history", "--in", str(folder), "--page", "-").out
    assert "1 older revision not on this page." in page
    assert 'id="s1"' in page
    assert 'id="s2"' not in page


def test_a_circuit_is_drawn_as_it_is_alone() -> None:
    """A revision opened after another, made of it, gives the same facts as one read alone."""
    repository = opened(example())
    for name in list(mill_sides())[:3]:
        found = repository.resolve(name)
        alone = Opened(repository.read(found, ""), name).circuit  # type: ignore[arg-type] # a commit of the history
        assert alone is not None
        assert side(alone, None).joints == mill_sides()[name].joints


def test_of_very_large_studios_fewer_revisions_stand_on_the_page(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("routecode.cli.life.MOST_JOINTS", 70)  # less than two revisions of this studio have
    folder = weir(shelf / "weir")
    for name in ("West", "North", "East"):
        commit(folder, name, studio=PLAIN.replace('"Preamp A"', f'"Preamp {name}"'))
    page = ask("history", "--in", str(folder), "--page", "-").out
    assert "3 older revisions not on this page." in page
    assert 'id="s1"' in page
