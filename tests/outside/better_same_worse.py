"""Works the published example of better, same and worse with scipy's optimiser, and compares our likelihood
with the published one.

    python3 better_same_worse.py FILE

Source: R. H. B. Christensen, H.-S. Lee and P. B. Brockhoff, "Estimation of the Thurstonian model for the 2-AC
protocol", Food Quality and Preference 24 (2012), Example 1, as worked in the companion of the R package sensR.
The file has, as JSON, rows of d, tau and our chances of better, same and worse.
"""

import json
import sys

import numpy as np
from scipy.optimize import minimize, minimize_scalar
from scipy.stats import chi2, norm

WORSE, SAME, BETTER = 2, 2, 6
TAU, D, ROOT, P = 0.4159726, 0.7742595, 1.446718, 0.14798


def chances(d, tau):
    """Better, same and worse: a difference of two, each of deviation 1, cut at -tau and at tau."""
    cut = norm(loc=d, scale=np.sqrt(2.0))
    return cut.sf(tau), cut.cdf(tau) - cut.cdf(-tau), cut.cdf(-tau)


def unlikely(d, tau):
    """The negative logarithm of the likelihood of the example's counts."""
    return -np.dot((BETTER, SAME, WORSE), np.log(chances(d, tau)))


def near(found, published, tolerance, what):
    if not abs(found - published) <= tolerance:
        sys.exit(f"{what}: {found!r}, not {published!r}")


def main():
    best = minimize(lambda at: unlikely(at[0], np.exp(at[1])), (0.0, 0.0), method="BFGS", options={"gtol": 1e-9})
    d, tau = float(best.x[0]), float(np.exp(best.x[1]))
    without = minimize_scalar(lambda tau: unlikely(0.0, tau), bounds=(1e-3, 5.0), method="bounded",
                              options={"xatol": 1e-10})
    root = float(np.sqrt(2.0 * (without.fun - best.fun)))
    near(tau, TAU, 1e-6, "tau")
    near(d, D, 1e-6, "d'")
    near(root, ROOT, 1e-6, "root of the likelihood ratio")
    near(float(chi2.sf(root**2, 1)), P, 1e-5, "p")

    with open(sys.argv[1], encoding="utf-8") as file:
        rows = json.load(file)
    assert any(abs(row[0] - D) < 1e-6 and abs(row[1] - TAU) < 1e-6 for row in rows), "the example is not among them"
    for d, tau, *ours in rows:
        for chance, wanted in zip(ours, chances(d, tau), strict=True):
            near(chance, float(wanted), 1e-12, f"d {d}, tau {tau}")
    print(f"the example comes out; {len(rows)} likelihoods are those of the model")


if __name__ == "__main__":
    main()
