"""The team by method, and the answer for one person, method, service and day."""

from flask import Blueprint, render_template, request

from trainer import clock
from trainer.core.problems import NotFound
from trainer.use_cases import clear_for_service
from trainer.use_cases.clear_for_service import Ask
from trainer.web.access import who_may
from trainer.web.clearance.entries import QuestionEntry
from trainer.web.house import house, reading
from trainer.web.words import SERVICE_WORDS

pages = Blueprint("clearance", __name__)
ASKERS = clear_for_service.ASKERS
ANSWER_WORDS = {
    "cleared": "Cleared",
    "supervised_only": "Supervised only",
    "not_cleared": "Not cleared",
}


@pages.get("/team")
@who_may(*ASKERS)
def team() -> str:
    """Where everyone stands with each method, and whose record ends soon."""
    with reading() as unit:
        days = house().settings.ending_days
        found = clear_for_service.team(unit, house().bank, clock.today(), days)
    return render_template("clearance/team.html", team=found, today=clock.today(), days=days)


@pages.get("/clearance")
@who_may(*ASKERS)
def ask() -> str:
    """Ask, and read the answer, on one page with an address of its own."""
    entry = QuestionEntry(request.args)
    with reading() as unit:
        staff = list(clear_for_service.staff(unit))
        _refuse_strangers(staff)
        entry.person.choices = staff
        entry.method.choices = [(one.id, one.name) for one in house().bank.methods.values()]
        entry.service.choices = list(SERVICE_WORDS.items())
        asked = "method" in request.args
        found = None
        if asked and entry.validate():
            ask = Ask(entry.person.data, entry.method.data, entry.service.data, entry.on.data)
            days = house().settings.grace_days
            found = clear_for_service.answer(unit, house().bank, ask, days)
    if not asked:
        entry.on.data = clock.today()
    return render_template(
        "clearance/ask.html", entry=entry, found=found, staff=staff, words=ANSWER_WORDS
    )


def _refuse_strangers(staff: list[tuple[str, str]]) -> None:
    """Somebody of another house is not 'a wrong choice': there is nobody of that id here."""
    person = request.args.get("person")
    if person and person not in {one for one, _ in staff}:
        raise NotFound
