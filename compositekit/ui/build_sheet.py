"""The build sheet in the page: the verdict, the whole sheet to read, and two buttons that write it as a file."""

from __future__ import annotations

import html
import os
import tempfile
from pathlib import Path

import ipywidgets as w

from ..errors import CompositeKitError, PartFileError, RangeError
from ..studies.build_sheet import build_sheet
from ..studies.sheet import BuildSheet
from . import sheet_html, sheet_pdf, tables
from .sheet_pictures import pictures

NAME = "build_sheet"
FRAME = ("<style>.cks-frame {height: 70vh; min-height: 420px; overflow: auto; border: 1px solid #888; background: #fff} "
         f"{sheet_html.CSS}</style>")


def sheet_of(file) -> BuildSheet:
    """The build sheet of an open part, with its pictures."""
    sheet = build_sheet(file.part, file.catalogue, file.folder)
    return sheet.with_pictures(pictures(sheet))


def write_sheet(file, kind: str = "html", folder=None) -> Path:
    """Write the build sheet as "html" or "pdf" beside the shop's copy of the part, or into ``folder``; returns where."""
    if kind not in ("html", "pdf"):
        raise RangeError(f'a sheet is written as "html" or "pdf", not as "{kind}".')
    return _written(sheet_of(file), kind, Path(folder) if folder else file.save_to.parent)


def _written(sheet, kind, folder):
    data = sheet_html.page(sheet).encode() if kind == "html" else sheet_pdf.document(sheet)
    path = folder / f"{NAME}.{kind}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=folder, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.replace(temporary, path)
    except OSError as err:
        raise PartFileError(f'the sheet could not be written as "{path.name}" in folder "{folder.name}": {err.strerror}. '
                                "Close it where it is open, or choose another folder.") from err
    return path


class BuildSheetPanel(w.VBox):
    """The sheet of a part as it stands in its file."""

    def __init__(self, file):
        self.file, self.result = file, None
        self._page, self.said = w.HTML(), w.HTML()
        self.buttons = {"html": w.Button(description="Write HTML"), "pdf": w.Button(description="Write PDF"),
                        "again": w.Button(description="Gather again", tooltip="after a decision was recorded on another page")}
        for kind in ("html", "pdf"):
            self.buttons[kind].on_click(lambda _, kind=kind: self._press(kind))
        self.buttons["again"].on_click(lambda _: self.refresh())
        self.refresh()
        super().__init__([w.HTML(tables.CSS + FRAME), w.HBox([*self.buttons.values()]), self.said, self._page])
        self.add_class("ck-panel")

    def refresh(self):
        """Gather every study again from the part as it stands."""
        self.result = sheet_of(self.file)
        self._page.value = (f'<div class="ck-page"><p class="ck-headline">{html.escape(self.headline)}</p>'
                            f'<div class="cks-frame" tabindex="0" role="region" aria-label="The build sheet">{sheet_html.body(self.result)}</div></div>')

    @property
    def headline(self) -> str:
        """The verdict in one sentence."""
        return f"{self.result.title}, revision {self.result.revision}: {self.result.verdict}."

    def _press(self, kind):
        try:
            path = _written(self.result, kind, self.file.save_to.parent)
        except CompositeKitError as err:
            self.said.value = f'<div role="alert">{tables.FAILS} {html.escape(str(err))}</div>'
            return
        link = html.escape(os.path.relpath(path, Path.cwd()).replace(os.sep, "/"))
        self.said.value = (f'<div role="status">{tables.HOLDS} Written: <a href="{link}" target="_blank" style="text-decoration: underline">{path.name}</a> in the folder '
                           f'"{html.escape(path.parent.name)}" beside the part file. Print it on A4, single sided.</div>')

    def __repr__(self):
        return f"BuildSheetPanel: {self.headline}"

    def _repr_mimebundle_(self, **kwargs):
        return {**super()._repr_mimebundle_(**kwargs), "text/plain": repr(self)}
