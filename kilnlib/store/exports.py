"""What is exported or made to be printed: files of the user's that no tool reads again."""

from pathlib import Path

from kilnlib.store.files import write_file
from kilnlib.store.kiln import user_folder


def out_folder() -> Path:
    """Where exports and printed pages go."""
    return user_folder() / "exported"


def write_out(stem: str, **contents: bytes) -> dict[str, Path]:
    """Write what was made of a charge, one file for each suffix, beside older ones; returns their paths by suffix.

    Raises CannotSave with a sentence.
    """
    number = 1
    while True:
        name = stem if number == 1 else f"{stem} {number}"
        paths = {suffix: out_folder() / f"{name}.{suffix}" for suffix in contents}
        if all(not path.exists() or path.read_bytes() == contents[suffix] for suffix, path in paths.items()):
            break
        number += 1
    for suffix, path in paths.items():
        write_file(path, contents[suffix])
    return paths
