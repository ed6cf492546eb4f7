"""Damage that somebody thought up: the same for the same seed, and of every kind some that does harm."""

from collections import Counter

from small_case import case, case_automatic, case_by_hand, case_held, case_told
from thought_damage import THOUGHT, any_damage, thought_damage

SMALL = (case(), case_by_hand(), case_held(), case_automatic(), case_told())


def test_damage_is_the_same_for_the_same_seed_and_changes_the_program() -> None:
    for of in SMALL:
        text = of.programs[0][1]
        made = [thought_damage(text, str(seed)) for seed in range(120)]
        assert made == [thought_damage(text, str(seed)) for seed in range(120)]
        assert all(each[1] != text for each in made if each)


def test_every_kind_happens_and_does_harm_to_some_program() -> None:
    judged: Counter[tuple[str, str]] = Counter()
    for of in SMALL:
        for seed in range(260):
            made = thought_damage(of.programs[0][1], f"harm {seed}")
            if made is not None:
                judged[made[0], of.judge(0, made[1]).kind] += 1
    assert {kind for kind, _ in judged} == set(THOUGHT)
    harmful = {kind for kind, judgement in judged if judgement in ("harmful", "unreadable")}
    # a section that is gone with its claim is a part of the job, and is told to be one
    assert set(THOUGHT) - harmful <= {"7 lost section"}


def test_half_of_the_damage_is_done_by_chance() -> None:
    made = [any_damage(SMALL[0].programs[0][1], str(seed)) for seed in range(400)]
    by_thought = sum(each[0] in THOUGHT for each in made if each)
    assert 130 < by_thought < 230  # some of its kinds find nothing here


def test_lines_that_are_put_in_have_numbers_where_the_program_has_them() -> None:
    lines = [f"N{10 * n} {line}" for n, line in enumerate(SMALL[0].programs[0][1].decode("ascii").split("\n")[:-1], 1)]
    text = ("%\n" + "\n".join(lines) + "\n%\n").encode("ascii")
    for seed in range(200):
        made = thought_damage(text, f"numbers {seed}")
        if made is not None and made[0] == "2 other zero":
            assert all(line.startswith((b"N", b"%")) for line in made[1].split(b"\n")[:-1])
