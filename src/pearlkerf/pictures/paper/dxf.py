"""A drawing as DXF (R2010, millimetres), one layer for each of the drawing's."""

import io
from typing import TYPE_CHECKING, Final

from pearlkerf.pictures.drawing import LAYOUT_PENS, Arc, Circle, Drawing, Line, Path, Text, Thing

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.layout import Modelspace

MILLIMETRES: Final = 4  # $INSUNITS; $MEASUREMENT follows: metric
LINEWEIGHTS: Final = (0, 5, 9, 13, 15, 18, 20, 25)  # hundredths of a mm, the smaller of those that DXF knows


def write_dxf(drawing: Drawing) -> bytes:
    """Write a drawing as DXF R2010 in mm, UTF-8; the same drawing always gives the same bytes."""
    import ezdxf

    setting = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True  # no time of day, no random identifiers
    try:
        document = ezdxf.new("R2010", units=MILLIMETRES)
        _add_layers(document)
        space = document.modelspace()
        for thing in drawing.things:
            _add(space, thing)
        _name_classes(document)
        stream = io.StringIO()
        document.write(stream)
        return document.encode(stream.getvalue())
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = setting


def _add_layers(document: "Document") -> None:
    for layer, pen in LAYOUT_PENS.items():
        entry = document.layers.add(layer)
        entry.dxf.lineweight = max(weight for weight in LINEWEIGHTS if weight <= round(pen.width_mm * 100))
        if pen.dashes_mm:
            pattern = [dash if i % 2 == 0 else -dash for i, dash in enumerate(pen.dashes_mm)]
            document.linetypes.add(layer, [sum(pen.dashes_mm), *pattern])
            entry.dxf.linetype = layer


def _name_classes(document: "Document") -> None:
    """Name the classes of what is in the document in alphabetical order; writing alone takes them in a set's order."""
    for name in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(name)


def _add(space: "Modelspace", thing: Thing) -> None:
    at = {"layer": thing.layer}
    match thing:
        case Line():
            space.add_line(thing.start, thing.end, dxfattribs=at)
        case Path():
            space.add_lwpolyline(thing.corners, close=thing.ends == "closed", dxfattribs=at)
        case Circle():
            space.add_circle(thing.centre, thing.radius_mm, dxfattribs=at)
        case Arc():
            space.add_arc(thing.centre, thing.radius_mm, thing.start_deg, thing.end_deg, dxfattribs=at)
        case Text():
            _add_text(space, thing)


def _add_text(space: "Modelspace", text: Text) -> None:
    from ezdxf.enums import TextEntityAlignment

    place = {
        "start": TextEntityAlignment.LEFT,
        "middle": TextEntityAlignment.CENTER,
        "end": TextEntityAlignment.RIGHT,
    }[text.anchor]
    entity = space.add_text(_literal(text.text), height=text.height_mm, rotation=text.angle_deg)
    entity.dxf.layer = text.layer
    entity.set_placement(text.at, align=place)


def _literal(text: str) -> str:
    r"""Give text whose signs stand for themselves: %%, ^ and \U+ are codes inside DXF text.

    >>> print(_literal(r"50%%d ^J \U+0041"))
    50%%%%%%d ^ J \\U+0041
    """
    return text.replace("%%", "%%%%%%").replace("^", "^ ").replace("\\U+", "\\\\U+")
