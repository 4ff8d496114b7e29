"""Who calls: an access code in the header, for this purpose, not too often. No cookie counts."""

import threading
from dataclasses import dataclass, field

from flask import Request

from trainer import clock
from trainer.use_cases import keep_access
from trainer.use_cases.keep_access import Access
from trainer.web.api.problems import Refused
from trainer.web.house import house

SCHEME = "bearer"
PORTIONS = 30
"""A process sets calls aside in portions, so that not every call is written down."""
ASK_FOR_A_CODE = {"WWW-Authenticate": 'Bearer realm="trainer"'}


@dataclass
class Allowance:
    """What this process may still pass for each code: (minute, calls left).

    The portions come from one table, so that all processes together keep to the limit.
    """

    left: dict[str, tuple[int, int]] = field(default_factory=dict)
    alone: threading.Lock = field(default_factory=threading.Lock)

    def take(self, token_id: str) -> bool:
        """Take one call; sets a new portion aside where none is left. False beyond the limit."""
        minute = int(clock.now().timestamp()) // 60
        with self.alone:
            of, calls = self.left.get(token_id, (minute, 0))
            if of == minute and calls:
                self.left[token_id] = (minute, calls - 1)
                return True
        return self._set_aside(token_id, minute)

    def _set_aside(self, token_id: str, minute: int) -> bool:
        most = house().settings.api_calls
        portion = max(1, most // PORTIONS)
        with house().work.writing() as unit:
            granted = keep_access.set_aside(unit, token_id, portion, most, clock.now())
        if granted:
            with self.alone:
                self.left[token_id] = (minute, portion - 1)
        return granted


def caller(request: Request, purposes: tuple[str, ...], allowance: Allowance) -> Access:
    """Who calls. Raises Refused: 401, 403, 429."""
    scheme, _, code = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != SCHEME or not code.strip():
        raise Refused(401, headers=ASK_FOR_A_CODE)
    with house().work.reading() as unit:
        access = keep_access.opened(unit, code.strip())
    if access is None:
        said = {"WWW-Authenticate": 'Bearer realm="trainer", error="invalid_token"'}
        raise Refused(401, "This access code is unknown, or was ended.", headers=said)
    if access.purpose not in purposes:
        needed = " or ".join(f"'{one}'" for one in purposes)
        said = {"WWW-Authenticate": 'Bearer realm="trainer", error="insufficient_scope"'}
        raise Refused(403, f"This code is for '{access.purpose}'; use one for {needed}.", (), said)
    if not allowance.take(access.token_id):
        wait = 60 - int(clock.now().timestamp()) % 60
        raise Refused(429, headers={"Retry-After": str(wait)})
    return access
