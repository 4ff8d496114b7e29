"""Signing keys: made once, readable by the service alone, one an organisation."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from trainer.core.problems import InputProblem
from trainer.use_cases.issuer_keys import signer_of


def test_a_key_is_made_once_and_kept(tmp_path):
    first = signer_of(tmp_path / "keys", "a1b2")
    assert signer_of(tmp_path / "keys", "a1b2") == first
    assert signer_of(tmp_path / "keys", "c3d4") != first


def test_only_the_service_can_read_it(tmp_path):
    signer_of(tmp_path / "keys", "a1b2")
    file = tmp_path / "keys/a1b2.pem"
    assert file.stat().st_mode & 0o777 == 0o600
    assert file.parent.stat().st_mode & 0o777 == 0o700
    assert list(file.parent.iterdir()) == [file]


def test_many_who_ask_at_once_get_the_same_key(tmp_path):
    with ThreadPoolExecutor(8) as crowd:
        found = set(crowd.map(lambda _: signer_of(tmp_path, "a1b2").secret, range(16)))
    assert len(found) == 1


@pytest.mark.parametrize("name", ["", "../other", "a/b", "a.pem"])
def test_a_name_that_could_leave_the_folder_is_refused(tmp_path, name):
    with pytest.raises(ValueError, match="id"):
        signer_of(tmp_path, name)


def test_a_broken_key_file_is_said_to_be_so(tmp_path):
    (tmp_path / "a1b2.pem").write_text("no key")
    with pytest.raises(InputProblem, match=r"a1b2\.pem"):
        signer_of(tmp_path, "a1b2")
