"""Small drawings, each for one thing that SVG says of sizes, axes, paths or fills; what counts has an id."""

NAMESPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
RECTANGLE = '<rect id="a" x="2" y="3" width="8" height="5"/>'
KITE = "M2 3 L12 4.5 L9 14 L-1 -2 Z"  # its box is -1 to 12, -2 to 14
WAVE = "M1 6 C3 1 7 11 12 5 S16 9 18 4 L18 12 Q10 16 6 12 T1 11 Z"


def drawing(size: str, inside: str) -> str:
    """Give a drawing with attributes of its root, and what it draws."""
    return f"<svg {NAMESPACES} {size}>{inside}</svg>"


def plain(inside: str) -> str:
    """Give a drawing of 40 by 30 units on 144 by 108 px: a browser keeps a page in whole 64ths of these."""
    return drawing('width="38.1mm" height="28.575mm" viewBox="0 0 40 30"', inside)


def path(d: str, more: str = "") -> str:
    """Give a drawing of one path."""
    return plain(f'<path id="a" d="{d}" {more}/>')


DRAWINGS: dict[str, str] = {
    # sizes and units
    "millimetres": drawing('width="38.1mm" height="28.575mm" viewBox="0 0 40 30"', RECTANGLE),
    "centimetres": drawing('width="3.81cm" height="2.8575cm" viewBox="0 0 20 15"', RECTANGLE),
    "inches": drawing('width="2in" height="1.5in" viewBox="0 0 32 24"', RECTANGLE),
    "points and picas": drawing('width="120pt" height="10pc" viewBox="0 0 40 40"', RECTANGLE),
    "quarter millimetres": drawing('width="152.4Q" height="114.3Q" viewBox="0 0 40 30"', RECTANGLE),
    "pixels": drawing('width="160" height="120px" viewBox="0 0 40 30"', RECTANGLE),
    "no view box": drawing('width="38.1mm" height="28.575mm"', RECTANGLE),
    "lengths with units": drawing(
        'width="38.1mm" height="28.575mm"', '<rect id="a" x="2mm" y="0.3cm" width="0.4in" height="12pt"/>'
    ),
    "per cents": drawing(
        'width="38.1mm" height="28.575mm" viewBox="0 0 80 60"',
        '<rect id="a" x="10%" y="20%" width="50%" height="25%"/><circle id="b" cx="60%" cy="70%" r="10%"/>',
    ),
    "numbers with exponents": plain('<rect id="a" x="2e0" y=".3E1" width="800e-2" height="+5"/>'),
    # view boxes and aspects
    "view box from elsewhere": drawing('width="38.1mm" height="28.575mm" viewBox="-10 -5 40 30"', RECTANGLE),
    "wide view box": drawing('width="38.1mm" height="28.575mm" viewBox="0 0 40 10"', RECTANGLE),
    "tall view box": drawing('width="38.1mm" height="28.575mm" viewBox="0 0 10 30"', RECTANGLE),
    "aspect to the far end": drawing(
        'width="38.1mm" height="28.575mm" viewBox="0 0 40 10" preserveAspectRatio="xMaxYMax meet"', RECTANGLE
    ),
    "aspect to the near end": drawing(
        'width="38.1mm" height="28.575mm" viewBox="0 0 10 30" preserveAspectRatio="xMinYMin"', RECTANGLE
    ),
    "aspect sliced": drawing(
        'width="38.1mm" height="28.575mm" viewBox="0 0 40 10" preserveAspectRatio="xMidYMid slice"', RECTANGLE
    ),
    "aspect none": drawing(
        'width="38.1mm" height="28.575mm" viewBox="0 0 40 10" preserveAspectRatio="none"', RECTANGLE
    ),
    # transforms
    "shifted": plain(f'<g transform="translate(4 -1.5)">{RECTANGLE}</g>'),
    "sized": plain(f'<g transform="scale(1.5)">{RECTANGLE}</g>'),
    "mirrored": plain(f'<g transform="translate(20,0) scale(-1 1)">{RECTANGLE}</g>'),
    "turned": plain(f'<g transform="rotate(30)">{RECTANGLE}</g>'),
    "turned about a place": plain(f'<g transform="rotate(-40, 12, 9)">{RECTANGLE}</g>'),
    "sheared": plain(f'<g transform="skewX(20) skewY(-10)">{RECTANGLE}</g>'),
    "a matrix": plain(f'<g transform="matrix(.8 .3 -.2 1.1 3 1)">{RECTANGLE}</g>'),
    "one after another": plain(
        f'<g transform="translate(3)"><g transform=" rotate(15) ,scale(.8,1.2)translate(1,2) ">{RECTANGLE}</g></g>'
    ),
    # as place.py lays a drawing: sized, mirrored, turned counter-clockwise, its box's centre at a place
    "laid": plain(
        f'<path id="a" transform="translate(20 15) rotate(-30) scale(-1.5 .5) translate(-5.5 -6)" d="{KITE}"/>'
    ),
    # shapes
    "a circle": plain('<circle id="a" cx="12" cy="10" r="6"/>'),
    "a circle turned and stretched": plain(
        '<circle id="a" cx="12" cy="10" r="5" transform="rotate(20) scale(1.6 .7)"/>'
    ),
    "an ellipse": plain('<ellipse id="a" cx="12" cy="10" rx="9" ry="4"/>'),
    "an ellipse of one radius": plain('<ellipse id="a" cx="12" cy="10" rx="5"/>'),
    "a round rectangle": plain('<rect id="a" x="2" y="3" width="18" height="9" rx="3" ry="2"/>'),
    "a rectangle of one radius": plain('<rect id="a" x="2" y="3" width="18" height="9" rx="2.5"/>'),
    "a rectangle too round": plain('<rect id="a" x="2" y="3" width="18" height="9" rx="30" ry="2"/>'),
    "a polygon": plain('<polygon id="a" points="2,3 12,4.5 9 14 -1-2"/>'),
    # path data
    "every curve": path(WAVE),
    "relative": path("m2 3 h8 v5 h-3 l-5 2 c-1-2 1-3 0-7 z m12 1 6 0 0 6z l3 3 -1 -6 z"),
    "without blanks": path("M2,3H10V8.5.5L2-1.5.5.5Z"),
    "smooth after others": path("M2 10 L6 4 S12 2 14 8 L16 12 T8 14 Q4 16 3 13 T2 10 Z"),
    "arcs": path("M6 10 A5 3 20 0 1 14 8 A5 3 20 1 0 18 14 a4 4 0 011-6 A 2 2 0 0 0 20 16 L6 18 Z"),
    "arcs too small": path("M4 10 A 2 1 30 0 1 16 12 A 0 5 0 0 1 4 18 Z"),
    "arcs over lines": path("M6 10\nA5\n5 0\n1\n0 14 10\nA 5 5 0 0 0 6 10 Z"),
    # fills
    "a hole by direction": path("M2 2 H18 V18 H2 Z M6 6 V14 H14 V6 Z"),
    "no hole by direction": path("M2 2 H18 V18 H2 Z M6 6 H14 V14 H6 Z"),
    "a hole by count": path("M2 2 H18 V18 H2 Z M6 6 H14 V14 H6 Z", 'fill-rule="evenodd"'),
    "a star by direction": path("M10 1 L15.5 18 L1 7.5 H19 L4.5 18 Z"),
    "a star by count": path("M10 1 L15.5 18 L1 7.5 H19 L4.5 18 Z", 'style="fill-rule: evenodd"'),
    "an island in a hole": path("M1 1H19V19H1Z M4 4H16V16H4Z M8 8H12V12H8Z", 'fill-rule="evenodd"'),
    "a rule of a style": plain(
        '<style>.odd path { fill-rule: evenodd; stroke: red } #b { display: none }</style><g class="odd">'
        '<path id="a" d="M2 2 H18 V18 H2 Z M6 6 H14 V14 H6 Z"/></g><circle id="b" r="3"/>'
    ),
    # what is drawn elsewhere
    "used": plain('<defs><circle id="c" cx="3" cy="4" r="2"/></defs><use id="a" href="#c" x="5" y="2"/>'),
    "used and turned": plain(
        '<defs><g id="c"><rect x="1" y="1" width="3" height="2"/></g></defs>'
        '<use id="a" xlink:href="#c" x="5" transform="rotate(90 8 8)"/>'
    ),
    "a symbol": plain(
        '<symbol id="s" viewBox="0 0 10 10"><rect x="1" y="2" width="8" height="6"/></symbol>'
        '<use id="a" href="#s" x="4" y="3" width="20" height="10"/>'
    ),
    "a picture within": plain(
        '<svg x="4" y="3" width="20" height="10" viewBox="0 0 10 10">'
        '<rect id="a" x="1" y="2" width="8" height="6"/></svg>'
    ),
    "a picture within, used": plain(
        '<defs><svg id="s" x="1" y="1" width="5" height="5" viewBox="0 0 10 10">'
        '<circle cx="5" cy="5" r="4"/></svg></defs>'
        '<use id="a" href="#s" x="4" y="3" width="20" height="10"/>'
    ),
    "a picture within, per cents": plain(
        '<svg x="10%" y="10%" width="50%" height="50%" preserveAspectRatio="xMaxYMin" viewBox="0 0 10 20">'
        '<rect id="a" x="10%" y="10%" width="50%" height="40%"/></svg>'
    ),
}
