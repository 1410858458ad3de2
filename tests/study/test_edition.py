"""A page that was changed is put back; the learner's own and what cells showed is no change."""

import json

import pytest

from cubital import tables
from cubital.study import folders
from cubital.study.edition import restore

LESSON = tables.course_folder("modules") / "40-catheter-sizing.ipynb"


def read(path):
    return json.loads(path.read_text(encoding="utf-8"))


def write(path, notebook):
    path.write_text(json.dumps(notebook), encoding="utf-8")


def texts(path):
    return ["".join(cell["source"]) for cell in read(path)["cells"]]


def metadata(path):
    return [cell["metadata"] for cell in read(path)["cells"]]


@pytest.fixture
def lesson(tmp_path):
    return folders.lay_out_lesson(tmp_path, LESSON.stem)


@pytest.fixture
def worksheet(tmp_path):
    return folders.lay_out(tmp_path, "ada.alder", "catheter-sizing").notebook


def by_grade_id(notebook, grade_id):
    (cell,) = (
        cell
        for cell in notebook["cells"]
        if cell["metadata"].get("nbgrader", {}).get("grade_id") == grade_id
    )
    return cell


def test_a_lesson_as_it_was_laid_out_stays_byte_for_byte(lesson):
    before = lesson.read_bytes()
    assert restore(lesson) is False
    assert lesson.read_bytes() == before


@pytest.mark.parametrize(
    "change", ["text", "code", "removed", "added", "moved", "asked", "broken", "gone"]
)
def test_a_changed_lesson_is_put_back(lesson, change):
    notebook = read(lesson)
    cells = notebook["cells"]
    if change == "text":
        cells[1]["source"] = ["Something else."]
    elif change == "code":
        next(cell for cell in cells if cell["cell_type"] == "code")["source"] = ["1 / 0"]
    elif change == "removed":
        del cells[4]
    elif change == "added":
        cells.insert(2, {**cells[1], "id": "mine"})
    elif change == "moved":
        cells[3], cells[5] = cells[5], cells[3]
    elif change == "asked":
        next(cell for cell in cells if "cubital" in cell["metadata"])["metadata"] = {}
    write(lesson, notebook)
    if change == "broken":
        lesson.write_text("{", encoding="utf-8")
    elif change == "gone":
        lesson.unlink()
    assert restore(lesson) is True
    assert texts(lesson) == texts(LESSON)
    assert metadata(lesson) == metadata(LESSON)
    assert restore(lesson) is False


def test_what_cells_showed_is_no_change_and_the_edition_stays_known(lesson, tmp_path):
    notebook = read(lesson)
    code = next(cell for cell in notebook["cells"] if cell["cell_type"] == "code")
    code |= {
        "execution_count": 3,
        "outputs": [{"output_type": "stream", "name": "stdout", "text": "1"}],
    }
    write(lesson, notebook)
    assert restore(lesson) is False
    notebook["cells"][1]["source"] = ["Something else."]
    write(lesson, notebook)
    assert restore(lesson) is True
    assert folders.lay_out_lesson(tmp_path, LESSON.stem) == lesson
    assert not (tmp_path / folders.KEPT).exists()


def test_what_the_learner_wrote_into_a_cell_of_their_own_stays(worksheet):
    given = texts(worksheet)
    notebook = read(worksheet)
    line = "def ratio(outer_diameter_mm, vein_diameter_mm):\n    return 1"
    by_grade_id(notebook, "ratio-line")["source"] = line
    write(worksheet, notebook)
    assert restore(worksheet) is False
    notebook["cells"][0]["source"] = ["# Mine"]
    write(worksheet, notebook)
    assert restore(worksheet) is True
    assert by_grade_id(read(worksheet), "ratio-line")["source"] == line
    assert texts(worksheet)[0] == given[0]


def test_a_page_that_the_course_does_not_know_is_refused_if_it_is_not_there(tmp_path):
    with pytest.raises(ValueError, match=r"there is no page nowhere\.ipynb"):
        restore(tmp_path / "nowhere.ipynb")
    own = tmp_path / "own.ipynb"
    own.write_text("{}", encoding="utf-8")
    assert restore(own) is False
