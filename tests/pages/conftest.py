import pytest
@pytest.fixture(scope="session")
def chromium(): return "/usr/bin/chromium"
