"""Pictures on the choices of a question, where a picture asks better than words."""

from __future__ import annotations

from hoseselect.intake.counter_question import Asked
from hoseselect.interfaces.drawing.svg import FONT, element, escaped

WIDTH, HEIGHT = 96, 56
INK: dict[str, str | float] = {"fill": "none", "stroke": "currentColor", "stroke_width": 2.5}


def pictures_of(asked: Asked | None) -> tuple[str, ...]:
    """Return a picture for each choice of a question; none where words are enough."""
    if asked is None:
        return ()
    drawn = PICTURES.get(asked.field, ())
    return drawn if len(drawn) == len(asked.choices) else ()


def _picture(*content: str) -> str:
    return element(
        "svg",
        *content,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH} {HEIGHT}",
        class_="picture",
        aria_hidden="true",
    )


def _path(steps: str, **style: str | float) -> str:
    ink: dict[str, str | float] = {**INK, "d": steps, **style}
    return element("path", **ink)


def _nipple(x: float, *, bead: bool, way: int = 1) -> str:
    """Return a nipple seen from the side: root at x, mouth 40 further."""

    def at(along: float) -> float:
        return x + way * along

    upper, lower = 20, 36
    if not bead:
        return _path(f"M{at(0)} {upper}H{at(38)}V{lower}H{at(0)}")
    top = f"M{at(0)} {upper}H{at(20)}q{way * 5} -11 {way * 10} 0H{at(38)}"
    return _path(f"{top}V{lower}H{at(30)}q{-way * 5} 11 {-way * 10} 0H{at(0)}")


def _unknown() -> str:
    return element("text", "?", x=48, y=40, font_size=36, text_anchor="middle", fill="currentColor")


def _pair(*, left: bool, right: bool) -> str:
    return _picture(_nipple(3, bead=left), _nipple(93, bead=right, way=-1))


def _drop(fill: str, *, marks: str = "") -> str:
    drop = "M48 6C58 22 66 30 66 38A18 18 0 0 1 30 38C30 30 38 22 48 6Z"
    return _picture(_path(drop, fill=fill), marks)


def _hatched() -> str:
    return "".join(_path(f"M{x} 46L{x + 12} 24", stroke_width=2) for x in (34, 42, 50))


RING = "M48 8A20 20 0 1 1 47.9 8ZM48 18A10 10 0 1 1 47.9 18Z"
SOOT = ((40, 22), (56, 20), (62, 32), (34, 34), (44, 43), (55, 42))
WAVES = "M34 34q7 -6 14 0t14 0M34 42q7 -6 14 0t14 0"

PICTURES: dict[str, tuple[str, ...]] = {
    "nipple_a.bead": (
        _pair(left=True, right=True),
        _pair(left=False, right=False),
        _pair(left=True, right=False),
        _picture(_unknown()),
    ),
    "line.residue": (
        _drop("currentColor"),
        _drop("none", marks=_path(WAVES)),
        _drop("none", marks=_path("M40 40A8 8 0 0 0 48 48")),
        _drop("none", marks=_hatched()),
        _picture(_path(RING)),
        _picture(
            _path(RING),
            *(element("circle", cx=x, cy=y - 4, r=2.5, fill="currentColor") for x, y in SOOT),
        ),
        _picture(_unknown()),
    ),
}
"""By question: a picture for each choice, in their order."""


def engine_bay(asked: Asked | None) -> str:
    """Return a sketch of an engine bay in which the choices of an end stand by number.

    It is a sketch of no vehicle: every maker puts these parts elsewhere.
    """
    if asked is None or asked.kind != "part":
        return ""
    drawn = [_path("M20 20H980L945 640H55Z"), _path("M22 58H978", stroke_dasharray="9 7")]
    for number, (x, y, width, height) in enumerate(BAY, start=1):
        words = asked.choices[number - 1].label.partition(",")[0].partition(" or ")[0]
        drawn.append(element("rect", x=x, y=y, width=width, height=height, rx=10, **INK))
        rows = [str(number), *_two_rows(words)]
        first = y + height / 2 - LINE * (len(rows) - 1) / 2 + 6
        drawn += [
            element(
                "text",
                escaped(row),
                x=x + width / 2,
                y=first + k * LINE,
                text_anchor="middle",
                font_size=20,
                font_weight="bold" if k == 0 else "normal",
                fill="currentColor",
            )
            for k, row in enumerate(rows)
        ]
    return element(
        "svg",
        *drawn,
        xmlns="http://www.w3.org/2000/svg",
        viewBox="0 0 1000 660",
        font_family=FONT,
        aria_hidden="true",
    )


LINE = 22


def _two_rows(words: str) -> list[str]:
    """Return words in one row, or in two of about the same length where they are long."""
    if len(words) <= LONGEST_ROW:
        return [words]
    half = min(
        (k for k, letter in enumerate(words) if letter == " "),
        key=lambda k: abs(k - len(words) / 2),
        default=len(words),
    )
    return [words[:half], words[half + 1 :]]


LONGEST_ROW = 9
BAY = (
    *((400, 290, 180, 120), (400, 425, 180, 90), (80, 420, 140, 100), (255, 200, 120, 80)),
    *((250, 540, 330, 85), (600, 75, 150, 80), (50, 80, 140, 80), (770, 400, 150, 80)),
    *((770, 85, 120, 90), (770, 190, 150, 80), (600, 295, 150, 80), (400, 180, 180, 95)),
    *((600, 400, 150, 80), (235, 305, 140, 80), (770, 505, 150, 80), (600, 505, 150, 80)),
)
"""Place and size of the parts, in the order of the choices; the dashed line is the bulkhead."""
