"""The floors of the package: imports only go down, and a module stays one idea."""

from __future__ import annotations

import subprocess
import sys

from refresh_notebooks import ROOT

SPLIT_AT = 300    # own rule: longer than this and the module is two ideas


def lint_imports(folder):
    return subprocess.run([sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c()",
                           "--no-cache"], cwd=folder, capture_output=True, text=True)


def test_imports_only_go_down():
    told = lint_imports(ROOT)
    assert told.returncode == 0, told.stdout + told.stderr


def test_the_contract_sees_an_import_that_goes_up(tmp_path):
    (tmp_path / "pyproject.toml").write_text((ROOT / "pyproject.toml").read_text())
    for source in (ROOT / "compositekit").rglob("*.py"):
        copy = tmp_path / source.relative_to(ROOT)
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_text(source.read_text())
    low = tmp_path / "compositekit" / "errors.py"
    low.write_text(low.read_text() + "\nfrom compositekit import units\n")
    told = lint_imports(tmp_path)
    assert told.returncode == 1 and "compositekit.errors is not allowed to import compositekit.units" in told.stdout


def test_lint():
    told = subprocess.run([sys.executable, "-m", "ruff", "check", "--no-cache", "--quiet", "."], cwd=ROOT, capture_output=True, text=True)
    assert told.returncode == 0, told.stdout + told.stderr


def test_no_module_is_two_ideas():
    lengths = {path.relative_to(ROOT): len(path.read_text().splitlines())
               for path in (ROOT / "compositekit").rglob("*.py")}
    longest = sorted(lengths.items(), key=lambda item: -item[1])[:5]
    assert longest[0][1] <= SPLIT_AT, "split the longest: " + ", ".join(f"{path} {n} lines" for path, n in longest)
