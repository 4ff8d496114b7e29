"""Who may decide about a record against the rules' own answer: never the examiner, never alone.

ISO/IEC 17024:2012, 9.4: the decision on certification is made by persons who took no part in the
examination or training of that candidate.
"""

from collections.abc import Collection


def why_not(decider: str, holder: str, examiners: Collection[str], asked_by: str = "") -> str:
    """Say why somebody may not decide, or nothing.

    Parameters
    ----------
    decider : Id of who would decide.
    holder : Id of the person whose record it is.
    examiners : Ids of everybody who observed that person's work or opened their sittings.
    asked_by : Id of who asked for the decision; '' where nobody had to ask.

    Returns
    -------
    A sentence for the decider; '' when they may.
    """
    if decider == holder:
        return "You cannot decide about your own record."
    if decider == asked_by:
        return "You asked for this, so somebody else must decide."
    if decider in examiners:
        return (
            "You watched this person's work or opened an assessment of theirs, "
            "so somebody who did neither must decide."
        )
    return ""
