"""Draw the client of a consultation: a story, and what else may lie hidden."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from trainer.core.advice.profile import Profile
from trainer.core.draw import Draw
from trainer.core.knowledge.profile_sheet import Value
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.people import Person, meeting, plain_profile

TESTED, RESULT = "skin_test_hours", "skin_test_result"
UNTESTED = "none"
PULLED = "pull_test_hairs"


@dataclass(frozen=True, slots=True)
class Client:
    """`profile`: as they sit down, with no skin test done. `result`: what one would show."""

    who: Person
    profile: Profile
    result: str


def draw_client(case: Case) -> Client | None:
    """Somebody with one of the model's stories; None if these draws make nobody."""
    draw = case.draw.branch("client")
    values = dict(plain_profile(case.bank, draw).values)
    usual = case.bank.bound("pull_test.normal/high")
    values[PULLED] = draw.between(0, int(usual))
    story = _story(case, draw)
    story |= _turns(case, draw, story)
    whole = meeting(case.bank, draw, Profile({**values, **story}), ())
    if whole is None:
        return None
    result = str(whole.get(RESULT))
    plain = {name: value for name, value in whole.values.items() if name != TESTED}
    return Client(case.client(whole), Profile({**plain, RESULT: UNTESTED}), result)


def tested(case: Case, client: Client) -> Profile:
    """The same client once the skin test has been read after its full wait."""
    wait = case.bank.bound("skin_test.safer/high")
    return Profile({**client.profile.values, RESULT: client.result, TESTED: wait})


def _story(case: Case, draw: Draw) -> dict[str, Value]:
    stories = case.recipe.settings["story"]
    story = draw.branch("story").weighted(stories, [one["weight"] for one in stories])
    return _set(story["set"], draw.branch("values"))


def _turns(case: Case, draw: Draw, story: Mapping[str, Value]) -> dict[str, Value]:
    """Up to two milder things, and at times a grave one, none of which the story settles."""
    own = draw.branch("turns")
    mild, grave = (
        [turn for turn in turns if turn["set"].keys().isdisjoint(story)]
        for turns in case.bank.once(("turns", case.recipe.id), lambda: _allowed(case))
    )
    picked = own.some(mild, min(len(mild), own.between(0, 1 + (case.step > 0))))
    if grave and own.one(case.bank.people["grave_in"]) <= case.step:
        picked.append(own.one(grave))
    found: dict[str, Value] = {}
    for turn in picked:
        if not turn["set"].keys() & found.keys():
            found |= _set(turn["set"], own)
    return found


def _allowed(case: Case) -> tuple[list[Mapping[str, Any]], list[Mapping[str, Any]]]:
    """The mild and the grave things that may lie hidden in a model's clients."""
    settings = case.recipe.settings
    allowed, out = settings.get("turns"), settings.get("not_turns", ())
    turns = [
        turn
        for turn in case.bank.people["turn"]
        for name in (next(iter(turn["set"])),)
        if (allowed is None or name in allowed) and name not in out
    ]
    mild = [turn for turn in turns if not turn.get("grave")]
    return mild, [turn for turn in turns if turn.get("grave")]


def _set(given: Mapping[str, Any], draw: Draw) -> dict[str, Value]:
    """Values as they stand; of a list, one."""
    return {
        name: draw.branch(name).one(value) if isinstance(value, list) else value
        for name, value in given.items()
    }
