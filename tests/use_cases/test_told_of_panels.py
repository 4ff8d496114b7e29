"""A panel tells whoever has something to do for it."""

from tests.support.panels import APanel
from tests.support.people import NOW
from tests.support.plain_bank import METHOD, plain_bank
from trainer.use_cases import see_standard
from trainer.use_cases.see_needs import needs


def test_whoever_has_something_to_do_is_told(work):
    panel = APanel(work, plain_bank())
    first, second = panel.raters

    def told(someone, source):
        with panel.work.reading(someone.viewer) as unit:
            return source(unit)

    assert told(second, see_standard.to_rate) == [METHOD]
    panel.rate(second, lambda _: 6)
    assert told(second, see_standard.to_rate) == []
    assert told(first, see_standard.to_rate) == [METHOD]
    panel.both_rounds()
    assert told(first, see_standard.to_rate) == told(panel.boss, see_standard.to_adopt) == []
    panel.propose()
    assert told(panel.boss, see_standard.to_adopt) == [METHOD]
    with panel.work.reading(panel.boss.viewer) as unit:
        (need,) = needs(unit, panel.bank, 60, NOW)
    assert need.words == "A proposed cut waits to be adopted: Plain method"
