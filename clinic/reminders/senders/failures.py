"""Why a message did not leave: told apart at the source."""


class CannotSend(Exception):
    """A message did not leave. `permanent`: it never will, so a person must ring or write."""

    def __init__(self, why: str, *, permanent: bool) -> None:
        super().__init__(why)
        self.permanent = permanent
