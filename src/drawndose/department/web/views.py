"""The pages. Each answer is worked out anew from the form; nothing is kept between two requests but the lighting."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from drawndose.department.web import comparing
from drawndose.department.web.answering import answer, answer_form
from drawndose.department.web.asking import Asked
from drawndose.department.web.clock import clock_of
from drawndose.department.web.comparing import compare_page
from drawndose.department.web.eyes import eyes
from drawndose.department.web.page import LIGHTS, bench_page
from drawndose.department.web.parts import specimens
from drawndose.department.web.stocking import instruments_page, read_wanted
from drawndose.department.web.weighing import Typed
from drawndose.department.web.weighing import read_form as read_typed
from drawndose.department.web.weighing_page import weighing_page
from drawndose.reference import load

A_YEAR = 365 * 24 * 60 * 60


@require_http_methods(["GET", "HEAD", "POST"])
@vary_on_headers("HX-Request")
def bench(request: HttpRequest) -> HttpResponse:
    """The bench: the whole page, or its live parts when the page itself asks."""
    book = load()
    clock = clock_of(request)
    given = answer_form(request.POST, book, clock) if request.method == "POST" else answer(Asked(), book)
    light = light_of(request)
    live = request.method == "POST" and getattr(request, "htmx", False)
    context = bench_page(given, book, light) | {
        "live": bool(live),
        "clock": f"{clock:%H:%M}",
        "zone": str(clock.tzinfo),
    }
    return lit(request, render(request, "bench/live.html" if live else "bench/page.html", context))


@require_POST
def eye(request: HttpRequest) -> HttpResponse:
    """What the controls of one drawing show now: the page's own form is read, and the plan is made anew without being judged."""
    book = load()
    given = answer_form(request.POST, book)
    found = eyes(given.plan, given.asked.eyes, book) if given.plan is not None else {}
    return render(request, "bench/_eye_seen.html", {"eye": found.get(given.asked.eyes.get("for", ""))})


@require_safe
def instruments(request: HttpRequest) -> HttpResponse:
    """Which instrument may measure which volume, for a chosen limit; everything asked stands in the address."""
    context = instruments_page(read_wanted(request.GET), load()) | {"light": light_of(request), "lights": LIGHTS}
    return lit(request, render(request, "bench/instruments.html", context))


@require_safe
def compare(request: HttpRequest) -> HttpResponse:
    """One volume in several instruments, side by side; everything asked stands in the address."""
    context = compare_page(comparing.read_wanted(request.GET), load())
    context |= {"light": light_of(request), "lights": LIGHTS}
    return lit(request, render(request, "bench/compare.html", context))


@require_http_methods(["GET", "HEAD", "POST"])
def weighing(request: HttpRequest) -> HttpResponse:
    """What was really drawn, by the balance. Readings are no one's address: the form is sent, and nothing of it is kept."""
    length = int(request.headers.get("Content-Length") or 0)
    typed = read_typed(request.POST, request.FILES, length) if request.method == "POST" else Typed()
    context = weighing_page(typed, load()) | {"light": light_of(request), "lights": LIGHTS}
    return lit(request, render(request, "bench/weighing.html", context))


def lit(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """The answer, which keeps the lighting when it was chosen in this request."""
    if "light" in request.POST or "light" in request.GET:
        response.set_cookie("light", light_of(request), max_age=A_YEAR, samesite="Lax")
    return response


def light_of(request: HttpRequest) -> str:
    """The lighting that the person chose by hand: just now, or before."""
    known = {name for name, _, _ in LIGHTS}
    chosen = request.POST.get("light") or request.GET.get("light") or request.COOKIES.get("light", "")
    return chosen if chosen in known else "day"


@require_safe
def parts(request: HttpRequest) -> HttpResponse:
    """Every part of the pages in every state, to be looked at and tested."""
    context = {"light": light_of(request), "lights": LIGHTS, "specimens": specimens(load())}
    return render(request, "bench/parts.html", context)
