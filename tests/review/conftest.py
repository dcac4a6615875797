from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from review_kit import CHROMIUM, DRIVER, FLAGS, Served, copied, served, tone, why_no_browser

if TYPE_CHECKING:
    from browser_kit import Browser


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Served]:
    with served(copied(tmp_path)) as one:
        yield one


@pytest.fixture
def heard(tmp_path: Path) -> Iterator[Served]:
    """With a recording: forty seconds of a tone."""
    with served(copied(tmp_path), recording=tone(tmp_path / "porch.wav", 40)) as one:
        yield one


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    why = why_no_browser()
    if why is not None:
        pytest.skip(why)
    selenium = pytest.importorskip("selenium.webdriver")
    from browser_kit import Browser
    from selenium.webdriver.chrome.service import Service

    options = selenium.ChromeOptions()
    options.binary_location = CHROMIUM
    for flag in FLAGS:
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = selenium.Chrome(options=options, service=Service(DRIVER))
    try:
        yield Browser(driver)
    finally:
        driver.quit()


@pytest.fixture
def browser(chromium: Browser) -> Iterator[Browser]:
    """One window at the width of a laptop; what the page complains of fails the test."""
    chromium.size(1366, 768)
    chromium.complaints()
    yield chromium
    complaints = chromium.complaints()
    chromium.driver.get("about:blank")
    chromium.driver.delete_all_cookies()
    assert complaints == []
