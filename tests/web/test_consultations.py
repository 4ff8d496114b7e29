"""The consultation's screens, one post a step, with nothing hidden in a page's source."""

import html as entities

import pytest

from tests.store.test_modules import values
from tests.support.consulted import needed, right_answer, sent_of
from tests.support.people import a_person
from tests.support.shown import shown
from trainer.core.items.codec import from_kept
from trainer.store import modules, practice


@pytest.fixture
def someone(sqlite_work):
    return a_person(sqlite_work)


@pytest.fixture
def page(visit, someone):
    return visit(someone)


@pytest.fixture
def opened(page, sqlite_work, someone):
    """The address of a consultation and its item."""
    answer = page.client.post("/practice/tape_in/consultation", data={"kind": "consultation"})
    item_id = answer.location.rpartition("/")[2]
    with sqlite_work.reading(someone.viewer) as unit:
        return f"/consultations/{item_id}", from_kept(practice.shown(unit, item_id).kept)


def words_of(html):
    return " ".join(entities.unescape(html).split())


def hidden(item, taken=()):
    """Everything that no page may hold before it is found or decided."""
    found = [s["finding"] for s in item.givens["steps"] if s["id"] not in taken]
    card = set(item.givens["card"])
    beliefs = list(item.misconceptions.values())
    secrets = [item.explanation, *(option.text for option in item.options), *beliefs]
    reasons = [e[n] for e in item.key["findings"] for n in ("means", "do") if e[n]]
    return [one for one in (*found, *secrets, *reasons) if one not in card]


def leaks(html, item, taken=()):
    told = words_of(html)
    return [one for one in hidden(item, taken) if one in told]


def test_the_way_there_leads_from_the_topic(page, opened):
    assert "Begin a consultation" in page.get("/practice/tape_in/consultation")
    address, item = opened
    html = page.get(address.replace("/consultations/", "/practice/item/"))
    assert item.stem.split("\n")[0] in words_of(html)
    assert "Decide now" in html


def test_the_room_says_why_it_comes_now(page, opened, sqlite_work, someone):
    address, _ = opened
    with sqlite_work.reading(someone.viewer) as unit:
        why = practice.shown(unit, address.rpartition("/")[2]).why
    assert why.endswith(".")
    assert why in words_of(page.get(address))


def test_a_short_scenario_is_short_and_one_that_waits_comes_first(page):
    address = "/practice/tape_in/consultation"
    short = page.client.post(address, data={"kind": "short"}).location
    assert "What would you do?" in page.get(short)
    assert page.client.post(address, data={"kind": "consultation"}).location == short
    assert "still waits for your answer" in page.get(short)


def test_no_page_holds_what_was_not_found(page, opened):
    address, item = opened
    assert leaks(page.get(address), item) == []
    taken = []
    for step in item.givens["steps"]:
        taken.append(step["id"])
        html = page.post(f"{address}/step", {"step": step["id"]})
        assert step["finding"] in words_of(html)
        assert leaks(html, item, taken) == []
    assert leaks(page.get(f"{address}/decide"), item, taken) == []


def test_a_whole_consultation(page, opened):
    address, item = opened
    answer = right_answer(item)
    for step in needed(item):
        page.post(f"{address}/step", {"step": step})
    html = page.post(f"{address}/decide", sent_of(answer))
    assert "What do you say to the client?" in html
    html = page.post(f"{address}/words", {"words": answer["words"]})
    assert "What was hidden" in html and "mark right" in html
    reasons = [entry["means"] for entry in item.key["findings"] if entry["found"]]
    assert all(one in words_of(html) for one in reasons or [item.explanation])
    for entry in item.key["findings"]:
        if entry["found"] and entry["said"]:
            assert entry["said"] in words_of(html)
    assert "What was hidden" in page.get(address)
    assert "tape-in, consultation" in page.get("/practice/history").lower()


def test_an_answer_that_could_hurt_says_so(page, sqlite_work, someone):
    """Of some clients nearly everything holds; this one has reacted before."""
    path, item = shown(sqlite_work, someone, "reacted_before.tape_in")
    address = path.replace("/practice/item/", "/consultations/")
    every = dict.fromkeys(item.givens["methods"], "go_ahead")
    plan = {"method": "tape_in", "grams": 80, "earliest": item.givens["today"]}
    plan |= {"return_from": None, "return_until": None}
    page.post(f"{address}/decide", sent_of({"decision": every, "plan": plan}))
    html = page.post(f"{address}/words", {"words": "a"})
    assert "could hurt someone" in html and "Unsafe" in html


def test_a_gap_is_named_and_what_was_typed_stays(page, opened):
    address, item = opened
    sent = {"verdict_tape_in": "refer", "grams": "80"}
    html = page.post(f"{address}/decide", sent, code=400)
    assert "Your plan is missing" in html
    assert 'value="refer" checked' in html and 'value="80"' in html
    html = page.post(f"{address}/decide", {**sent, "plan": "none"}, code=400)
    assert "is not decided" in html


def test_words_have_to_be_chosen(page, opened):
    address, item = opened
    page.post(f"{address}/decide", sent_of(right_answer(item)))
    assert "Choose one of the answers" in page.post(f"{address}/words", {}, code=400)


def test_a_decided_consultation_goes_to_its_words(page, opened):
    address, item = opened
    page.post(f"{address}/decide", sent_of(right_answer(item)))
    assert "What do you say to the client?" in page.get(f"{address}/decide")


def test_nobody_else_sees_it(visit, sqlite_work, opened):
    stranger = visit(a_person(sqlite_work))
    address, item = opened
    stranger.get(address, 404)
    stranger.post(f"{address}/step", {"step": "pull_test"}, 404)
    stranger.post(f"{address}/decide", sent_of(right_answer(item)), 404)
    stranger.post(f"{address}/words", {"words": "a"}, 404)


def test_a_module_counts_a_consultation_too(page, opened, sqlite_work, someone):
    boss = a_person(sqlite_work, "instructor", organisation=someone.organisation)
    asked = values(boss, title="Talk first", topics=["consultation"], length=1)
    with sqlite_work.writing(boss.viewer) as unit:
        module_id, _ = modules.keep_once(unit, asked)
        modules.assign(unit, module_id, (), [someone.id])
    address, item = opened
    page.post(f"{address}/decide", sent_of(right_answer(item)))
    html = page.post(f"{address}/words", {"words": "a"})
    assert "Talk first: 1 of 1 answered. It is done" in html
    assert "Talk first" not in page.get(address)
