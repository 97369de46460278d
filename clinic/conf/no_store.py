"""Pages about people are kept nowhere: not by the browser of a shared machine, not by a proxy."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

Handler = Callable[[HttpRequest], HttpResponse]


def no_store(get_response: Handler) -> Handler:
    """Ask that an answer be kept nowhere, unless the answer itself says how long. Static files never come here."""

    def handle(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Cache-Control", "no-store, private")
        return response

    return handle
