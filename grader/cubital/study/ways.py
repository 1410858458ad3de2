"""The two ways to show the course: on a page of its own, or in JupyterLab's workbench.

Each says what JupyterLab is given and what it leaves out, and how a notebook's address reads.
"""

import json
import shutil
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cubital.handin.files import write_json, write_text
from cubital.study.page.files import make_extension

_IDLE_KERNEL_SECONDS = 180  # that no window is connected to
# What a page is drawn by; JupyterLab's other parts are left out, so that it is there sooner.
_NEEDED = frozenset(
    f"@jupyterlab/{name}-extension"
    for name in (
        "application",
        "apputils",
        "codemirror",
        "markedparser",
        "mathjax",
        "rendermime",
        "services",
        "translation",
    )
)
# Parts of the needed ones that draw or watch a workbench.
_WITHIN = {
    "@jupyterlab/application-extension": (
        "context-menu",
        "dirty",
        "faviconbusy",
        "layout",
        "logo",
        "main",
        "mimedocument",
        "move-widget",
        "notfound",
        "property-inspector",
        "status",
        "top-bar",
        "tree-resolver",
    ),
    "@jupyterlab/apputils-extension": (
        "announcements",
        "kernel-status",
        "kernels-settings",
        "licenses-client",
        "licenses-plugin",
        "notification",
        "palette",
        "palette-restorer",
        "print",
        "running-sessions-status",
        "sessionDialogs",
        "splash",
        "subshell-settings",
        "themes",
        "themes-palette-menu",
        "toggle-header",
        "toolbar-registry",
        "utilityCommands",
        "workspaces",
    ),
    "@jupyterlab/codemirror-extension": ("binding", "commands", "line-col-status", "services"),
    "@jupyterlab/services-extension": ("connection-status", "terminal-manager"),
}
# Installed where sites are built; on a server it stops with an error: an empty one takes its name.
_FOR_SITES = "@jupyterlite/pyodide-kernel-extension"
_EMPTY = f"""\
window._JUPYTERLAB = window._JUPYTERLAB || {{}};
window._JUPYTERLAB["{_FOR_SITES}"] = {{
  init: () => {{}},
  get: async () => () => ({{ default: [], __esModule: true }}),
}};
"""
_LINKS = Path(__file__).parent / "workbench" / "cubital-links"
_EDUCATORS = tuple(
    f"nbgrader.server_extensions.{name}"
    for name in ("assignment_list", "course_list", "formgrader", "validate_assignment")
)
_STYLE = """\
/* A lesson is read, not programmed: folded code and its prompts take no room. */
.jp-Notebook .jp-Cell .jp-InputPlaceholder { display: none; }
.jp-Notebook .jp-InputPrompt, .jp-Notebook .jp-OutputPrompt { visibility: hidden; }
.jp-Notebook .jp-Collapser { opacity: 0; }
"""
_SETTINGS: dict[str, dict[str, Any]] = {
    "@jupyterlab/apputils-extension/notification": {
        "checkForUpdates": False,
        "fetchNews": "false",
    },
    "@jupyterlab/notebook-extension/tracker": {"windowingMode": "none"},
    "@jupyterlab/docmanager-extension/plugin": {"autosaveInterval": 20},
}


@dataclass(frozen=True)
class Way:
    """A way to show the course.

    ``left_out`` are parts of JupyterLab in the browser, ``server_left_out`` of its server;
    ``extensions`` makes what the course adds in a folder for it, ``address`` the way to a notebook
    from the server's top, ``arguments`` what the server is told beside, with its state's folder.
    """

    name: str
    address: Callable[[str], str]
    left_out: Callable[[], Iterable[str]]
    server_left_out: tuple[str, ...]
    extensions: Callable[[Path], Path]
    arguments: Callable[[Path], list[str]]
    settings: dict[str, dict[str, Any]]
    style: str = ""


def _parts_left_out_of_a_page() -> list[str]:
    """Name what is installed with JupyterLab and not needed; a later edition's parts as well."""
    about = Path(sys.prefix) / "share" / "jupyter" / "lab" / "static" / "package.json"
    installed = json.loads(about.read_text(encoding="utf-8"))["jupyterlab"]
    others = ["@jupyter/nbgrader", "@jupyter-notebook/lab-extension", "jupyterlab_pygments"]
    return [*left_out_of_a_page([*installed["extensions"], *installed["mimeExtensions"]]), *others]


def left_out_of_a_page(parts: Iterable[str], *, needed: Iterable[str] = ()) -> list[str]:
    """Return which of JupyterLab's parts a page does without, beside what else is ``needed``."""
    whole = [name for name in parts if name not in _NEEDED | {*needed}]
    return [*whole, *(f"{name}:{part}" for name, some in _WITHIN.items() for part in some)]


def _copied_links(folder: Path) -> Path:
    shutil.copytree(_LINKS, folder / _LINKS.name, dirs_exist_ok=True)
    return _without_sites(folder)


def _own_page(folder: Path) -> Path:
    return _without_sites(make_extension(folder))


def _without_sites(folder: Path) -> Path:
    target = folder / _FOR_SITES
    build = {"load": "static/empty.js", "extension": "./extension"}
    about = {"name": _FOR_SITES, "version": "0.0.0", "jupyterlab": {"_build": build}}
    write_json(target / "package.json", about)
    write_text(target / "static" / "empty.js", _EMPTY)
    return folder


PAGE = Way(
    name="page",
    address=lambda path: f"lab?course={path}&",
    left_out=_parts_left_out_of_a_page,
    server_left_out=(*_EDUCATORS, "jupyter_lsp", "jupyter_server_terminals", "notebook"),
    extensions=_own_page,
    arguments=lambda _state: [
        f"--MappingKernelManager.cull_idle_timeout={_IDLE_KERNEL_SECONDS}",
        "--MappingKernelManager.cull_interval=30",
        "--MappingKernelManager.cull_connected=False",
    ],
    settings={},
)
WORKBENCH = Way(
    name="workbench",
    address=lambda path: f"doc/tree/{path}?",
    left_out=lambda: (
        *(
            f"@jupyter/nbgrader:{part}"
            for part in (
                "assignment-list",
                "course-list",
                "create-assignment",
                "formgrader",
                "menu",
                "validate-assignment",
            )
        ),
        "@jupyterlab/cell-toolbar-extension",
        "@jupyterlab/debugger-extension",
        "@jupyterlab/extensionmanager-extension",
        "@jupyterlab/terminal-extension",
    ),
    server_left_out=_EDUCATORS,
    extensions=_copied_links,
    arguments=lambda state: [
        "--ServerApp.contents_manager_class=cubital.study.workbench.contents.PatientContents",
        f"--PatientContents.pages_folder={state / 'pages'}",
        "--LabApp.custom_css=True",
    ],
    settings=_SETTINGS,
    style=_STYLE,
)
WAYS = {way.name: way for way in (PAGE, WORKBENCH)}
