"""Not a section: the scripts of this folder's parent that have no suffix, as modules."""

from __future__ import annotations

import importlib.util
import sys
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import ModuleType

SCRIPTS = Path(__file__).resolve().parents[1]


def script(name: str) -> ModuleType:
    """A script as a module, without running it."""
    known = sys.modules.get(f"script_{name}")
    if known is not None:
        return known
    loader = SourceFileLoader(f"script_{name}", str(SCRIPTS / name))
    spec = importlib.util.spec_from_loader(loader.name, loader)
    assert spec is not None, "the loader was just made"
    module = importlib.util.module_from_spec(spec)
    sys.modules[loader.name] = module
    loader.exec_module(module)
    return module
