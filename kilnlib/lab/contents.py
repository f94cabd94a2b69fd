"""What the page is given when it opens one of our notebooks: its cells, and nothing that an earlier run left in it."""

from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager
from nbformat import from_dict
from traitlets import Dict

from kilnlib.lab import books

KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
CELL_METADATA = ("jupyter", "tags", "jp-MarkdownHeadingCollapsed", "editable", "deletable")  # what our cells may carry


def bare_metadata(book):
    """Leave of a notebook's metadata, and of its cells', only what ours carry; changes the notebook in place."""
    book.metadata = from_dict({"kernelspec": KERNEL, "language_info": {"name": "python"}})
    for cell in book.cells:
        cell.metadata = from_dict({key: cell.metadata[key] for key in CELL_METADATA if key in cell.metadata})


class BareContents(AsyncLargeFileManager):
    """Files of the learner's folder.

    A notebook whose code is ours runs by itself, and what it shows is trusted then. Whoever has our code can store an
    output, a widget's state or an attachment in the same file that is a program; so none of these reaches the page. A
    notebook that is not ours keeps its outputs: JupyterLab shows them as it shows any that it does not trust.
    """

    listed = Dict(help="{fingerprint: name} of the notebooks that run when they open").tag(config=True)

    async def get(self, path, content=True, *others, **more):
        """The model of a file or folder."""
        model = await super().get(path, content, *others, **more)
        if content and model["type"] == "notebook" and books.fingerprint(model["content"]) in self.listed:
            bare_metadata(model["content"])
            for cell in model["content"].cells:
                cell.pop("attachments", None)
                cell.metadata.pop("tags", None)  # free words, of use to the tests only
                if cell.cell_type == "code":
                    cell.outputs, cell.execution_count = [], None
            model.pop("message", None)  # a complaint about what is gone now would quote it
            self.validate_notebook_model(model)
        return model
