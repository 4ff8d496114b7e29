"""An invented site: families with features and known difficulties, people who answer a few."""

import math

from trainer.core.measurement.calibration.recalibrate import Answer

LEVEL = {"foundation": -1.0, "working": 0.0, "advanced": 0.6}
SPREAD = 0.5


def normal(draw):
    """Box and Muller."""
    return math.sqrt(-2 * math.log(1 - draw.fraction())) * math.cos(2 * math.pi * draw.fraction())


def made_families(draw, count):
    """Family -> (level, features, difficulty, slope, floor)."""
    families = {}
    for number in range(count):
        level = draw.one(list(LEVEL))
        features = {"cues": float(draw.between(1, 3)), "nearness": draw.fraction()}
        b = LEVEL[level] + 0.3 * (features["cues"] - 1) + 0.4 * features["nearness"]
        b += SPREAD * normal(draw) - 0.3
        families[f"f{number}"] = (level, features, b, math.exp(0.3 * normal(draw)), 0.2)
    return families


def made_answers(draw, families, people, each):
    answers = []
    for number in range(people):
        theta = normal(draw)
        for name in draw.some(list(families), each):
            level, features, b, a, floor = families[name]
            p = floor + (1 - floor) / (1 + math.exp(-a * (theta - b)))
            answers.append(Answer(f"p{number}", name, draw.chance(p), level, features, floor))
    return answers
