"""did:web: an issuer by an address of its own, whose document lists its keys, old ones too."""

import re
from collections.abc import Sequence
from typing import Any
from urllib.parse import quote, unquote, urlsplit

from trainer.core.records.keys import DID_WEB, MULTIKEY_CONTEXT, PublicKey

DID_CONTEXT = "https://www.w3.org/ns/did/v1"
DOMAIN = re.compile(r"(?=.{4,253}$)([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z][a-z0-9-]*[a-z0-9]")


def did_web(address: str) -> str:
    """Name an address as did:web.

    Parameters
    ----------
    address : An http or https address with or without a path, no slash at its end.

    Returns
    -------
    did:web:host:path:parts, a port written as %3A and the number (did:web, 2.5.2).
    """
    parts = urlsplit(address)
    host = (parts.hostname or "") + (f"%3A{parts.port}" if parts.port else "")
    path = [quote(part, safe="-._") for part in parts.path.split("/") if part]
    return DID_WEB + ":".join([host, *path])


def document_address(did: str) -> str:
    """Say where the document of a did:web stands.

    Parameters
    ----------
    did : did:web:host, with path parts after it or none.

    Returns
    -------
    The https address (did:web, 3.2): the path's did.json, or the one under /.well-known.

    Raises
    ------
    ValueError : If it is no did:web, or a part of it is empty or would leave its path.
    """
    host, *path = did.removeprefix(DID_WEB).split(":")
    parts = [unquote(part) for part in path]
    wrong = [one for one in parts if not one or one in (".", "..") or "/" in one]
    if not did.startswith(DID_WEB) or not host or wrong:
        raise ValueError(f"{did=}")
    return f"https://{unquote(host)}/{'/'.join(path or ['.well-known'])}/did.json"


def can_be_reached(address: str) -> bool:
    """Tell whether an address may stand for an issuer: https, and a domain name, not a number.

    Parameters
    ----------
    address : How the outside reaches the site.

    Returns
    -------
    True where did:web can be looked up by anyone; elsewhere did:key is the honest name.
    """
    parts = urlsplit(address)
    return parts.scheme == "https" and bool(DOMAIN.fullmatch(parts.hostname or ""))


def did_document(
    did: str, keys: Sequence[PublicKey], also_known_as: Sequence[str] = ()
) -> dict[str, Any]:
    """Write the DID document of an issuer.

    Parameters
    ----------
    did : The issuer's did:web.
    keys : Its public keys, the one in use first. Old keys stay: old records name them.
    also_known_as : Other names of the same issuer, such as the did:key of each key.

    Returns
    -------
    The document to be published at the address that the name stands for.

    References
    ----------
    W3C DID Core 1.0, 5; W3C Controlled Identifiers 1.0, 2.2 (Multikey).
    """
    methods = [
        {
            "id": f"{did}#{key.multibase}",
            "type": "Multikey",
            "controller": did,
            "publicKeyMultibase": key.multibase,
        }
        for key in keys
    ]
    names = {"alsoKnownAs": list(also_known_as)} if also_known_as else {}
    return {
        "@context": [DID_CONTEXT, MULTIKEY_CONTEXT],
        "id": did,
        **names,
        "verificationMethod": methods,
        "assertionMethod": [method["id"] for method in methods],
    }
