"""British to American: whole words, case kept, names and addresses untouched, twice as once."""

import ast
import re
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.house_rules.reading import ROOT, tracked
from trainer.core.knowledge.spelling import american_words, respelling
from trainer.use_cases.open_bank import open_bank, shipped_files

AMERICAN = respelling(open_bank())
WORDS = sorted(american_words(open_bank()))
LIST = (files("codespell_lib") / "data" / "dictionary_en-GB_to_en-US.txt").read_text("utf-8")
OUTSIDE = dict(line.lower().split("->", 1) for line in LIST.splitlines() if "->" in line)
"""codespell's list of British and American spellings."""
PATTERNS = (
    (r"\w+(?:is(?:e|ed|es|er|ers|ing|ation))", "ize", "ise"),
    (r"\w+(?:our|ours|oured|ouring)", "or", "our"),
)


@pytest.mark.parametrize(
    ("british", "american"),
    [
        ("Match the colour in daylight.", "Match the color in daylight."),
        ("COLOUR", "COLOR"),
        ("Colour it grey; grey-haired.", "Color it gray; gray-haired."),
        ("Practise", "Practice"),
        ("Practise Tape-in", "Practice Tape-in"),
        ("Done. Colours stay: Grey, now.", "Done. Colors stay: Gray, now."),
        ("discoloured, sensitised fibres", "discolored, sensitized fibers"),
        ("Five millimetres or a centimetre", "Five millimeters or a centimeter"),
        ("colourful colours", "colorful colors"),
    ],
)
def test_words_change(british, american):
    assert AMERICAN.of(british) == american


@pytest.mark.parametrize(
    "kept",
    [
        "Rhona Grey",
        "Jo Mould, Mary Licence",
        "Grey Ashby, Tue 3 Mar 2026",
        "People of Colour House",
        "Colour &amp; Comb",
        "Fibre of Life",
        "Change to Colour House",
        "grey@example.org",
        "https://colour.example/fibre",
        "/methods/colour",
        "fibre.density",
        "colour_of_hair",
        "colourfast",
        "The color is gray.",
        "",
    ],
)
def test_names_addresses_and_ids_stay(kept):
    assert AMERICAN.of(kept) == kept


@given(
    st.lists(
        st.tuples(
            st.sampled_from([*WORDS, *AMERICAN.words.values(), "hair", "Tape-in", "x.y", "@"]),
            st.sampled_from([str, str.upper, str.title, str.swapcase]),
            st.sampled_from([" ", ". ", ", ", "/", "-", "\n", "", "&amp;", "“", ": "]),
        ),
        max_size=12,
    )
)
def test_converting_twice_changes_nothing_more(parts):
    text = "".join(case(word) + gap for word, case, gap in parts)
    once = AMERICAN.of(text)
    assert AMERICAN.of(once) == once


def test_the_table_is_of_single_words_and_ends_in_itself():
    assert not set(WORDS) & set(AMERICAN.words.values())
    assert all(re.fullmatch(r"[a-z]+", one) for pair in AMERICAN.words.items() for one in pair)


def test_every_id_of_the_bank_stays(bank):
    ids = [*bank.facts, *bank.rules, *bank.misconceptions, *bank.differences, *bank.methods]
    assert [one for one in ids if AMERICAN.of(one) != one] == []


def test_an_outside_list_agrees():
    """Where codespell's list has a word of the table, both say the same."""
    both = {word: OUTSIDE[word] for word in WORDS if word in OUTSIDE}
    assert len(both) > 50
    assert {w: a for w, a in both.items() if AMERICAN.words[w] not in re.split(r",\s*", a)} == {}


def shown_words():
    """Every word of the bank but its citations, of the templates and of strings on screens."""
    texts = {name: text for name, text in shipped_files().items() if name != "sources.toml"}
    del texts["wording/en/american.toml"]
    texts |= {str(p): re.sub(r"<[^>]+>", " ", p.read_text()) for p in tracked(".html")}
    for path in tracked(".py"):
        if str(path.relative_to(ROOT)).startswith("trainer/"):
            texts[str(path)] = " ".join(strings(path.read_text()))
    return {w for text in texts.values() for w in re.findall(r"\w+", text.lower())}


def strings(source):
    tree = ast.parse(source)
    prose = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        said = isinstance(node, ast.Constant) and isinstance(node.value, str)
        if said and id(node) not in prose:
            yield node.value


def test_every_british_word_that_is_shown_is_in_the_table():
    shown = shown_words()
    assert shown & set(OUTSIDE) - set(WORDS) == set()
    assert len(shown & set(WORDS)) > 15


def test_endings_that_the_outside_list_may_miss():
    """-ise for -ize and -our for -or: a word whose American twin the list of stems knows."""
    known = {one.lower() for one in OUTSIDE.values()} | set(AMERICAN.words.values())
    missed = set()
    for word in shown_words() - set(WORDS):
        for pattern, american, british in PATTERNS:
            if re.fullmatch(pattern, word) and word.replace(british, american, 1) in known:
                missed.add(word)
    assert missed == set()
