"""What went wrong comes back after three to six others, and only what went wrong."""

from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw
from trainer.core.measurement.again import LEAST_BETWEEN, MOST_BETWEEN, Past, due_again, owed

RIGHTS = st.lists(st.booleans(), min_size=1, max_size=60)


def practised(rights, families, seed):
    """Practice on one topic: (family, whether it came back) in the order shown."""
    past, shown = [], []
    for number, right in enumerate(rights):
        back = due_again(past, set(families), Draw(seed, number))
        kept_back = {family for _, family in owed(past, families)}
        free = [one for one in families if one not in kept_back] or families
        family = back or free[number % len(free)]
        past.insert(0, Past(family, right))
        shown.append((family, bool(back)))
    return shown


@given(RIGHTS, st.integers(1, 9), st.integers(0, 10**6))
def test_each_wrong_answer_comes_back_in_its_time(rights, count, seed):
    families = [f"f{n}" for n in range(count)]
    shown = practised(rights, families, seed)
    for place, right in enumerate(rights):
        later = [family for family, _ in shown[place + 1 :]]
        window = later[LEAST_BETWEEN : MOST_BETWEEN + 1]
        if not right and len(later) > MOST_BETWEEN:
            assert shown[place][0] in window


@given(RIGHTS, st.integers(2, 9), st.integers(0, 10**6))
def test_nothing_comes_back_that_went_right(rights, count, seed):
    families = [f"f{n}" for n in range(count)]
    shown = practised(rights, families, seed)
    for place, (family, back) in enumerate(shown):
        if back:
            before = zip(shown[:place], rights, strict=False)
            assert any(name == family and not right for (name, _), right in before)


@given(st.lists(st.tuples(st.sampled_from("abcdef"), st.sampled_from([True, None])), max_size=30))
def test_without_a_wrong_answer_nothing_is_due(rows):
    past = [Past(family, right) for family, right in rows]
    assert due_again(past, set("abcdef"), Draw(1)) == ""


def test_each_place_from_three_to_six_is_about_as_likely():
    came = []
    for seed in range(2000):
        past = [Past("wrong", False)]
        while not due_again(past, {"wrong"}, Draw(seed, len(past))):
            past.insert(0, Past(f"other{len(past)}", True))
        came.append(len(past) - 1)
    assert set(came) == {3, 4, 5, 6}
    assert all(400 < came.count(place) < 600 for place in set(came))


def test_what_belongs_elsewhere_waits_and_comes_at_once_later():
    past = [Past("other", True)] * 9 + [Past("wrong", False)]
    assert due_again(past, {"other"}, Draw(1)) == ""
    assert due_again(past, {"other", "wrong"}, Draw(1)) == "wrong"


def test_a_return_that_goes_wrong_comes_back_again():
    past = [Past("wrong", False), *[Past("other", True)] * 4, Past("wrong", False)]
    assert owed(past, {"wrong"}) == [(0, "wrong")]
