"""Words found whatever their ending, spelling or hyphen; what matched is cut out exactly."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.knowledge.find import Passage, find, folding, pieces, stem

AMERICAN = {"colour": "color", "grey": "gray", "fibre": "fiber"}
GROUPS = [["patch test", "skin test"], ["micro link", "nano ring"], ["lice", "nit"]]
FOLDED = folding(AMERICAN, ["the", "of", "a"], GROUPS)


def passage(text, beside=""):
    words = FOLDED.words(f"{text} {beside}")
    return Passage("statement", text, "all", "tape_in", "timings", text, beside, words)


def found(query, *texts):
    hits, whole = find(FOLDED, [passage(text) for text in texts], query)
    return [one.passage.text for one in hits], whole


# Pairs from the Snowball project's own sample vocabulary for English (Porter 2).
@pytest.mark.parametrize(
    ("word", "expected"),
    [("consigned", "consign"), ("consisting", "consist"), ("knackeries", "knackeri")],
)
def test_stems_are_those_of_the_published_vocabulary(word, expected):
    assert stem(word) == expected


@pytest.mark.parametrize(
    ("query", "text"),
    [
        ("shedding", "Hairs that shed stay caught."),
        ("sheds", "Shedding is normal."),
        ("COLOR", "Match the colour in daylight."),
        ("colours", "Permanent colour first."),
        ("gray fibers", "Grey fibre."),
        ("microlink", "A micro-link holds it."),
        ("micro link", "Micro-links hold it."),
        ("nano rings", "A micro-link holds it."),
        ("patch test", "The skin test is read on the card."),
        ("nits", "Live lice pass from head to head."),
        ("the roots", "Oil at the root."),
        ("client's", "The client stays."),
        ("the", "The end."),
    ],
)
def test_endings_spelling_and_other_names_are_folded(query, text):
    assert found(query, text, "Nothing of that sort.") == ([text], True)


def test_all_words_come_first_and_some_only_if_there_is_no_better():
    texts = ("Acetone on the scalp.", "Acetone in the air.", "A scalp.")
    assert found("acetone scalp", *texts) == ([texts[0]], True)
    assert found("acetone zebra", *texts) == ([texts[0], texts[1]], False)
    assert found("zebra", *texts) == ([], True)
    assert found("", *texts) == ([], True)


def test_a_phrase_by_another_name_is_found_as_a_phrase_only():
    assert found("patch test", "Skin of the head. Test it.") == ([], True)


def test_what_matched_is_marked_and_nothing_else():
    (hit,), _ = find(FOLDED, [passage("A skin test first.", "Test of colour")], "patch test")
    assert [text for text, wanted in hit.text if wanted] == ["skin test"]
    assert [text for text, wanted in hit.beside if wanted] == []


@given(st.text(alphabet="ab -'éß’\n", max_size=40), st.text(alphabet="ab -", max_size=12))
def test_the_pieces_together_are_the_text(text, query):
    ways = [way for thing in FOLDED.asked(query) for way in thing]
    assert "".join(piece for piece, _ in pieces(FOLDED, text, ways)) == text


@given(st.sampled_from(["colour", "grey", "fibre", "shedding", "braids", "naïve"]))
def test_case_accents_and_folding_twice_change_nothing(word):
    assert FOLDED.word(word.upper()) == FOLDED.word(word)
    assert FOLDED.word(AMERICAN.get(word, word)) == FOLDED.word(word)
