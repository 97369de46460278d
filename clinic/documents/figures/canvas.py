"""A drawing surface measured in centimetres of a standing person, mirrored for a left injury."""

from base64 import b64encode
from dataclasses import dataclass, field
from html import escape

from django.utils.html import format_html
from django.utils.safestring import SafeString

Point = tuple[float, float]

INK = "#231D1B"
BODY = "#6F655E"
FAR = "#A89D92"
EDGE = "#85796D"
DAMSON = "#5E2750"
WHITE = "#FFFFFF"


@dataclass
class Canvas:
    """Collects SVG shapes. x runs the way the person walks, y runs up from the floor.

    `is_mirrored` turns the drawing to face left. Words are placed, never mirrored.
    `label` is the size of words in points, whatever the scale of the drawing.
    """

    width: float  # centimetres
    height: float
    below: float  # centimetres kept free under the floor
    scale: float  # points a centimetre
    label: float
    is_mirrored: bool = False
    shapes: list[str] = field(default_factory=list)

    def at(self, point: Point) -> str:
        """Turn a point of the drawing into SVG coordinates."""
        x = self.width - point[0] if self.is_mirrored else point[0]
        return f"{x * self.scale:.1f},{(self.height - self.below - point[1]) * self.scale:.1f}"

    def line(self, points: list[Point], colour: str, thick: float, *, dash: str = "", cap: str = "round") -> None:
        """Draw a line through the points."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.shapes.append(
            f'<polyline points="{" ".join(map(self.at, points))}" fill="none" stroke="{colour}"'
            f' stroke-width="{thick * self.scale:.2f}" stroke-linecap="{cap}" stroke-linejoin="round"{dashes}/>'
        )

    def area(self, points: list[Point], colour: str) -> None:
        """Fill the shape between the points."""
        self.shapes.append(f'<polygon points="{" ".join(map(self.at, points))}" fill="{colour}"/>')

    def disc(self, centre: Point, radius: float, colour: str) -> None:
        """Fill a circle."""
        x, y = self.at(centre).split(",")
        self.shapes.append(f'<circle cx="{x}" cy="{y}" r="{radius * self.scale:.1f}" fill="{colour}"/>')

    def arrow(self, start: Point, end: Point, colour: str = INK) -> None:
        """Draw an arrow with a solid head."""
        length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
        along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
        neck = (end[0] - 9 * along[0], end[1] - 9 * along[1])
        across = (-along[1] * 5.5, along[0] * 5.5)
        self.line([start, neck], colour, 3, cap="butt")
        wings = [(neck[0] + across[0], neck[1] + across[1]), end, (neck[0] - across[0], neck[1] - across[1])]
        self.area(wings, colour)

    def word(self, point: Point, text: str, colour: str = INK, *, anchor: str = "middle") -> None:
        """Write a word; `anchor` is where it starts from as the person walks."""
        if self.is_mirrored:
            anchor = {"start": "end", "end": "start"}.get(anchor, anchor)
        x, y = self.at(point).split(",")
        self.shapes.append(
            f'<text x="{x}" y="{y}" text-anchor="{anchor}" font-size="{self.label:g}" font-weight="700"'
            f' font-family="Andika latin, Andika latin-ext, Andika cyrillic, Andika cyrillic-ext, Andika vietnamese"'
            f' fill="{colour}">{escape(text)}</text>'
        )

    def picture(self, title: str) -> SafeString:
        """Close the drawing; the title is what a screen reader says."""
        return picture("".join(self.shapes), self.width * self.scale, self.height * self.scale, title)


def picture(shapes: str, width: float, height: float, title: str) -> SafeString:
    """SVG shapes as an image of its own, in points, with its words for a screen reader.

    An image, because shapes inside the page would be parsed and styled one by one, twice as slowly.
    """
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.1f}pt" height="{height:.1f}pt"'
        f' viewBox="0 0 {width:.1f} {height:.1f}">{shapes}</svg>'
    )
    return format_html('<img alt="{}" src="data:image/svg+xml;base64,{}">', title, b64encode(svg.encode()).decode())
