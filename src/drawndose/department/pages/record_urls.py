"""Addresses of patients, orders, shelf, records, day report, policy and rules."""

from django.urls import path

from drawndose.department.pages import orders, patients

RECORDS = [
    path("patients/", patients.patients, name="patients"),
    path("patients/new/", patients.new, name="patient-new"),
    path("patients/<int:number>/", patients.patient, name="patient"),
    path("orders/new/", orders.new, name="order-new"),
    path("orders/<int:number>/", orders.order, name="order"),
    path("orders/<int:number>/change/", orders.change, name="order-change"),
    path("orders/<int:number>/doses/<int:dose>/", orders.dose_not_given, name="dose-not-given"),
]
