"""The one array type the kernels speak: floats or float64 arrays that broadcast."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Array: TypeAlias = npt.NDArray[np.float64]
# A number, or a stack of numbers over leading axes (realisation, depth).
Real: TypeAlias = float | Array
