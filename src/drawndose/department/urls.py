"""Addresses of the pages."""

from django.urls import include, path

from drawndose.department.keeping import health
from drawndose.department.web.aerosol_views import aerosol, aerosol_sum
from drawndose.department.web.views import bench, compare, eye, instruments, parts, weighing

urlpatterns = [
    path("", bench, name="bench"),
    path("aerosol/", aerosol, name="aerosol"),
    path("aerosol/<slug:what>/", aerosol_sum, name="aerosol-sum"),
    path("eye/", eye, name="eye"),
    path("instruments/", instruments, name="instruments"),
    path("instruments/compare/", compare, name="compare"),
    path("parts/", parts, name="parts"),
    path("weighing/", weighing, name="weighing"),
    path("health/", health.health, name="health"),
    path("ready/", health.readiness, name="ready"),
    path("metrics/", health.metrics, name="metrics"),
    path("", include("drawndose.department.pages.urls")),
]
handler400 = "drawndose.department.pages.instead.not_taken"
handler404 = "drawndose.department.pages.instead.not_found"
handler500 = "drawndose.department.pages.instead.broken"
