"""Changes at random to a signed record, in full: none that alters it may verify, none may crash.

Run: python -m tests.benchmarks.forging [count]. Ends with 1 if any forged record verified.
"""

import sys

from tests.core.records.example import NOW, SIGNER, as_bytes, signed_list, signed_record
from tests.support.forging import altered_that_verify, bytes_that_verify


def main(count: int) -> int:
    record, lists = signed_record(), [as_bytes(signed_list(1, 2))]
    found = {
        "what it says": altered_that_verify(record, SIGNER.public, lists, NOW, count, "full"),
        "its bytes": bytes_that_verify(as_bytes(record), SIGNER.public, lists, NOW, count, "full"),
    }
    for name, (altered, passed) in found.items():
        print(f"{name}: {count} changes, {altered} altered the record, {len(passed)} verified")
    return int(any(passed for _, passed in found.values()))


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 12_000))
