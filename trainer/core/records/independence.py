"""Who may decide about a record against the rules' own answer: never the examiner, never alone.

ISO/IEC 17024:2012, 9.4: the decision on certification is made by persons who took no part in the
examination or training of that candidate; 9.8 and 9.9: appeals and complaints are decided by
persons other than those involved in what they are about.
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


def why_not_answer(
    decider: str, sender: str, named: Collection[str], involved: Collection[str]
) -> str:
    """Say why somebody may not answer an appeal or a complaint, or nothing.

    Parameters
    ----------
    decider : Id of who would answer.
    sender : Id of who sent it.
    named : Ids of whom it names.
    involved : Ids of everybody who took part in what was decided about the sender.

    Returns
    -------
    A sentence for the decider; '' when they may.
    """
    if decider == sender:
        return "You sent this yourself, so somebody else must answer it."
    if decider in named:
        return "This names you, so somebody else must answer it."
    if decider in involved:
        return "You took part in what was decided, so somebody who did not must answer it."
    return ""
