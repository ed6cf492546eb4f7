"""One bench for all tests of harm: a job is made once."""

import pytest
from fresh import Bench


@pytest.fixture(scope="session")
def bench(tmp_path_factory) -> Bench:
    """Give the bench on which programs are made, edited and proved."""
    return Bench(tmp_path_factory.mktemp("bench"))
