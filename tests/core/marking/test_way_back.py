"""Every criterion that can be missed leads somewhere to read and to practise."""

from dataclasses import replace

from trainer.core.marking.way_back import way_back
from trainer.use_cases.choose_practice import topics_there


def test_a_criterion_leads_to_the_steps_that_rest_on_its_facts(bank):
    found = way_back(bank, bank.criteria["tape_in.fit_3"])
    assert [step.id for step in found.steps] == ["margin"]
    assert found.topic == bank.facts["place.edge_margin"].topic


def test_every_critical_criterion_leads_to_practice_or_to_a_step(bank):
    for one in bank.criteria.values():
        if one.critical:
            found = way_back(bank, one)
            assert found.topic in topics_there(bank)[one.method] or found.steps, one.id


def test_most_critical_criteria_lead_to_a_step(bank):
    critical = [one for one in bank.criteria.values() if one.critical]
    with_steps = [one for one in critical if way_back(bank, one).steps]
    assert len(with_steps) >= 0.8 * len(critical)


def test_a_criterion_without_facts_leads_nowhere(bank):
    lost = replace(bank.criteria["tape_in.fit_3"], facts=())
    found = way_back(bank, lost)
    assert (found.steps, found.topic) == ((), None)
