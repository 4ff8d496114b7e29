"""How content is read: unknown fields are refused, numbers are finite."""

from pydantic import ConfigDict

SHEET = ConfigDict(extra="forbid", allow_inf_nan=False, strict=True)
