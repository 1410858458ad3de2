"""What JupyterLab is given of the page: one script, by a name that changes with it."""

import json

from cubital.study.page import files


def made(folder):
    target = files.make_extension(folder) / files.NAME
    load = json.loads((target / "package.json").read_text())["jupyterlab"]["_build"]["load"]
    return target, load


def test_the_script_that_is_named_is_the_only_one_there(tmp_path):
    target, load = made(tmp_path)
    assert [path.relative_to(target).as_posix() for path in (target / "static").iterdir()] == [load]
    assert (target / load).read_text(encoding="utf-8") == files.page_script()


def test_a_change_gives_it_another_name_and_leaves_no_earlier_one(tmp_path, monkeypatch):
    _, before = made(tmp_path)
    assert made(tmp_path)[1] == before
    changed = files.page_script() + "// changed\n"
    monkeypatch.setattr(files, "page_script", lambda *places: changed)
    target, after = made(tmp_path)
    assert after != before
    assert len(list((target / "static").iterdir())) == 1


def test_every_script_of_the_page_is_in_it():
    there = {path.stem for path in files._SCRIPTS.glob("*.js")} - {files.ON_SERVER.stem}
    assert there == {*files._ORDER} - {"place"}
    assert files.ON_SERVER.read_text(encoding="utf-8") in files.page_script()


def test_help_says_of_accessibility_what_the_course_says():
    rows = files.accessibility()
    assert [text for tag, text in rows if tag == "h3"] == [
        "What was tried",
        "What no person has tried yet",
    ]
    assert {tag for tag, _ in rows} == {"p", "h3", "li"}
    untried = rows[rows.index(("h3", "What no person has tried yet")) :]
    assert any(tag == "li" and text.startswith("**Screen readers.**") for tag, text in untried)
    assert json.dumps(rows) in files.page_script()
