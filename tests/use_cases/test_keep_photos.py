"""Photos of work: kept with their sheet or not at all, shown to few, gone when taken away."""

from io import BytesIO
from itertools import pairwise

import pytest
from PIL import Image

from tests.support.people import NOW, a_person
from tests.support.records import issuing_in, signing_with
from trainer.store import events, evidence_photos
from trainer.use_cases import keep_photos, sign_off
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sign_off import Watched


def a_picture(colour="white"):
    out = BytesIO()
    Image.new("RGB", (40, 30), colour).save(out, "PNG")
    return out.getvalue()


@pytest.fixture
def boss(work):
    return a_person(work, "instructor")


@pytest.fixture
def learner(work, boss):
    return a_person(work, organisation=boss.organisation)


@pytest.fixture
def signing(tmp_path):
    return signing_with(issuing_in(tmp_path))


@pytest.fixture
def signed(work, bank, signing, boss, learner):
    """A sheet with two photos; gives (sheet, photo ids)."""
    met = frozenset(one.id for one in bank.criteria_of("tape_in", "fit"))
    watched = Watched(learner.id, "tape_in", "fit", met, "", NOW.date(), "once")
    photos = keep_photos.prepare([a_picture("red"), a_picture("blue")], agreed=True)
    for _ in range(2):  # the second time is the same submission: nothing is kept twice
        with work.writing(boss.viewer) as unit:
            found = sign_off.sign(unit, bank, watched, Proven(boss.id), signing, NOW, photos)
    with work.reading(boss.viewer) as unit:
        return found.id, [one.id for one in sign_off.see(unit, bank, found.id).shots]


def files(signing):
    folder = signing.album._folder
    return sorted(folder.iterdir()) if folder.exists() else []


def test_photos_lie_outside_the_web_under_names_that_nobody_guesses(work, signing, boss, signed):
    _, (first, second) = signed
    kept = files(signing)
    assert len(kept) == 2 and all(len(path.stem) == 48 for path in kept)
    assert all(path.stat().st_mode & 0o077 == 0 for path in kept)
    assert signing.album._folder.stat().st_mode & 0o077 == 0
    with work.reading(boss.viewer) as unit:
        content = keep_photos.content(unit, signing.album, first)
        assert evidence_photos.photo(unit, second).width == 40
        assert first not in [path.stem for path in kept]
    assert content[:2] == b"\xff\xd8"


def test_who_is_shown_a_photo(work, signing, boss, learner, signed):
    _, (photo, _) = signed
    colleague = a_person(work, "instructor", organisation=boss.organisation)
    for someone in (boss, learner, colleague):
        with work.reading(someone.viewer) as unit:
            assert keep_photos.content(unit, signing.album, photo)
    fellow = a_person(work, organisation=boss.organisation)
    with work.reading(fellow.viewer) as unit, pytest.raises(Forbidden):
        keep_photos.content(unit, signing.album, photo)
    stranger = a_person(work, "instructor")
    with work.reading(stranger.viewer) as unit, pytest.raises(NotFound):
        keep_photos.content(unit, signing.album, photo)


def test_a_photo_needs_consent_and_there_are_few():
    with pytest.raises(InputProblem) as caught:
        keep_photos.prepare([a_picture()], agreed=False)
    assert caught.value.where == "agreed"
    with pytest.raises(InputProblem) as caught:
        keep_photos.prepare([a_picture()] * 4, agreed=True)
    assert caught.value.where == "photos"
    assert keep_photos.prepare([], agreed=False) == ()


def test_a_photo_taken_away_is_gone_and_the_log_says_why(work, bank, signing, boss, signed):
    sheet, (photo, _) = signed
    with work.writing(boss.viewer) as unit:
        with pytest.raises(InputProblem, match="reason"):
            keep_photos.remove(unit, signing.album, photo, "because", NOW)
        why = "The client no longer agrees."
        assert keep_photos.remove(unit, signing.album, photo, why, NOW) == sheet
    assert len(files(signing)) == 1
    with work.reading(boss.viewer) as unit:
        with pytest.raises(NotFound):
            keep_photos.content(unit, signing.album, photo)
        assert len(sign_off.see(unit, bank, sheet).shots) == 1
        kinds = [row.kind for row in events.all_in_order(unit)]
        bodies = [row.body.get("reason") for row in events.bodies(unit)]
    assert kinds[-1] == "evidence.photo_removed" and why in bodies
    assert ("evidence.photo_added", "evidence.photo_added") in pairwise(kinds)


def test_only_instructors_of_the_place_take_a_photo_away(work, signing, learner, signed):
    _, (photo, _) = signed
    why = "I would rather not have it here."
    with work.writing(learner.viewer) as unit, pytest.raises(Forbidden):
        keep_photos.remove(unit, signing.album, photo, why, NOW)
    stranger = a_person(work, "instructor")
    with work.writing(stranger.viewer) as unit, pytest.raises(NotFound):
        keep_photos.remove(unit, signing.album, photo, why, NOW)


def test_what_was_put_in_is_taken_back_and_a_name_leads_nowhere_else(signing, tmp_path):
    (tmp_path / "secret.jpg").write_bytes(b"x")
    signing.album.put(b"picture")
    with pytest.raises(NotFound):
        signing.album.get("../secret.jpg")
    signing.album.take_back()
    assert files(signing) == []
