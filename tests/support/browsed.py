"""A page opened in a browser without a window, and what a script of our own finds there."""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome")
HOOK = """<script>window.errors = []; window.onerror = (what) => { window.errors.push(String(what)); };</script>"""
# No browser's window is as narrow as a phone; a frame within it is.
AROUND = """<!doctype html><script>
addEventListener("message", (event) => {{
  document.getElementById("found").textContent = JSON.stringify(event.data);
}});
</script><pre id="found"></pre><iframe src="{page}" width="{width}" height="900" style="border: 0"></iframe>"""


def browser() -> str:
    """The browser's path. Where there is none a developer's test is skipped; on the machine that checks it fails."""
    found = next(filter(None, map(shutil.which, NAMES)), None)
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("chromium is not installed, so the job book cannot be looked at")
        pytest.skip("chromium is not installed")
    return found


SHADED = ("--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist")
"""Has the browser shade bodies without a graphics card."""
UNSHADED = ("--disable-gpu", "--disable-webgl", "--disable-3d-apis")


def probed(
    page: Path,
    script: str,
    *,
    width: int,
    folder: Path,
    media: str = "screen",
    graphics: tuple[str, ...] = SHADED,
) -> Any:
    """What ``script``, an expression, gives in a page as wide as a window of ``width`` pixels.

    ``media`` "print" has the page styled as for paper. Script errors and complaints of the browser fail the test.
    """
    text = page.read_text(encoding="utf-8")
    if media == "print":
        text = text.replace("@media print", "@media all")
    probe = f"<script>parent.postMessage([window.errors, {script}], '*');</script></body>"
    copy = folder / f"probed-{media}-{width}.html"
    copy.write_text(text.replace("<head>", "<head>" + HOOK, 1).replace("</body>", probe), encoding="utf-8")
    around = folder / f"around-{media}-{width}.html"
    around.write_text(AROUND.format(page=copy.as_uri(), width=width), encoding="utf-8")
    done = subprocess.run(
        [
            browser(),
            *("--headless", "--no-sandbox", "--hide-scrollbars", *graphics),
            *("--enable-logging=stderr", "--v=0"),
            *(
                f"--window-size={width + 600},1000",
                f"--user-data-dir={folder / 'profile'}",
                "--dump-dom",
                around.as_uri(),
            ),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    console = [line for line in done.stderr.splitlines() if "CONSOLE" in line]
    complaints = [line for line in console if "GPU stall due to ReadPixels" not in line]  # only told of being slow
    assert not complaints, complaints[:3]
    match = re.search(r'<pre id="found">(.+?)</pre>', done.stdout, re.DOTALL)
    assert match, done.stdout[-500:]
    errors, found = json.loads(html.unescape(match[1]))
    assert errors == []
    return found
