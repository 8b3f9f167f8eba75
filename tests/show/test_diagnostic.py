"""Mistakes and findings on a terminal: one shape, 80 columns, colour that says nothing of its own, no character that acts."""

import re
import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from routecode.ground.finding import Finding, Mistake, Severity
from routecode.ground.place import At, Spot
from routecode.show.diagnostic import Page, all_mistakes, counts, diagnostic, told_findings, told_mistake
from routecode.show.measure import width
from tests.show.studios import opened

STUDIO = opened({"studio.toml": '[studio]\nlanguage = 1\n[room.a]\ntitle = "Hall"\n[room.b]\ntitle = "Hall"\n'})
ANY = st.text(max_size=120)


def coloured(text: str, role: str) -> str:
    return f"\x1b[{len(role)}m{text}\x1b[0m"


def test_the_shape() -> None:
    finding = Finding(
        "title-twice",
        Severity.WARNING,
        ("a", "b"),
        "Two rooms are called Hall.",
        "Sentences use titles.",
        "Rename one.",
        None,
        At("studio.toml", ("room", "b", "title")),
        (("the other one", At("studio.toml", ("room", "a", "title"))),),
    )
    assert diagnostic(told_findings([finding], STUDIO)[0], Page(STUDIO, prefix="mill/")) == (
        "warning  Two rooms are called Hall.\n"
        "         mill/studio.toml:6:9 (title-twice)\n"
        '             title = "Hall"\n'
        "                     ======\n"
        "  Why:   Sentences use titles.\n"
        "  Do:    Rename one.\n"
        "  Also:  mill/studio.toml:4:9, the other one\n"
        '             title = "Hall"\n'
        "                     ======\n"
    )


def test_the_same_finding_in_several_states_is_told_once_with_all_of_them() -> None:
    found = [Finding("x", Severity.ERROR, ("a",), "Same.", setup=setup) for setup in (None, "drama", "folk")]
    told = told_findings(found, STUDIO)
    assert len(told) == 1
    assert "(x, unpatched and in setup drama, folk)" in diagnostic(told[0], Page(STUDIO))


@given(ANY, ANY, ANY, ANY, st.integers(1, 9), st.integers(1, 200), st.integers(0, 50))
def test_whatever_it_says_it_fits_and_does_nothing(
    text: str, why: str, do: str, file: str, line: int, column: int, length: int
) -> None:
    mistake = Mistake("x", text, Spot(file, line, column, length), why, do.replace("\n", " "))
    shown = diagnostic(told_mistake(mistake, STUDIO), Page(STUDIO))
    for each in shown.split("\n"):
        assert width(each) <= 80
        assert all(unicodedata.category(one) not in ("Cc", "Cs", "Zl", "Zp") for one in each)


def test_without_its_colours_a_coloured_page_is_the_plain_one() -> None:
    mistake = Mistake("x", "Long " * 40, At("studio.toml", ("room", "a")), "Why.", "Do.")
    painted = all_mistakes([mistake, mistake], Page(STUDIO, paint=coloured))
    assert "\x1b" in painted
    assert re.sub(r"\x1b\[[0-9]+m", "", painted) == all_mistakes([mistake, mistake], Page(STUDIO))


def test_several_stand_in_the_order_of_the_text_with_their_number() -> None:
    late, early = (Mistake("x", text, Spot("studio.toml", line, 1, 3)) for text, line in (("Late.", 5), ("Early.", 3)))
    text = all_mistakes([Mistake("y", "Nowhere."), late, early], Page(STUDIO))
    assert text.index("Early.") < text.index("Late.") < text.index("Nowhere.")
    assert text.endswith("\n3 errors. Nothing was computed.\n")


def test_commands_to_copy_are_left_whole() -> None:
    command = "git config --global user.name " + "x" * 90
    shown = diagnostic(told_mistake(Mistake("x", "Say who.", do=f"Tell it once:\n{command}"), None), Page())
    assert f"\n         {command}\n" in shown


def test_counts_name_the_worst_first() -> None:
    assert counts(["note", "error", "note", "hazard"]) == "1 error, 1 hazard, 2 notes"
    assert counts([]) == ""
