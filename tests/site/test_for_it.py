"""What the page for the IT department says is what the folder holds and what the server sends."""

import html
import re
import subprocess
import xml.etree.ElementTree as ET
import zipfile
from html.parser import HTMLParser

import pytest

from cubital.site import for_it, licences, pyodide, serving


class Reader(HTMLParser):
    """The texts of all cells, each example, and where the page leads or loads from."""

    def __init__(self):
        super().__init__()
        self.rows, self.examples, self.leads, self.tags, self.within = [], [], [], set(), None

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.leads += [value for name, value in attrs if name in {"href", "src"}]
        if tag == "tr":
            self.rows.append([])
        if tag in {"th", "td"}:
            self.rows[-1].append("")
        if tag == "pre":
            self.examples.append("")
        if tag in {"th", "td", "pre"}:
            self.within = tag

    def handle_endtag(self, tag):
        if tag == self.within:
            self.within = None

    def handle_data(self, data):
        if self.within == "pre":
            self.examples[-1] += data
        elif self.within:
            self.rows[-1][-1] += data


@pytest.fixture(scope="module")
def page(site_folder):
    reader = Reader()
    reader.feed((site_folder / for_it.FOR_IT).read_text(encoding="utf-8"))
    return reader


def paths_in(folder):
    return {p.relative_to(folder).as_posix(): p for p in folder.rglob("*") if p.is_file()}


def test_every_file_stands_in_the_list_with_the_sum_that_another_program_finds(site_folder):
    lines = (site_folder / for_it.SUMS).read_text(encoding="utf-8").splitlines()
    listed = [line[66:] for line in lines]
    assert sorted(listed) == sorted(paths_in(site_folder).keys() - {for_it.SUMS})
    check = ["sha256sum", "--check", "--strict", "--quiet", for_it.SUMS]
    done = subprocess.run(check, cwd=site_folder, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_every_file_belongs_to_one_part_under_a_licence(site_folder):
    found = for_it.parts(site_folder)
    files = [path for part in found for path in part.files]
    assert sorted(files) == sorted(paths_in(site_folder))
    size = sum(path.stat().st_size for path in paths_in(site_folder).values())
    assert sum(part.size for part in found) == size
    assert all(part.package.licence and part.package.version and part.files for part in found)
    told = {part.package.name: part.package.licence for part in found}
    assert told["Cubital"] == "BSD-3-Clause"
    assert told["Pyodide"] == "MPL-2.0; PSF-2.0"
    assert told["numpy"] == "BSD-3-Clause"


def test_every_package_of_the_archive_is_named(site_folder, page):
    (path,) = site_folder.glob("python/course-*.zip")
    with zipfile.ZipFile(path) as archive:
        tops = {name.split("/")[0] for name in archive.namelist()}
    named = {top.split("-")[0] for top in tops if top.endswith(".dist-info")} - {"cubital"}
    found = for_it.in_archive(site_folder)
    assert {licences.normal(one.name) for one in found} == {*map(licences.normal, named)}
    assert len(found) > 20
    for one in found:
        assert list(one) in page.rows
    texts = (site_folder / for_it.LICENCES).read_text(encoding="utf-8")
    for name in ("cubital", "numpy", "scipy", "ipywidgets", "jupyterlite-core", "anywidget"):
        assert f"\n{name}\n" in texts


def test_what_runs_as_a_program_stands_on_the_page_with_its_makers_sum(site_folder, page):
    sums = {row[0]: (row[1], row[3]) for row in page.rows if row[0].startswith("python/")}
    paths = paths_in(site_folder)
    assert sums.keys() == {path for path in paths if path.startswith("python/")}
    pinned = pyodide.edition().files
    theirs = {path for path, (_sum, whose) in sums.items() if whose == "Pyodide's own"}
    assert theirs == {path for path in sums if path.removeprefix("python/") in pinned}
    for path in theirs:
        assert sums[path][0] == pinned[path.removeprefix("python/")].sha256


def test_the_page_has_each_header_and_type_with_what_for(page):
    for name, value in serving.HEADERS.items():
        assert [name, value, serving.WHY[name]] in page.rows
    for directive, why in serving.DIRECTIVES.items():
        assert [directive, why] in page.rows
    for ending, name in serving.TYPES.items():
        assert [ending, name] in page.rows


def test_every_ending_in_a_site_has_a_type(site_folder):
    endings = {path.suffix for path in paths_in(site_folder).values()}
    assert endings == serving.TYPES.keys()


def test_the_examples_set_what_the_trial_server_sends(page):
    nginx, apache, iis = page.examples
    headers = dict(serving.HEADERS)
    assert dict(re.findall(r'add_header (\S+) "(.+)" always;', nginx)) == headers
    assert dict(re.findall(r'Header always set (\S+) "(.+)"', apache)) == headers
    listed = re.search(r"types \{(.+?)\}", nginx, re.DOTALL)[1]
    for told in (re.findall(r"(\S+) ([^;]+);", listed), re.findall(r"AddType (\S+) (.+)", apache)):
        by_ending = {f".{ending}": name for name, endings in told for ending in endings.split()}
        assert by_ending == serving.TYPES
    web = ET.fromstring(iis)
    maps = {one.get("fileExtension"): one.get("mimeType") for one in web.iter("mimeMap")}
    assert maps == serving.TYPES
    assert {one.get("name"): one.get("value") for one in web.iter("add")} == headers


def test_the_page_has_no_script_and_leads_to_the_site_alone_but_for_a_source(site_folder, page):
    assert not page.tags & {"script", "style", "img", "iframe", "form"}
    away = [one for one in page.leads if ":" in one and one != "data:,"]
    assert away == ["https://github.com/pyodide/pyodide"]
    inside = {one for one in page.leads if ":" not in one}
    assert inside <= paths_in(site_folder).keys()
    for name in ("check.html", "index.html"):
        text = html.unescape((site_folder / name).read_text(encoding="utf-8"))
        assert not re.search(r"(?:href|src)=\"https?:", text)


def test_another_account_can_read_every_file(site_folder):
    assert site_folder.stat().st_mode & 0o777 == 0o755
    for path in site_folder.rglob("*"):
        assert path.stat().st_mode & 0o777 == (0o755 if path.is_dir() else 0o644)


@pytest.mark.parametrize(
    ("told", "licence"),
    [
        ("License-Expression: MIT\n", "MIT"),
        (
            "License: BSD-3-Clause\nClassifier: License :: OSI Approved :: BSD License\n",
            "BSD-3-Clause",
        ),
        (
            "License: Copyright (c) by all\nClassifier: License :: OSI Approved :: BSD License\n",
            "BSD License",
        ),
    ],
)
def test_a_licence_is_found_where_a_package_names_it(told, licence):
    text = f"Metadata-Version: 2.1\nName: Part_one\nVersion: 2\n{told}\nWords.\n"
    assert licences.of_metadata(text) == ("Part_one", "2", licence)
    assert licences.of_metadata(text, {"part-one": "ISC"}).licence == "ISC"


def test_a_package_without_a_licence_is_refused():
    with pytest.raises(ValueError, match="part names no licence"):
        licences.of_metadata("Metadata-Version: 2.1\nName: part\nVersion: 2\n")
