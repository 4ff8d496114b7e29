"""Two people who do something at the same moment."""

from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from threading import Barrier, BrokenBarrierError

from trainer.use_cases.refusals import InputProblem, NotFound

HELD = 0.5
"""Seconds that whoever is first waits for the second, who may be made to wait for them."""


def both(*doing):
    """What each gave, or how it was refused; any other problem is raised."""

    def done(do):
        try:
            return do()
        except (InputProblem, NotFound) as problem:
            return problem

    with ThreadPoolExecutor(len(doing)) as people:
        return [one.result() for one in [people.submit(done, do) for do in doing]]


def meeting(monkeypatch, place, name):
    """Both have done this before either goes on; where one waits for the other, they do."""
    barrier, real = Barrier(2), getattr(place, name)

    def met(*given):
        found = real(*given)
        with suppress(BrokenBarrierError):
            barrier.wait(HELD)
        return found

    monkeypatch.setattr(place, name, met)
