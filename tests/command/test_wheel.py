"""The wheel by itself: built, installed elsewhere, and used from a folder without a checkout."""

from __future__ import annotations

import shutil
import subprocess
import sys
import sysconfig
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pikepdf
import pytest

from tests.command.running import DAY
from tests.house import TOP, kept_files

BOOT = """
import sys
from importlib.metadata import distribution
home, libraries, *words = sys.argv[1:]
sys.path[:0] = [home]
sys.path += [libraries]
sys.argv = ["wallward", *words]
(command,) = [e for e in distribution("wallward").entry_points if e.name == "wallward"]
import compiler.cli
assert compiler.__file__.startswith(home), compiler.__file__
if __name__ == "__main__":
    command.load()()
"""
"""Isolated (-I) and without start-up files of site-packages (-S), which may name the checkout."""


@dataclass(frozen=True)
class Installed:
    """A wheel, and where it was installed."""

    wheel: Path
    home: Path
    away: Path
    """A working folder that has nothing to do with the checkout."""

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Runs the installed command with nothing but it and its libraries in reach."""
        libraries = sysconfig.get_path("purelib")
        return subprocess.run(
            [sys.executable, "-I", "-S", "-c", BOOT, str(self.home), libraries, *words],
            cwd=self.away,
            env={"PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"},
            capture_output=True,
            encoding="utf-8",
            check=False,
            timeout=120,
        )


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Installed:
    base = tmp_path_factory.mktemp("wheel")
    copy, home, away = base / "copy", base / "home", base / "away"
    for folder in (copy, away):
        folder.mkdir()
    for name in kept_files():
        if name.startswith(("compiler/", "themes/")) or "/" not in name:
            (copy / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(TOP / name, copy / name)
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(base)]
    subprocess.run(build, cwd=copy, check=True, capture_output=True)
    shutil.rmtree(copy)
    (wheel,) = base.glob("*.whl")
    install = [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--no-index"]
    install += ["--no-compile", "--disable-pip-version-check", "--target", str(home)]
    subprocess.run([*install, str(wheel)], check=True, capture_output=True)
    return Installed(wheel, home, away)


def test_everything_that_is_not_a_test_or_a_paper_is_in_the_wheel(installed):
    wanted = {name for name in kept_files() if name.startswith("compiler/")}
    wanted |= {f"compiler/{name}" for name in kept_files() if name.startswith("themes/")}

    inside = {n for n in zipfile.ZipFile(installed.wheel).namelist() if ".dist-info/" not in n}

    assert inside == wanted


def test_a_first_day_without_a_checkout(installed):
    start = installed.run("start", "our-clinic")
    validate = installed.run("validate", "our-clinic", "--on", DAY)
    compiled = installed.run("compile", "our-clinic", "--on", DAY, "--language", "en")
    explain = installed.run("explain", "gown-left-on")

    for ended in (start, validate, compiled, explain):
        assert ended.returncode == 0, ended.stderr
    assert "wrote our-clinic/clinic.yaml" in start.stdout
    assert "1 protocol checked: nothing to fix" in validate.stdout
    assert "The gown" in explain.stdout
    with pikepdf.open(installed.away / "build" / "contact-droplet-poster-en.pdf") as pdf:
        assert len(pdf.pages) == 1
        assert pdf.Root.Lang == "en"


def test_without_the_wheel_there_is_no_command(installed):
    """The proof that the test above tries the wheel and not the checkout."""
    ended = Installed(installed.wheel, installed.away, installed.away).run("validate")

    assert ended.returncode == 1
    assert "ModuleNotFoundError: No module named 'compiler" in ended.stderr
