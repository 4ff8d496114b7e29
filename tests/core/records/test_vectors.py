"""Published vectors: W3C eddsa-rdfc-2022 step by step, RFC 8785 as the log's hashes need it.

Figures of the W3C vector: Data Integrity EdDSA Cryptosuites 1.0, TestVectors/eddsa-rdfc-2022 of
w3c/vc-di-eddsa. Its documents are not copied here: with TRAINER_W3C_VECTORS naming a checkout's
TestVectors folder, or one beside the project, every step is run on the files themselves.
"""

import csv
import json
import os
import struct
from hashlib import sha256
from pathlib import Path

import rfc8785
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from openvc.multibase import decode_multibase, encode_multibase
from openvc.proof.contexts import document_loader, pyld_options
from pyld import jsonld

from trainer.core.records.canonical import canonical_proof
from trainer.core.records.keys import Signer, read_key

PUBLIC = "z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2"
SECRET = "z3u2en7t5LR2WtQH5PfFqMqwVHBeXouLzo6haApm8XHqvjxq"
SECRET_PREFIX = b"\x80\x26"  # multicodec ed25519-priv
OPTIONS = {
    "type": "DataIntegrityProof",
    "cryptosuite": "eddsa-rdfc-2022",
    "created": "2023-02-24T23:36:38Z",
    "verificationMethod": f"did:key:{PUBLIC}#{PUBLIC}",
    "proofPurpose": "assertionMethod",
}
OPTIONS_HASH = "bea7b7acfbad0126b135104024a5f1733e705108f42d59668b05c0c50004c6b0"
DOCUMENT_HASH = "517744132ae165a5349155bef0bb0cf2258fff99dfe1dbd914b938d775a36017"
SIGNATURE = (
    "4d8e53c2d5b3f2a7891753eb16ca993325bdb0d3cfc5be1093d0a18426f5ef85"
    "78cadc0fd4b5f4dd0d1ce0aefd15ab120b7a894d0eb094ffda4e6553cd1ed50d"
)
PROOF_VALUE = (
    "z2YwC8z3ap7yx1nZYCg4L3j3ApHsF8kgPdSb5xoS1VR7vPG3F561B52hYnQF9iseabecm3ijx4K1FBTQsCZahKZme"
)


def seed() -> bytes:
    return decode_multibase(SECRET).removeprefix(SECRET_PREFIX)


def test_the_key_pair_is_read():
    assert Signer(seed()).public.multibase == PUBLIC
    assert read_key(PUBLIC).raw == Signer(seed()).public.raw


def test_the_options_hash_as_the_vector_says():
    assert sha256(canonical_proof(OPTIONS)).hexdigest() == OPTIONS_HASH


def test_options_first_then_the_document_is_what_is_signed():
    hashed = bytes.fromhex(OPTIONS_HASH + DOCUMENT_HASH)
    signature = Ed25519PrivateKey.from_private_bytes(seed()).sign(hashed)
    assert signature.hex() == SIGNATURE
    assert encode_multibase(signature) == PROOF_VALUE
    Ed25519PublicKey.from_public_bytes(read_key(PUBLIC).raw).verify(signature, hashed)


BESIDE = Path(__file__).parents[4] / "shared/reference/standards/vectors/vc-di-eddsa"
FOLDER = Path(os.environ.get("TRAINER_W3C_VECTORS", BESIDE))
EXAMPLES = {
    "https://www.w3.org/ns/credentials/examples/v2": {
        "@context": {"@vocab": "https://www.w3.org/ns/credentials/examples#"}
    }
}


if FOLDER.is_dir():

    def test_every_step_on_the_files_themselves():
        steps = FOLDER / "eddsa-rdfc-2022"

        def text(name):
            return (steps / name).read_text().strip()

        def canonical(document):
            options = pyld_options(
                document_loader(EXAMPLES), algorithm="URDNA2015", format="application/n-quads"
            )
            return jsonld.normalize(document, options)

        unsigned = json.loads((FOLDER / "unsigned.json").read_text())
        config = json.loads(text("proofConfigDataInt.json"))
        assert canonical(unsigned).strip() == text("canonDocDataInt.txt")
        assert canonical(config).strip() == text("proofCanonDataInt.txt")
        plain = {name: part for name, part in config.items() if name != "@context"}
        assert canonical_proof(plain).decode().strip() == text("proofCanonDataInt.txt")
        both = sha256(canonical(config).encode()).hexdigest()
        both += sha256(canonical(unsigned).encode()).hexdigest()
        assert both == text("combinedHashDataInt.txt")
        signature = Ed25519PrivateKey.from_private_bytes(seed()).sign(bytes.fromhex(both))
        assert signature.hex() == text("sigHexDataInt.txt")
        signed = {**unsigned, "proof": {**plain, "proofValue": encode_multibase(signature)}}
        found = json.loads(text("signedDataInt.json"))
        found["proof"].pop("@context", None)
        assert signed == found


# RFC 8785, 3.2.2 and 3.2.3: values and members as they must be written.
def test_json_is_written_as_rfc_8785_prints_it():
    numbers = [333333333.33333329, 1e30, 4.50, 2e-3, 1e-27]
    text = "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/"
    written = rfc8785.dumps({"numbers": numbers, "string": text, "literals": [None, True, False]})
    assert written.decode() == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


def test_members_are_sorted_by_utf_16_as_rfc_8785_prints_it():
    names = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    written = rfc8785.dumps(dict.fromkeys(names, 0)).decode()
    assert list(json.loads(written)) == [
        *("\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33")
    ]


def test_a_thousand_numbers_are_written_as_a_javascript_engine_does():
    file = Path(__file__).parent / "references/numbers_in_json.csv"
    with file.open() as rows:
        table = list(csv.DictReader(rows))
    assert len(table) == 1000
    for row in table:
        (number,) = struct.unpack(">d", bytes.fromhex(row["ieee754_hex"]))
        assert rfc8785.dumps(number).decode() == row["json"]
