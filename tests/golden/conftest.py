import pytest


@pytest.fixture
def renew_golden(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--renew-golden"))
