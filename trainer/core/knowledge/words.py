"""The closed vocabularies that content and code share."""

from typing import Literal

Service = Literal["consult", "fit", "maintain", "remove", "aftercare"]
Topic = Literal[
    "timings",
    "contraindications",
    "removal_safety",
    "tension_risk",
    "consultation",
    "aftercare",
    "hygiene_products",
]
Verdict = Literal["go_ahead", "adapt", "wait", "refer", "decline"]
BasisKind = Literal["published", "secondhand", "weak", "common_practice", "computed", "unconfirmed"]

SERVICES: tuple[Service, ...] = ("consult", "fit", "maintain", "remove", "aftercare")
OBSERVED_SERVICES: tuple[Service, ...] = ("fit", "maintain", "remove")
"""What is watched at the chair and signed off."""
MAIN_TOPICS: tuple[Topic, ...] = (
    "timings",
    "contraindications",
    "removal_safety",
    "tension_risk",
)
TOPICS: tuple[Topic, ...] = (*MAIN_TOPICS, "consultation", "aftercare", "hygiene_products")
VERDICTS: tuple[Verdict, ...] = ("go_ahead", "adapt", "wait", "refer", "decline")
