"""The card of a coupon or a calibration piece: how to cut it, what each notch means, what to do with what it shows."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.groups import trying
from pearlkerf.pictures.card.card import draw_pages
from pearlkerf.pictures.card.model import Card, ProgramRow
from pearlkerf.pictures.card.parts import cautions, setup_pages
from pearlkerf.pictures.card.style import Flow, Paper, gap, heading, prose, small_heading, table, together
from pearlkerf.pictures.sheets import Sheet
from pearlkerf.proof.measures import Measure
from pearlkerf.setups.calibration import Calibration
from pearlkerf.setups.coupons import Coupon
from pearlkerf.setups.drilling_strip import DrillingStrip
from pearlkerf.setups.inlay_coupons import InlayCoupon
from pearlkerf.setups.notches import LONG_MM, SHORT_MM
from pearlkerf.setups.samples import Sample, Trial, as_size_mm

COUNTING: Final = (
    "Each has its number cut by the same cutter, below a hole, to the right of a slot: a long notch counts three, a "
    "short one counts one. Where a drill makes dimples instead, each counts one. The picture numbers them too."
)
WHY_IT_HOLDS: Final = (
    "Cutter, strategy, speed, feeds and depth are those of the board, so what the cutter's runout adds is in the "
    "coupon as it will be in the board: the fit that you find allows for it. It holds for this cutter in this wood."
)
KEEP_STILL: Final = (
    "Use a calliper that reads 0.01 mm, blow the chips out first, measure each three times and take the middle "
    "figure. Measure from a wall to the wall on the same side, so that the cutter's width drops out."
)
ONE_AT_A_TIME: Final = (
    "Mend one thing, cut the piece again, then the next: first the runout, then the steps, then backlash, then "
    "squareness. How steps and backlash are set stands in the machine's manual, which comes first."
)


@dataclass(frozen=True, slots=True)
class ScrapCard:
    """What the card of a piece of scrap is made from: the job card's head, what was measured in the proof, remarks."""

    card: Card
    measures: tuple[Measure, ...]
    remarks: tuple[str, ...]


def draw_coupon_card(coupon: Coupon, of: ScrapCard, sheet: Sheet = "A4") -> bytes:
    """Draw a coupon's card as PDF."""
    return draw_pages(of.card.title, "fit coupon", lambda width: _coupon_story(coupon, of, _paper(of, width)), sheet)


def draw_calibration_card(piece: Calibration, of: ScrapCard, sheet: Sheet = "A4") -> bytes:
    """Draw a calibration piece's card as PDF."""

    def story(width: float) -> list[Flow]:
        return _calibration_story(piece, of, _paper(of, width))

    return draw_pages(of.card.title, "calibration piece", story, sheet)


def _paper(of: ScrapCard, width_mm: float) -> Paper:
    return Paper(width_mm, of.card.layout.board.unit)


def cuts_of(piece: Coupon | InlayCoupon | Calibration | DrillingStrip, row: ProgramRow) -> str:
    """Say what a program cuts: "pockets 1 to 7, with notches"."""
    if isinstance(piece, Calibration):
        return "the whole piece"
    if isinstance(piece, DrillingStrip):
        return f"{len(piece.holes)} holes, and the dimple at the nut end"
    if isinstance(piece, InlayCoupon) and row.setup == piece.pieces.name:
        return f"pieces 1 to {len(piece.gaps_mm)}" if piece.several == "pieces" else "the piece"
    trials = [trial for trial in piece.trials if trial.cutter.number == row.cutter_number]
    counts = [(f"{trial.noun}s 1 to {len(trial.sizes_mm)}" if len(trial.sizes_mm) > 1 else f"{trial.noun} 1")
              for trial in trials]  # fmt: skip
    return f"{' and '.join(counts)}, with notches" if row.cutter_kind != "saw" else " and ".join(counts)


def notches_text(sample: Sample) -> str:
    """Say which notches a sample has, such as "1 long, 2 short"; dimples of a drill count one each."""
    grooves = [notch for notch in sample.notches if notch.ends[0] != notch.ends[1]]
    if not sample.notches:
        return "none, it is the only one"
    if not grooves:
        return f"{len(sample.notches)} dimple{'s' if len(sample.notches) > 1 else ''}"
    runs = [math.dist(*notch.ends) - notch.width_mm for notch in grooves]
    long = sum(1 for run in runs if run > (SHORT_MM + LONG_MM) / 2)
    return ", ".join(f"{count} {word}" for count, word in ((long, "long"), (len(runs) - long, "short")) if count)


def _coupon_story(coupon: Coupon, of: ScrapCard, paper: Paper) -> list[Flow]:
    flow = [*setup_pages(of.card, paper), heading("What is cut, and what each notch means")]
    flow += [prose(COUNTING), prose(WHY_IT_HOLDS)]
    measured = {measure.name: measure for measure in of.measures}
    for trial in coupon.trials:
        flow.append(trial_table(trial, _samples_of(coupon, trial), (measured, paper)))
    flow += left_out_told(of.remarks, paper)
    return [*flow, *cautions(paper, of.card.layout.board.wood)]


def _samples_of(coupon: Coupon, trial: Trial) -> list[Sample]:
    return [sample for sample in coupon.samples if sample.feature.group == trial.group]


def trial_table(trial: Trial, samples: Sequence[Sample], sizes: tuple[dict[str, Measure], Paper]) -> Flow:
    """Say of each sample its notches, its size as stated and as read back, and what is written into the board file."""
    measured, paper = sizes
    names = (trial.noun, "notches", "size", "read back", in_table(trial))
    rows = [[prose(name, "label") for name in names]]
    for sample in samples:
        measure = measured[sample.feature.name]
        cells = (
            f"{trial.noun} {sample.feature.number}",
            notches_text(sample),
            f"{sample.size_mm:.3f} mm",
            f"{as_size_mm(sample, measure.least_mm):.3f} to {as_size_mm(sample, measure.greatest_mm):.3f} mm",
            f'{trial.at[-1]} = "{sample.fit_mm:.3f} mm"' + now_told(trial, sample.fit_mm),
        )
        rows.append([paper.words(cell, "strong" if place == 2 else "body") for place, cell in enumerate(cells)])
    cutter = trial.cutter
    how = (
        f"{trial.noun.capitalize()}s, {trial.depth_mm:.2f} mm deep, by cutter {cutter.number}, {cutter.kind} "
        f"{cutter.diameter_mm:.3f} mm"
    )
    runout = f"; its runout of {cutter.runs_out_mm:.3f} mm makes all that wider" if cutter.runs_out_mm else ""
    runout = "; how far it runs out is unknown, and makes all that wider" if cutter.runout_mm is None else runout
    return together(
        [
            small_heading(in_unit(how, paper.unit)),
            paper.words(trying(trial.group).how + f" Write its line into the board file{runout}."),
            table(rows, [1.4, 1.8, 1.2, 2.0, 2.9], paper.width_mm),
            gap(2),
        ]
    )


def in_table(trial: Trial) -> str:
    """Name the table of the board file in which a fit stands; of several of its name, which.

    Counted as people count: the first is 1.
    """
    table, *which, _ = trial.at
    return f"[[{table}]] no. {int(which[0]) + 1}" if which else f"[{table}]"


def now_told(trial: Trial, fit_mm: float) -> str:
    """Say so where a fit is the one that the board has."""
    return ", as it is now" if abs(trial.fit_mm - fit_mm) < 0.0005 else ""


def _calibration_story(piece: Calibration, of: ScrapCard, paper: Paper) -> list[Flow]:
    rows = [[prose(name, "label") for name in ("measure", "how", "should be", "a wrong figure says")]]
    for each in piece.measures:
        figure = as_written(each.figure_mm)
        first, says = (paper.words(each.what), paper.words(each.how)), paper.words(each.says)
        rows.append([*first, paper.words(figure, "strong"), says])
    return [
        *setup_pages(of.card, paper),
        heading("What to measure, and what a wrong figure says"),
        paper.words(KEEP_STILL),
        table(rows, [1.4, 1.6, 1.0, 3.6], paper.width_mm),
        gap(2),
        paper.words(ONE_AT_A_TIME),
        *left_out_told(of.remarks, paper),
        *cautions(paper, of.card.layout.board.wood),
    ]


def left_out_told(remarks: Sequence[str], paper: Paper) -> list[Flow]:
    """Say what is left out, if anything is."""
    if not remarks:
        return []
    return [together([small_heading("Left out"), *paper.points(remarks)])]
