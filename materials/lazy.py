"""Names of a package that are imported on first use, so that importing the package stays light."""

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def lazy_names(
    package: str, where: Mapping[str, str]
) -> tuple[Callable[[str], Any], Callable[[], list[str]]]:
    """Return ``__getattr__`` and ``__dir__`` of a package from the module that defines each name."""

    def get(name: str) -> Any:
        if name not in where:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        module = import_module(where[name])
        return module if where[name] == f"{package}.{name}" else getattr(module, name)

    return get, lambda: sorted(where)
