"""Under which name an organisation issues, which keys speak for it, where its lists stand.

Where the site is reached by https and a domain name, an issuer is a did:web: its document lists
every key, so keys may change and records keep their issuer. Elsewhere (a demo, a local network) an
issuer is the did:key of its key, and a new key makes a new issuer id of the same academy.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path
from typing import Any

from trainer.core.records.did_web import can_be_reached, did_document, did_web
from trainer.core.records.keys import DID_WEB, PublicKey, Signer, read_key
from trainer.store import records
from trainer.store.unit import Unit
from trainer.use_cases.issuer_keys import public_keys, signer_for, signer_of
from trainer.use_cases.seal_log import SITE_KEY

TAIL = 16  # hexadecimal digits that tell the lists of one academy apart


@dataclass(frozen=True)
class Issuers:
    """What is needed to name issuers: the folder of keys, and our own address without a slash."""

    keys: Path
    base_url: str

    def page(self, organisation_id: str) -> str:
        """The issuer's own page."""
        return f"{self.base_url}/issuers/{organisation_id}"


def issuer_id(issuers: Issuers, organisation_id: str) -> str:
    """The id under which an organisation issues now."""
    if can_be_reached(issuers.base_url):
        return did_web(issuers.page(organisation_id))
    return signer_of(issuers.keys, organisation_id).public.did


def signer_named(issuers: Issuers, organisation_id: str, issuer: str) -> Signer | None:
    """Who signs lists for one of an organisation's names; None once its key is gone."""
    if issuer.startswith(DID_WEB):
        return signer_of(issuers.keys, organisation_id)
    return signer_for(issuers.keys, organisation_id, read_key(issuer))


def keys_of(unit: Unit, issuers: Issuers, organisation_id: str) -> tuple[PublicKey, ...]:
    """Every public key of an organisation, under every name that a record of it may give."""
    names = [issuer_id(issuers, organisation_id)]
    names += [name for name, _ in records.names_of_issuer(unit, organisation_id)]
    keys = public_keys(issuers.keys, organisation_id)
    return tuple(dict.fromkeys(_named(keys, names)))


def document_of(unit: Unit, issuers: Issuers, organisation_id: str) -> dict[str, Any]:
    """The issuer's DID document: every key that a record of it may name, old ones too."""
    did = did_web(issuers.page(organisation_id))
    keys = public_keys(issuers.keys, organisation_id)
    document = did_document(did, keys, [key.did for key in keys])
    elsewhere = [
        {
            "id": key.method,
            "type": "Multikey",
            "controller": (key.method or "").partition("#")[0],
            "publicKeyMultibase": key.multibase,
        }
        for key in keys_of(unit, issuers, organisation_id)
        if not (key.method or "").startswith(f"{did}#")
    ]
    document["verificationMethod"] += elsewhere
    return document


def site_document(unit: Unit, issuers: Issuers) -> dict[str, Any]:
    """The site's own DID document: the key that seals its log, and where issuers' keys stand."""
    did = did_web(issuers.base_url)
    document = did_document(did, [signer_of(issuers.keys, SITE_KEY).public])
    document["service"] = [
        {
            "id": f"{did}#issuer-{organisation_id}",
            "type": "IssuerKeys",
            "serviceEndpoint": f"{issuers.page(organisation_id)}/did.json",
        }
        for organisation_id in records.issuing_organisations(unit)
    ]
    return document


def list_address(unit: Unit, issuers: Issuers, organisation_id: str, issuer: str) -> str:
    """Where the status list of one of an organisation's names stands.

    The name used first has the plain address; each later one has its own, because a list comes
    from the issuer that its records name.
    """
    plain = f"{issuers.page(organisation_id)}/status"
    return f"{plain}/{tail}" if (tail := list_tail(unit, organisation_id, issuer)) else plain


def list_tail(unit: Unit, organisation_id: str, issuer: str) -> str:
    """The last part of that address, '' where it is the plain one."""
    names = [name for name, _ in records.names_of_issuer(unit, organisation_id)]
    return "" if not names or names[0] == issuer else tail_of(issuer)


def issuer_by_tail(unit: Unit, organisation_id: str, tail: str) -> str | None:
    """Which name of an organisation has the list with this tail; None for none."""
    names = [name for name, _ in records.names_of_issuer(unit, organisation_id)]
    if not tail:
        return names[0] if names else None
    return next((name for name in names if tail_of(name) == tail), None)


def tail_of(issuer: str) -> str:
    """The part of a list's address that stands for an issuer's name."""
    return sha256(issuer.encode()).hexdigest()[:TAIL]


def _named(keys: tuple[PublicKey, ...], names: list[str]) -> Iterator[PublicKey]:
    for key in keys:
        for name in names:
            if name.startswith(DID_WEB):
                yield replace(key, method=f"{name}#{key.multibase}")
        yield replace(key, method=key.did_method)
