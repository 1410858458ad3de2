"""What another process left of a learner's function is taken only in its form, whole."""

from math import inf

import pytest

from cubital.handin.trial import CodeRun, read_run

RUN = {"item": "line", "results": [0.5, 0.25], "error": ""}
STOPPED = {"item": "line", "results": [], "error": "The function stopped with KeyError: 1"}


def test_as_many_results_as_cases_are_taken_and_so_is_an_error_alone():
    assert read_run(RUN, "line", 2) == CodeRun([0.5, 0.25], "")
    assert read_run(STOPPED, "line", 2) == CodeRun([], STOPPED["error"])


@pytest.mark.parametrize(
    "left",
    [
        None,
        [RUN],
        "run",
        {},
        {key: RUN[key] for key in ("item", "results")},
        RUN | {"points": 2},
        RUN | {"item": "other"},
        RUN | {"error": None},
        RUN | {"results": [0.5]},
        RUN | {"results": [0.5, 0.25, 0.125]},
        RUN | {"results": (0.5, 0.25)},
        RUN | {"results": "ab"},
        RUN | {"results": [0.5, None]},
        RUN | {"results": [0.5, [0.25]]},
        STOPPED | {"results": [0.5]},
        STOPPED | {"results": [0.5, 0.25]},
        STOPPED | {"error": "x" * 301},
    ],
)
def test_anything_else_is_no_run(left):
    assert read_run(left, "line", 2) is None


def test_an_error_may_be_300_characters_long():
    assert read_run(STOPPED | {"error": "x" * 300}, "line", 2) == CodeRun([], "x" * 300)


@pytest.mark.parametrize(
    ("value", "word"), [(inf, "inf"), (-inf, "-inf"), (10**400, "1" + "0" * 299)]
)
def test_a_number_that_is_not_finite_comes_as_words(value, word):
    assert read_run(RUN | {"results": [0.5, value]}, "line", 2) == CodeRun([0.5, word], "")
