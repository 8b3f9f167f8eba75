"""Texts on paper: the order of signs against another implementation, Arabic letter forms, widths against the outlines' own file, wrapping."""

import random
import unicodedata
from importlib.resources import as_file, files

import pytest
from bidi import get_display
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from routecode.show.paper import direction, fonts, script, text

POOLS = ("abcXYZ", "שלוםא", "سلام", "0123456789", "٠١٢", "()[]<>{}«»", " .,:/+-#%$", "\u05b8\u0301")


def plain_order(line: str) -> str:
    """The order without mirroring and without moving marks: what the other implementation gives."""
    levels = direction._levels(line, direction.base_level(line))
    return "".join(line[index] for index in direction._reordered(levels))


def test_order_is_that_of_another_implementation_of_uax_9() -> None:
    rng = random.Random(9)
    for _ in range(4000):
        line = "".join(rng.choice(rng.choice(POOLS)) for _ in range(rng.randrange(1, 16)))
        assert plain_order(line) == get_display(line), ascii(line)


def test_brackets_are_mirrored_and_marks_follow_their_letter() -> None:
    assert direction.visual("שלום (abc) 12") == "12 (abc) םולש"
    assert direction.visual("abc (שלום 1-8) def") == "abc (1-8 םולש) def"
    assert direction.visual("ש\u05b8ל") == "לש\u05b8"


RIGHT_JOINING = "\u0622\u0623\u0624\u0625\u0627\u0629\u062f\u0630\u0631\u0632\u0648"
"""The Unicode Standard, section 9.2, right-joining letters of Arabic (from memory)."""


@pytest.mark.parametrize("letter", RIGHT_JOINING)
def test_right_joining_letters_do_not_join_what_follows(letter: str) -> None:
    beh = "\u0628"
    shaped = script._joined(beh + letter + beh)
    kinds = [unicodedata.decomposition(sign).split()[0] for sign in shaped]
    assert kinds == ["<initial>", "<final>", "<isolated>"]


def test_arabic_words_take_their_forms() -> None:
    assert script._joined("سلام") == "\ufeb3\ufefc\ufee1"  # seen initial, lam-alef final, meem isolated
    assert script._joined("بيت") == "\ufe91\ufef4\ufe96"  # initial, medial, final
    assert script._joined("ب\u200cب") == "\ufe8f\u200c\ufe8f"  # a non-joiner between them


@pytest.mark.parametrize("name", [fonts.REGULAR, fonts.BOLD])
def test_signs_and_widths_are_those_of_the_font_file(name: str) -> None:
    with as_file(files("routecode.show.paper").joinpath("fonts", f"{name}.ttf")) as path, TTFont(path) as font:
        table, metrics, unit = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
        bold = name == fonts.BOLD
        for code in range(32, 0x10000):
            assert fonts.has(chr(code), bold) == (code in table), hex(code)
            if code in table:
                assert fonts.sign_width(chr(code), bold) == pytest.approx(metrics[table[code]][0] / unit, abs=0.0006)
        ascent = max(font["hhea"].ascent, font["OS/2"].sTypoAscender) / unit
        descent = -min(font["hhea"].descent, font["OS/2"].sTypoDescender) / unit
        assert pytest.approx((ascent, descent), abs=0.0003) == (fonts.ASCENT, fonts.DESCENT)


@pytest.mark.parametrize("words", ["Hall line 1 — Ä", "Ωμέγα", "Привет", "שלום", "قناة السلام", "Հայերեն", "ქართული"])
def test_these_scripts_have_all_their_glyphs(words: str) -> None:
    assert fonts.missing_glyphs(script.drawn(script.cleaned(words))) == ()


def test_what_the_fonts_lack_is_told() -> None:
    assert fonts.missing_glyphs("mic 漢字漢") == ("字", "漢")


def test_hostile_signs_are_escaped_and_marks_are_few() -> None:
    assert script.cleaned("a\x1b[0m\u202eb\n") == "a\\x1b[0m\\u202eb\\n"
    assert script.cleaned("e" + "\u0316" * 50).count("\u0316") == 2


@given(st.text(max_size=80), st.floats(1, 400), st.floats(4, 20))
def test_wrapped_loses_nothing_and_fits(words: str, room: float, size: float) -> None:
    lines = text.wrapped(words, room, size)
    kept = script.cleaned(words)
    assert "".join("".join(lines).split()) == "".join(kept.split())
    for line in lines:
        letters = [sign for sign in line if not unicodedata.combining(sign)]
        assert text.width(line, size) <= room + 1e-6 or len(letters) <= 2


@given(st.text(max_size=60), st.floats(5, 200))
def test_shortened_fits(words: str, room: float) -> None:
    found = text.shortened(words, room, 8)
    assert text.width(found, 8) <= room + 1e-6 or found == "…"
    assert found.endswith("…") or found == script.cleaned(words)
