"""A Chromium without a window, as the browser tests need it (python3-selenium, chromium-driver)."""
import base64
import json
from pathlib import Path

from selenium import webdriver
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service


class Browser:
    """One page at a time, at a given width and in a given scheme of colours; what it complained of and asked for."""

    def __init__(self, downloads):
        options = Options()
        for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
                         "--window-size=1280,900"):
            options.add_argument(argument)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        self.driver = webdriver.Chrome(service=Service("/usr/bin/chromedriver"), options=options)
        self.command("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(downloads))

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.driver.quit()

    def command(self, name, **arguments):
        return self.driver.execute_cdp_cmd(name, arguments)

    def script(self, text, *arguments):
        return self.driver.execute_script(text, *arguments)

    def open(self, page, width=1280, scheme="light"):
        self.command("Emulation.setDeviceMetricsOverride", width=width, height=900, deviceScaleFactor=1,
                     mobile=width < 600)
        self.command("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])
        self.driver.get(Path(page).resolve().as_uri())

    def complaints(self):
        """Messages of the console, the policy's among them, since the last call. Left out is advice on reading dots
        of a canvas, which only the tests do."""
        messages = [f"{entry['level']}: {entry['message']}" for entry in self.driver.get_log("browser")]
        return [message for message in messages if "willReadFrequently" not in message]

    def requests(self):
        """Addresses asked for since the last call, data within the page left out."""
        events = [json.loads(entry["message"])["message"] for entry in self.driver.get_log("performance")]
        asked = [e["params"]["request"]["url"] for e in events if e["method"] == "Network.requestWillBeSent"]
        return [url for url in asked if not url.startswith("data:")]

    def print_pdf(self, path):
        pdf = self.command("Page.printToPDF", preferCSSPageSize=True, printBackground=True)
        Path(path).write_bytes(base64.b64decode(pdf["data"]))

    def screenshot(self, path, height=None):
        """The whole page, or its upper part."""
        width, full = self.script("const d = document.documentElement; return [d.clientWidth, d.scrollHeight]")
        clip = {"x": 0, "y": 0, "width": width, "height": min(height or full, full), "scale": 1}
        shot = self.command("Page.captureScreenshot", captureBeyondViewport=True, clip=clip)
        Path(path).write_bytes(base64.b64decode(shot["data"]))

    def mouse(self, kind, x, y, held=False):
        """kind: mouseMoved, mousePressed, mouseReleased; x, y in the window."""
        button = "none" if kind == "mouseMoved" and not held else "left"
        self.command("Input.dispatchMouseEvent", type=kind, x=x, y=y, button=button, buttons=int(held),
                     clickCount=int(kind != "mouseMoved"))

    def press(self, key, code, shift=False):
        """A key by its name and its Windows number, to whatever has the focus."""
        for kind in ("rawKeyDown", "keyUp"):
            self.command("Input.dispatchKeyEvent", type=kind, key=key, code=key, windowsVirtualKeyCode=code,
                         modifiers=8 if shift else 0)
