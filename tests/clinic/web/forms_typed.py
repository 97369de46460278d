"""What a browser posts, for the tests of the pages."""


def date_boxes(name: str, day: str, month: str, year: str, time: str | None = None) -> dict[str, str]:
    """The boxes of a date, with a time of day when there is one."""
    boxes = {f"{name}_0": day, f"{name}_1": month, f"{name}_2": year}
    return boxes if time is None else {**boxes, f"{name}_3": time}


NAILED = {
    "given_name": "Nadia",
    "family_name": "Rahmani",
    **date_boxes("born_on", "14", "5", "1971"),
    "hospital_number": "W 20 4118",
    "email": "nadia@example.org",
    "mobile": "07700 900118",
    "print_size": "14",
    "side_typed": "right",
    "side": "right",
    **date_boxes("injured_at", "2", "2", "2027", "11:00"),
    "fracture_code": "42-A2",
    "edition": "2018",
    "fibula": "intact",
    "open_grade": "closed",
    "circumstances": ["none"],
    "treatment": "intramedullary_nail",
    **date_boxes("treated_at", "2", "2", "2027", "15:00"),
    "weight": "84.5",
    **date_boxes("weighed_on", "2", "2", "2027"),
}
FILM = {
    **date_boxes("taken_on", "3", "2", "2027"),
    "coronal": "7",
    "coronal_toward": "varus",
    "sagittal": "4",
    "sagittal_toward": "apex anterior",
    "rotation": "0",
    "shortening": "2",
    "contact": "90",
}
