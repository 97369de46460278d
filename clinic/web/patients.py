"""Looking a patient up, and registering a new one."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from clinic.common.clock import now
from clinic.followup.refusals import CourseFaults
from clinic.followup.services import register_patient
from clinic.people.duties import may
from clinic.web import queries
from clinic.web.access import for_duty, posted, staff_only
from clinic.web.forms.register import RegisterForm
from rehab.queries import pathways_in_force


@require_safe
@staff_only
def show_patients(request):
    """List patients by name; the search narrows the list and never chooses."""
    words = request.GET.get("q", "").strip()[:80]
    found = queries.find_patients(request.staff.site, words)
    shown = list(found[: queries.LIST_LENGTH])
    is_more = len(shown) == queries.LIST_LENGTH
    context = {
        "words": words,
        "patients": shown,
        "is_more": is_more,
        "may_register": may("register_patient", request.staff),
    }
    return render(request, "patients/page.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@for_duty("register_patient")
def register(request):
    """Register a patient with a broken tibia, or say everything that is wrong."""
    form = register_form(request)
    if request.method == "POST" and form.is_valid():
        try:
            outcome = register_patient(form.registration(), by=request.staff)
        except CourseFaults as found:
            form.take_faults(found.faults)
        else:
            messages.success(request, _("%(name)s is registered.") % {"name": outcome.episode.patient.full_name})
            return redirect("episode", outcome.episode.uuid)
    return render(request, "patients/register.html", {"form": form})


def register_form(request) -> RegisterForm:
    """The form, filled with what was posted."""
    site = request.staff.site
    shared = next(iter(pathways_in_force(site.uuid).values())).shared
    return RegisterForm(posted(request), shared=shared, site=site, now=now())
