"""The file of a learner and of a class: all that an accreditor asks for, of this learner alone, with what it was judged by."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from drawndose.lab.attempts.evidence import Held, WeightFound
from drawndose.lab.cohort.invented import afternoon
from drawndose.lab.deciding.decide import decide
from drawndose.lab.deciding.rule import VolumeBy
from drawndose.lab.deciding.signoff import SignOff
from drawndose.lab.forms.form import Form
from drawndose.lab.papers.class_file import class_file
from drawndose.lab.papers.document import pdf_of
from drawndose.lab.papers.evidence import rule_pairs, signoff_rows
from drawndose.lab.papers.file import Records
from drawndose.lab.papers.learner_file import learner_file
from drawndose.paper.size import A4, LETTER, Paper
from drawndose.quantities import Refused
from tests.department.printing.reading import bare
from tests.lab.papers.paper_samples import NAMES, PRINTED, on_paper, records, said, texts
from tests.lab.samples import FORM, NOON, RULE, attempt, mark


def of_lea(found: Records | None = None, who: str = "lea", paper: Paper = A4) -> str:
    return said(pdf_of([learner_file(found or records(), who, of="Spring class", printed=PRINTED)], paper))


def of_class(found: Records | None = None, who: tuple[str, ...] = ("lea", "max")) -> str:
    return said(pdf_of([class_file(found or records(), who, of="Spring class", printed=PRINTED)]))


@pytest.mark.parametrize("paper", [A4, LETTER])
def test_every_text_of_both_files_is_printed_and_nothing_is_cut(paper: Paper) -> None:
    made = [learner_file(records(), "lea", of="Spring class", printed=PRINTED), class_file(records(), ("lea", "max"), of="Spring class", printed=PRINTED)]  # fmt: skip
    for one in made:
        pdf = pdf_of([one], paper)
        words = said(pdf)
        for each in (each for part in one.parts for each in texts(part)):
            assert all(bare(word) in words for word in each.split()), each
        on_paper(pdf, paper.width, paper.height, edge=11.0)


def test_a_learners_file_holds_marks_evidence_decisions_practice_signature_and_comment() -> None:
    words = of_lea()
    for one in (
        "FileofLeaLarch",
        "Answered0.5mL;rightis0.5mL.",
        "Readings12.3456,12.8456gat21°C.",
        "0.5mL;askedfor0.5mL,within0.05mLeitherway.",
        "5min0s",
        "passed(superseded)",
        "repeat",
        "PerPond:Anothercard'slabel.",
        bare(f"by {RULE.name}"),
        "PracticeplannedbyPerPond,sincelabel:Fivelabels.Notdoneyet.",
        "ReadandsignedbyLeaLarch,02Mar202613:00.",
        "Thelearner'scomment:Iwasnervous.",
        "Ampoule:terbutaline2.5mg",
        bare(FORM.name),
        "Whichway?Here:away.",
        "Said:Itisopenandundated.",
        "Markstakenback1",
        "Chartedfirst.aftertheprompt",
        "Notsignedbythelearner.",
        "Nopracticewasplanned.",
    ):
        assert one in words, one


def test_of_a_try_that_is_not_decided_no_file_tells_more_than_that_it_was() -> None:
    own, whole = of_lea(who="max"), of_class()
    for words in (own, whole):
        assert "1ofthemnotdecidedyet" in words
        assert not [one for one in ("Unseenyet.", "Unsaidyet.") if one in words]
    assert "Thisattemptisnotdecidedyet." in own
    assert "notdecidedyet(3)" in whole
    assert "3of5" not in bare(" ".join(texts(class_file(records(), ("max",), of="x", printed=PRINTED).parts)))


def test_a_try_that_is_open_again_shows_nothing_of_what_was_decided_before() -> None:
    again = records(waiting=frozenset({"a1", "a2"}))
    own, whole = of_lea(again), of_class(again)
    for one in ("Answered0.5mL", "passed(superseded)", "Iwasnervous.", "Anothercard'slabel."):
        assert one in of_lea()
        assert one not in own
    assert "Anothercard'slabel." in of_class()
    assert "Anothercard'slabel." not in whole
    assert "Noattemptwasscoredbytwo." in whole


def test_what_cannot_be_decided_is_no_result() -> None:
    half = replace(attempt(), sheets=(replace(attempt().sheets[0], marks=()),))
    made = decide(half, FORM, RULE, at=NOON + timedelta(hours=1), by="eva")
    found = records(attempts=(half,), decisions=(made,), signoffs=())
    assert found.results == ()
    assert "LeaLarchnotdecidedyet" in of_class(found, ("lea",))


def test_nothing_of_another_learner_stands_in_it() -> None:
    words = of_lea()
    for one in ("Max", "Hurried", "Tentimes", "25mg"):
        assert one not in words


def test_the_other_learners_file_tells_what_failed_and_who_saw_it() -> None:
    words = of_lea(who="max")
    for one in (
        "Answered5mL;rightis0.5mL.Thisistheanswerofaknownslip:factor10toomuch.",
        "Missing:route.",
        "Otherwisethanitmustbe:dose(25mg).",
        "Critical:handsleftout.(EvaElder)",
        "Overallimpression3of5",
        "Hurried.",
        "StepEvaElderPerPondNote",
        "notdonedone",
        "Done03Mar202612:00,seenbyEvaElder.",
        "Notsignedoffforanyskill.",
        "Nothingwassaid.",
        "1min1s",
        "Thelearnermadenocomment.",
        "nottakenyet",
    ):
        assert one in words, one


def test_the_class_file_holds_board_steps_agreement_action_decisions_and_resources() -> None:
    words = of_class()
    for one in (
        "EvaluatorsEvaElder,PerPond",
        "Whomaydowhat:Springclass.",
        "passed(2)",
        "1of4",
        "Stepsnotdone,trybytry:Ampoule.",
        "Drawnvolumeagainstitstarget:Ampoule.",
        "Evaluatorssidebyside",
        "75%",
        "Mostoftenotherwise:Ampoule,step1:1.",
        "Whateachsteptells",
        "Alpha(KR-20):",
        "Eachdoublingoftheattemptsmultipliestheoddstopassby",
        "of2learnersand4steps.Sofewlearnersgivehintsonly.",
        "Allevaluatorstogether",
        "Markedbytwo1attemptsof2evaluators,4steps",
        "Pairsofmarksalike75%",
        bare(f"What a line of {RULE.attempts} attempts can show"),
        "2notpassedinarow",
        "Watchedoneattempttogether.",
        "passed(superseded)",
        "gauze",
        bare(RULE.name),
        bare(f"Form: {FORM.name}"),
        "validPerPond",
    ):
        assert one in words, one


def test_a_class_that_has_not_begun_says_so() -> None:
    empty = records(attempts=(), decisions=(), signoffs=(), remediation=(), signed=(), actions=(), supplies=())
    words = of_class(empty)
    for one in ("nottried", "Nobodyissignedoffyet.", "Nostepwasfailed.", "Noattemptwasscoredbytwo.", "Noactionisrecorded.", "Nothingisdecidedyet.", "Nodayofthisclasswaslaidout."):  # fmt: skip
        assert one in words, one
    assert "Attempts0" in of_class(empty, ())
    assert "Alpha" not in words
    assert "Allevaluatorstogether" not in words


def test_steps_that_were_never_marked_and_attempts_not_decided_are_told() -> None:
    bare_try = attempt()
    unmarked = replace(bare_try, sheets=(replace(bare_try.sheets[0], marks=()),))
    words = of_class(records(attempts=(unmarked,), decisions=(), signoffs=()), ("lea",))
    assert "LeaLarchnotdecidedyet" in words
    older = replace(FORM, title="Ampoule as before", edition=2)
    both = records(forms=(FORM, older))
    assert bare("was marked on version") in of_class(both)


def test_a_form_with_more_steps_than_a_map_can_show_has_its_table_alone() -> None:
    steps = tuple(replace(FORM.steps[0], id=f"step-{at}", critical=False) for at in range(20))
    long = replace(FORM, steps=steps)
    assert "Stepsnotdone" not in of_class(all_done(long), ("lea",))
    assert "Stepsnotdone" in of_class(all_done(replace(long, steps=steps[1:])), ("lea",))


def test_a_pass_mark_out_of_impressions_stands_where_somebody_was_rated_borderline() -> None:
    one = attempt()

    def words(rating: int | None) -> str:
        tried = replace(one, sheets=(replace(one.sheets[0], rating=rating),))
        made = decide(tried, FORM, RULE, at=NOON, by="eva")
        return of_class(records(attempts=(tried,), decisions=(made,), signoffs=()), ("lea",))

    assert "Meanofthoserated2of5:100%,of1;interval" in words(2)
    assert "Apassmark" not in words(None)


def all_done(form: Form) -> Records:
    """One try on this form, with every step done, decided."""
    tried = attempt(*(mark(at, step.id) for at, step in enumerate(form.shown)), form=form)
    made = decide(tried, form, RULE, at=NOON, by="eva")
    return records(forms=(form,), attempts=(tried,), decisions=(made,), signoffs=())


def test_a_weighing_that_cannot_be_told_says_its_doubts() -> None:
    found = WeightFound(mL=0.55, u_mL=0.01, target_mL=0.5, tolerance_mL=0.05, held=Held.DOUBT, says="cannot be told", readings=("1", "2"), t_degC="21", doubts=("The vessel was wet.",))  # fmt: skip
    tried = attempt()
    tried = replace(tried, evidence=replace(tried.evidence, weighed=found))
    made = decide(tried, FORM, replace(RULE, volume=VolumeBy.READ), at=NOON, by="eva")
    assert "Thevesselwaswet." in of_lea(records(attempts=(tried,), rules=(replace(RULE, volume=VolumeBy.READ),), decisions=(made,)))  # fmt: skip


def test_a_rule_and_a_sign_off_are_told_in_words() -> None:
    loose = replace(RULE, days_between=0, remediation=False, second_on_last=False, sum_right=False, label_right=False, within_minutes=9, valid_months=0)  # fmt: skip
    words = " ".join(texts(rule_pairs(loose)))
    assert "no critical step failed; 80 % of the form or more; volume: by weight; within 9 min" in words
    assert "3 in all; 0 full days between A pass holds without an end" in words
    assert "1 full day between" in " ".join(texts(rule_pairs(RULE)))
    forever = SignOff(person="lea", skill="gone", decision="d", rule_version=loose.version, by="per", on=NOON.date(), until=None)  # fmt: skip
    assert list(signoff_rows([forever], records())) == [["Lea Larch", "gone", "02 Mar 2026", "no end", "valid", "Per Pond"]]  # fmt: skip
    (row,) = signoff_rows([replace(forever, stopped="ended: a later attempt was not passed")], records())
    assert row[4] == "ended: a later attempt was not passed"


def test_a_file_whose_forms_or_rules_are_missing_is_refused() -> None:
    with pytest.raises(Refused, match=f"form {FORM.version[:8]}, rule {RULE.version[:8]}"):
        records(forms=(), rules=())
    assert records().called("nobody") == "nobody"
    assert NAMES["lea"] == records().called("lea")


def test_a_whole_invented_class_is_printed_with_pictures_that_keep_their_size() -> None:
    made = afternoon("paper", datetime(2026, 3, 2, 13, 0, tzinfo=UTC), learners=32)
    names = {one.id: one.name for one in made.pupils} | {one.id: one.name for one in made.watchers}
    every = Records(forms=made.forms, rules=(made.rule,), attempts=made.attempts, decisions=made.decisions, zone=UTC, today=made.at.date(), names=names)  # fmt: skip
    document = class_file(every, [one.id for one in made.pupils], of="Invented class", printed=PRINTED)
    pictures = [part for part in _parts(list(document.parts)) if part.get("kind") == "picture"]
    assert sum("Who may do what" in str(one["name"]) for one in pictures) == 2
    assert sum("Drawn volume" in str(one["name"]) for one in pictures) >= 6
    assert all(float(str(one["height"])) <= 211 for one in pictures)
    words = said(pdf_of([document], LETTER))
    assert all(bare(one.name) in words for one in made.pupils)


def _parts(value: object) -> list[dict[str, object]]:
    if isinstance(value, dict):
        return [value, *(one for each in value.values() for one in _parts(each))]
    return [one for each in value for one in _parts(each)] if isinstance(value, list) else []
