"""Sixty pieces on blanks, beside the bound by area and the packing library's own best.

Run: pytest tests/benchmarks/test_bench_nesting.py --benchmark-enable -s
"""

import math
import time
from itertools import product

import rectpack

from pearlkerf.setups.blanks import snuggest_deg
from pearlkerf.setups.nesting import Nest, nest
from setups.stars import blanks, nest_of, stars

MOST_S = 2.0
SORTS = ("SORT_AREA", "SORT_PERI", "SORT_DIFF", "SORT_SSIDE", "SORT_LSIDE", "SORT_RATIO")
FILLS = [name for name in dir(rectpack) if name.startswith(("MaxRects", "Skyline", "Guillotine"))]


def best_of_the_library(asked: Nest) -> int:
    """Give the fewest blanks that any of the library's ways takes for the same boxes."""
    inside = asked.inside(asked.blanks[0]).size_mm
    fewest = len(asked.blanks)
    for fill, sort, room in product(FILLS, SORTS, ("BNF", "BFF", "BBF")):
        packer = rectpack.newPacker(bin_algo=getattr(rectpack.PackingBin, room), pack_algo=getattr(rectpack, fill),
                                    sort_algo=getattr(rectpack, sort), rotation=True)  # fmt: skip
        packer.add_bin(*(math.floor(side * 1000) for side in inside), count=len(asked.blanks))
        for piece in asked.pieces:
            box = asked.box(piece, snuggest_deg(piece, "any")).size_mm
            packer.add_rect(*(math.ceil(side * 1000) for side in box), rid=piece.name)
        packer.pack()
        if len(packer.rect_list()) == len(asked.pieces):
            fewest = min(fewest, len(packer))
    return fewest


def test_sixty_pieces_beside_the_library_s_best() -> None:
    asked = nest_of(stars(60), blanks(12))
    start = time.process_time()
    used = max(each.blank[1] for each in nest(asked))
    taken = time.process_time() - start
    boxes = sum(math.prod(asked.box(piece, snuggest_deg(piece, "any")).size_mm) for piece in asked.pieces)
    bound = math.ceil(boxes / math.prod(asked.inside(asked.blanks[0]).size_mm))
    library = best_of_the_library(asked)
    print(f"\n60 pieces: {used} blanks in {taken:.2f} s; by area of boxes {bound}, the library's best {library}")
    assert used <= library and taken < MOST_S
