"""Addresses of the pages that keep records."""

from django.urls import path

from drawndose.department.pages import board, own, people, signing

urlpatterns = [
    path("board/", board.board, name="board"),
    path("me/", own.me, name="me"),
    path("people/", people.people, name="people"),
    path("people/<int:number>/", people.person, name="person"),
    path("sign-in/", signing.sign_in, name="sign-in"),
    path("sign-in/back/", signing.back, name="sign-back"),
    path("sign-in/kept/", signing.kept_page, name="kept"),
    path("sign-in/kept/leave/", signing.leave, name="leave"),
    path("sign-off/", signing.sign_off, name="sign-off"),
    path("sign-off/idle/", signing.idle, name="idle"),
]
