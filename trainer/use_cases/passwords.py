"""Passwords: what is good enough, and how they are kept (NIST SP 800-63B-4, 3.1.1.2)."""

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from trainer.core.problems import InputProblem

SHORTEST, LONGEST = 15, 256
FEWEST_LEFT, FEWEST_KINDS = 6, 7
"""Different characters that must be left beside common words, and in all."""
OWASP_FLOOR = PasswordHasher(time_cost=2, memory_cost=19 * 1024, parallelism=1)
"""19 MiB, 2 passes: OWASP's Password Storage Cheat Sheet. About 26 ms of one core."""
TOO_COMMON = (
    "password",
    "passphrase",
    "letmein",
    "qwertyuiop",
    "1234567890",
    "iloveyou",
    "welcome",
    "administrator",
    "trainer",
    "extensions",
    "hairdresser",
    "apprentice",
    "instructor",
)
REMEDY = "Four or five unrelated words make a good one."
NO_ONE = OWASP_FLOOR.hash("nobody signs in with this")


class Passwords:
    """Hashes and checks with one cost."""

    def __init__(self, hasher: PasswordHasher = OWASP_FLOOR) -> None:
        self._hasher = hasher

    def hash(self, password: str) -> str:
        """What is kept of a password."""
        return self._hasher.hash(password)

    def fits(self, kept: str, password: str) -> bool:
        """Whether a password is the one. Takes as long where there is none to compare with."""
        try:
            return self._hasher.verify(kept or NO_ONE, password) and bool(kept)
        except (VerificationError, InvalidHashError):
            return False

    def outdated(self, kept: str) -> bool:
        """Whether the hash was made at another cost."""
        return self._hasher.check_needs_rehash(kept)


def must_be_good(password: str, *about: str) -> None:
    """Raises InputProblem saying why a password is not good enough.

    `about`: words of the person and the place, which do not make a password.
    """
    if len(password) < SHORTEST:
        raise _problem(f"has {len(password)} characters; it needs at least {SHORTEST}")
    if len(password) > LONGEST:
        raise _problem(f"has more than {LONGEST} characters")
    rest = password.casefold()
    for word in sorted((*TOO_COMMON, *_words(about)), key=len, reverse=True):
        rest = rest.replace(word, "")
    left = {letter for letter in rest if letter.isalnum()}
    if len(left) < FEWEST_LEFT or len(set(password)) < FEWEST_KINDS:
        raise _problem("is made of common words, your own details or a few characters over again")


def _words(about: tuple[str, ...]) -> list[str]:
    parts = (part for text in about for part in text.casefold().replace("@", " ").split())
    return [part for part in parts if len(part) > 2]


def _problem(what: str) -> InputProblem:
    return InputProblem(what, "password", REMEDY)
