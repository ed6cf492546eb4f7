"""What pages ask, as it comes in: a name and a text, taken only where they are some."""

from collections.abc import Mapping
from typing import Any

from pearlkerf.bench.shelf import encoded
from pearlkerf.bench.wrong import CannotBe

Asked = Mapping[str, Any]


def name_of(asked: Asked, key: str = "name") -> str:
    """Give the name of a board that is asked about; raises CannotBe."""
    name = asked.get(key)
    if not isinstance(name, str):
        raise CannotBe("No board was named.")
    return name


def text_of(asked: Asked) -> str:
    """Give the text that a page sends; raises CannotBe where no file can hold it."""
    text = asked.get("text")
    if not isinstance(text, str):
        raise CannotBe("No text was sent.")
    encoded(text)
    return text
