"""Pictures on the choices of a question, where a picture asks better than words."""

from __future__ import annotations

from hoseselect.intake.counter_question import Asked
from hoseselect.interfaces.drawing.svg import element

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
