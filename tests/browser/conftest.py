"""JupyterLab on a copy of the tree, and a real browser that opens pages in it."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from lab_page import LabPage
from refresh_notebooks import ROOT

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync"]
SETTINGS = {    # no news pop-up over the page; every cell stays in the page, also those out of sight
    "apputils-extension/notification": '{"fetchNews": "false"}',
    "notebook-extension/tracker": '{"windowingMode": "none"}',
}


@pytest.fixture(scope="session")
def chromium():
    """Path of the browser; its absence is a fault in CI and a skip at home."""
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if not found:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("no chromium on this machine")
    return found


@pytest.fixture(scope="session")
def lab(chromium, tmp_path_factory):
    """A running JupyterLab as (address, copied tree)."""
    home = tmp_path_factory.mktemp("lab")
    tree = home / "tree"
    shutil.copytree(ROOT, tree, ignore=shutil.ignore_patterns(".*", "*.egg-info", "__pycache__"))
    (tree / "notebooks").mkdir(exist_ok=True)
    for name, text in SETTINGS.items():
        file = home / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    folders = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "runtime",
               "IPYTHONDIR": "ipython", "JUPYTERLAB_SETTINGS_DIR": "settings", "JUPYTERLAB_WORKSPACES_DIR": "work"}
    env = os.environ | {name: str(home / folder) for name, folder in folders.items()} | {"PYTHONPATH": str(tree), "COMPOSITEKIT_PARTS": str(home / "parts")}
    with (home / "log").open("w") as log:
        server = subprocess.Popen(
            [sys.executable, "-m", "jupyter", "lab", "--no-browser", "--allow-root", f"--port={port}",
             "--ServerApp.ip=127.0.0.1", "--ServerApp.port_retries=0", f"--ServerApp.root_dir={tree}",
             "--IdentityProvider.token=", "--LabApp.expose_app_in_browser=True"], env=env, stdout=log, stderr=log)
        try:
            address = f"http://127.0.0.1:{port}"
            _wait_for(address, server, home / "log")
            yield address, tree
        finally:
            server.terminate()      # also shuts the kernels down
            try:
                server.wait(20)
            except subprocess.TimeoutExpired:
                server.kill()
                server.wait()


def _wait_for(address, server, log):
    until = time.monotonic() + 60
    while time.monotonic() < until and server.poll() is None:
        try:
            with urllib.request.urlopen(f"{address}/api/status", timeout=2):
                return
        except OSError:
            time.sleep(0.1)
    pytest.fail(f"JupyterLab did not start:\n{Path(log).read_text()[-2000:]}")


@pytest.fixture(scope="module")
def browser(chromium):
    """A running browser; given back with its module, since playwright keeps an event loop running in this thread till then."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        running = play.chromium.launch(executable_path=chromium, args=FLAGS)
        yield running
        running.close()


@pytest.fixture
def open_page(lab, browser):
    """``open_page("03_skin_sizing")`` opens that page, runs all its cells and hands back a LabPage without errors."""
    address, _ = lab
    opened = []

    def open_(name):
        view = browser.new_page(viewport={"width": 1400, "height": 1000})
        opened.append(view)
        page = LabPage(view, f"{address}/lab/tree/notebooks/{name}.ipynb?reset")    # else earlier pages come back in front
        page.run_all()
        return page

    yield open_
    for view in opened:
        view.evaluate("() => { window.jupyterapp.shell.currentWidget.sessionContext.shutdown() }")    # not awaited
        view.close()
