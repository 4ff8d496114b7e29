"""Every family's questions as QTI 3.0: sound by grammar and references, marked there as here.

    python -m tests.benchmarks.exported 3

Three seeds a family and level in turn; prints how many marks differ, and the size of documents.
"""

import sys
from collections import Counter
from xml.etree.ElementTree import tostring

from tests.support.qti_answers import marked_outside, some_responses
from trainer.core.draw import Draw
from trainer.core.exchange import qti, qti_check
from trainer.core.items.registry import type_of
from trainer.core.scenarios.case import LEVELS
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank

NEAR = 1e-5


def main(seeds: int) -> None:
    bank, counted, faults = open_bank(), Counter(), []
    for family in families(bank):
        for seed in range(seeds):
            item = generate(bank, family.id, seed, LEVELS[seed % len(LEVELS)])
            document = tostring(qti.item_document(item), encoding="unicode")
            faults += qti_check.faults(qti_check.read_document(document.encode()))
            counted[item.heading.type, "questions"] += 1
            counted[item.heading.type, "bytes"] += len(document)
            for response in some_responses(item, Draw(item.heading.id)):
                ours = type_of(item).mark(item, type_of(item).accept(response, item))
                score, harm = marked_outside(document, item, response)
                same = abs(score - ours.score) < NEAR and harm == ours.critical_error
                counted[item.heading.type, "same" if same else "different"] += 1
    print("type              questions  marks  different  KB each")
    for kind in sorted({kind for kind, _ in counted}):
        questions, different = counted[kind, "questions"], counted[kind, "different"]
        size = counted[kind, "bytes"] / questions / 1024
        marks = counted[kind, "same"] + different
        print(f"{kind:17} {questions:9} {marks:6} {different:10} {size:8.1f}")
    print(f"documents with faults: {len(faults)}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1)
