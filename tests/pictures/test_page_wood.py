"""The page's own geometry, run in the browser: motions unpacked, arcs, wood carved, the camera."""

import math
import re
from collections.abc import Iterator, Sequence
from typing import Any, Final

import numpy as np
import pytest
from playwright.sync_api import Page
from shapely.geometry import LineString

from pages import a_run, data_of, long_run, needs_chromium, run_alone
from pearlkerf.layout.surfaces import Crown
from pearlkerf.pictures.page.model import DryRun
from pearlkerf.pictures.page.modules import joined, modules_from
from pearlkerf.pictures.page.page import asset, draw_page
from playwrights import a_browser

pytestmark = [pytest.mark.browser, needs_chromium]
# all that these tests see of the page's own parts
SEEN: Final = """
import { Camera } from "./camera.js";
import { WoodBitmap } from "./grain.js";
import { Track } from "./track.js";
import { unpackMotions, unpackText } from "./unpack.js";
import { Wood } from "./wood.js";
export const parts = { Camera, Track, unpackMotions, unpackText, Wood, WoodBitmap };
"""
PARTS: Final = modules_from("seen.js", lambda name: SEEN if name == "seen.js" else asset(name))
BLOCK: Final = {
    "wood": "maple",
    "outline": [[0, -15], [60, -15], [60, 15], [0, 15]],
    "thickness": 6,
    "crown": None,
    "placement": [0, 0, 0],
    "features": [],
}
MILL: Final = {"number": 1, "kind": "end mill", "diameter": 3, "point": 0}


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with a_browser() as browser:
        yield browser.new_page()


def evaluate(page: Page, body: str, given: Any = None) -> Any:
    """Run a piece of script that sees the page's own parts."""
    names = "const { Camera, Track, unpackMotions, unpackText, Wood, WoodBitmap } = $module_seen.parts;"
    return page.evaluate(f"async (given) => {{ {joined(PARTS)}\n{names}\n{body} }}", given)


CARVE: Final = """
    const wood = new Wood(given.setup);
    for (const [cutter, ...pieces] of given.cuts) for (const piece of pieces) wood.cutStraight(piece, cutter);
    const bytes = Array.from(new Uint8Array(wood.heights.buffer), (each) => String.fromCharCode(each)).join("");
"""


def carved(page: Page, cuts: list[Any], setup: Any = BLOCK) -> dict[str, Any]:
    """Cut straight pieces into a block; give the cell's size and the heights, (rows, columns)."""
    found = evaluate(page, CARVE + "return [wood.cell, wood.nx, wood.ny, bytes];", {"setup": setup, "cuts": cuts})
    steps = np.frombuffer(found[3].encode("latin-1"), np.int16).reshape(found[2], found[1])
    heights = np.where(steps == np.iinfo(np.int16).min, np.nan, steps * 0.002)
    return {"cell": found[0], "heights": heights}


@pytest.mark.parametrize("line", [((10, -5), (50, 5)), ((20, 0), (20.0, 12)), ((10, 2), (40, 2))])
def test_level_cut_takes_the_area_that_shapely_gives(page: Page, line: tuple[Any, Any]) -> None:
    (ax, ay), (bx, by) = line
    found = carved(page, [[MILL, [ax, ay, -1.5, bx, by, -1.5]]])
    taken = found["heights"] < -0.001
    swept = LineString(line).buffer(1.5, quad_segs=64)
    # a cell counts by its middle: the error is a small part of a cell for each cell of the rim
    assert taken.sum() * found["cell"] ** 2 == pytest.approx(swept.area, abs=0.1 * swept.length * found["cell"])
    assert set(np.unique(found["heights"][taken])) == {-1.5}


def test_ramp_is_as_deep_as_its_lowest_tip_within_reach(page: Page) -> None:
    found = carved(page, [[MILL, [10, 0, 0, 50, 0, -4]]])
    row = found["heights"][found["heights"].shape[0] // 2]
    for x in (15.0, 30.0, 45.0):
        # the mill's flat bottom reaches its radius back from a tip that sinks 0.1 mm a mm
        assert row[int(x / found["cell"])] == pytest.approx(-(x + 1.5 - 10) / 10, abs=0.01)
    assert row[int(51 / found["cell"])] == pytest.approx(-4.0)


def test_drill_leaves_its_cone_and_a_ball_its_hollow(page: Page) -> None:
    drill = {"number": 2, "kind": "twist drill", "diameter": 4, "point": 1}
    ball = {"number": 3, "kind": "ball", "diameter": 4, "point": 0}
    found = carved(page, [[drill, [15, 0, 2, 15, 0, -3]], [ball, [45, 0, 2, 45, 0, -3]]])
    row = found["heights"][found["heights"].shape[0] // 2]
    for off in (0.0, 1.0, 1.8):
        cell = round(off / found["cell"])
        middle = int(15 / found["cell"]), int(45 / found["cell"])
        assert row[middle[0] + cell] == pytest.approx(-3 + off / 2, abs=0.05)
        assert row[middle[1] + cell] == pytest.approx(-3 + 2 - math.sqrt(4 - off**2), abs=0.1)


@pytest.mark.parametrize("piece", [
    [30, -25, -1, 30, 25, -1], [30, 25, -2, 30, -4, -0.5], [30, 4, 1, 30, 4, -2], [30, 20, 3, 30, 20, -4],
])  # fmt: skip
def test_a_saw_leaves_the_chord_of_its_blade_as_wide_as_its_kerf(page: Page, piece: list[float]) -> None:
    saw = {"number": 4, "kind": "saw", "diameter": 40, "point": 0, "kerf": 0.6}
    found = carved(page, [[saw, piece]])
    heights, cell = found["heights"], found["cell"]
    y = -15 + (np.arange(heights.shape[0]) + 0.5) * cell
    share = np.linspace(0.0, 1.0, 4001)[:, None]
    (_, ay, az, _, by, bz) = piece
    under = 20.0**2 - (y - ay - (by - ay) * share) ** 2
    discs = np.where(under >= 0, az + (bz - az) * share + 20.0 - np.sqrt(np.maximum(under, 0.0)), np.inf)
    column = heights[:, round(30 / cell - 0.5)]
    assert column == pytest.approx(np.minimum(discs.min(axis=0), 0.0), abs=0.01)
    wide = (heights < -0.01).sum(axis=1) * cell
    assert wide[column < -0.02] == pytest.approx(0.6, abs=cell)


def test_a_saw_without_a_kerf_carves_nothing(page: Page) -> None:
    saw = {"number": 4, "kind": "saw", "diameter": 40, "point": 0}
    assert np.all(carved(page, [[saw, [30, -25, -1, 30, 25, -1]]])["heights"] == 0)


def test_crowned_top_falls_as_the_layout_says_also_when_turned(page: Page) -> None:
    crown = Crown(180.0, 300.0, 60.0)
    turned = {**BLOCK, "crown": [180, 300, 60], "placement": [3, 1, -2]}
    points = [[5.0, 4.0], [30.0, -9.0], [55.0, 10.0]]
    found = evaluate(page, "const w = new Wood(given.setup); return given.points.map((p) => w.rawHeight(...p));",
                     {"setup": turned, "points": points})  # fmt: skip
    c, s = math.cos(math.radians(3)), math.sin(math.radians(3))
    for (x, y), height in zip(points, found, strict=True):
        along, across = c * (x - 1) + s * (y + 2), -s * (x - 1) + c * (y + 2)
        assert height == pytest.approx(-float(crown.fall_mm(along, across)), abs=1e-9)


UNPACK: Final = """
    const program = given;
    const motions = await unpackMotions(program);
    const track = new Track(program, motions, await unpackText(program, motions));
"""


def packed(run: DryRun, number: int = 0) -> dict[str, Any]:
    program: dict[str, Any] = data_of(draw_page(run))["programs"][number]
    return program


@pytest.mark.parametrize("number", [0, 1, 2])
def test_unpacked_motion_is_the_motion_that_was_read(page: Page, number: int) -> None:
    reading = a_run().programs[number].reading
    assert reading is not None
    body = "return [...track.flags.keys()].map((row) => track.end(row).map((each) => (each === each ? each : null)));"
    found = np.array(evaluate(page, UNPACK + body, packed(a_run(), number)), dtype=float)
    np.testing.assert_allclose(found, reading.motions.end, atol=0.00051)


def test_arcs_run_along_their_circle_and_helices_climb_evenly(page: Page) -> None:
    run = a_run().programs[0]
    assert run.reading is not None
    motions = run.reading.motions
    rows = np.flatnonzero(motions.kind == 2)[[0, 5, 40]].tolist()
    body = f"return {rows}.map((row) => [0.25, 0.5, 1].map((part) => track.point(row, part)));"
    for row, points in zip(rows, evaluate(page, UNPACK + body, packed(a_run())), strict=True):
        spoke = motions.start[row] - motions.centre[row]
        for part, point in zip((0.25, 0.5, 1.0), points, strict=True):
            angle = motions.sweep[row] * part
            turned = complex(spoke[0], spoke[1]) * complex(math.cos(angle), math.sin(angle))
            climbed = motions.start[row, 2] + part * (motions.end[row, 2] - motions.start[row, 2])
            want = [motions.centre[row, 0] + turned.real, motions.centre[row, 1] + turned.imag, climbed]
            assert point == pytest.approx(want, abs=0.002)


def test_arcs_of_the_other_planes_run_about_their_own_axes(page: Page) -> None:
    # NISTIR 6556, section 3.5.3: in G18 the offsets are I and K, in G19 J and K
    text = "G21 G90\nG0 X0. Y0. Z0.\nG18 G3 X0. Z10. I0. K5. F60.\nG0 X0. Y0. Z0.\nG19 G3 Y0. Z10. J0. K5.\nM2\n"
    run = run_alone(text)
    reading = run.programs[0].reading
    assert reading is not None
    rows = np.flatnonzero(reading.motions.kind == 2).tolist()
    halfway = evaluate(page, UNPACK + f"return {rows}.map((row) => track.point(row, 0.5));", packed(run))
    for point, row, axis in zip(halfway, rows, (0, 1), strict=True):
        assert abs(point[axis]) == pytest.approx(5.0, abs=0.001)
        assert point[2] == pytest.approx(5.0, abs=0.001)
        # counter-clockwise seen from the positive end of the axis that is turned about: Y for G18, X for G19
        assert math.copysign(1, point[axis]) == (-1 if axis == 0 else 1)
        assert reading.motions.sweep[row] == pytest.approx(math.pi)


def test_text_of_a_folded_program_is_the_text_of_the_file(page: Page) -> None:
    run = long_run(20_000, 0.05)
    program = packed(run)
    assert program["style"] == "full"
    lines = evaluate(page, UNPACK + "return track.lines;", program)
    assert lines == run.programs[0].program.text.decode().split("\n")[:-1]


def test_going_back_in_time_gives_the_wood_of_that_time(page: Page) -> None:
    body = (
        UNPACK
        + """
        const setup = %s;
        const cutter = { number: 2, kind: "end mill", diameter: 3, point: 0 };
        const made = () => {
            const wood = new Wood(setup);
            wood.takeTracks([track], () => cutter);
            return wood;
        };
        const wood = made();
        const sums = [];
        for (const part of [1, 0.2, 0.8, 0.4, 0.6]) {
            const time = part * track.total;
            const at = track.at(time);
            const tip = track.point(at.row, at.part);
            wood.cutTo(track, at.row, at.part, tip);
            const fresh = made();
            fresh.cutTo(track, at.row, at.part, tip);
            const same = wood.heights.every((each, n) => each === fresh.heights[n]);
            sums.push([same, fresh.heights.reduce((a, b) => a + b, 0)]);
        }
        return sums;
    """
    )
    setup = str({**BLOCK, "outline": [[0, -28], [448, -28], [448, 28], [0, 28]]}).replace("None", "null")
    found = evaluate(page, body % setup, packed(a_run()))
    assert [same for same, _ in found] == [True] * 5
    assert len({total for _, total in found}) == 5


@pytest.mark.parametrize("kind", ["plan", "edge", "end", "free"])
def test_camera_sees_the_whole_board_and_holds_a_point_when_it_comes_closer(page: Page, kind: str) -> None:
    found = evaluate(page, """
        const camera = new Camera();
        camera.kind = given;
        [camera.turn, camera.lift] = [-0.5, 0.6];
        camera.resize(800, 300);
        const box = [0, -28, -6, 448, 28, 0];
        camera.fit(box, 20);
        const bounds = camera.boundsOf(box);
        const place = camera.target.map((value, axis) => value + 20 * camera.right[axis] + 5 * camera.up[axis]);
        const before = camera.project(...place);
        camera.zoom(3, ...before);
        return [bounds, before, camera.project(...place)];
    """, kind)  # fmt: skip
    (left, top, right, bottom), before, after = found
    assert left >= 19 and top >= 19 and right <= 781 and bottom <= 281
    assert right - left > 740 or bottom - top > 240
    # a point of the plane that faces the eye stays under its pixel
    assert after == pytest.approx(before, abs=1e-6)


PAINT: Final = """
    const wood = new Wood(given.setup);
    const bitmap = new WoodBitmap(wood);
    for (const piece of given.slots) wood.cutStraight(piece, given.mill);
    bitmap.refresh();
    const image = bitmap.context.getImageData(0, 0, wood.nx, wood.ny).data;
    const painted = [[], []];
    for (let at = 0; at < wood.heights.length; at += 1) {
      const [column, row] = [at % wood.nx, wood.ny - 1 - Math.floor(at / wood.nx)];
      const pixel = 4 * (row * wood.nx + column);
      painted[wood.heights[at] < wood.raw[at] ? 1 : 0].push([image[pixel], image[pixel + 1], image[pixel + 2]]);
    }
    const middle = (colours) => [0, 1, 2].map((channel) => {
      const sorted = colours.map((colour) => colour[channel]).sort((a, b) => a - b);
      return sorted[Math.floor(sorted.length / 2)];
    });
    return painted.map(middle);
"""
WOODS: Final = ("ebony", "African blackwood", "wenge", "katalox", "rosewood", "maple", "a wood without a name")
GROUNDS: Final = tuple(re.findall(r"--bench(?:-low)?: #(\w{6});", asset("viewer.css")))


def contrast(one: Sequence[int], other: Sequence[int]) -> float:
    """Give the contrast ratio of two colours (WCAG 2.2, definitions of relative luminance and contrast ratio)."""

    def luminance(colour: Sequence[int]) -> float:
        shares = [value / 255 for value in colour]
        red, green, blue = (each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in shares)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize("wood", WOODS)
def test_every_wood_is_seen_on_its_ground_and_slots_in_every_wood(page: Page, wood: str) -> None:
    setup = {**BLOCK, "wood": wood, "outline": [[0, -8], [30, -8], [30, 8], [0, 8]]}
    slots = [[x, -9, -2.2, x, 9, -2.2] for x in (5, 12, 19, 26)]
    face, slot = evaluate(page, PAINT, {"setup": setup, "slots": slots, "mill": {**MILL, "diameter": 0.58}})
    assert len(GROUNDS) == 4
    assert contrast(face, slot) >= 1.6
    for ground in GROUNDS:
        assert contrast(face, bytes.fromhex(ground)) >= 1.8
