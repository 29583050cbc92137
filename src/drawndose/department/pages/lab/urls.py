"""Addresses of the skills lab."""

from django.urls import path

from drawndose.department.pages.lab import (
    attempt,
    cohort,
    day,
    form,
    items,
    learner,
    mine,
    papers,
    programme,
    rule,
    sheet,
    today,
)

LAB = [
    path("lab/", today.lab, name="lab"),
    path("lab/begin/", today.begin, name="lab-begin"),
    path("lab/sheet/<int:number>/", sheet.sheet, name="lab-sheet"),
    path("lab/sheet/<int:number>/draft/", sheet.draft, name="lab-draft"),
    path("lab/attempt/<int:number>/", attempt.attempt, name="lab-attempt"),
    path("lab/days/new/", day.new, name="lab-day-new"),
    path("lab/days/<int:number>/", day.day, name="lab-day"),
    path("lab/days/<int:number>/<slug:kind>.pdf", papers.day, name="lab-day-paper"),
    path("lab/classes/<int:number>/file.pdf", papers.cohort, name="lab-cohort-file"),
    path("lab/learners/<int:number>/file.pdf", papers.learner, name="lab-learner-file"),
    path("lab/mine/<int:number>/file.pdf", papers.own, name="lab-own-file"),
    path("lab/programme/", programme.programme, name="lab-programme"),
    path("lab/signed-off/", programme.signed, name="lab-signed"),
    path("lab/classes/<int:number>/", cohort.cohort, name="lab-cohort"),
    path("lab/classes/<int:number>/steps/", items.items, name="lab-items"),
    path("lab/classes/<int:number>/<slug:name>.csv", items.file, name="lab-file"),
    path("lab/learners/<int:number>/", learner.learner, name="lab-learner"),
    path("lab/learners/<int:number>/<slug:name>.csv", items.learner_file, name="lab-learner-csv"),
    path("lab/mine/<int:number>/<slug:name>.csv", items.own_file, name="lab-own-csv"),
    path("lab/rule/", rule.rule, name="lab-rule"),
    path("lab/forms/<slug:skill>/", form.form, name="lab-form"),
    path("lab/mine/", mine.own, name="lab-mine"),
    path("lab/mine/<int:number>/", mine.result, name="lab-result"),
]
