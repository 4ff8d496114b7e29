"""The adviser says what the core says, with every reason's facts, and adds nothing."""

from datetime import date

from trainer.core.advice.advise import advise
from trainer.core.advice.profile import read_profile
from trainer.use_cases.advise_client import advise_client, taken_as_read

DAY = date(2026, 3, 3)


def advised(bank, **values):
    profile = read_profile(bank, values)
    return advise_client(bank, profile, DAY), advise(bank, profile, DAY)


def test_every_method_has_the_core_s_verdict(bank):
    found, core = advised(bank, live_lice=True, edge_thinning=True, oily_scalp=True)
    assert {one.method.id: one.advice.verdict for one in found.methods} == {
        name: one.verdict for name, one in core.items()
    }


def test_every_reason_is_said_once_for_all_or_with_its_method(bank):
    found, core = advised(bank, live_lice=True, breakage_at_root=True, oily_scalp=True)
    shared = {one.reason.rule for one in found.shared}
    assert "catching.lice" in shared
    for one in found.methods:
        own = {because.reason.rule for because in one.own}
        assert not own & shared
        assert own | shared == {reason.rule for reason in core[one.method.id].reasons}
        assert all(because.facts for because in (*one.own, *found.shared))


def test_the_mildest_verdict_stands_first(bank):
    found, _ = advised(bank, breakage_at_root=True, skin_test_result="clear", skin_test_hours=60)
    order = ["go_ahead", "adapt", "wait", "refer", "decline"]
    verdicts = [order.index(one.advice.verdict) for one in found.methods]
    assert verdicts == sorted(verdicts) and len(set(verdicts)) > 1


def test_a_figure_of_the_plan_has_its_facts(bank):
    found, _ = advised(bank)
    fusion = next(one for one in found.methods if one.method.id == "fusion_bond")
    assert fusion.lines and all(row.facts for row in fusion.lines)
    assert fusion.loads and fusion.load_facts
    assert fusion.airs[0].cautions


def test_nothing_is_planned_for_whom_is_referred(bank):
    found, _ = advised(bank, live_lice=True)
    assert all(not (one.lines or one.loads or one.airs) for one in found.methods)


def test_what_nobody_said_is_named(bank):
    said = {"hair_type": "coily"}
    names = set(taken_as_read(bank, said, read_profile(bank, said)))
    assert "stretch_test" in names and "hair_type" not in names
    assert "rest_weeks" not in names and "live_lice" not in names
