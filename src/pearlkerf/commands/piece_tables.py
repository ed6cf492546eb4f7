"""What the commands say of a piece on scrap: every size as stated and as read back, or what to measure."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from pearlkerf.commands.tables import columns
from pearlkerf.pictures.card.scrap import notches_text
from pearlkerf.proof.measures import Measure
from pearlkerf.setups.calibration import Calibration
from pearlkerf.setups.coupons import Coupon


def piece_text(piece: Coupon | Calibration, measures: Sequence[Measure]) -> str:
    """Give the table that stands on the piece's card too."""
    if not isinstance(piece, Coupon):
        rows = [[each.what, each.how, f"{each.figure_mm:.2f}"] for each in piece.measures]
        return columns(["measure", "how", "should be, mm"], rows)
    read_back = {measure.name: measure for measure in measures}
    rows = []
    for sample in piece.samples:
        measure = read_back[sample.feature.name]
        rows.append(
            [
                sample.feature.name.partition(",")[0],
                notches_text(sample),
                f"{sample.size_mm:.3f}",
                f"{measure.least_mm:.3f} to {measure.greatest_mm:.3f}",
                f"{sample.fit_mm:+.3f}",
            ]
        )
    return columns(["what", "notches", "mm", "read back", "as fit"], rows)


def piece_data(piece: Coupon | Calibration, measures: Sequence[Measure]) -> dict[str, Any]:
    """Give the same as plain data: ``samples`` or ``measures`` of a piece, and what was ``read_back``."""
    data: dict[str, Any] = {"read_back": [asdict(measure) for measure in measures]}
    if not isinstance(piece, Coupon):
        return {"kind": "calibration", "measures": [asdict(measure) for measure in piece.measures], **data}
    samples = [
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
    return {"kind": "fits", "samples": samples, **data}
