"""What is installed with palette: the packages it imports, and the files it reads."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from fnmatch import fnmatch
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
# Data that ships is made by these from sets that need not be installed.
MAKERS = {"make.py", "make_recovery.py", "make_surfaces.py", "make_words.py"}
EXTRAS = {"av": "video", "cv2": "card", "distributed": "cluster", "embreex": "mesh", "trimesh": "mesh"}


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", re.split(r"[\s<>=!~\[;]", name)[0]).lower()


def _imported(folder: str) -> dict[str, Path]:
    files: dict[str, Path] = {}
    for path in (ROOT / folder).rglob("*.py"):
        if "data" in path.parts and path.name in MAKERS:
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.module and not node.level:
                names = [node.module]
            files.update({name.split(".")[0]: path for name in names})
    return files


@pytest.mark.parametrize("folder", ["palette", "swatches_demo"])
def test_whatever_is_imported_is_declared(folder: str) -> None:
    project = PROJECT["project"]
    declared = {_plain(name) for name in project["dependencies"]}
    homes = packages_distributions()
    for module, path in _imported(folder).items():
        if module in sys.stdlib_module_names or module in ("palette", "swatches_demo"):
            continue
        packages = {_plain(name) for name in homes[module]}
        extra = project["optional-dependencies"].get(EXTRAS.get(module, ""), [])
        allowed = declared | {_plain(name) for name in extra}
        assert packages & allowed, f"{path.relative_to(ROOT)} imports {module}, which pyproject.toml lacks"


@pytest.mark.parametrize("folder", ["palette", "swatches_demo"])
def test_whatever_is_read_is_shipped(folder: str) -> None:
    patterns = PROJECT["tool"]["setuptools"]["package-data"]["*"]
    for path in (ROOT / folder).rglob("*"):
        if path.is_file() and path.suffix not in (".py", ".pyc"):
            assert any(fnmatch(path.name, pattern) for pattern in patterns), f"{path} would not be installed"
