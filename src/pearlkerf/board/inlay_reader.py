"""From the tables of inlays to their model: the files that they name, and what of their keys does not go together."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from pearlkerf.board.inlay_tables import InlayBlankTable, InlayTable
from pearlkerf.board.inlays import Inlay, InlayBlank, drawn_beside
from pearlkerf.board.model import FaceDots, Scale
from pearlkerf.board.named_frets import numbers_of, unknown_in
from pearlkerf.errors import Problem
from pearlkerf.files.beside import FilesBeside
from pearlkerf.files.lengths import shown
from pearlkerf.files.toml_keys import keys_of
from pearlkerf.files.toml_values import WrongValue, nearest
from pearlkerf.machine.materials import kind_of

KEYS: Final = keys_of(InlayTable)
# what one pocket has but once, where several inlays share it: the keys, and where the model has them
OF_THE_POCKET: Final = {
    "gap": "gap_mm", "pocket_cutter": "pocket_cutter", "corners": "corners", "corner_limit": "corner_limit_mm",
    "slots": "slots",
}  # fmt: skip
# a skin leaves too little of what is thinner
LEAST_WITH_SKIN_MM: Final = 0.5


class ReadInlays(NamedTuple):
    """Inlays as read: all, those that can be laid out, the bytes of their files by name, and what is wrong."""

    every: tuple[Inlay, ...]
    inlays: tuple[Inlay, ...]
    blanks: tuple[InlayBlank, ...]
    files: Mapping[str, bytes]
    problems: tuple[Problem, ...]


def read_inlays(
    tables: Sequence[InlayTable], blanks: Sequence[InlayBlankTable], scale: Scale, beside: FilesBeside
) -> ReadInlays:
    """Give the inlays of a board file; one that says nothing that could be laid out is told and left out."""
    of_blanks = tuple(map(_blank, blanks))
    inlays = tuple(_inlay(index, table, scale) for index, table in enumerate(tables))
    problems = [*_blanks_at_odds(of_blanks)]
    files: dict[str, bytes] = {}
    kept = []
    for inlay, table in zip(inlays, tables, strict=True):
        wrong = [*_unknown_frets(inlay, table, scale), *_at_odds(inlay, inlays), *_material(inlay, of_blanks),
                 *_set_in(inlay, inlays), *_unread(inlay, beside, files)]  # fmt: skip
        problems += wrong
        if not wrong:
            kept.append(inlay)
    return ReadInlays(inlays, tuple(kept), of_blanks, files, tuple(problems))


def _blank(table: InlayBlankTable) -> InlayBlank:
    return InlayBlank(
        material=table.material, thinnest_mm=table.thickness[0], thickest_mm=table.thickness[1], hold=table.hold,
        length_mm=table.length, width_mm=table.width, count=table.count, tape_mm=table.tape, figure=table.figure,
        used=tuple(table.used), place=tuple(table.place),
    )  # fmt: skip


def _inlay(index: int, table: InlayTable, scale: Scale) -> Inlay:
    return Inlay(
        index=index, name=table.name, outline=table.outline, shape=table.shape, text=table.text, font=table.font,
        parts=tuple(table.parts), frets=numbers_of(table.frets, scale), on_frets=numbers_of(table.on_frets, scale),
        along_mm=table.along, across_mm=table.across, length_mm=table.length, width_mm=table.width,
        mirror=table.mirror, turn_deg=table.turn, material=table.material, thickness_mm=table.thickness,
        proud_mm=table.proud, shell_left_mm=table.shell_left, floor=table.floor, strips=table.strips,
        gap_mm=table.gap, pieces=table.pieces, detail_mm=table.detail, pocket_cutter=table.pocket_cutter,
        piece_cutter=table.piece_cutter, corners=table.corners, corner_limit_mm=table.corner_limit,
        slots=table.slots, set_in=table.set_in, beside_frets_mm=table.beside_frets,
        beside_edges_mm=table.beside_edges,
    )  # fmt: skip


def _unread(inlay: Inlay, beside: FilesBeside, files: dict[str, bytes]) -> Iterator[Problem]:
    """Read the file that an inlay names, once however many name it."""
    if not inlay.file or inlay.file in files:
        return
    try:
        files[inlay.file] = beside(inlay.file)
    except WrongValue as why:
        yield Problem(why.found, why.allowed, why.hint, inlay.key("outline" if inlay.outline else "font"))


def _unknown_frets(inlay: Inlay, table: InlayTable, scale: Scale) -> Iterator[Problem]:
    for name in ("frets", "on_frets"):
        yield from unknown_in(inlay.key(name), getattr(table, name), scale)


def _at_odds(inlay: Inlay, inlays: Sequence[Inlay]) -> Iterator[Problem]:
    """Give what of one inlay's keys does not go together, or is missing."""
    what = [name for name in ("outline", "shape", "text") if getattr(inlay, name)]
    yield from _one_of(inlay, what, ("outline", "shape", "text"), "what is drawn")
    # frets that no fret is called by are told as such
    where = [name for name in ("frets", "on_frets") if getattr(inlay, name)]
    where += [] if inlay.along_mm is None else ["along"]
    host = drawn_beside(inlay, inlays)
    if host is None:
        yield from _one_of(inlay, where, ("frets", "on_frets", "along"), "where it lies")
    else:
        yield from _lying_as_drawn(inlay, host)
    if inlay.font and not inlay.text:
        yield _of_another(inlay, "font", "a text", "leave font out, or write text = …")
    if inlay.parts and not inlay.outline:
        yield _of_another(inlay, "parts", "an outline", "leave parts out")
    if inlay.piece_cutter is not None and inlay.pieces == "by hand":
        yield _of_another(inlay, "piece_cutter", "pieces that are cut by the machine", "leave piece_cutter out")
    if len(what) == 1:
        yield from _filling(inlay) if inlay.fills else _sized(inlay)


def _lying_as_drawn(inlay: Inlay, host: Inlay) -> Iterator[Problem]:
    """What lies as it is drawn beside another has no place, size or turn of its own."""
    for name, said in (("across", inlay.across_mm), ("length", inlay.length_mm), ("width", inlay.width_mm),
                       ("mirror", inlay.mirror), ("turn", inlay.turn_deg)):  # fmt: skip
        if said:
            yield Problem(
                f"it says no place: it lies as it is drawn beside {shown(host.called)}, and has no {name} of its own",
                "", f"leave {name} out, or say where it lies with frets, on_frets or along", inlay.key(name),
            )  # fmt: skip


def _one_of(inlay: Inlay, said: Sequence[str], of: tuple[str, ...], what: str) -> Iterator[Problem]:
    if len(said) > 1:
        yield Problem(f"{' and '.join(said)} both say {what}", f"one of {', '.join(of)}",
                      f"leave {' or '.join(said)} out", inlay.key(said[-1]))  # fmt: skip
    if not said:
        yield Problem(f"nothing says {what}", f"one of {', '.join(of)}", f"write {of[0]} = …", f"inlay.{inlay.index}")


def _of_another(inlay: Inlay, name: str, of: str, hint: str) -> Problem:
    return Problem(f"{name} belongs to {of}", "", hint, inlay.key(name))


def _sized(inlay: Inlay) -> Iterator[Problem]:
    """Only a drawing in mm or inches has a size of its own; a line is longer than it is wide."""
    said = [each for each in (inlay.length_mm, inlay.width_mm) if each is not None]
    if not inlay.outline and not said:
        what = f'a "{inlay.shape}"' if inlay.shape else "a text"
        yield Problem(f"{what} has no size of its own", "length, width or both", "write length = …",
                      inlay.key(inlay.drawn_by))  # fmt: skip
    if inlay.shape == "line" and len(said) == 1:
        yield Problem("a line of one size is a dot", "length and width", "write both", inlay.key("shape"))
    for name in ("beside_frets", "beside_edges"):
        if getattr(inlay, f"{name}_mm") != KEYS[name].default:
            yield _of_another(inlay, name, "a block that fills its fret space", f"leave {name} out")


def _filling(inlay: Inlay) -> Iterator[Problem]:
    """A block that fills its fret space lies as that does."""
    if inlay.on_frets or inlay.along_mm is not None:
        yield Problem("a block without length and width fills a fret space, and none is named", "frets, or a size",
                      "write frets = [5], or length = … and width = …", inlay.key("shape"))  # fmt: skip
    for name, said in (("across", inlay.across_mm), ("turn", inlay.turn_deg), ("mirror", inlay.mirror)):
        if said:
            yield Problem(f"a block that fills its fret space lies as that does, and has no {name}", "",
                          f"leave {name} out, or give the block a length and a width", inlay.key(name))  # fmt: skip


def _material(inlay: Inlay, blanks: Sequence[InlayBlank]) -> Iterator[Problem]:
    """The thickness is said once: by the inlay, or by the blank of its material."""
    found = next((each for each in blanks if each.material == inlay.material), None)
    if not inlay.material:
        if inlay.thickness_mm is None:
            yield Problem("nothing says how thick the pieces are", "thickness, or material and its [[inlay_blank]]",
                          "write thickness = …", f"inlay.{inlay.index}")  # fmt: skip
    elif found is None:
        yield _no_such_blank(inlay.material, blanks, inlay.key("material"))
    elif inlay.thickness_mm not in (None, found.piece_mm(inlay.pieces)):
        thinnest, thickest = found.piece_mm(inlay.pieces)
        said = f"{thinnest:g} mm" if thinnest == thickest else f"{thinnest:g} to {thickest:g} mm"
        yield Problem(f"pieces of {shown(inlay.material)} are {said} thick", "one thickness",
                      "leave thickness out, or material", inlay.key("thickness"))  # fmt: skip


def _no_such_blank(material: str, blanks: Sequence[InlayBlank], key: str) -> Problem:
    names = list(dict.fromkeys(each.material for each in blanks))
    near = nearest(material, names)
    hint = f"did you mean {shown(near)}?" if near else "add its [[inlay_blank]], or write thickness alone"
    return Problem(f"no [[inlay_blank]] is of {shown(material)}", ", ".join(map(shown, names)) or "none", hint, key)


def dots_at_odds(dots: FaceDots, blanks: Sequence[InlayBlank]) -> Iterator[Problem]:
    """Dots that are cut from blanks are as thick as these."""
    found = next((each for each in blanks if each.material == dots.material), None)
    if dots.material and found is None:
        yield _no_such_blank(dots.material, blanks, "face_dots.material")
    elif found is not None and (dots.thinnest_mm, dots.thickest_mm) != found.piece_mm("cut"):
        thinnest, thickest = found.piece_mm("cut")
        said = f"{thinnest:g}" if thinnest == thickest else f"[{thinnest:g}, {thickest:g}]"
        yield Problem(f"dots of {shown(dots.material)} have another thickness than its blanks give", f"{said} mm",
                      f"write thickness = {said}, or leave material out", "face_dots.thickness")  # fmt: skip


def _set_in(inlay: Inlay, inlays: Sequence[Inlay]) -> Iterator[Problem]:
    if not inlay.set_in:
        return
    hosts = [each for each in inlays if each.called == inlay.set_in and each.index != inlay.index]
    key = inlay.key("set_in")
    if inlay.called == inlay.set_in:
        yield Problem(f"it is called {shown(inlay.set_in)} itself", "a name of its own", "write name = …", key)
    elif not hosts:
        names = list(dict.fromkeys(each.called for each in inlays if each.index != inlay.index))
        near = nearest(inlay.set_in, names)
        yield Problem(f"no other inlay is called {shown(inlay.set_in)}", ", ".join(map(shown, names)) or "none",
                      f"did you mean {shown(near)}?" if near else "leave set_in out", key)  # fmt: skip
    elif len(hosts) > 1:
        yield Problem(
            f"{len(hosts)} inlays are called {shown(inlay.set_in)}", "one", "give them names of their own", key
        )
    elif inlay.strips > 1 or hosts[0].strips > 1:
        yield Problem("inlays that share a pocket share its floor, and strips have floors of their own", "one strip",
                      "leave strips out, or set_in", key)  # fmt: skip
    elif hosts[0].set_in:
        yield Problem(f"{shown(inlay.set_in)} is set in {shown(hosts[0].set_in)} itself",
                      "an inlay that is set in none", f"write set_in = {shown(hosts[0].set_in)}", key)  # fmt: skip
    else:
        yield from _of_the_pocket(inlay, hosts[0])


def _of_the_pocket(inlay: Inlay, host: Inlay) -> Iterator[Problem]:
    """What is said of a whole pocket its own inlay says: what is set in it leaves that out, or says it alike."""
    for name, field in OF_THE_POCKET.items():
        said, counts = getattr(inlay, field), getattr(host, field)
        if said not in (KEYS[name].default, counts):
            yield Problem(
                f"{name} is said of a whole pocket, and {shown(host.called)}, whose it is, says it otherwise",
                f"{name} as {shown(host.called)} has it", f"leave {name} out, or say it there", inlay.key(name),
            )  # fmt: skip


def _blanks_at_odds(blanks: Sequence[InlayBlank]) -> Iterator[Problem]:
    named: set[str] = set()
    for index, blank in enumerate(blanks):
        key = f"inlay_blank.{index}"
        first = next(each for each in blanks if each.material == blank.material)
        if blank.alike != first.alike:
            yield Problem(f"{shown(blank.material)} is named twice, and not said alike",
                          "one thickness, hold, tape and figure for a material",
                          "say them alike, or give blanks of another kind another name", f"{key}.material")  # fmt: skip
        if blank.hold == "skin" and blank.thinnest_mm <= LEAST_WITH_SKIN_MM:
            yield Problem(f"of {blank.thinnest_mm:g} mm a skin leaves too little", "more than 0.5 mm",
                          'write hold = "tape"', f"{key}.hold")  # fmt: skip
        if blank.hold == "tabs" and kind_of(blank.material) not in ("wood", "metal"):
            yield Problem(
                f"{shown(blank.material)} is not known as wood or metal, and breaking tabs off chips shell",
                "tabs in wood and metal only", 'write hold = "tape" or hold = "skin"', f"{key}.hold",
            )  # fmt: skip
        if (blank.length_mm is None) != (blank.width_mm is None):
            missing = "length" if blank.length_mm is None else "width"
            yield Problem(f"the blank has no {missing}", "both its sides", f"write {missing} = …", key)
        yield from _places_at_odds(blank, key, named)


def _no_blank(number: int, count: int, key: str) -> Problem:
    hint = f"write count = {number} if it is there, or the number of another"
    return Problem(f"there is no blank {number}", f"at most {count}", hint, key)


def _places_at_odds(blank: InlayBlank, key: str, named: set[str]) -> Iterator[Problem]:
    """Give places that lie on no blank, and pieces that have two."""
    for index, used in enumerate(blank.used):
        if used.blank > blank.count:
            yield _no_blank(used.blank, blank.count, f"{key}.used.{index}")
    for index, place in enumerate(blank.place):
        if place.blank > blank.count:
            yield _no_blank(place.blank, blank.count, f"{key}.place.{index}")
        if place.piece in named:
            yield Problem(
                f"{shown(place.piece)} has two places", "one", "leave one of them out", f"{key}.place.{index}"
            )
        named.add(place.piece)
