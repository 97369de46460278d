"""Choosing a session for a visit: the best first, what it costs in words, and whose agreement it needs."""

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clinic.web.forms.fields import ChoiceField, offer


class ClinicianField(forms.ChoiceField):
    """A named clinician; needed for some sessions only, so the field never says that it may be left empty."""

    is_always_asked = True


class BookingForm(forms.Form):
    """One session out of those with room. One outside the window needs a named clinician."""

    session = ChoiceField(
        label=gettext_lazy("Sessions with room"),
        choices=[],
        error_messages={
            "required": gettext_lazy("Choose a session."),
            "invalid_choice": gettext_lazy("That session has no room left, or was called off. Choose another."),
        },
    )
    accepted_by = ClinicianField(
        label=gettext_lazy("Clinician who accepts a place outside the window"),
        choices=[],
        required=False,
        error_messages={"invalid_choice": gettext_lazy("Choose a clinician of this clinic.")},
    )

    def __init__(self, *args, inside: list[str], outside: list[str], clinicians: list[tuple[str, str]], **kwargs):
        super().__init__(*args, **kwargs)
        self.outside = set(outside)
        offer(self, "session", [(key, key) for key in [*inside, *outside]])
        offer(self, "accepted_by", [("", _("Nobody yet")), *clinicians])

    def clean(self) -> dict:
        """A place outside the window is never taken without a name."""
        super().clean()
        given = self.cleaned_data
        if given.get("session") in self.outside and not given.get("accepted_by"):
            self.add_error("accepted_by", _("This place is outside the window. Name the clinician who accepts it."))
        return given
