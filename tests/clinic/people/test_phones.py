import pytest
from django.core.exceptions import ValidationError

from clinic.people.phones import mobile_number, spoken_number


@pytest.mark.parametrize(
    ("text", "country", "number"),
    [
        ("07700 900123", "GB", "+447700900123"),  # Ofcom: set aside for drama; the library calls it invalid
        ("+44 7700 900123", "US", "+447700900123"),
        ("07400 123456", "GB", "+447400123456"),  # the library's own example of a GB mobile
        ("(201) 555-0123", "US", "+12015550123"),  # US numbers do not tell mobile from fixed
        ("  ", "GB", ""),
    ],
)
def test_a_mobile_number_is_kept_in_international_form(text, country, number):
    assert mobile_number(text, country) == number


@pytest.mark.parametrize("text", ["12", "ring the neighbour", "0121 234 5678", "07700 90012", "999"])
def test_a_number_that_cannot_take_a_text_is_refused_with_an_example(text):
    with pytest.raises(ValidationError, match="Write it like 07700 900123"):
        mobile_number(text, "GB")


@pytest.mark.parametrize(
    ("kept", "country", "read"),
    [
        ("+447700900324", "GB", "07700 900324"),
        ("+447700900324", "DE", "+44 7700 900324"),
        ("+12015550123", "US", "(201) 555-0123"),
        ("desk C", "GB", "desk C"),
    ],
)
def test_a_number_is_read_out_as_at_home_or_from_abroad_and_stays_on_one_line(kept, country, read):
    assert spoken_number(kept, country).replace("\N{NO-BREAK SPACE}", " ") == read
    assert " " not in spoken_number("+447700900324", country)
