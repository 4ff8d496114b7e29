"""Everything that can be wrong with one item by itself."""

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.audit import answers, knowledge, words
from trainer.core.scenarios.audit.guidelines import name_of
from trainer.core.scenarios.audit.knowledge import BankCheck
from trainer.core.scenarios.audit.words import Check

WORD_CHECKS: tuple[tuple[str, Check], ...] = (
    ("HDR 6", words.opinion),
    ("HDR 7", answers.no_trick),
    ("HDR 9", words.plain_format),
    ("HDR 10", words.set_apart),
    ("HDR 11", words.proof),
    ("HDR 12", words.grammar),
    ("HDR 13", words.short),
    ("HDR 14", words.directions),
    ("HDR 15", words.main_idea),
    ("HDR 16", words.dressing),
    ("HDR 17", words.positive_stem),
    ("HDR 18", answers.enough),
    ("HDR 19", answers.one_right),
    ("HDR 22", answers.apart),
    ("HDR 23", answers.alike),
    ("HDR 25", words.none_of_these),
    ("HDR 26", words.all_of_these),
    ("HDR 27", words.positive_answers),
    ("HDR 28a", answers.absolutes),
    ("HDR 28c", answers.grammar_tells),
    ("HDR 28f", answers.of_that_size),
    ("HDR 29", answers.tempting),
    ("HDR 31", words.no_jokes),
)
BANK_CHECKS: tuple[tuple[str, BankCheck], ...] = (
    ("HDR 1", knowledge.as_planned),
    ("HDR 2", knowledge.rests_on_facts),
    ("HDR 3", knowledge.no_recall),
    ("HDR 4", knowledge.own_key_kept),
    ("HDR 19", knowledge.key_again),
    ("HDR 30", knowledge.real_mistakes),
    ("design 4.1", knowledge.facts_hold),
    ("design 4.6a", knowledge.possible_person),
    ("design 8", knowledge.key_in_reach),
)


def item_findings(bank: Bank, item: Item) -> list[tuple[str, str]]:
    """Everything wrong with an item by itself: (guideline in words, what)."""
    found = [(number, what) for number, check in WORD_CHECKS for what in check(item)]
    found += [(number, what) for number, check in BANK_CHECKS for what in check(bank, item)]
    return [(name_of(number), what) for number, what in found]
