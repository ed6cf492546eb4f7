"""A pen that records what is drawn with it as segments; the protocol is that of fontTools' pens."""

from pearlkerf.outlines.drawing import Loop
from pearlkerf.outlines.segments import Cubic, Line, Point, Segment, svg_arc


class PathPen:
    """Records every line that is drawn, open or closed."""

    def __init__(self) -> None:
        self._done: list[tuple[Loop, bool]] = []
        self._segments: list[Segment] = []
        self._at: Point = (0.0, 0.0)
        self._first: Point = (0.0, 0.0)

    def moveTo(self, point: Point) -> None:  # noqa: N802
        """Begin a line."""
        self._end(closes=False)
        self._at = self._first = point

    def lineTo(self, point: Point) -> None:  # noqa: N802
        """Draw straight."""
        self._segments.append(Line(self._at, point))
        self._at = point

    def curveTo(self, first: Point, second: Point, end: Point) -> None:  # noqa: N802
        """Draw a cubic curve."""
        self._segments.append(Cubic(self._at, first, second, end))
        self._at = end

    def qCurveTo(self, *points: Point | None) -> None:  # noqa: N802
        """Draw quadratic curves, their points in between implied (TrueType)."""
        from fontTools.pens.basePen import decomposeQuadraticSegment

        if points[-1] is None:
            start = _between(points[-2], points[0])  # type: ignore[arg-type]
            self.moveTo(start)
            points = (*points[:-1], start)
        for control, end in decomposeQuadraticSegment(points):
            self._segments.append(Cubic.raised(self._at, control, end))
            self._at = end

    def arcTo(self, rx: float, ry: float, turned: float, large: bool, sweep: bool, end: Point) -> None:  # noqa: N802
        """Draw an elliptical arc."""
        arc = svg_arc(self._at, (rx, ry), turned, (bool(large), bool(sweep)), end)
        if arc is not None:
            self._segments.append(arc)
        self._at = end

    def closePath(self) -> None:  # noqa: N802
        """Close the line."""
        if self._at != self._first:
            self.lineTo(self._first)
        self._end(closes=True)

    def endPath(self) -> None:  # noqa: N802
        """End an open line."""
        self._end(closes=False)

    def _end(self, *, closes: bool) -> None:
        if self._segments:
            self._done.append((tuple(self._segments), closes))
        self._segments = []

    def subpaths(self) -> list[tuple[Loop, bool]]:
        """Give every line, with whether it was closed."""
        self._end(closes=False)
        return self._done


def _between(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
