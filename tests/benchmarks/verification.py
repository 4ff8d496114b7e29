"""How fast records are verified and issued, as ratios to bare Ed25519, and where the time goes.

Run: python -m tests.benchmarks.verification [records]. First the direct canonical form is held
against the general one on that many generated records (10,000 unless told); ends with 1 if one
differs or the goal of 300 verifications a second is missed. Times are the processor's.
"""

import json
import sys
import time
from datetime import timedelta

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from tests.support.completions import completion, signer, status_list
from tests.support.two_paths import general
from trainer.core.draw import Draw
from trainer.core.records import proof
from trainer.core.records.canonical import OtherShape, canonical_document
from trainer.core.records.keys import Signer
from trainer.core.records.proof import proof_faults, sign
from trainer.core.records.record import compose
from trainer.core.records.status_list import ListAddress, compose_list
from trainer.core.records.strict_json import read_json, shape_faults
from trainer.core.records.verify import verify

GOAL = 300
ISSUED = 1000


def equal(count: int) -> int:
    """How many of `count` generated documents come out differently by the two paths."""
    differ = 0
    for number in range(count):
        draw = Draw("benchmark", number)
        key = signer(draw)
        made = status_list(draw, key) if number % 10 == 9 else compose(completion(draw, key))
        differ += canonical_document(made) != general(made)
    return differ


def rate(what, count: int) -> float:
    """Runs a second of one processor, after one to warm up: others on the machine do not count."""
    what(0)
    start = time.process_time()
    for number in range(count):
        what(number)
    return count / (time.process_time() - start)


def issued() -> tuple[Signer, list[dict], float]:
    """A thousand records of one issuer, signed, and how long that took in seconds."""
    key = Signer(bytes(range(32)))
    made = []
    for number in range(ISSUED):
        one = completion(Draw("issue", number), key)
        made.append((compose(one), one.valid_from))
    sign(made[0][0], key, made[0][1])
    start = time.process_time()
    signed = [sign(document, key, at) for document, at in made]
    return key, signed, time.process_time() - start


def its_list(record: dict, key: Signer) -> bytes:
    """The status list that a record names, with some other bits set."""
    since = proof.datetime.fromisoformat(record["validFrom"])
    address = ListAddress(
        record["credentialStatus"]["statusListCredential"], proof.issuer_of(record)
    )
    bits = {5, 77, 1024} - {int(record["credentialStatus"]["statusListIndex"])}
    return json.dumps(
        sign(compose_list(address, bits, since, since + timedelta(days=1)), key, since)
    ).encode()


def parts(key: Signer, records: list[dict], files: list[bytes], lists: list[bytes]) -> None:
    """Where the time of one verification goes."""
    said = [
        ("read the record strictly", lambda n: read_json(files[n], "record")),
        ("read the list strictly", lambda n: read_json(lists[n], "list")),
        ("shape by the schema", lambda n: shape_faults(records[n])),
        ("proof of the record", lambda n: proof_faults(records[n], key.public)),
        ("of that, canonical form", lambda n: canonical_document(_unsigned(records[n]))),
        ("proof of the list", lambda n: proof_faults(json.loads(lists[n]), key.public)),
    ]
    for name, what in said:
        print(f"  {name}: {1e6 / rate(what, len(records)):.0f} microseconds")


def _unsigned(record: dict) -> dict:
    return {name: part for name, part in record.items() if name != "proof"}


def bare(count: int) -> float:
    """Bare Ed25519 verifications a second over 64 bytes."""
    key = Ed25519PrivateKey.generate()
    signature, public = key.sign(bytes(64)), key.public_key()
    return rate(lambda _: public.verify(signature, bytes(64)), count)


def by_the_library(key: Signer, record: dict) -> float:
    """Proofs a second by the general path alone."""
    direct, proof.canonical_document = proof.canonical_document, _never
    try:
        return rate(lambda _: proof_faults(record, key.public), 20)
    finally:
        proof.canonical_document = direct


def _never(_):
    raise OtherShape("the general path is measured")


def main(count: int) -> int:
    differ = equal(count)
    print(f"direct and general canonical form: {differ} of {count} differ")
    key, records, took = issued()
    files = [json.dumps(record).encode() for record in records]
    lists = [its_list(record, key) for record in records]
    now = [proof.datetime.fromisoformat(record["validFrom"]) for record in records]

    def one(n: int) -> None:
        assert verify(files[n], key.public, [lists[n]], now[n]).valid

    ours, plain = rate(one, ISSUED), bare(5000)
    print(f"{ISSUED} records signed in {took:.2f} s ({ISSUED / took:.0f} a second)")
    print(f"verified with every check and a status list: {ours:.0f} a second of processor time")
    print(f"bare Ed25519: {plain:.0f} a second; ratio 1 to {plain / ours:.1f}")
    print(
        f"proof of the record by the general path: {by_the_library(key, records[0]):.0f} a second"
    )
    parts(key, records, files, lists)
    return int(differ > 0 or ours < GOAL)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000))
