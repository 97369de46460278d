"""The register form: a patient, the injury, how the bone is held, and the circumstances one must ask about."""

import re
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clinic.followup.services import Registration
from clinic.people.models import Patient, PrintSize
from clinic.people.phones import mobile_number
from clinic.web.forms.fields import (
    ChoiceField,
    KilogramField,
    PastDateField,
    PastMomentField,
    StripField,
    WordsField,
    offer,
)
from clinic.web.forms.register_choices import (
    AS_TYPED,
    CIRCUMSTANCES,
    FIBULA,
    FIELD_OF,
    NONE_OF_THESE,
    OF_A_WOUND,
    OPEN_GRADES,
    PRINCIPLES,
    SIDES,
    TREATMENTS,
    circumstance_choices,
)
from rehab.engine.pathway import SharedRules
from rehab.engine.scope import is_of_age
from rehab.words import in_words, number

CODE = re.compile(r"(\d{2})\s*-?\s*([A-C])\s*([1-3])?", re.IGNORECASE)


class RegisterForm(forms.Form):
    """A new patient with one broken tibia. Nothing has a default that could be wrong unseen."""

    given_name = WordsField(label=gettext_lazy("Given name"), max_length=80)
    family_name = WordsField(label=gettext_lazy("Family name"), max_length=80)
    born_on = PastDateField(label=gettext_lazy("Date of birth"))
    hospital_number = WordsField(label=gettext_lazy("Hospital number"), max_length=40)
    email = forms.EmailField(
        label=gettext_lazy("E-mail"),
        required=False,
        error_messages={"invalid": gettext_lazy("This is not an e-mail address. Write it like ann@example.org.")},
        help_text=gettext_lazy("For confirmations and calendar invitations."),
    )
    mobile = WordsField(
        label=gettext_lazy("Mobile"),
        max_length=40,
        required=False,
        help_text=gettext_lazy("For reminders by text message."),
    )
    print_size = ChoiceField(label=gettext_lazy("Size of print on papers"), choices=PrintSize.choices)

    side_typed = WordsField(
        label=gettext_lazy("Which leg is broken?"),
        max_length=20,
        help_text=gettext_lazy("Type the word as the operation note or the X-ray report has it: left or right."),
        error_messages={"required": gettext_lazy("Type the side: left or right.")},
    )
    side = ChoiceField(
        label=gettext_lazy("Confirm the side"),
        choices=SIDES,
        kind="sides",
        error_messages={"required": gettext_lazy("Choose LEFT leg or RIGHT leg.")},
    )
    injured_at = PastMomentField(label=gettext_lazy("Injured on"))
    presented_at = PastMomentField(
        label=gettext_lazy("Came to the hospital on"),
        required=False,
        help_text=gettext_lazy("Left empty, the moment of the injury counts."),
    )
    fracture_code = WordsField(
        label=gettext_lazy("AO/OTA code of the fracture"),
        max_length=20,
        help_text=gettext_lazy(
            "Segment and class, like 42-A2. The shaft is 42; near the knee (41) and the ankle (43) is another pathway."
        ),
    )
    edition = StripField(
        label=gettext_lazy("Edition of the code"), choices=[("2018", "2018"), ("2007", "2007")], initial="2018"
    )
    fibula = ChoiceField(label=gettext_lazy("Fibula"), choices=FIBULA)
    open_grade = ChoiceField(
        label=gettext_lazy("Skin and wound (Gustilo-Anderson)"),
        choices=OPEN_GRADES,
        error_messages={
            "required": gettext_lazy("Say whether the skin is whole, or the open grade. It must be known.")
        },
    )
    antibiotic_at = PastMomentField(label=gettext_lazy("If it is open: first antibiotic given on"), required=False)
    wound_closed_at = PastMomentField(
        label=gettext_lazy("If it is open: wound closed or covered on"),
        required=False,
        help_text=gettext_lazy("Left empty, the antibiotic is reviewed from the start of the treatment."),
    )
    circumstances = forms.MultipleChoiceField(
        label=gettext_lazy("Does any of these apply?"),
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("Ask. Tick what applies, or “None of these”."),
        error_messages={"required": gettext_lazy("Tick what applies, or “None of these”.")},
    )
    treatment = ChoiceField(label=gettext_lazy("How is the bone held?"), choices=TREATMENTS)
    treated_at = PastMomentField(label=gettext_lazy("Operation begun, or cast put on"))
    fixation_principle = ChoiceField(label=gettext_lazy("If it is a plate"), choices=PRINCIPLES, required=False)
    weight = KilogramField(
        label=gettext_lazy("Weight, in kg"), required=False, help_text=gettext_lazy("One decimal, for example 84.5")
    )
    weighed_on = PastDateField(label=gettext_lazy("Weight measured on"), required=False)
    weight_is_right = forms.BooleanField(label=gettext_lazy("The weight is unusual, and it is right"), required=False)
    without_plan = forms.BooleanField(
        label=gettext_lazy("Register without a plan: a clinician arranges the follow-up"), required=False
    )

    def __init__(self, *args, shared: SharedRules, site, now: datetime, **kwargs):
        super().__init__(*args, **kwargs)
        self.shared, self.site, self.zone = shared, site, ZoneInfo(site.time_zone)
        self.now = now.astimezone(self.zone)
        offer(self, "circumstances", circumstance_choices(shared))
        for field in self.fields.values():
            if isinstance(field, PastDateField):
                field.today = self.now.date()
            if isinstance(field, PastMomentField):
                field.now = self.now.replace(tzinfo=None)
        self.is_out_of_scope = False
        self.is_weight_unusual = False

    # Each field by itself

    def clean_hospital_number(self) -> str:
        """A number on file already belongs to somebody: the search shows who."""
        given = self.cleaned_data["hospital_number"].strip()
        if Patient.objects.filter(site=self.site, hospital_number__iexact=given).exists():
            raise ValidationError(_("This hospital number belongs to a patient already on file. Look them up."))
        return given

    def clean_mobile(self) -> str:
        """The number as it can be rung from anywhere."""
        return mobile_number(self.cleaned_data["mobile"], self.site.country)

    def clean_side_typed(self) -> str:
        """The word itself; a letter or a slip is not enough."""
        typed = self.cleaned_data["side_typed"].strip().casefold()
        words = {"left": "left", "left leg": "left", "right": "right", "right leg": "right"}
        if typed not in words:
            raise ValidationError(_("Type the whole word: left or right. One record is one leg."))
        return words[typed]

    def clean_fracture_code(self) -> tuple[str, str]:
        """Segment and class apart."""
        typed = self.cleaned_data["fracture_code"].strip()
        found = CODE.fullmatch(typed)
        if not found:
            message = _("“%(typed)s” is not a code of this kind. Give it like 42-A2: A, B or C, then 1 to 3.")
            raise ValidationError(message % {"typed": typed})
        return found[1], found[2].upper() + (found[3] or "")

    def clean_weight(self) -> int | None:
        """Refuse a weight that no adult has, and ask again about one that few have."""
        tenths, rules = self.cleaned_data["weight"], self.shared.weights
        if tenths is not None and not rules.min_tenths_kg <= tenths <= rules.max_tenths_kg:
            message = _("Give the weight in kilograms, from %(least)s to %(most)s.")
            raise ValidationError(message % {"least": _kg(rules.min_tenths_kg), "most": _kg(rules.max_tenths_kg)})
        return tenths

    def clean_circumstances(self) -> list[str]:
        """Either some of them, or none."""
        ticked = self.cleaned_data["circumstances"]
        if NONE_OF_THESE in ticked and len(ticked) > 1:
            raise ValidationError(_("“None of these” is ticked, and something else too. Untick one of them."))
        return [code for code in ticked if code != NONE_OF_THESE]

    # Fields against each other

    def clean(self) -> dict:
        """Compare what belongs together; every fault goes to its own field."""
        super().clean()
        given = self.cleaned_data
        self._check_side(given)
        self._check_order(given)
        self._check_weight(given)
        self._check_scope(given)
        return given

    def _check_side(self, given: dict) -> None:
        typed, confirmed = given.get("side_typed"), given.get("side")
        if typed and confirmed and typed != confirmed:
            words = {"typed": typed.upper(), "confirmed": confirmed.upper()}
            self.add_error(
                "side", _("You typed %(typed)s and confirmed %(confirmed)s. Look at the note again.") % words
            )

    def _check_order(self, given: dict) -> None:
        injured, born_on = given.get("injured_at"), given.get("born_on")
        if injured and born_on and born_on > injured.date():
            self.add_error("born_on", _("The person cannot be born after the injury."))
        for name in ("presented_at", "treated_at", *OF_A_WOUND):
            moment = given.get(name)
            if injured and moment and moment < injured:
                message = _("This is before the injury of %(on)s.") % {"on": in_words(injured.date())}
                self.add_error(name, message)
            elif moment and name in OF_A_WOUND and given.get("open_grade") == "closed":
                self.add_error(name, _("The skin is whole, so there is no wound. Leave this empty, or give the grade."))
        if given.get("fixation_principle") and given.get("treatment") not in (None, "", "plate_and_screws"):
            self.add_error("fixation_principle", _("This is asked of a plate only."))

    def _check_weight(self, given: dict) -> None:
        weight, weighed_on = given.get("weight"), given.get("weighed_on")
        if weight is not None and weighed_on is None and "weighed_on" not in self.errors:
            self.add_error("weighed_on", _("A weight needs the day it was measured."))
        if weighed_on and weight is None and "weight" not in self.errors:
            self.add_error("weight", _("A day of weighing needs the weight in kilograms."))
        rules = self.shared.weights
        if weight is not None and not rules.confirm_below_tenths_kg <= weight <= rules.confirm_above_tenths_kg:
            self.is_weight_unusual = True
            if not given.get("weight_is_right"):
                message = _("%(kg)s kg is unusual. Correct it, or confirm below that it is right.")
                self.add_error("weight", message % {"kg": _kg(weight)})

    def _check_scope(self, given: dict) -> None:
        """Out of scope is refused, or registered without a plan on a clinician's list: never planned silently."""
        refused = self._out_of_scope(given)
        self.is_out_of_scope = bool(refused)
        if not given.get("without_plan"):
            for name, message in refused:
                self.add_error(name, message)

    def _out_of_scope(self, given: dict) -> list[tuple[str, str]]:
        found, shared = [], self.shared
        segment = given.get("fracture_code", ("", ""))[0]
        if segment and segment != shared.bone_segment:
            words = {"segment": segment, "shaft": shared.bone_segment}
            message = _("%(segment)s is not the tibial shaft. This tool plans %(shaft)s only: use the local pathway.")
            found.append(("fracture_code", message % words))
        born_on, injured = given.get("born_on"), given.get("injured_at")
        if (
            born_on
            and injured
            and born_on <= injured.date()
            and not is_of_age(born_on, injured.date(), shared.adult_age)
        ):
            message = _("Under %(age)d on the day of the injury. This tool plans for adults only.")
            found.append(("born_on", message % {"age": shared.adult_age}))
        ruled_out = [code for code in given.get("circumstances", []) if code in shared.refused_circumstances]
        if ruled_out:
            names = ", ".join(str(CIRCUMSTANCES.get(code, code)) for code in ruled_out)
            message = _("This tool makes no plan for: %(words)s. Use the local pathway.")
            found.append(("circumstances", message % {"words": names}))
        return found

    def registration(self) -> Registration:
        """What a valid form brings to the act."""
        given = self.cleaned_data
        segment, fracture_class = given["fracture_code"]
        weight = given["weight"]
        return Registration(
            **{name: given[name] for name in AS_TYPED},
            print_size=int(given["print_size"]),
            injured_at=self._instant(given["injured_at"]),
            presented_at=self._instant(given["presented_at"]),
            side_again=given["side_typed"],
            bone_segment=segment,
            fracture_class=fracture_class,
            edition=int(given["edition"]),
            circumstances=tuple(given["circumstances"]),
            antibiotic_at=self._instant(given["antibiotic_at"]),
            wound_closed_at=self._instant(given["wound_closed_at"]),
            treated_at=self._instant(given["treated_at"]),
            fixation_principle=given["fixation_principle"] or None,
            weight_kg=None if weight is None else Decimal(weight) / 10,
        )

    def _instant(self, wall: datetime | None) -> datetime | None:
        return wall and wall.replace(tzinfo=self.zone)

    def take_faults(self, faults: list[dict[str, str]]) -> None:
        """Put the faults that the act found beside the fields they are about."""
        for fault in faults:
            name = next((field for path, field in FIELD_OF.items() if fault["path"].startswith(path)), None)
            if name is None or not self.has_error(name):
                self.add_error(name, fault["message"])


def _kg(tenths: int) -> str:
    return number(Decimal(tenths) / 10)
