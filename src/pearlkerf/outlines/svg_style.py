"""What CSS and presentation attributes say of an element: is it drawn, how does it fill, what cuts or moves it."""

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from pearlkerf.outlines.limits import MOST_DEPTH, MOST_MATCHES

# attributes that CSS knows as well
ATTRIBUTES: Final = (
    "display",
    "visibility",
    "fill-rule",
    "overflow",
    "clip-path",
    "clip",
    "mask",
    "filter",
    "marker",
    "marker-start",
    "marker-mid",
    "marker-end",
    "transform-origin",
)
# what CSS may say in place of an attribute: the outline is then not where the attributes have it
DRAWS: Final = frozenset({"d", "x", "y", "cx", "cy", "r", "rx", "ry", "width", "height"})
MOVES: Final = frozenset({"transform", "translate", "rotate", "scale", "zoom", "offset-path", "transform-box"})
ASKED: Final = frozenset(ATTRIBUTES) | DRAWS | MOVES
INHERITED: Final = frozenset({"visibility", "fill-rule", "marker-start", "marker-mid", "marker-end", "marker"})
# words with which CSS hands a property over
HANDED: Final = frozenset({"inherit", "initial", "unset", "revert", "revert-layer"})
USUAL: Final = {"display": "inline", "visibility": "visible", "fill-rule": "nonzero", "overflow": "hidden"}
KNOWN: Final = {
    "display": frozenset({"none", "inline", "block"}),
    "visibility": frozenset({"visible", "hidden", "collapse"}),
    "fill-rule": frozenset({"nonzero", "evenodd"}),
    "overflow": frozenset({"visible", "hidden", "scroll", "auto"}),
}
# selectors by name, class and id, one within another: what drawing programs write
PLAIN: Final = re.compile(r"(?:[\w*]|[.#][a-zA-Z_])[\w.#-]*(?:(?:\s+|\s*>\s*)[\w*.#][\w.#-]*)*")
CUT_BY: Final = {"clip-path": "a clip", "clip": "a clip", "mask": "a mask", "filter": "a filter"}
Style = Mapping[str, str]


class Styles:
    """The rules of a drawing's style elements, matched against its elements."""

    def __init__(self, root: Any, sheets: list[str]) -> None:
        """Take the root element and the text of every style element.

        Raises ValueError where a rule that matters cannot be read.
        """
        self._matcher: Any = None
        if sheets:
            import cssselect2

            self._matcher = cssselect2.Matcher()
            count, elements = 0, sum(1 for _ in root.iter())
            for sheet in sheets:
                for selector, steps, declared in _rules(sheet):
                    count += MOST_DEPTH**steps
                    if count * elements > MOST_MATCHES:
                        raise ValueError("style sheets have too many rules for so many elements")
                    self._matcher.add_selector(selector, declared)
            wrapped = cssselect2.ElementWrapper.from_xml_root(root)
            self._wrapped = {each.etree_element: each for each in wrapped.iter_subtree()}

    def of(self, element: Any, inherited: Style) -> dict[str, str]:
        """Give the asked properties of an element, ``inherited`` from its parent where it says nothing.

        Raises ValueError for a word that a property does not have.
        """
        strong: dict[str, str] = {}
        own = {name: element.get(name).strip().lower() for name in ATTRIBUTES if name in element.attrib}
        if self._matcher is not None and element in self._wrapped:
            matched = sorted(self._matcher.match(self._wrapped[element]), key=lambda each: each[:2])
            for *_, declared in matched:
                for name, value, important in declared:
                    (strong if important else own)[name] = value
        for name, value, important in _declarations(element.get("style", "")):
            (strong if important else own)[name] = value
        found = {name: value for name, value in inherited.items() if name in INHERITED}
        for name, value in (own | strong).items():
            _settle(found, inherited, name, value)
        return found


def _settle(found: dict[str, str], inherited: Style, name: str, value: str) -> None:
    """Put a property's word among those found."""
    if value in HANDED:
        keeps = value == "inherit" or (value == "unset" and name in INHERITED)
        value = inherited.get(name, USUAL.get(name, "")) if keeps else USUAL.get(name, "")
        if value == "":
            found.pop(name, None)
            return
    if value not in KNOWN.get(name, {value}):
        raise ValueError(f'{name}: "{value[:40]}"')
    found[name] = value


def cut_or_moved(style: Style) -> tuple[str, str] | None:
    """Say what a style does to an outline that is not read here, with a hint; None for nothing."""
    if MOVES & style.keys() or style.get("transform-origin", "0 0") not in ("0 0", "0", "0px 0px"):
        return "a style moves it", "use the attribute transform, and save as plain SVG"
    if DRAWS & style.keys():
        return "a style draws it or sizes it", "use attributes, and save as plain SVG"
    cuts = (what for key, what in CUT_BY.items() if style.get(key, "none") not in ("none", "auto", ""))
    what = next(cuts, "")
    if what:
        return f"{what} cuts it", "apply it in the drawing program"
    marks = any(style.get(f"marker{end}", "none") != "none" for end in ("", "-start", "-mid", "-end"))
    return ("markers stand on it", "turn them into paths in the drawing program, or leave them out") if marks else None


def _rules(sheet: str) -> Iterator[tuple[Any, int, list[tuple[str, str, bool]]]]:
    """Give the selector of every rule that matters, how many steps it has, and what it declares."""
    import cssselect2
    import tinycss2

    for rule in tinycss2.parse_stylesheet(sheet, skip_comments=True, skip_whitespace=True):
        if rule.type == "at-rule" and rule.lower_at_keyword in ("charset", "namespace", "font-face"):
            continue
        if rule.type != "qualified-rule":
            raise ValueError("a style sheet has a rule that is not read here")
        declared = list(_declarations(tinycss2.serialize(rule.content)))
        if declared:
            names = [name.strip() for name in tinycss2.serialize(rule.prelude).split(",")]
            if not all(map(PLAIN.fullmatch, names)):
                raise ValueError(f'a style sheet has a selector that is not read here ("{names[0][:40]}")')
            selectors = cssselect2.compile_selector_list(rule.prelude)
            for selector, name in zip(selectors, names, strict=True):
                yield selector, len(re.split(r"[\s>]+", name)) - 1, declared


def _declarations(text: str) -> Iterator[tuple[str, str, bool]]:
    if not text.strip():
        return
    import tinycss2

    for each in tinycss2.parse_blocks_contents(text, skip_comments=True, skip_whitespace=True):
        if each.type == "declaration" and each.lower_name in ASKED:
            yield each.lower_name, tinycss2.serialize(each.value).strip().lower(), each.important
