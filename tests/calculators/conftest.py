"""How many questions Hypothesis draws when each test runs for thousands of mutants: few, always the same."""

from __future__ import annotations

from hypothesis import HealthCheck, Phase, settings

settings.register_profile("mutants", max_examples=4, derandomize=True, database=None, deadline=None,
                          suppress_health_check=list(HealthCheck), phases=[Phase.explicit, Phase.generate])
