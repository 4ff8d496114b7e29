"""Items generated per second, and the ratio to rendering the same words from compiled Jinja.

Run: python -m tests.benchmarks.generate [items a family]. Both sides alternate, family by
family, on one core, in processor time. Rendering alone means: the words of each item already
known, put through one compiled template that prints stem, options and explanation. Then a form
of 40 items from all families in turn, as an assessment asks for.
"""

import sys
from statistics import median
from time import process_time

from jinja2 import Environment

from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank

FORM, FORMS = 40, 25
SAME_WORDS = """{{ stem }}
{% for option in options %}{{ option.id }}) {{ option.text }}
{% endfor %}{{ explanation }}
{% for fact in facts %}[{{ fact }}]{% endfor %}"""


def main(count: int) -> None:
    bank = open_bank()
    template = Environment(autoescape=True).from_string(SAME_WORDS)
    spent: dict[str, tuple[float, float]] = {}
    for family in families(bank):
        generate(bank, family.id, 0)
        began = process_time()
        items = [generate(bank, family.id, seed) for seed in range(1, count + 1)]
        made = process_time() - began
        began = process_time()
        for item in items:
            template.render(
                stem=item.stem,
                options=item.options,
                explanation=item.explanation,
                facts=item.facts,
            )
        spent[family.id] = (made, process_time() - began)
    for name, (made, rendered) in sorted(spent.items(), key=lambda row: -row[1][0]):
        print(f"{name:45} {count / made:8.0f} items/s   {made / rendered:6.1f} x rendering")
    made = sum(row[0] for row in spent.values())
    rendered = sum(row[1] for row in spent.values())
    total = count * len(spent)
    print(f"\n{total} items of {len(spent)} families: {total / made:.0f} a second on one core;")
    print(f"{made / rendered:.1f} times the time of rendering the same words alone.")
    print(f"A form of {FORM} items, middle of {FORMS}: {1000 * _form(bank):.0f} ms")


def _form(bank) -> float:
    """Seconds for a form: families in turn, so that each form is another mix."""
    names, times = [one.id for one in families(bank)], []
    for number in range(FORMS):
        began = process_time()
        for place in range(FORM):
            generate(bank, names[(number * FORM + place) % len(names)], 1000 + number)
        times.append(process_time() - began)
    return median(times)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50)
