"""When two items are about the same: what makes a difference, and what does not."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from trainer.core.items.item import Option
from trainer.core.scenarios.content import content, fingerprint
from trainer.core.scenarios.generate import generate


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


def test_a_fingerprint_is_short_and_settled(bank, client):
    assert fingerprint(bank, client) == fingerprint(bank, client)
    assert len(fingerprint(bank, client)) == 16
