"""Headers of every answer: what a page may load, and who may frame it."""

from flask import Flask, Response, request

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
PLAIN = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}
A_YEAR = "max-age=31536000"


def add_headers(app: Flask, https: bool) -> None:
    """Add them to every answer; pages of signed-in people are not kept by caches."""

    @app.after_request
    def add(answer: Response) -> Response:
        answer.headers.extend(PLAIN)
        if https:
            answer.headers.setdefault("Strict-Transport-Security", A_YEAR)
        if request.endpoint != "static":
            answer.headers.setdefault("Cache-Control", "no-store")
        return answer
