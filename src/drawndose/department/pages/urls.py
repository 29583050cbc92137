"""Addresses of the pages that keep records."""

from django.urls import path

from drawndose.department.pages import board, signing

urlpatterns = [
    path("board/", board.board, name="board"),
    path("sign-in/", signing.sign_in, name="sign-in"),
    path("sign-off/", signing.sign_off, name="sign-off"),
]
