"""The build step: a wheel carries workbooks and keys, whose one source is the two folders that lie beside this file."""

import shutil
from pathlib import Path

from setuptools import Distribution, setup
from setuptools.command.build_py import build_py

FOLDERS = ("workbooks", "answers")


def files(folder):
    """The files of a folder of notebooks, without what Jupyter leaves there."""
    return [
        path for path in sorted(Path(folder).rglob("*")) if path.is_file() and ".ipynb_checkpoints" not in path.parts
    ]


class WithNotebooks(build_py):
    """Lay the folders of notebooks into the package; an editable install reads them where they lie."""

    def run(self):
        if not self.editable_mode:
            shutil.rmtree(Path(self.build_lib, "kilnlib"), ignore_errors=True)  # what an older build left
        super().run()
        if not self.editable_mode:
            for path in (path for folder in FOLDERS for path in files(folder)):
                target = Path(self.build_lib, "kilnlib", path)
                target.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(path, target)

    def get_source_files(self):
        """What an archive of the sources must hold."""
        return [*super().get_source_files(), *(str(path) for folder in FOLDERS for path in files(folder))]


class WithSettings(Distribution):
    """`data-files` for an editable install too: there setuptools asks whether there is any by a name it lacks."""

    has_data = Distribution.has_data_files


setup(cmdclass={"build_py": WithNotebooks}, distclass=WithSettings)
