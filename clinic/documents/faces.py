"""The printed faces: every subset file is a family of its own, and travels inside the style sheet.

One family a file, because WeasyPrint 70 mixes letters up when several files share a family by
`unicode-range`. As data, because nothing else may be fetched while a sheet is made.
"""

from base64 import b64encode
from functools import cache
from pathlib import Path

FONTS = Path(__file__).parent / "fonts"
SUBSETS = ("latin", "latin-ext", "cyrillic", "cyrillic-ext", "vietnamese")
WEIGHTS = (400, 700)
FAMILIES = tuple(f"Andika {subset}" for subset in SUBSETS)


@cache
def face_rules() -> str:
    """The `@font-face` rules of everything a patient reads (Andika), and the list of families."""
    rules = [face_rule(subset, weight) for subset in SUBSETS for weight in WEIGHTS]
    families = ", ".join(f'"{family}"' for family in FAMILIES)
    return "\n".join(rules) + f"\nhtml {{ font-family: {families}, sans-serif }}\n"


def face_rule(subset: str, weight: int) -> str:
    """One `@font-face` rule with the file inside it."""
    content = b64encode((FONTS / "andika" / f"andika-{subset}-{weight}-normal.woff2").read_bytes()).decode()
    return (
        f'@font-face {{ font-family: "Andika {subset}"; font-weight: {weight};'
        f' src: url("data:font/woff2;base64,{content}") format("woff2") }}'
    )
