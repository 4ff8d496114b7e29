"""A client with hidden facts -> what to find out, the decision for each method, the plan."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import RANK
from trainer.core.items.item import Answer, Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.consultation_step import ConsultationStep
from trainer.core.knowledge.words import VERDICTS
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.consultation.client import Client, draw_client, tested
from trainer.core.scenarios.consultation.findings import Teller
from trainer.core.scenarios.consultation.key import (
    Entry,
    Ruled,
    Salon,
    entries,
    judge,
    one_answer,
    plans,
    wait_days,
)
from trainer.core.scenarios.consultation.telling import CONSULTING, mirrored, noun, tellings
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.story import given_profile
from trainer.core.scenarios.wording import DAYS, listed, sentence

ALWAYS_SEEN = ("wanted_grams", "wanted_length_cm", "wig_attachment", "fusion_tool", "hair_type")
TOOLS = ("fusion_tool",)
AGE = ("age", "parent_consent")
BASIS = "consult.before_attaching"
DIARY = "earliest_after_test"
"""The item model whose stretch of days and weeks of work a consultation shares."""


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether there are steps to take."""
    return bool(bank.consultation_steps)


def work_out(case: Case) -> Draft | None:
    """Draw a client, judge every method offered, and say what each step would show."""
    salon = _salon(case)
    client = draw_client(case) if salon else None
    if client is None or salon is None:
        return None
    after = tested(case, client)
    ruled = [judge(case.bank, method, client.profile, after) for method in salon.methods]
    if not one_answer(ruled):
        return None
    teller = Teller(case, client.who, after)
    findings = {s.id: teller.finding(s) for s in case.bank.consultation_steps.values()}
    known, card = _card(case, teller, ruled, findings)
    wanted = entries(case.bank, ruled, after, known)
    plan = plans(case.bank, salon, ruled, after)
    return Draft(
        stem=_stem(case, teller, salon),
        explanation=_why(ruled[0]),
        givens=_givens(case, client, salon, known, card, findings),
        facts=_facts(case.bank, ruled, plan),
        critical=True,
        features=_features(case, ruled, wanted),
        offers=tuple(tellings(case, teller, ruled[0], plan)),
        answer=_slips(case, ruled),
        key={
            "findings": [_entry_json(case, teller, one) for one in wanted],
            "decision": {one.method: one.verdict for one in ruled},
            "plan": plan,
        },
    )


def _salon(case: Case) -> Salon | None:
    """A day on which the salon works, and what it offers besides what was booked."""
    diary = case.bank.item_models[DIARY]["settings"]
    draw = case.draw.branch("salon")
    first, last = draw.one(diary["weeks"])
    today = date.fromisoformat(diary["from"]) + timedelta(days=draw.between(0, diary["days"]))
    weekdays = tuple(number + 1 for number in range(first, last + 1))
    others = [m for m in case.recipe.settings["also"] if m != case.method.id]
    if today.isoweekday() not in weekdays:
        return None
    return Salon((case.method.id, *others[:2]), today, weekdays)


def _card(
    case: Case, teller: Teller, ruled: Sequence[Ruled], findings: Mapping[str, str]
) -> tuple[list[str], dict[str, str]]:
    """What is known from the start: the wish, the age, and answers from the card at the desk.

    Nothing that decides stands on the card.
    """
    deciding = {c.attribute for one in ruled for rule in one.deciding for c in rule.when}
    known = list(ALWAYS_SEEN)
    if not case.recipe.settings.get("asks_age"):
        known += AGE
    kept_off = {*known, *AGE, *deciding}
    quiet = [
        step
        for step in case.bank.consultation_steps.values()
        if step.kind == "ask" and kept_off.isdisjoint(step.reveals) and teller.all_calm(step)
    ]
    filled = case.draw.branch("card").some(quiet, min(len(quiet), 2 * (2 - case.step)))
    for step in filled:
        known += step.reveals
    return known, {step.id: findings[step.id] for step in filled}


def _stem(case: Case, teller: Teller, salon: Salon) -> str:
    table = case.bank.wording[CONSULTING]
    names = [noun(case, method, teller.profile) for method in salon.methods]
    first, last = salon.open_weekdays[0] - 1, salon.open_weekdays[-1] - 1
    draw = case.draw.branch("stem")
    seen = [teller.said(name) for name in _tools(case.bank, salon)]
    hopes = teller.words(
        draw.branch("hopes").one(table["hopes"]),
        grams=teller.profile.get("wanted_grams"),
        length=teller.profile.get("wanted_length_cm"),
    )
    tail = teller.words(
        draw.branch("tail").one(table["tails"]),
        today=salon.today,
        year=salon.today.year,
        open=f"{DAYS[first]} to {DAYS[last]}",
        booked=names[0],
        others=listed(names[1:], "and"),
    )
    told = (case.say("openings", **teller.who.words(), some_hair=names[0]), hopes, *seen)
    return f"{' '.join(part for part in told if part)}\n\n{tail}"


def _tools(bank: Bank, salon: Salon) -> list[str]:
    """What the booking says of the tool, where a rule of a method offered asks about it."""
    asked = _asked(bank, salon.methods)
    return [name for name in TOOLS if name in asked]


def _asked(bank: Bank, methods: tuple[str, ...]) -> frozenset[str]:
    """The attributes that rules on these methods ask about."""
    return bank.once(
        ("asked", methods),
        lambda: frozenset(c.attribute for m in methods for r in bank.rules_of(m) for c in r.when),
    )


def _givens(
    case: Case,
    client: Client,
    salon: Salon,
    known: Sequence[str],
    card: Mapping[str, str],
    findings: Mapping[str, str],
) -> dict[str, Any]:
    bank = case.bank
    steps = [
        _step_json(bank, step, client.profile, findings)
        for step in bank.consultation_steps.values()
        if not set(step.reveals) <= set(known)
    ]
    asked = _asked(bank, salon.methods)
    return {
        "profile": given_profile(client.profile),
        "skin_test": {"step": "skin_test", "result": client.result, "wait_days": wait_days(bank)},
        "booked": salon.methods[0],
        "methods": list(salon.methods),
        "names": {method: bank.methods[method].name for method in salon.methods},
        "today": salon.today.isoformat(),
        "open_weekdays": list(salon.open_weekdays),
        "window_facts": {method: _window_fact(bank, method) for method in salon.methods},
        "known": list(dict.fromkeys(known)),
        "card": list(card.values()),
        "bear": [
            s["id"] for s in steps if not asked.isdisjoint(s["reveals"]) or _is_due(bank, s["id"])
        ],
        "steps": steps,
    }


def _window_fact(bank: Bank, method: str) -> str | None:
    """The fact that says when a client comes back, where it may be keyed."""
    fact = bank.role(method, "move_up")
    return fact.id if fact and fact.may_key else None


def _is_due(bank: Bank, step: str) -> bool:
    return bank.consultation_steps[step].due


def _step_json(
    bank: Bank, step: ConsultationStep, profile: Profile, findings: Mapping[str, str]
) -> dict[str, Any]:
    return {
        "id": step.id,
        "kind": step.kind,
        "words": step.words,
        "minutes": step.minutes,
        "days": wait_days(bank) if step.wait_fact else 0,
        "reveals": [name for name in step.reveals if step.shows(name, profile.get(name))],
        "finding": findings[step.id],
    }


def _entry_json(case: Case, teller: Teller, entry: Entry) -> dict[str, Any]:
    bank = case.bank
    said = [
        teller.said(name, _first_showing(bank, entry, name))
        for name in (entry.attributes if entry.found else ())
        if teller.amiss(name)
    ]
    rules = [bank.rules[name] for name in entry.rules]
    return {
        "attributes": entry.attributes,
        "steps": list(entry.steps),
        "found": entry.found,
        "critical": entry.critical,
        "methods": entry.methods,
        "said": " ".join(part for part in said if part),
        "where": [bank.consultation_steps[name].words for name in entry.steps],
        "means": rules[0].statement,
        "do": rules[0].do if entry.found else "",
        "change": rules[0].change if entry.found else "",
    }


def _first_showing(bank: Bank, entry: Entry, name: str) -> str:
    """The first of an entry's steps that shows an attribute."""
    return next((s for s in entry.steps if name in bank.consultation_steps[s].reveals), "")


def _why(booked: Ruled) -> str:
    if not booked.deciding:
        return (
            "Nothing that could be asked, seen or tested speaks against what was booked. That is "
            "worth the same care as a no: it is known only because it was looked for."
        )
    rule = booked.deciding[0]
    return " ".join(
        (sentence(rule.statement), sentence(rule.do), f"What would change it: {rule.change}")
    )


def _facts(bank: Bank, ruled: Sequence[Ruled], plan: Mapping[str, Any] | None) -> tuple[str, ...]:
    names = [fact for one in ruled for rule in one.deciding for fact in rule.facts]
    if any(one.needs_test for one in ruled):
        names.append("skin_test.safer")
    if plan:
        role = bank.role(plan["method"], "move_up")
        names += [role.id] if role and plan["return_from"] else []
        names.append("consult.grams_of_wish")
    named = dict.fromkeys((BASIS, *names))
    return tuple(name for name in named if bank.facts[name].may_key)


def _slips(case: Case, ruled: Sequence[Ruled]) -> Answer:
    """'method:verdict' -> the belief behind that wrong verdict, and where it leads."""
    slips: dict[str, str] = {}
    notes: dict[str, str] = {}
    cautious = case.bank.misconceptions[CAUTIOUS]
    for one in ruled:
        lax = mirrored(case, one.deciding) if one.deciding else cautious
        for verdict in VERDICTS:
            if verdict == one.verdict:
                continue
            belief = lax if RANK[verdict] < RANK[one.verdict] else cautious
            slips[f"{one.method}:{verdict}"] = belief.id
            notes[f"{one.method}:{verdict}"] = belief.leads_to
        if one.needs_test:
            quick = case.bank.misconceptions["allergy.quick_dab"]
            slips[f"{one.method}:untested"] = quick.id
            notes[f"{one.method}:untested"] = quick.leads_to
    careless = case.bank.misconceptions["consult.card_is_for_the_file"]
    slips["missed"] = careless.id
    notes["missed"] = careless.leads_to
    return Answer(slips=slips, notes=notes)


CAUTIOUS = "consult.every_mark_is_a_no"


def _features(case: Case, ruled: Sequence[Ruled], wanted: Sequence[Entry]) -> dict[str, float]:
    found = [entry for entry in wanted if entry.found and entry.steps]
    return {
        "cues": float(max(1, len(found))),
        "causes": float(max(1, len(ruled[0].deciding))),
        "steps": float(len(wanted)),
        "tested": float(any(one.needs_test for one in ruled)),
    }
