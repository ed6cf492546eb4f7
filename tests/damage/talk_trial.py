"""What a damaged program tells people, against what the proved one tells them."""

from itertools import pairwise
from typing import TYPE_CHECKING

import plain_talk
from what_is_harm import Harm

if TYPE_CHECKING:
    from trial import Trial


class Talk:
    """The words of a trial's program: people lay the board, set the speed and put in the cutter as they are told."""

    def __init__(self, trial: "Trial", proved: str, text: str, thick_chip: float) -> None:
        self.trial, self.proved, self.text, self.thick_chip = trial, proved, text, thick_chip

    def hold(self) -> None:
        """Check the head, then every stop, then that nothing between tells people to do something."""
        self._head()
        before, now = plain_talk.stops(self.proved), plain_talk.stops(self.text)
        self._stops(before, now)
        if plain_talk.idle_words(self.text, now) > plain_talk.idle_words(self.proved, before):
            raise Harm("people are told to do something where nothing stops")

    def _head(self) -> None:
        true, said = plain_talk.head(self.proved), plain_talk.head(self.text)
        if true == said:
            return
        for matters, what in ((plain_talk.LIES, "how the board lies"), (plain_talk.CUTTER, "the cutter")):
            for each in true:
                if matters.search(each.words) and not self._is_said(each, said):
                    raise Harm(f"people are no longer told {what}: {each.words[:40]}")
            for each in said:
                if matters.search(each.words) and not self._is_said(each, true):
                    raise Harm(f"people are told something else of {what}: {each.words[:40]}")

    def _is_said(self, sentence: plain_talk.Sentence, among: list[plain_talk.Sentence]) -> bool:
        every = [each.words for each in among]
        if sentence.words in every:
            return True
        every += [" ".join(both) for both in pairwise(every)]  # a sentence may have lost what joins its lines
        found = {plain_talk.difference(self._told(sentence.words), self._told(each)) for each in every}
        if {*sentence.lines} <= {line for each in among for line in each.lines}:
            found.add("garbled")  # its lines are all there, with others between
        if "" not in found and "garbled" in found:
            self.trial.doubts["the head is garbled"] = 1.0
        return bool({"", "garbled"} & found)

    def _told(self, sentence: str) -> str:
        """What of a sentence people act on: of a cutter what it is, and how fast it turns where they set that."""
        if not plain_talk.CUTTER.search(sentence):
            return sentence
        told = sentence.partition(", feed ")[0]
        return told if self.trial.machine.spindle.control == "hand" else plain_talk.TURNS.sub("", told)

    def _stops(self, before: list[plain_talk.Stop], now: list[plain_talk.Stop]) -> None:
        if all(stop.said for stop in before) and not all(stop.said for stop in now):
            raise Harm("stops, and people are not told what for")
        for stop in now:
            told = plain_talk.cutter_told(stop)
            if told is not None and stop.next_cutter is not None and told != stop.next_cutter:
                raise Harm("people are told another cutter")
        self._cutters(before, now)
        self._speeds(plain_talk.speeds(before), plain_talk.speeds(now))
        true = [_without_speeds(stop.words) for stop in before]
        for n, stop in enumerate(now):
            like = true[n : n + 1] if len(now) == len(before) else true
            if not any(stop.said) and not any(true):
                continue
            found = [plain_talk.difference(each, _without_speeds(stop.words)) for each in like]
            if "" in found:
                continue
            if "garbled" not in found:
                raise Harm(f"people are told something else at a stop: {stop.words[:40]}")
            self.trial.doubts["what is said at a stop is garbled"] = 1.0

    def _cutters(self, before: list[plain_talk.Stop], now: list[plain_talk.Stop]) -> None:
        """Where people change cutters, each that follows another is told at some stop."""
        if any(plain_talk.cutter_told(stop) is not None for stop in before):
            told = {plain_talk.cutter_told(stop) for stop in now}
            numbers = plain_talk.header_cutters(self.text)
            if not {each for each in numbers if each != numbers[0]} <= told:
                raise Harm("people are not told to change the cutter")

    def _speeds(self, wanted: list[float], told: list[float]) -> None:
        """Another speed than the one that should be set."""
        spindle = self.trial.machine.spindle
        if spindle.control != "hand":
            return
        if len(wanted) == len(told):
            for rpm, said in zip(wanted, told, strict=True):
                if said < rpm / self.thick_chip or said > spindle.fastest_rpm:
                    raise Harm("people are told another speed")
                if said != rpm:
                    self.trial.doubts["people are told another speed"] = said
        elif set(told) != set(wanted):
            raise Harm("people are told another speed, or none")


def _without_speeds(words: str) -> str:
    return plain_talk.SPEED.sub("rpm", words)
