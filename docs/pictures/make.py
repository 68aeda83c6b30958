"""Draws the pictures of this folder anew from the demonstration hole.

Run from anywhere: ``python docs/pictures/make.py``. The same hole gives the same bytes.
"""

from __future__ import annotations

from pathlib import Path

from bathybore.drawings.diameters import diameter_picture
from bathybore.drawings.hole import hole_picture
from bathybore.drawings.timing import time_picture
from bathybore.drawings.window import window_picture
from bathybore.usecases.walking import walk

HERE = Path(__file__).parent
PICTURES = {
    "hole": hole_picture,
    "window": window_picture,
    "diameters": diameter_picture,
    "time": time_picture,
}


def main() -> None:
    walked = walk(HERE.parents[1] / "examples" / "main")
    for name, make in PICTURES.items():
        picture = make(walked)
        target = HERE / f"{name}.svg"
        target.write_text(picture.svg, encoding="utf-8", newline="\n")
        print(f"{target.name}: {picture.alt}")


if __name__ == "__main__":
    main()
