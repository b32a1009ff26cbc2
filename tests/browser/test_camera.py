"""A label held before the camera opens the page of its tool."""

from __future__ import annotations

import io
import shutil
from pathlib import Path

import pytest
import segno
from PIL import Image
from playwright.sync_api import Browser, expect

from tests.browser.conftest import QUIET, Shop

FRAMES = 10
CAMERA = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")


@pytest.fixture
def film(tmp_path: Path) -> Path:
    """What the camera sees: a label's code on a bench, not quite straight."""
    code = io.BytesIO()
    segno.make("P-0137").save(code, kind="png", scale=8, border=4)
    label = Image.open(code).convert("RGB").rotate(8, expand=True, fillcolor="white")
    seen = Image.new("RGB", (640, 480), "white")
    seen.paste(label, (160, 110))
    shot = io.BytesIO()
    seen.save(shot, "JPEG", quality=80)
    path = tmp_path / "label.mjpeg"
    path.write_bytes(shot.getvalue() * FRAMES)
    return path


def test_a_label_before_the_camera_opens_its_tool(browser: Browser, inch: Shop, film: Path) -> None:
    seeing = browser.browser_type.launch(
        executable_path=shutil.which("chromium") or shutil.which("chromium-browser"),
        args=[*QUIET, *CAMERA, f"--use-file-for-fake-video-capture={film}"],
    )
    page = seeing.new_page()
    page.goto(f"{inch.address}/scan")
    page.get_by_role("button", name="Hold it before the camera").click()
    expect(page).to_have_url(f"{inch.address}/piece/P-0137", timeout=20_000)
    seeing.close()
