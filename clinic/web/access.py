"""Who may open a page. The acts ask again for themselves, so that no page can forget it."""

from collections.abc import Callable
from functools import wraps
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404

from clinic.people.duties import may
from clinic.people.models import Episode, StaffMember

View = Callable[..., HttpResponse]


class StaffRequest(HttpRequest):
    """A request of somebody who works here."""

    staff: StaffMember


def staff_only(view: View) -> View:
    """Let staff in; a user who works at no site is refused."""

    @wraps(view)
    @login_required
    def guarded(request: StaffRequest, *args, **kwargs) -> HttpResponse:
        request.staff = staff_member_of(request)
        return view(request, *args, **kwargs)

    return guarded


def for_duty(act: str) -> Callable[[View], View]:
    """Let in only those whose duty an act is."""

    def guard(view: View) -> View:
        @wraps(view)
        @staff_only
        def guarded(request: StaffRequest, *args, **kwargs) -> HttpResponse:
            if not may(act, request.staff):
                raise PermissionDenied
            return view(request, *args, **kwargs)

        return guarded

    return guard


def staff_member_of(request: HttpRequest) -> StaffMember:
    """The member of staff who is signed in, with the site. One query."""
    member = StaffMember.objects.select_related("site", "user").filter(user_id=request.user.pk or 0).first()
    if member is None:
        raise PermissionDenied
    return member


def episode_for(staff: StaffMember, key: UUID) -> Episode:
    """An episode of the person's own site; of any other site it does not exist."""
    episodes = Episode.objects.select_related("patient", "injury", "site").filter(site=staff.site_id)
    return get_object_or_404(episodes, uuid=key)


def posted(request: HttpRequest) -> QueryDict | None:
    """What was posted, also when it is nothing at all; None for a page that was only opened."""
    return request.POST if request.method == "POST" else None
