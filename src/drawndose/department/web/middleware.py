"""Headers that hold the browser to what the page itself brings: no other host, no script or style inside the markup."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

POLICY = "; ".join(
    (
        "default-src 'self'",
        "object-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)


def strict_content(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Add the content policy to every answer, and forbid to keep a page that may hold a person's order."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response["Content-Security-Policy"] = POLICY
        response["Permissions-Policy"] = "camera=(), geolocation=(), microphone=()"
        if not request.path.startswith("/static/"):
            response["Cache-Control"] = "no-store"
        return response

    return answer
