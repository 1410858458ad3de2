"""Every number of the worksheets, worked by hand for one set of values each.

A module has one worksheet's table WORKED: item id -> (values, answer, slips), with the steps in
comments, and says in RELATIVE how closely they were worked.
"""

from . import (
    complications,
    focus,
    light,
    patient,
    reaching,
    readiness,
    reading,
    sizing,
    whole_course,
)

SHEETS = {
    "catheter-sizing": sizing,
    "reaching-the-vein": reaching,
    "light-and-depth": light,
    "reading-the-vein": reading,
    "one-patient": patient,
    "focal-geometry": focus,
    "readiness": readiness,
    "complications": complications,
    "whole-course": whole_course,
}
