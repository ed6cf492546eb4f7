"""What a page asked for and cannot have, in words that it shows."""


class CannotBe(Exception):
    """Something that was asked for and cannot be: words for people, and the status of the answer (RFC 9110)."""

    def __init__(self, words: str, status: int = 400) -> None:
        self.words, self.status = words, status
        super().__init__(words)
