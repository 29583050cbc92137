"""Addresses of the pages that keep records."""

from django.urls import path

from drawndose.department.pages import board, drafts, own, people, places, signing
from drawndose.department.pages.lab.urls import LAB
from drawndose.department.pages.record_urls import RECORDS
from drawndose.department.pages.sheet import close, draw, give, in_hand, label, new, paper, record, second, whole

urlpatterns = [
    path("board/", board.board, name="board"),
    path("me/", own.me, name="me"),
    path("people/", people.people, name="people"),
    path("people/<int:number>/", people.person, name="person"),
    path("people/sites/", places.places, name="places"),
    path("draft/", drafts.draft, name="draft"),
    path("sheet/new/", new.new, name="sheet-new"),
    path("sheet/<int:number>/", whole.sheet, name="sheet"),
    path("sheet/<int:number>/order/", new.order_place, name="sheet-order"),
    path("sheet/<int:number>/in-hand/", in_hand.in_hand, name="sheet-in-hand"),
    path("sheet/<int:number>/draw/", draw.draw, name="sheet-draw"),
    path("sheet/<int:number>/second/", second.second, name="sheet-second"),
    path("sheet/<int:number>/label/", label.label, name="sheet-label"),
    path("sheet/<int:number>/label.pdf", label.label_pdf, name="sheet-label-pdf"),
    path("sheet/<int:number>/label.png", label.label_png, name="sheet-label-png"),
    path("sheet/<int:number>/sheet.pdf", paper.sheet_pdf, name="sheet-paper"),
    path("sheet/<int:number>/give/", give.give, name="sheet-give"),
    path("sheet/<int:number>/close/", close.close, name="sheet-close"),
    path("sheet/<int:number>/break-off/", close.break_off, name="sheet-break-off"),
    path("sheet/<int:number>/record/", record.record, name="sheet-record"),
    path("sign-in/", signing.sign_in, name="sign-in"),
    path("sign-in/back/", signing.back, name="sign-back"),
    path("sign-in/kept/", signing.kept_page, name="kept"),
    path("sign-in/kept/leave/", signing.leave, name="leave"),
    path("sign-off/", signing.sign_off, name="sign-off"),
    path("sign-off/idle/", signing.idle, name="idle"),
    *RECORDS,
    *LAB,
]
