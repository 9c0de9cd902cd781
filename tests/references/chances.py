"""Tails of distributions by SciPy, kept in chances.json beside this file.

    python chances.py > chances.json

The committed file is read by the Rust test `golden`; the check here derives it anew.
"""

import json

from scipy.stats import chi2, norm, rayleigh

SHARES = [0.5, 0.32, 0.2, 0.1, 0.05, 0.025, 0.01, 0.005, 0.001, 1e-4, 1e-6, 1e-9]
VALUES = [0.0, 0.1, 0.5, 1.0, 1.386, 2.0, 4.605, 5.991, 9.21, 13.816, 20.0, 40.0, 100.0]
SIGMAS = [-3.0, -1.0, 0.0, 0.25, 0.5, 1.0, 1.281552, 1.644854, 1.959964, 2.575829, 3.0, 4.5, 6.0]


def derive() -> dict:
    return {
        # The value beyond which a share lies, two degrees of freedom.
        "chi_square_2_beyond": [[share, float(chi2.isf(share, 2))] for share in SHARES],
        # The share beyond a value, two degrees of freedom.
        "chi_square_2_tail": [[value, float(chi2.sf(value, 2))] for value in VALUES],
        # The share of a normal distribution above so many standard deviations.
        "normal_tail": [[sigmas, float(norm.sf(sigmas))] for sigmas in SIGMAS],
        # Standard deviations of one axis in the radius that holds 68 % of a circular normal error.
        "sigmas_in_radius68": float(rayleigh.ppf(0.68)),
    }


if __name__ == "__main__":
    print(json.dumps(derive(), indent=1))
