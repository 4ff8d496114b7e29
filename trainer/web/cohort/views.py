"""The instructor's first page: who needs you; and one apprentice: standing, answers, work."""

from flask import Blueprint, render_template, request

from trainer import clock
from trainer.use_cases import (
    admit_candidate,
    appeal,
    contest_question,
    review_cohort,
    review_member,
    watch_again,
    watch_together,
)
from trainer.use_cases.keep_people import list_groups
from trainer.web.access import who_may
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, reading

pages = Blueprint("cohort", __name__, url_prefix="/cohort")
closed_while_sitting(pages)
ORDERED = "put_in_order"


@pages.get("")
@who_may("instructor")
def home() -> str:
    """Sign-offs waiting, overdue modules, stuck people; then where everybody stands."""
    chosen, after = request.args.get("group", ""), request.args.get("after", "")
    with reading() as unit:
        found = review_cohort.overview(unit, house().bank, chosen, clock.now(), after)
        groups = list_groups(unit)
        contested = contest_question.waiting(unit)
        asking = admit_candidate.waiting(unit)
        appealed = appeal.count_waiting(unit)
        again = sum(not one.mine for one in watch_again.waiting(unit))
        second = sum(not one.mine for one in watch_together.waiting(unit))
    return render_template(
        "cohort/home.html",
        cohort=found,
        groups=groups,
        chosen=chosen,
        after=after,
        contested=contested,
        asking=asking,
        appealed=appealed,
        again=again,
        second=second,
    )


@pages.get("/<person_id>")
@who_may("instructor")
def member(person_id: str) -> str:
    """One apprentice."""
    with reading() as unit:
        found = review_member.see(unit, house().bank, person_id, clock.now())
    return render_template("cohort/member.html", member=found)


@pages.get("/<person_id>/answers")
@who_may("instructor")
def answers(person_id: str) -> str:
    """Every answer of one apprentice, newest first, a page at a time."""
    with reading() as unit:
        name = review_member.name_of(unit, person_id)
        found = review_member.page_of_answers(unit, person_id, request.args.get("before", ""))
    return render_template("cohort/answers.html", found=found, name=name, person_id=person_id)


@pages.get("/<person_id>/answers/<item_id>")
@who_may("instructor")
def answer(person_id: str, item_id: str) -> str:
    """One answer as it was shown, with its key and the reason."""
    with reading() as unit:
        found = review_member.one_answer(unit, house().bank, person_id, item_id)
    return render_template(
        "cohort/answer.html",
        answer=found,
        found=found.feedback,
        heading=found.item.heading,
        person_id=person_id,
        ordered=found.item.heading.type == ORDERED,
    )
