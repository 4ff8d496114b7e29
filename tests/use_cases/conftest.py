"""The houses that most of these tests stand in."""

import pytest

from tests.support.people import a_person, an_organisation


@pytest.fixture
def place(work):
    return an_organisation(work)


@pytest.fixture
def salon(work):
    return an_organisation(work, "Fig Lane", "salon")


@pytest.fixture
def desk(work, salon):
    return a_person(work, "salon_manager", organisation=salon)
