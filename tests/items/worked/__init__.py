"""Every number of the worksheets, worked by hand for one set of values each.

A module has one worksheet's table WORKED: item id -> (values, answer, slips), with the steps in
comments, and says in RELATIVE how closely they were worked.
"""

from . import (
    complications,
    focal,
    light,
    patient,
    reaching,
    readiness,
    reading,
    sizing,
    whole,
)

SHEETS = {
    "catheter-sizing": sizing,
    "reaching-the-vein": reaching,
    "light-and-depth": light,
    "reading-the-vein": reading,
    "one-patient": patient,
    "focal-geometry": focal,
    "readiness": readiness,
    "complications": complications,
    "whole-course": whole,
}
