"""A site that a whole run of the tests shares, in however many processes it goes."""

from pathlib import Path

from filelock import FileLock


def shared_site(top: Path, worker: str) -> Path:
    """Build a site below the folder of a run, unless another of its processes did.

    Parameters
    ----------
    top
        The folder of this process's tests; with several, one of those of the run.
    worker
        What pytest-xdist calls this process; `master` where there is one alone.
    """
    from cubital.site import building  # noqa: PLC0415 - few tests build one

    run = top if worker == "master" else top.parent
    folder = run / "shared-site"
    with FileLock(run / "shared-site.lock"):
        if not folder.is_dir():
            building.build(folder)
    return folder
