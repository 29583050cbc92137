"""A programme's own forms: a copy of a shipped one, its edits, and what an edit does to a form that is in use.

A form that no attempt was marked on is simply replaced. One that was used gets a new edition that names the version it
replaces; the old one stays, because attempts keep the version that they were marked with.
"""

from __future__ import annotations

from dataclasses import replace

from drawndose.lab.forms.form import Form, container_word
from drawndose.lab.forms.reading import form_faults
from drawndose.lab.reading import fault, refused
from drawndose.quantities import gather


def copied(form: Form, ident: str, *, by: str) -> Form:
    """A programme's copy of a form under an id of its own. Refused for an id or a name that is none, or the form's own id."""
    faults = []
    if ident == form.id:
        faults.append(fault("form.id", "a copy has an id of its own", ident, f"our-{form.id}"))
    if not by.strip():
        faults.append(fault("written_by", "somebody answers for a form", by, "a name"))
    made = replace(form, id=ident, edition=1, replaces="", based_on=form.version, written_by=by)
    gather([*faults, *form_faults(made)])
    return made


def chosen(form: Form, choice: str, option: str) -> Form:
    """The form with a local choice made. Refused where there is no such choice or option."""
    there = {one.id: one for one in form.choices}
    if choice not in there:
        raise refused(
            "choice", "the form has no such choice", choice, ", ".join(there) or "none; this form has no choices"
        )
    if option not in there[choice].options:
        raise refused(f"choice {choice}", "no such option", option, ", ".join(there[choice].options))
    made = tuple(replace(one, chosen=option) if one.id == choice else one for one in form.choices)
    return replace(form, choices=made)


def revised(form: Form, draft: Form, *, in_use: bool, by: str) -> Form:
    """The form after an edit. in_use: an attempt was begun on it, so the edit is a new edition and the old version stays.

    Refused, with every fault, where the draft is no form, is of another skill or container, or was begun on another version:
    somebody else has edited it meanwhile. An edit that changes nothing gives the form back.
    """
    faults = form_faults(draft)
    if (draft.id, draft.container) != (form.id, form.container):
        came = f"{draft.id}, {container_word(draft.container)}"
        faults.append(
            fault("form.id", "an edit keeps id and container", came, f"{form.id}, {container_word(form.container)}")
        )
    if (draft.edition, draft.replaces) != (form.edition, form.replaces):
        rule = "the form was edited meanwhile; look at the newest edition and edit that"
        faults.append(fault("form.edition", rule, draft.edition, form.edition_words))
    if not by.strip():
        faults.append(fault("written_by", "somebody answers for a form", by, "a name"))
    gather(faults)
    if replace(draft, written_by=form.written_by) == form:
        return form
    made = replace(draft, written_by=by)
    return replace(made, edition=form.edition + 1, replaces=form.version) if in_use else made


def changes(old: Form, new: Form) -> tuple[str, ...]:
    """What a new edition changed, in sentences: for the page that shows an edit, and for the record."""
    before, after = {one.id: one for one in old.steps}, {one.id: one for one in new.steps}
    found = [
        f"{name}: {getattr(old, name)} became {getattr(new, name)}."
        for name in ("title", "minutes")
        if getattr(old, name) != getattr(new, name)
    ]
    made = {one.id: one.chosen for one in old.choices}
    found += [
        f"Choice {one.id}: {made.get(one.id, 'none')} became {one.chosen}."
        for one in new.choices
        if made.get(one.id) != one.chosen
    ]
    found += [f"Step {ident} is gone." for ident in before if ident not in after]
    found += [f"Step {ident} is new." for ident in after if ident not in before]
    for ident, step in after.items():
        earlier = before.get(ident, step)
        if earlier.critical != step.critical:
            found.append(f"Step {ident} is {'now' if step.critical else 'no longer'} critical.")
        if replace(earlier, critical=step.critical) != step:
            found.append(f"Step {ident} reads or counts otherwise.")
    if list(before) != list(after) and set(before) == set(after):
        found.append("The steps stand in another order.")
    return tuple(found)
