"""What fits: the coupon as a conversation, the calibration piece's figures, and a notebook of fits that were found.

order ─plan─> samples ─made, cut, tried─> "this one" ─> fit in the board file
                                                   └──> fits.toml, by cutter, wood and wire: offered next time
"""

import math
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final

from pearlkerf import way
from pearlkerf.bench.editing import Edit, edited
from pearlkerf.bench.orders import command, order_of, plan_order
from pearlkerf.bench.shelf import NOTEBOOK, ChangedMeanwhile, Shelf, own_profile
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.errors import Refusal
from pearlkerf.files.lengths import LengthError, Unit, read_length_mm, told_in
from pearlkerf.jobs.model import Job
from pearlkerf.layout.features import Feature
from pearlkerf.layout.groups import GROUPS, trying
from pearlkerf.pictures.board.strip import draw_blank_pieces, draw_strip
from pearlkerf.pictures.board.svg import picture_svg
from pearlkerf.pictures.card.inlay_coupon import FROM_ONE_UP
from pearlkerf.pictures.card.scrap import notches_text
from pearlkerf.setups.blank_rows import RowPiece
from pearlkerf.setups.calibrated import Told, asked_figures, say_calibration
from pearlkerf.setups.calibration import Calibration
from pearlkerf.setups.coupons import Coupon
from pearlkerf.setups.inlay_coupons import InlayCoupon
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.tries import groups_there

WIDE_PX: Final = 1100.0
FIT_DECIMALS: Final = 4  # of a millimetre, as steps of a coupon have them
SHOWN_DECIMALS: Final = 3  # of a millimetre, one more of an inch
TIMES_DECIMALS: Final = 5
HEAD: Final = (
    "# Fits that were found on coupons, by cutter, wood and what was tried; offered where they are met again.\n"
)
MOST_NOTES: Final = 500
LEAST_RUNOUT_MM, MOST_RUNOUT_MM = 0.0, 0.5  # that a profile takes


@dataclass(frozen=True, slots=True)
class Fits:
    """The conversation about fits, over one folder."""

    shelf: Shelf

    def piece(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Say what a piece would be: a coupon's samples, or what is to be measured; or what is wrong with it."""
        order = order_of(asked, self.shelf)
        try:
            look, job = plan_order(self.shelf.folder, order)
        except Refusal as refusal:
            refused = [asdict(each) for each in refusal.problems]
            return {"command": command(order), **self._there(order.name), "refused": refused}
        assert job.piece is not None
        of = job.piece.of
        left_out = [asdict(each) for each in job.piece.left_out]
        data = {"command": command(order), **_to_try(look.clamped()), "left_out": left_out}
        if isinstance(of, Coupon | InlayCoupon):
            return {**data, **self._coupon(of, look)}
        if isinstance(of, Calibration):
            return {
                **data,
                "cutter": of.cutter.number,
                "asked": [{**asdict(each), "should": told_in(each.figure_mm, look.unit)} for each in asked_figures(of)],
            }
        return data

    def _there(self, name: str) -> dict[str, Any]:
        """Give what of a board a coupon can try, though not all of it can be cut; nothing of a wrong board."""
        try:
            return _to_try(way.look_at(self.shelf.path(name)).clamped())
        except Refusal:
            return {"groups": [], "inlays": []}

    def _coupon(self, coupon: Coupon | InlayCoupon, look: way.Look) -> dict[str, Any]:
        layout, notes = look.right(), self.notes()
        trials = []
        for trial in coupon.trials:
            group = GROUPS[trial.group]
            samples = [
                _sample(each.feature, each.size_mm, each.fit_mm, notches_text(each), look.unit)
                for each in coupon.samples
                if each.feature.group == trial.group
            ]
            tried = _tried(trial.cutter.kind, trial.cutter.diameter_mm, layout.board.wood, trial.group)
            trials.append({
                "group": trial.group, "noun": trial.noun, "how": trying(trial.group).how, "table": group.table,
                "cutter": tried["cutter"], "now_mm": trial.fit_mm, "now": _signed(trial.fit_mm, look.unit),
                "at": list(trial.at), "samples": samples,
                "known": [{**each, "fit": _signed(each["fit_mm"], look.unit)} for each in notes
                          if all(each.get(key) == value for key, value in tried.items())
                          and isinstance(each.get("fit_mm"), int | float)],
            })  # fmt: skip
        if isinstance(coupon, InlayCoupon) and coupon.several == "pieces":
            pieces = draw_blank_pieces(coupon.pieces, WIDE_PX)
            return {"trials": [{**trials[0], **_pieces(coupon, look.unit)}], "strip": picture_svg(pieces, {})}
        strip = draw_strip(coupon.setup, [each.feature for each in coupon.samples], WIDE_PX)
        return {"trials": trials, "strip": picture_svg(strip, {})}

    def take(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Put a fit into the board, and note it; raises CannotBe where the board was changed meanwhile."""
        name, group, fit = str(asked.get("name", "")), GROUPS.get(str(asked.get("group", ""))), asked.get("fit_mm")
        if group is None or group.trying is None or not isinstance(fit, int | float) or not math.isfinite(fit):
            raise CannotBe("That is no fit.")
        usual = [group.table, group.trying.key]
        at = asked.get("at", usual)  # of inlays there are many, each with a gap of its own
        if not isinstance(at, list) or at[:1] + at[-1:] != usual:
            raise CannotBe("That is no fit.")
        held = self.shelf.read(name)
        look = self.shelf.look(held.text, name)
        figure = round(float(fit), FIT_DECIMALS) + 0.0
        value: Any = figure if look.unit == "mm" else f"{figure:g} mm"
        text = edited(held.text, [Edit("put", tuple(at), value)])
        try:
            saved = self.shelf.save(name, text, held.digest)
        except ChangedMeanwhile:
            raise CannotBe("The board was changed meanwhile: look at it, and take the fit again.", 409) from None
        if asked.get("note") is True and look.board is not None:
            self._note(asked, look.board.wood, figure)
        return {"name": name, "digest": saved.digest, "table": group.table, "fit": value}

    def notes(self) -> list[dict[str, Any]]:
        """Give what the notebook holds; nothing where there is none, or none that can be read."""
        try:
            notes = tomllib.loads(self.shelf.notebook().text).get("fit", [])
        except (OSError, ValueError, CannotBe):
            return []
        return [each for each in notes if isinstance(each, dict)] if isinstance(notes, list) else []

    def known(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Give what the notebook knows of fits in a wood: each with its table and key, and as it is typed there."""
        wood, unit = str(asked.get("wood", "")), asked.get("unit")
        found = []
        for note in self.notes():
            group, fit = GROUPS.get(str(note.get("of"))), note.get("fit_mm")
            if group is None or group.trying is None or not isinstance(fit, int | float) or note.get("wood") != wood:
                continue
            found.append({"table": group.table, "key": group.trying.key, "with": str(note.get("with", "")),
                          "cutter": str(note.get("cutter", "")), "fit_mm": fit,
                          "typed": f"{fit:g}" if unit == "mm" else f"{fit:g} mm"})  # fmt: skip
        return {"known": found}

    def _note(self, asked: Mapping[str, Any], wood: str, fit_mm: float) -> None:
        """Write a fit into the notebook, in the place of an older one of the same."""
        with_what = str(asked.get("with_what", ""))[:100]
        note = {"cutter": str(asked.get("cutter", ""))[:100], "wood": wood, "of": str(asked["group"]), "fit_mm": fit_mm,
                **({"with": with_what} if with_what else {})}  # fmt: skip
        same = [each for each in self.notes() if {**each, "fit_mm": fit_mm} == note]
        if not same and len(self.notes()) < MOST_NOTES:
            held = self.shelf.notebook() if self.shelf.has_notebook() else None
            text = edited(HEAD if held is None else held.text, [Edit("add", ("fit",), [note])])
        elif same:
            held = self.shelf.notebook()
            text = edited(held.text, [Edit("put", ("fit", self.notes().index(same[0]), "fit_mm"), fit_mm)])
        else:
            raise CannotBe(f"The notebook {NOTEBOOK} is full: take out what you need no more.", 409)
        self.shelf.keep_notebook(text, held)

    def say(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Say what the figures measured on a calibration piece mean."""
        order = order_of({**asked, "kind": "calibration"}, self.shelf)
        try:
            look, job = plan_order(self.shelf.folder, order)
        except Refusal as refusal:
            return {"refused": [asdict(each) for each in refusal.problems]}
        piece = _calibration(job)
        measured, wrong = {}, {}
        given = asked.get("measured")
        for what in (each.what for each in asked_figures(piece)):
            text = given.get(what, "") if isinstance(given, dict) else ""
            if isinstance(text, str) and text.strip():
                try:
                    measured[what] = read_length_mm(text.strip(), look.unit)
                except LengthError as fault:
                    wrong[what] = fault.found
                if measured.get(what, 1.0) <= 0.0:
                    wrong[what] = "a measured length is more than 0"
        if wrong:
            return {"told": [], "wrong": wrong}
        told = [{**asdict(each), "said": _said(each, look.unit)} for each in say_calibration(piece, measured)]
        return {"told": told, "wrong": {}}

    def runout(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Fill a cutter's measured runout into a profile of the folder; raises CannotBe for one that comes along."""
        order, runout, number = order_of(asked, self.shelf), asked.get("runout_mm"), asked.get("number")
        name = own_profile(order.machine)
        if name is None:
            raise CannotBe("That machine comes along with the tool: copy it first, and measure your own.", 409)
        if not isinstance(runout, int | float) or not LEAST_RUNOUT_MM <= runout <= MOST_RUNOUT_MM:
            raise CannotBe(f"A runout lies between {LEAST_RUNOUT_MM:g} and {MOST_RUNOUT_MM:g} mm.", 422)
        held = self.shelf.read(name)
        cutters = tomllib.loads(held.text).get("cutter", [])
        places = [index for index, each in enumerate(cutters) if each.get("number") == number]
        if not places:
            raise CannotBe("The profile has no such cutter.", 404)
        text = edited(held.text, [Edit("put", ("cutter", places[0], "runout"), round(float(runout), 3))])
        try:
            self.shelf.save(name, text, held.digest)
        except ChangedMeanwhile:
            raise CannotBe("The profile was changed meanwhile: try again.", 409) from None
        return {"machine": order.machine, "number": number, "runout_mm": round(float(runout), 3)}


def _to_try(there: Clampings) -> dict[str, list[str]]:
    """Give what a coupon can try: groups, and inlays and the parts of each, as ``--of`` takes them."""
    parts = there.layout.inlays
    names = [*(part.inlay.called for part in parts), *(part.pocket.name for part in parts)]
    return {"groups": list(groups_there(there)), "inlays": list(dict.fromkeys(names))}


def _signed(length_mm: float, unit: Unit) -> str:
    """Give a difference for people, with its sign and unit.

    >>> _signed(0.025, "mm"), _signed(-0.0508, "in")
    ('+0.025 mm', '−0.0020 in')
    """
    return f"{'−' if length_mm < 0 else '+'}{told_in(abs(length_mm), unit, SHOWN_DECIMALS)}"


def _said(told: Told, unit: Unit) -> str:
    """Give a measured figure for people: lengths in their unit, shares as they are."""
    if told.unit == "mm":
        return ("-" if told.figure < 0 else "") + told_in(abs(told.figure), unit, SHOWN_DECIMALS)
    return f"{told.figure:.{TIMES_DECIMALS if told.unit == 'times' else SHOWN_DECIMALS}f} {told.unit}"


def _sample(of: Feature | RowPiece, size_mm: float, fit_mm: float, known_by: str, unit: Unit) -> dict[str, Any]:
    """Give one sample: what it is, its size and its fit, and by what it is known on the bench."""
    return {"name": of.name, "number": of.number, "size_mm": size_mm, "fit_mm": fit_mm,
            "size": told_in(size_mm, unit, SHOWN_DECIMALS), "fit": _signed(fit_mm, unit),
            "notches": known_by}  # fmt: skip


def _pieces(coupon: InlayCoupon, unit: Unit) -> dict[str, Any]:
    """Give the pieces of a coupon as samples, each with its gap and the blank that it lies on."""
    samples = [
        _sample(piece, gap, gap, f"blank {piece.blank}", unit)
        for piece, gap in zip(coupon.row.pieces, coupon.gaps_mm, strict=True)
    ]
    return {"noun": "piece", "how": FROM_ONE_UP, "samples": samples}


def _calibration(job: Job) -> Calibration:
    assert job.piece is not None and isinstance(job.piece.of, Calibration)
    return job.piece.of


def _tried(kind: str, diameter_mm: float, wood: str, group: str) -> dict[str, str]:
    """Give by what a fit is found again: the cutter, the wood, and what was tried."""
    return {"cutter": f"{kind} {diameter_mm:.3f} mm", "wood": wood, "of": group}
