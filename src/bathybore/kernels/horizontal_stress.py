"""The greater horizontal stress where nothing measured it: a stated share of the way up."""

from __future__ import annotations

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published


@published(
    formula="S_H = S_h + f_H (S_v - S_h)",
    source="assumed",
    where="between the least horizontal and the vertical stress: normal faulting",
    valid={"major_stress_share": Limit(0.0, 1.0, "more is strike-slip or thrust faulting")},
    validity_note="A guess to be replaced by breakouts, tests or a regional stress map.",
    example={
        "minor_horizontal_stress": "38 MPa",
        "vertical_stress": "50 MPa",
        "major_stress_share": "0.3",
    },
)
def major_stress_by_share(
    minor_horizontal_stress: Real, vertical_stress: Real, major_stress_share: Real
) -> Real:
    """Greater horizontal stress as a share of the way from the lesser to the vertical one.

    Parameters
    ----------
    minor_horizontal_stress : [Pa]
        Lesser horizontal principal stress, total.
    vertical_stress : [Pa]
        Vertical stress, total.
    major_stress_share : [-]
        Zero gives the lesser horizontal stress, one the vertical stress.

    Returns
    -------
    major_horizontal_stress : [Pa]
        Greater horizontal principal stress, total.
    """
    return minor_horizontal_stress + major_stress_share * (
        vertical_stress - minor_horizontal_stress
    )
