"""Addresses of patients, orders, shelf, records, day report, policy, rules and long work."""

from django.urls import path

from drawndose.department.pages import orders, patients, policy, receiving, records, rules, shelf
from drawndose.department.pages.jobs import views as jobs

RECORDS = [
    path("jobs/", jobs.jobs, name="jobs"),
    path("jobs/<int:number>/", jobs.job, name="job"),
    path("jobs/<int:number>/file/", jobs.job_file, name="job-file"),
    path("shelf/", shelf.shelf, name="shelf"),
    path("shelf/receive/", receiving.receive, name="shelf-receive"),
    path("shelf/recall/", shelf.recall, name="shelf-recall"),
    path("shelf/<int:number>/", shelf.container, name="container"),
    path("shelf/<int:number>/label.pdf", shelf.label_pdf, name="container-label"),
    path("shelf/levels/", policy.stock_level, name="stock-level"),
    path("policy/", policy.policy, name="policy"),
    path("policy/<slug:name>/", policy.setting, name="setting"),
    path("rules/", rules.rules, name="rules"),
    path("rules/silence/", rules.silence, name="silence"),
    path("records/", records.records, name="records"),
    path("day/", records.day, name="day"),
    path("patients/", patients.patients, name="patients"),
    path("patients/new/", patients.new, name="patient-new"),
    path("patients/<int:number>/", patients.patient, name="patient"),
    path("orders/new/", orders.new, name="order-new"),
    path("orders/<int:number>/", orders.order, name="order"),
    path("orders/<int:number>/change/", orders.change, name="order-change"),
    path("orders/<int:number>/doses/<int:dose>/", orders.dose_not_given, name="dose-not-given"),
]
