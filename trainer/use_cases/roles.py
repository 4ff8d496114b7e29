"""Who may do what: every list of roles that a use case or a page asks for.

A single role stands by its word where it is asked for.
"""

from trainer.store.unit import ROLES, Role

__all__ = ["ASKERS", "DECIDERS", "EVERYBODY", "INVITERS", "REVIEWERS", "SETTERS", "Role"]

EVERYBODY: tuple[Role, ...] = ROLES
"""Whoever belongs to the place: reads the book, asks the adviser, appeals."""

ASKERS: tuple[Role, ...] = ("salon_manager", "instructor", "administrator")
"""Who asks about the people here: the desk, the team, its week, its records, its rules."""

SETTERS: tuple[Role, ...] = ("salon_manager", "administrator")
"""Who settles how the place works: its rules and days, which issuers count, which programs ask."""

INVITERS: tuple[Role, ...] = ("instructor", "administrator")
"""Who invites people and helps them back in."""

REVIEWERS: tuple[Role, ...] = ("instructor", "administrator")
"""Who looks into how people are examined: questions, answers, standards, sheets, results."""

DECIDERS: tuple[Role, ...] = ("instructor", "administrator")
"""Who decides about others' assessments, results and records, as far as they took no part."""
