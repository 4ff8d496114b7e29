"""`trainer verify` as people and programs call it: JSON out, exit codes, no network."""

import json
import socket
from pathlib import Path

import pytest
from click.testing import CliRunner

from trainer.cli.verify import command

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
