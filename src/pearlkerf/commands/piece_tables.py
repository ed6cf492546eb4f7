"""What the commands say of a piece on scrap: every size as stated and as read back, or what to measure."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from pearlkerf.commands.tables import Figures, columns
from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import Unit, as_written
from pearlkerf.layout.features import Hole
from pearlkerf.pictures.card.scrap import notches_text
from pearlkerf.proof.measures import Measure
from pearlkerf.setups.calibration import Calibration
from pearlkerf.setups.coupons import Coupon
from pearlkerf.setups.drilling_strip import DrillingStrip
from pearlkerf.setups.inlay_coupons import InlayCoupon
from pearlkerf.setups.samples import as_size_mm

Scrapped = Coupon | InlayCoupon | Calibration | DrillingStrip


def blanks_told(piece: InlayCoupon) -> str:
    """Say on which blanks the pieces of an inlay's coupon lie, lengths in mm."""
    row = piece.row
    sizes = Counter(f"{blank.length_mm:.1f} mm by {blank.width_mm:.1f} mm" for blank in row.blanks)
    blanks = ", ".join(f"{count} of {size}" for size, count in sizes.items())
    many = f"{len(row.pieces)} pieces" if len(row.pieces) > 1 else "one piece"
    return f"for {many} of {piece.name}, blanks of {row.material}: {blanks}"


def piece_text(piece: Scrapped, measures: Sequence[Measure], unit: Unit = "mm") -> str:
    """Give the table that stands on the piece's card too, lengths in ``unit``."""
    say = Figures(unit)
    match piece:
        case Calibration():
            rows = [
                [each.what, in_unit(each.how, unit), in_unit(as_written(each.figure_mm), unit)]
                for each in piece.measures
            ]
            return columns(["measure", "how", "should be"], rows)
        case DrillingStrip():
            rows = [[hole.name, say(hole.centre[0], 3), say(abs(hole.centre[1]), 3)] for hole in piece.holes]
            return columns(["hole", f"from the nut end, {unit}", f"above the lower edge, {unit}"], rows)
        case InlayCoupon(several="pieces"):
            fits = [[f"piece {number}", say(gap, 3)] for number, gap in enumerate(piece.gaps_mm, 1)]
            return "\n".join([_coupon_text(piece, measures, unit), "", columns(["what", f"gap, {unit}"], fits)])
        case _:
            return _coupon_text(piece, measures, unit)


def _coupon_text(piece: Coupon | InlayCoupon, measures: Sequence[Measure], unit: Unit) -> str:
    say = Figures(unit)
    read_back = {measure.name: measure for measure in measures}
    rows = []
    for sample in piece.samples:
        measure = read_back[sample.feature.name]
        rows.append(
            [
                sample.feature.name.partition(",")[0],
                notches_text(sample),
                say(sample.size_mm, 3),
                f"{say(as_size_mm(sample, measure.least_mm), 3)} to {say(as_size_mm(sample, measure.greatest_mm), 3)}",
                say(sample.fit_mm, 3, "+"),
            ]
        )
    return columns(["what", "notches", unit, "read back", "as fit"], rows)


def piece_data(piece: Scrapped, measures: Sequence[Measure]) -> dict[str, Any]:
    """Give the same as plain data: ``samples``, ``measures`` or ``holes`` of a piece, and what was ``read_back``."""
    data: dict[str, Any] = {"read_back": [asdict(measure) for measure in measures]}
    match piece:
        case Calibration():
            return {"kind": "calibration", "measures": [asdict(measure) for measure in piece.measures], **data}
        case DrillingStrip():
            return {"kind": "strip", "holes": [_hole_data(hole) for hole in piece.holes], **data}
        case Coupon():
            return {"kind": "fits", "samples": _samples_data(piece), **data}
        case InlayCoupon():
            return {"kind": "inlay", "samples": _samples_data(piece), **_inlay_data(piece), **data}


def _inlay_data(piece: InlayCoupon) -> dict[str, Any]:
    """Give which inlay is tried, what of it in steps, its gaps, and where each piece lies on which blank."""
    return {
        "of": piece.name,
        "several": piece.several,
        "key": ".".join(map(str, piece.trial.at)),
        "gaps_mm": list(piece.gaps_mm),
        "pieces": [
            {"number": each.number, "name": each.name, "blank": each.blank, "at_mm": list(each.at),
             "turn_deg": each.turn_deg, "material": piece.row.material}
            for each in piece.row.pieces
        ],
    }  # fmt: skip


def _hole_data(hole: Hole) -> dict[str, Any]:
    return {
        "fret": hole.number,
        "name": hole.name,
        "along_mm": hole.centre[0],
        "height_mm": abs(hole.centre[1]),
        "diameter_mm": hole.diameter_mm,
    }


def _samples_data(piece: Coupon | InlayCoupon) -> list[dict[str, Any]]:
    return [
        {
            "group": sample.feature.group,
            "number": sample.feature.number,
            "name": sample.feature.name,
            "size_mm": sample.size_mm,
            "fit_mm": sample.fit_mm,
            "notches": notches_text(sample),
            "cutter": sample.feature.cutter,
        }
        for sample in piece.samples
    ]
