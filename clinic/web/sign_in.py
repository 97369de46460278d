"""Signing in and out: Django's own, in our words."""

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.utils.translation import gettext_lazy as _


class SignInForm(AuthenticationForm):
    """Name and password. One message for either mistake, so that it gives nothing away."""

    error_messages = {
        "invalid_login": _("This name and password do not belong together. Look at capitals, then try again."),
        "inactive": _("This name is not in use any more. Ask the clinic manager."),
    }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["username"] = forms.CharField(
            label=_("Name"), widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"})
        )
        self.fields["password"].label = _("Password")


class SignIn(LoginView):
    """The sign-in page."""

    template_name = "sign_in/page.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True


class SignOut(LogoutView):
    """Signs out; a press, never a link."""

    http_method_names = ["post"]
