"""How hard a text is to read."""

import re

import readability


def grade(text: str) -> float:
    """Flesch-Kincaid grade of a text (Kincaid and others 1975), at least 0.

    Sentences are put one a line and words set apart, as the library asks.
    """
    lines = re.sub(r"([.?!:])\s+", r"\1\n", text.replace("\n", " ")).split("\n")
    spaced = "\n".join(" ".join(re.findall(r"[\w'-]+|[.?!,:;]", line)) for line in lines if line)
    if not re.search(r"\w", spaced):
        return 0.0
    measured = readability.getmeasures(spaced, lang="en")
    return max(0.0, float(measured["readability grades"]["Kincaid"]))
