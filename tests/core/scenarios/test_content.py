"""When two items are about the same: what makes a difference, and what does not."""

from dataclasses import replace
from datetime import date, timedelta
from statistics import median

import pytest

from trainer.core.items.item import Option
from trainer.core.scenarios.content import content, fingerprint
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate

DATES = ("fitted", "today")


@pytest.fixture
def client(bank):
    return generate(bank, "offer_verdict.tape_in", 3)


def with_givens(item, **changes):
    return replace(item, givens={**item.givens, **changes})


def test_words_and_names_make_no_difference(bank, client):
    said = replace(client, stem="Something else. What now?", explanation="")
    options = tuple(Option(o.id, o.text + " Really.") for o in client.options)
    assert content(bank, said) == content(bank, replace(client, options=options))
    name, other = (row[0] for row in bank.people["names"][:2])
    one, two = (with_givens(client, client=who) for who in (name, other))
    assert content(bank, one) == content(bank, two)


def test_what_the_options_mean_makes_no_difference(bank, client):
    other = dict(list(client.givens["meanings"].items())[:2])
    assert content(bank, client) == content(bank, with_givens(client, meanings=other))


def test_a_client_whom_no_rule_tells_apart_is_the_same_case(bank, client):
    profile = client.givens["profile"]
    near = profile | {"hair_length_cm": profile["hair_length_cm"] + 1}
    assert content(bank, client) == content(bank, with_givens(client, profile=near))
    rule = next(r for r in bank.rules_of("tape_in") if r.when[0].is_ is True)
    struck = profile | {rule.when[0].attribute: not profile.get(rule.when[0].attribute)}
    assert content(bank, client) != content(bank, with_givens(client, profile=struck))


def test_the_same_weeks_a_month_later_are_the_same_reckoning(bank):
    item = generate(bank, "return_window.tape_in", 3)

    def later(days):
        move = lambda iso: (date.fromisoformat(iso) + timedelta(days=days)).isoformat()  # noqa: E731
        given = item.givens
        return with_givens(
            item, fitted=move(given["fitted"]), away=[move(day) for day in given["away"]]
        )

    assert content(bank, item) == content(bank, later(28))
    assert content(bank, item) != content(bank, later(1))


def test_a_weekday_counts_only_where_the_salon_is_not_open_every_day(bank):
    item = generate(bank, "overdue.tape_in", 3)
    a_day = timedelta(days=1)
    moved = {k: (date.fromisoformat(item.givens[k]) + a_day).isoformat() for k in DATES}
    assert content(bank, item) == content(bank, with_givens(item, **moved))
    longer = {"today": moved["today"]}
    assert content(bank, item) != content(bank, with_givens(item, **longer))


def test_lines_in_a_list_stand_for_themselves(bank):
    item = generate(bank, "care_sheet.tape_in", 3)
    lines = item.givens["lines"]
    assert content(bank, item) == content(bank, with_givens(item, lines=lines[::-1]))
    assert content(bank, item) != content(bank, with_givens(item, lines=lines[1:]))


def test_a_harmless_line_is_judged_by_itself(bank):
    item = generate(bank, "tension_signs.tape_in", 3)
    signs = item.givens["signs"]
    harmless = next(text for text, seen in signs.items() if not seen)
    other = {"Something else": {}, **{t: seen for t, seen in signs.items() if t != harmless}}
    assert content(bank, item) != content(bank, with_givens(item, signs=other))
    turned = dict(reversed(signs.items()))
    assert content(bank, item) == content(bank, with_givens(item, signs=turned))


def test_the_right_act_in_other_words_is_the_same_case(bank):
    item = generate(bank, "first_aid.tape_in", 3)
    right = next(o for o in item.options if o.id == item.key[0])
    other = tuple(replace(o, text="Otherwise said") if o == right else o for o in item.options)
    acts = ["Otherwise said" if act == right.text else act for act in item.givens["acts"]]
    said = replace(with_givens(item, acts=acts), options=other)
    assert content(bank, item) == content(bank, said)
    fewer = [act for act in item.givens["acts"] if act == right.text]
    assert content(bank, item) != content(bank, with_givens(item, acts=fewer))


def test_a_consultation_counts_by_its_client(bank):
    item = generate(bank, "moving_away.tape_in", 3)
    later = with_givens(item, today="2026-05-05", card=["Said otherwise."], known=[])
    assert content(bank, item) == content(bank, later)
    test = item.givens["skin_test"] | {"result": "another"}
    assert content(bank, item) != content(bank, with_givens(item, skin_test=test))


def test_lines_count_by_what_they_are_in_no_order(bank):
    item = generate(bank, "unsafe_removal.tape_in", 3)
    lines = dict(reversed(item.givens["lines"].items()))
    assert content(bank, item) == content(bank, with_givens(item, lines=lines))
    fewer = dict(list(lines.items())[1:])
    assert content(bank, item) != content(bank, with_givens(item, lines=fewer))


def test_figures_make_a_difference_and_so_does_the_family(bank):
    item = generate(bank, "own_hairs.tape_in", 3)
    wider = with_givens(item, width_mm=item.givens["width_mm"] + 5)
    assert content(bank, item) != content(bank, wider)
    elsewhere = replace(item, heading=replace(item.heading, family="own_hairs.micro_link"))
    assert content(bank, item) != content(bank, elsewhere)


def test_every_family_promises_how_much_it_holds(bank):
    """Half of them at least 300 cases, a consultation at least 200 clients."""
    promised = {one.id: one.capacity for one in families(bank)}
    assert [name for name, capacity in promised.items() if capacity < 1] == []
    assert median(promised.values()) >= 300
    assert all(one.capacity >= 200 for one in families(bank, type="consultation"))


def test_a_fingerprint_is_short_and_settled(bank, client):
    assert fingerprint(bank, client) == fingerprint(bank, client)
    assert len(fingerprint(bank, client)) == 16
