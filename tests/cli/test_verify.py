"""`trainer verify` as people and programs call it: JSON out, exit codes, no network."""

import errno
import json
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.support.required import missing
from trainer.cli.verify import command

ROOT = Path(__file__).parents[2]
CASES = Path(__file__).parents[1] / "core/records/cases"
TABLE = json.loads((CASES / "cases.json").read_text())
KEY = str(CASES / "keys/academy/issuer.jwk.json")
VALID = str(CASES / "cases/valid-plain.json")


@pytest.fixture(autouse=True)
def _no_network(monkeypatch):
    def refuse(*_args, **_kwargs):
        raise AssertionError("verify touched the network")

    monkeypatch.setattr(socket, "socket", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


def run(*words):
    found = CliRunner().invoke(command, list(words))
    return found.exit_code, found.stdout, found.stderr


@pytest.mark.parametrize("case", TABLE, ids=lambda case: case["id"])
def test_every_case_has_its_answer_and_exit_code(case):
    lists = [word for name in case["status_lists"] for word in ("--status-list", CASES / name)]
    code, out, _ = run(str(CASES / case["file"]), "--issuer-key", KEY, *map(str, lists))
    said = json.loads(out)
    assert said["valid"] is case["valid"]
    assert code == (0 if case["valid"] else 1)
    assert set(said) == {"valid", "reasons", "checks"}
    assert said["reasons"]


@pytest.mark.parametrize(
    "key",
    [
        "issuer.pem",
        "issuer.multikey.json",
        "issuer.multibase.txt",
    ],
)
def test_the_key_comes_in_any_form(key):
    assert run(VALID, "--issuer-key", str(CASES / "keys/academy" / key))[0] == 0


def test_the_key_may_be_given_as_text():
    text = (CASES / "keys/academy/issuer.multibase.txt").read_text().strip()
    assert run(VALID, "--issuer-key", text)[0] == 0
    assert run(VALID, "--issuer-key", f"did:key:{text}")[0] == 0


def test_lists_may_be_repeated():
    lists = ["revocation.json", "suspension.json"]
    words = [word for name in lists for word in ("--status-list", str(CASES / "status" / name))]
    assert run(str(CASES / "cases/invalid-suspended.json"), "--issuer-key", KEY, *words)[0] == 1
    assert run(str(CASES / "cases/valid-status.json"), "--issuer-key", KEY, *words)[0] == 0


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["missing.json", "--issuer-key", KEY], "missing.json"),
        ([VALID, "--issuer-key", "missing.pem"], "missing.pem"),
        ([VALID, "--issuer-key", VALID], "issuer key"),
        ([VALID, "--issuer-key", KEY, "--status-list", "missing.json"], "missing.json"),
        ([KEY.replace(".jwk.json", ".pem"), "--issuer-key", KEY], "record"),
    ],
)
def test_what_cannot_be_read_is_named_and_ends_with_two(words, named):
    code, out, err = run(*words)
    assert code == 2
    assert named in err
    assert json.loads(out)["valid"] is False


def test_help_shows_an_example():
    code, out, _ = run("--help")
    assert code == 0
    assert "Example: trainer verify" in out


def test_a_file_of_all_keys_is_taken(tmp_path):
    """A DID document; and several keys one after the other."""
    key = (CASES / "keys/academy/issuer.multibase.txt").read_text().strip()
    other = "z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2"
    methods = [
        {"id": f"did:key:{one}#{one}", "type": "Multikey", "publicKeyMultibase": one}
        for one in (other, key)
    ]
    file = tmp_path / "did.json"
    file.write_text(json.dumps({"id": "did:web:x.example", "verificationMethod": methods}))
    assert run(VALID, "--issuer-key", str(file))[0] == 0
    assert run(VALID, "--issuer-key", other, "--issuer-key", key)[0] == 0
    assert run(VALID, "--issuer-key", other)[0] == 1


OUTSIDE = "import socket,sys; print(socket.socket().connect_ex(('192.0.2.1', 80)))"


def test_it_works_in_a_place_without_any_network():
    """A process of its own, in a network namespace that has no interface but a closed loopback."""
    if shutil.which("unshare") is None:
        missing("this system has no unshare")
    alone = ["unshare", "--map-root-user", "--net"]
    tried = subprocess.run([*alone, sys.executable, "-c", OUTSIDE], capture_output=True, text=True)
    if tried.returncode:
        missing(f"this machine lets nobody leave the network: {tried.stderr.strip()}")
    assert int(tried.stdout) == errno.ENETUNREACH
    words = [sys.executable, "-m", "trainer", "verify", VALID, "--issuer-key", KEY]
    found = subprocess.run([*alone, *words], capture_output=True, text=True, cwd=ROOT)
    assert (found.returncode, json.loads(found.stdout)["valid"]) == (0, True), found.stderr
