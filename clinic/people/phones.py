"""Mobile numbers: written as people write them, kept as +44…"""

import re

import phonenumbers
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

# Numbers set aside for invented people (Ofcom: 07700 900000 to 900999). The library calls them invalid.
INVENTED = re.compile(r"\+447700900\d{3}")


def mobile_number(text: str, country: str) -> str:
    """Give the number in international form (E.164), or an empty text for an empty one.

    Raises ValidationError when it cannot be rung, or cannot take a text message.
    """
    if not text.strip():
        return ""
    try:
        number = phonenumbers.parse(text, country)
    except phonenumbers.NumberParseException:
        raise ValidationError(_unusable(text)) from None
    written = phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)
    if not INVENTED.fullmatch(written) and not _takes_texts(number):
        raise ValidationError(_unusable(text))
    return written


def spoken_number(e164: str, country: str) -> str:
    """Give a number as people at home read it, "07700 900123", one from abroad with its +49; never broken apart."""
    try:
        number = phonenumbers.parse(e164, country)
    except phonenumbers.NumberParseException:
        return e164
    is_home = number.country_code == phonenumbers.country_code_for_region(country)
    way = phonenumbers.PhoneNumberFormat.NATIONAL if is_home else phonenumbers.PhoneNumberFormat.INTERNATIONAL
    return phonenumbers.format_number(number, way).replace(" ", "\N{NO-BREAK SPACE}")


def _takes_texts(number: phonenumbers.PhoneNumber) -> bool:
    kinds = (phonenumbers.PhoneNumberType.MOBILE, phonenumbers.PhoneNumberType.FIXED_LINE_OR_MOBILE)
    return phonenumbers.is_valid_number(number) and phonenumbers.number_type(number) in kinds


def _unusable(text: str) -> str:
    problem = _("“%(text)s” is not a mobile number that can take a text.") % {"text": text}
    return problem + " " + _("Write it like 07700 900123 or +44 7700 900123.")
