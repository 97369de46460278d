import re
from hashlib import sha256
from pathlib import Path

from clinic.documents.faces import FAMILIES, FONTS, face_rules

STATIC = Path(__file__).parents[3] / "clinic" / "web" / "static" / "fonts"


def test_every_file_is_a_family_of_its_own():
    """WeasyPrint 70 mixes letters up when files share a family."""
    pairs = re.findall(r'font-family: "([^"]+)"; font-weight: (\d+)', face_rules())

    assert len(pairs) == len(set(pairs)) == 2 * len(FAMILIES)


def test_the_faces_travel_as_data():
    assert set(re.findall(r'url\("(\w+):', face_rules())) == {"data"}


def test_each_family_keeps_its_licence_beside_it():
    for folder in (FONTS, STATIC):
        for family in ("andika", "fira-sans", "literata"):
            assert "SIL Open Font License" in (folder / family / "LICENSE").read_text(encoding="utf-8")


def test_paper_and_pages_are_set_in_the_same_files():
    assert hashes(FONTS) == hashes(STATIC)


def hashes(folder):
    return {str(file.relative_to(folder)): sha256(file.read_bytes()).hexdigest() for file in folder.rglob("*.woff2")}
