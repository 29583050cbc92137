"""The programme's forms: taken up as shipped, or edited; each version kept for ever with the attempts that were marked on it."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from django.db import transaction

from drawndose.department.ledger.append import now
from drawndose.department.people.models import Person
from drawndose.department.training.change import begun, change, no
from drawndose.department.training.models import FormVersion
from drawndose.department.work.change import Moved
from drawndose.lab.forms.edited import copied, revised
from drawndose.lab.forms.form import Form, form_data
from drawndose.lab.forms.reading import read_form
from drawndose.lab.forms.shipped import shipped, shipped_form


def form_of(row: FormVersion) -> Form:
    """The form that a row keeps, whichever version it is."""
    return _read(row.digest, row.pk)


@lru_cache(maxsize=256)
def _read(digest: str, pk: int) -> Form:
    """A version never changes, so it is read once. ValueError where what is kept is not what the version says."""
    form = read_form(FormVersion.objects.get(pk=pk).content)
    if form.version != digest:
        raise ValueError(f"form version {pk} does not hold what its digest says")
    return form


def in_use(skill: str) -> FormVersion:
    """The version of a skill's form that is in use. Refused where the programme has taken up none."""
    row = FormVersion.objects.filter(skill=skill, state="in use").first()
    if row is None:
        raise no(
            "form", "the programme has taken up no form of this skill", skill, "take up the shipped one, or edit it"
        )
    return row


def forms_in_use() -> tuple[Form, ...]:
    """Every form that the programme uses."""
    return tuple(form_of(one) for one in FormVersion.objects.filter(state="in use").order_by("skill"))


def skills() -> tuple[tuple[str, str, FormVersion | None], ...]:
    """Every skill there is, with its title and the version in use, None where the programme has taken up none."""
    kept = {row.skill: row for row in FormVersion.objects.filter(state="in use")}
    return tuple((one.id, kept[one.id].title if one.id in kept else one.title, kept.get(one.id)) for one in shipped())


def titles() -> dict[str, str]:
    """The title of each skill in use or shipped."""
    return {skill: title for skill, title, _ in skills()}


def take_up(skill: str, *, by: Person, key: str | None = None) -> FormVersion:
    """Use the shipped form as it is. Refused where the programme has a form of this skill already."""
    form = shipped_form(skill)
    if FormVersion.objects.filter(skill=skill, state="in use").exists():
        raise no("form", "the programme has a form of this skill", skill, "edit the one in use")
    with transaction.atomic():
        return _written(skill, form, by=by, key=key, replaces="")


def revise(
    row: FormVersion, draft: Form, *, by: Person, version: int, reason: str = "", key: str | None = None
) -> FormVersion:
    """Another version in the place of the one in use. Refused with every fault of the draft; the old version stays with its attempts.

    The first edit of a shipped form makes the programme's own copy under an id of its own.
    """
    if row.version != version or row.state != "in use":
        raise Moved(row)
    old = form_of(row)
    base = old
    if old.id == row.skill:
        base = copied(old, f"our-{row.skill}", by=by.name)
        draft = _as_copy(draft, base)
    made = revised(base, draft, in_use=base is old, by=by.name)
    if made == old:
        return row
    with transaction.atomic():
        change(
            row, "form", "form.replaced", by=by, version=version, key=key, reason=reason, content={"by": made.version}
        )
        return _written(row.skill, made, by=by, key=None, replaces=row.digest)


def _as_copy(draft: Form, base: Form) -> Form:
    kept = {"id": base.id, "edition": base.edition, "replaces": base.replaces, "based_on": base.based_on}
    return replace(draft, **kept)  # type: ignore[arg-type]


def _written(skill: str, form: Form, *, by: Person, key: str | None, replaces: str) -> FormVersion:
    row = FormVersion(
        skill=skill,
        form_id=form.id,
        title=form.title,
        edition=form.edition,
        digest=form.version,
        content=form_data(form),
        by=by,
        at=now(),
    )
    content = {"skill": skill, "edition": form.edition, "digest": form.version, "replaces": replaces}
    return begun(row, "form", "form.written", by=by, key=key, content=content)
