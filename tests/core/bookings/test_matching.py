"""Rules of words, and which words the salon is asked about."""

from hypothesis import given
from hypothesis import strategies as st

from trainer.core.bookings.asking import grouped
from trainer.core.bookings.matching import (
    WORD,
    Rule,
    RuleBook,
    by_names,
    words_of,
    words_of_all,
)


def rule(words, method="tape_in", service="fit", **more):
    return Rule(words, "work", words_of(words), method, service, **more)


def test_whole_words_in_either_case_and_the_longest_rule_counts():
    book = RuleBook([rule("tapes"), rule("Tapes removal", service="remove")])
    assert book["TAPES, removal - M."].service == "remove"
    assert book["Tapes full head"].service == "fit"
    assert book["Tapestry"] is None
    assert book[""] is None


def test_two_rules_that_contradict_each_other_fit_nothing():
    book = RuleBook([rule("tapes"), rule("refit", service="maintain")])
    assert book["Tapes refit"] is None
    agreeing = RuleBook([rule("tapes"), rule("full")])
    assert agreeing["Tapes full head"].method == "tape_in"


def test_a_full_name_needs_no_rule_but_a_namesake_does():
    people = {"1": "Noor Haddad", "2": "Celeste", "3": "Bram Olusola", "4": "Bram Olusola"}
    book = RuleBook(by_names(people))
    assert book["haddad, noor"] is None
    assert book["With NOOR HADDAD"].person == "1"
    assert book["Celeste"] is None
    assert book["Bram Olusola"] is None


def test_bookings_that_share_words_are_asked_about_at_once():
    texts = [f"Tapes full head - Client {n}" for n in range(12)] + ["Tapes removal: Mo", "Lunch"]
    texts += ["Tapes removal: Jo", "Weft, Kim"]
    found = grouped(dict(enumerate(texts)))
    assert [(one.words, len(one.places)) for one in found[:2]] == [
        ("Tapes full head", 12),
        ("Tapes removal", 2),
    ]
    assert {one.example: one.words for one in found[2:]} == {"Lunch": "", "Weft, Kim": ""}


def test_a_client_who_comes_often_is_not_offered_as_work():
    regular = [f"{work} - Petra Quayle" for work in ("Tapes", "Weft", "Bonds", "Cut")]
    texts = [f"{work} - Client {n}" for n in range(6) for work in ("Tapes", "Weft", "Bonds")]
    texts += [*regular, "Trim (Petra Quayle)"]
    found = grouped(dict(enumerate(texts)))
    assert [one.words for one in found] == ["Bonds", "Tapes", "Weft", "", ""]


def test_the_team_s_names_are_no_work():
    texts = [f"Noor: Tapes full head - Client {n}" for n in range(4)]
    (found,) = grouped(dict(enumerate(texts)), aside={"noor", "haddad"})
    assert found.words == "Tapes full head"


def test_words_without_marks_between_them_are_grouped_by_their_longest_shared_run():
    texts = [f"tapes full head Person{n}" for n in range(5)]
    texts += [f"Other{n} tapes removal" for n in range(4)]
    found = grouped(dict(enumerate(texts)))
    assert [(one.words, len(one.places)) for one in found] == [
        ("tapes full head", 5),
        ("tapes removal", 4),
    ]


def test_a_column_of_its_own_is_offered_as_it_stands():
    found = grouped({0: "Re-tape", 1: "Bob", 2: "re tape"}, whole=True)
    assert [(one.words, tuple(one.places)) for one in found] == [("Re-tape", (0, 2)), ("Bob", (1,))]


@given(st.dictionaries(st.integers(0, 40), st.text(max_size=40), max_size=12), st.booleans())
def test_every_booking_with_words_is_asked_about_once_by_words_it_holds(texts, whole):
    found = grouped(texts, whole=whole)
    places = sorted(place for one in found for place in one.places)
    assert places == sorted(place for place, text in texts.items() if words_of(text))
    for one in found:
        book = RuleBook([rule(one.words)])
        assert not one.words or all(book[texts[place]] for place in one.places)


@given(st.text(st.characters(max_codepoint=127), max_size=30))
def test_words_of_plain_letters_are_those_of_any_letters(text):
    assert words_of(text) == tuple(WORD.findall(text.casefold()))


@given(
    st.lists(st.text(st.sampled_from("aB1'_- \n\t\x1c\u2019\u00e9\u017f"), max_size=8), max_size=6)
)
def test_words_of_many_texts_are_those_of_each(texts):
    assert dict(words_of_all(texts)) == {text: words_of(text) for text in texts}


def test_words_of_which_no_rule_speaks_stand_between_those_of_one():
    titles = ["Tapes full head - Kim", "Tapes Kim full head", "Bo: tapes full", "Kim"]
    asked = RuleBook([rule("tapes full head"), rule("full", service="maintain")], titles)
    assert [one and one.id for one in map(asked.get, titles)] == [
        "tapes full head",
        "full",
        "full",
        None,
    ]
    assert asked["Sam tapes full head"] == asked[titles[0]]
