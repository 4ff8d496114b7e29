"""People of an organisation: invite, roles, groups, links."""

from datetime import timedelta

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from wtforms.fields.choices import SelectChoice

from trainer import clock
from trainer.use_cases import keep_people, offer_membership, recover_password
from trainer.use_cases.offer_membership import Wanted
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.roles import ASKERS, INVITERS
from trainer.web.access import who_may
from trainer.web.asked import all_asked, hand_over
from trainer.web.house import house, reading, viewer, whole_address, writing
from trainer.web.people.entries import GroupEntry, InviteEntry, MemberEntry, NameEntry
from trainer.web.telling import tell
from trainer.web.words import ROLE_WORDS

pages = Blueprint("people", __name__, url_prefix="/people")


@pages.get("")
@who_may(*ASKERS)
def home() -> str:
    """Everybody of the organisation, and whoever is asked to join it."""
    with reading() as unit:
        members = keep_people.list_members(unit)
        groups = keep_people.list_groups(unit)
        may_invite = viewer().is_a(*INVITERS)
        offers = offer_membership.list_offers(unit, clock.now()) if may_invite else []
    return render_template(
        "people/home.html", members=members, groups=groups, group_entry=GroupEntry(), offers=offers
    )


@pages.route("/invite", methods=["GET", "POST"])
@who_may(*INVITERS)
def invite() -> ResponseReturnValue:
    """Ask somebody to join: by letter, or by a link to hand over."""
    entry = InviteEntry()
    entry.roles.choices = _roles_to_give()
    with reading() as unit:
        entry.groups.choices = [SelectChoice(*one) for one in keep_people.list_groups(unit)]
    if entry.is_submitted() and len(entry.roles.choices) == 1:
        entry.roles.data = [entry.roles.choices[0].value]
    if entry.validate_on_submit():
        try:
            return _asked(entry)
        except InputProblem as problem:
            tell(entry, problem, entry.email)
    code = 400 if entry.errors else 200
    mail = house().settings.sends_letters
    return render_template("people/invite.html", entry=entry, mail=mail), code


def _asked(entry: InviteEntry) -> str:
    """The same page whoever has the address. Raises InputProblem."""
    name, email = entry.name.data or "", (entry.email.data or "").strip()
    wanted = Wanted(name, email, entry.roles.data or [], entry.groups.data or [])
    lasts = timedelta(days=house().settings.invitation_days)
    with writing() as unit:
        token = offer_membership.offer(unit, wanted, lasts, clock.now())
    link = hand_over({email: token}, lasts)[email]
    return render_template("people/asked.html", email=email, link=link, lasts=lasts)


@pages.post("/asked/<offer_id>/withdraw")
@who_may(*INVITERS)
def withdraw(offer_id: str) -> ResponseReturnValue:
    """End an offer that nobody has answered."""
    try:
        with writing() as unit:
            email = offer_membership.withdraw(unit, offer_id, clock.now())
        flash(f"{email} is no longer asked.", "good")
    except (InputProblem, NotFound):
        flash("That is answered or withdrawn already.", "watch")
    return redirect(url_for("people.home"), 303)


@pages.post("/asked/again")
@who_may(*INVITERS)
def again() -> ResponseReturnValue:
    """Another letter to those whose first did not go; a link where letters are no longer sent."""
    lasts = timedelta(days=house().settings.invitation_days)
    with writing() as unit:
        asked = offer_membership.ask_again(unit, lasts, clock.now())
    if not asked:
        flash("Every letter has gone, or is on its way.", "watch")
        return redirect(url_for("people.home"), 303)
    return all_asked(asked, lasts)


def _roles_to_give() -> list[SelectChoice]:
    every = [SelectChoice(*one) for one in ROLE_WORDS.items()]
    return every if viewer().is_a("administrator") else every[:1]


@pages.route("/<person_id>", methods=["GET", "POST"])
@who_may(*ASKERS)
def member(person_id: str) -> ResponseReturnValue:
    """One member: roles and groups."""
    entry = MemberEntry()
    with reading() as unit:
        found = keep_people.see_member(unit, person_id)
        entry.groups.choices = [SelectChoice(*one) for one in keep_people.list_groups(unit)]
    if request.method == "GET":
        entry.roles.data = list(found.roles)
        entry.groups.data = [one.value for one in entry.groups.choices if one.label in found.groups]
    elif entry.validate_on_submit():
        try:
            roles, groups = entry.roles.data or [], entry.groups.data or []
            with writing() as unit:
                keep_people.change_member(unit, person_id, roles, groups, clock.now())
            flash(f"Saved for {found.name}.", "good")
            return redirect(url_for("people.home"))
        except InputProblem as problem:
            tell(entry, problem, entry.roles)
    code = 400 if entry.errors else 200
    named = NameEntry(name=found.name)
    return render_template("people/member.html", member=found, entry=entry, name_entry=named), code


@pages.post("/<person_id>/name")
@who_may("administrator")
def rename(person_id: str) -> ResponseReturnValue:
    """Change what a member is called."""
    entry = NameEntry()
    if not entry.validate_on_submit():
        flash("Write the new name, at most 120 characters.", "bad")
        return redirect(url_for("people.member", person_id=person_id), 303)
    try:
        with writing() as unit:
            keep_people.rename(unit, person_id, entry.name.data or "", clock.now())
    except InputProblem as problem:
        flash(f"The name {problem.what}. {problem.remedy}", "bad")
        return redirect(url_for("people.member", person_id=person_id), 303)
    flash("The name is changed. Records can now be issued again under it.", "good")
    return redirect(url_for("people.member", person_id=person_id), 303)


@pages.post("/<person_id>/link")
@who_may(*INVITERS)
def link(person_id: str) -> ResponseReturnValue:
    """A one-use link for a member who forgot the password."""
    lasts = timedelta(hours=house().settings.recovery_hours)
    try:
        with writing() as unit:
            token = recover_password.recovery_link(unit, person_id, lasts, clock.now())
            found = keep_people.see_member(unit, person_id)
    except InputProblem as problem:
        flash(problem.said, "bad")
        return redirect(url_for("people.member", person_id=person_id), 303)
    address = whole_address("sign_in.set_password", token=token)
    return render_template("people/link.html", member=found, link=address, lasts=lasts)


@pages.post("/<person_id>/leave")
@who_may("administrator")
def leave(person_id: str) -> ResponseReturnValue:
    """A member leaves the organisation."""
    with writing() as unit:
        keep_people.end_membership(unit, person_id, clock.now())
    flash("They no longer belong here. Their completion records stay theirs.", "good")
    return redirect(url_for("people.home"))


@pages.post("/groups")
@who_may(*INVITERS)
def groups() -> ResponseReturnValue:
    """Make a group."""
    entry = GroupEntry()
    if entry.validate_on_submit():
        try:
            with writing() as unit:
                keep_people.make_group(unit, entry.name.data or "")
            flash(f"Group {entry.name.data} is there.", "good")
        except InputProblem:
            flash(f"There is a group called {entry.name.data} already.", "bad")
    else:
        flash("Write a name for the group.", "bad")
    return redirect(url_for("people.home"))
