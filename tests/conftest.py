"""Lets test modules import the helpers that stand beside them; no test fails because the machine is busy."""

import sys
from pathlib import Path

from hypothesis import HealthCheck, settings

sys.path.insert(0, str(Path(__file__).parent))
settings.register_profile("busy machines", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("busy machines")
