"""What the cutting jet goes through."""

import math
from typing import ClassVar

from steadycone.errors import OutOfRange
from steadycone.units import Angle, Length, Number
from steadycone.worksheets.declare import Answer, Worksheet, ask, shown, worksheet


@worksheet
class Bevel(Worksheet):
    """Thickness that the tip is chosen for: through a bevel, through a stack of plates, or both."""

    thickness: Length = ask(Length, "of one plate")
    angle: Angle = ask(Angle, "from square", "0°")
    pieces: Number = ask(Number, "plates in the stack", "1")
    example: ClassVar = 'thickness="30 mm" angle="37.5°"'

    def answer(self) -> Answer:
        pieces = self.pieces.si
        if pieces < 1.0 or pieces != int(pieces) or pieces > 100.0:
            raise OutOfRange(f"{self.pieces.text} plates must be a whole number from 1 to 100", where="pieces")
        through = pieces * self.thickness.si / math.cos(math.radians(self.angle.si))
        return {"effective_thickness_mm": shown("thickness", through)}
