"""What a person does on the page, by selenium."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from selenium.common.exceptions import StaleElementReferenceException
from selenium.webdriver import Chrome
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement

PATIENCE_S = 10.0


class Browser:
    def __init__(self, driver: Chrome) -> None:
        self.driver = driver

    def size(self, width: int, height: int) -> None:
        metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)

    def complaints(self) -> list[str]:
        """What the browser said of the page: errors of the script, what the policy forbade."""
        return [str(e["message"]) for e in self.driver.get_log("browser") if e["level"] in ("SEVERE", "WARNING")]

    def js(self, code: str, *values: object) -> Any:
        return self.driver.execute_script(code, *values)

    def all(self, css: str) -> list[WebElement]:
        return self.driver.find_elements(By.CSS_SELECTOR, css)

    def one(self, css: str) -> WebElement:
        return self.driver.find_element(By.CSS_SELECTOR, css)

    def text(self, css: str) -> str:
        """As shown; "" where it is not there."""
        try:
            found = self.all(css)
            return found[0].text if found else ""
        except StaleElementReferenceException:
            return ""

    def wait(self, true: Callable[[], object], what: str) -> None:
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            try:
                if true():
                    return
            except StaleElementReferenceException:
                pass
            time.sleep(0.03)
        raise AssertionError(f"not so in {PATIENCE_S:g} s: {what}")

    def says(self, css: str, words: str) -> None:
        self.wait(lambda: words in self.text(css), f"{css} says {words!r}; it says {self.text(css)!r}")

    def click(self, css: str) -> None:
        """Also where the part of the page is being drawn anew at that moment."""
        for _ in range(5):
            try:
                self.js("arguments[0].scrollIntoView({block: 'center'})", self.one(css))
                self.one(css).click()
            except StaleElementReferenceException:
                time.sleep(0.05)
            else:
                return
        self.one(css).click()

    def button(self, words: str, within: str = "body") -> WebElement:
        return next(b for b in self.all(f"{within} button") if b.is_displayed() and b.text.startswith(words))

    def keys(self, *typed: str) -> None:
        ActionChains(self.driver).send_keys(*typed).perform()

    def focused(self) -> str:
        return str(self.js("const e = document.activeElement; return e.id || e.className || e.tagName"))


__all__ = ["Browser", "By", "Keys"]
