"""Every string of the interface, one file a part: a translation replaces the values in this folder (and the question files).

A key is `part.name`, and its file is the part; `{…}` fields are filled when shown. Sentences of errors are `error.code`.
Nothing here imports anything of ours, so that the start command can speak before numpy is there.
"""

import importlib
import pkgutil

PARTS = sorted(module.name for module in pkgutil.iter_modules(__path__))
TEXT: dict[str, str] = {}
for _part in PARTS:
    TEXT |= getattr(importlib.import_module(f"{__name__}.{_part}"), "TEXT", {})


def text(key, **fields):
    """The words under a key, with their fields filled in."""
    words = TEXT[key]
    return words.format(**fields) if fields else words
