import pytest

from clinic.demo.clinic_file import read_clinic
from clinic.demo.story import StoryFaults


def test_every_role_has_somebody_to_sign_in_as():
    assert [each.role for each in read_clinic().one_of_each_role()] == [
        "clerk",
        "physiotherapist",
        "surgeon",
        "manager",
    ]


@pytest.mark.parametrize(
    ("right", "wrong", "fault"),
    [
        ("password =", "pasword =", "clinic.toml: “pasword” is not a known key; did you mean “password”?"),
        ("x_ray = 11", "xray = 11", "clinic.toml: sessions.room_for.xray: a number of places at one of: "
         "consultation, x_ray, plaster, physiotherapy."),
        ('role = "manager"', 'role = "surgeon"', "clinic.toml: staff: nobody is manager."),
        ('weekday = "fri"', 'weekday = "friday"', "clinic.toml: closed 1.weekday: “friday” is not a known weekday; "
         "did you mean “fri”?"),
    ],
)  # fmt: skip
def test_a_mistyped_clinic_is_refused_with_its_place(own_folder, right, wrong, fault):
    path = own_folder / "clinic.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(right, wrong), encoding="utf-8")

    with pytest.raises(StoryFaults) as refused:
        read_clinic(own_folder)

    assert fault in refused.value.faults
