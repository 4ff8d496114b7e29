"""The result of a sitting as a picture: what its answers show, beside what was asked."""

from collections.abc import Sequence

from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.decision import cut_on, shown
from trainer.store.sittings import MAIN, SittingRow
from trainer.use_cases.draw_on_scale import Drawn, drawn
from trainer.use_cases.finish_sitting import Reviewed
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.know_standard import equated


def against_cut(bank: Bank, row: SittingRow, reviewed: Sequence[Reviewed]) -> Drawn | None:
    """The ability that the counted answers of the main part show, and the ability behind the cut.

    It is what the decision's probability rests on. None where nothing is left that counts.
    """
    main = [one for one in reviewed if one.phase == MAIN and not one.withdrawn]
    if not main:
        return None
    families = [one.difficulty for one in main]
    share = blueprint_of(bank, row.method).cut_share
    cut = cut_on(families, share, equated(row.cut, row.outcome))
    known = shown(
        [one.answered.right for one in main], families, float(row.outcome.get("centre", 0.0))
    )
    return drawn(known.mean, known.sd, cut.ability)
