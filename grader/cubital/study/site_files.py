"""Files of the site that the course runs from, if it runs from one."""

_site: list[str] = []  # its address


def runs_from(site: str) -> None:
    """Note the address of the site that the course runs from."""
    _site[:] = [site]


def is_on_site() -> bool:
    """Tell whether the course runs from a site."""
    return bool(_site)


def fetched(path: str) -> bytes:
    """Return a file by its path on the site.

    Raises
    ------
    OSError
        The site did not give it.
    """
    from js import XMLHttpRequest  # type: ignore[import-not-found] # noqa: PLC0415 - a browser's

    request = XMLHttpRequest.new()
    request.open("GET", _site[0] + path, False)
    request.responseType = "arraybuffer"
    try:
        request.send(None)
    except Exception as error:
        raise OSError(f"{path} could not be fetched: is there a connection?") from error
    if request.status != 200:
        raise OSError(f"{path} is not on the site any more ({request.status}): tell IT")
    return bytes(request.response.to_py())
