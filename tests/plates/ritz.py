"""A thin plate with large deflection, solved apart from the tool: von Karman's energy, minimised (Ritz).

Four edges simply supported, free to move in the plane of the plate, corners held down, uniform load.
Deflection and the two in-plane displacements are Legendre polynomials over a quarter of the plate's
symmetry; the total energy is minimised by Newton's method with the load raised in steps.

Units: thickness 1, Young's modulus 1, area 4, so that the load is p* = (A / 4 h²)² q / E itself.

Run as a script it writes the table the tool interpolates in: ``python tests/plates/ritz.py > table.csv``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.polynomial import legendre

NU = 0.23


@dataclass(frozen=True)
class Solved:
    """k4 of the deflection at the centre; k1 of the tension in parts of the pane, which vary smoothly."""

    k4: float
    k1_short: float
    """At the centre, along the short side."""
    k1_long: float
    """At the centre, along the long side."""
    k1_inner: float
    """Greatest within the middle 70 % of both sides."""
    k1_edge: float
    """Greatest along the edges, corners left out."""
    k1_corner: float
    """Greatest near the corners: the outer 30 % of both sides."""
    k1_most: float
    """Greatest anywhere."""

    @property
    def k1_centre(self) -> float:
        """Greatest at the centre."""
        return max(self.k1_short, self.k1_long)


def _values(orders, x, derivative):
    return np.array([legendre.legval(x, legendre.legder(np.eye(k + 1)[k], derivative)) for k in orders])


def _bubble(orders, x, derivative):
    # P(k+2) - P(k) vanishes at both ends
    return _values([k + 2 for k in orders], x, derivative) - _values(orders, x, derivative)


class Plate:
    """One aspect ratio ``a / b`` with ``terms`` functions a direction."""

    def __init__(self, aspect: float, terms: int = 12, nu: float = NU) -> None:
        self.nu = nu
        self.half = np.array([np.sqrt(aspect), 1 / np.sqrt(aspect)])
        self.even = [2 * i for i in range(terms)]
        self.odd = [2 * i + 1 for i in range(terms)]
        # an even number of points, so that none lies on the line of symmetry
        x, weight = legendre.leggauss(2 * (terms + terms // 2))
        self.x, weight = x[x > 0], weight[x > 0]
        self.weight = 4 * np.outer(weight, weight) * self.half.prod()
        self._fields = self._basis(self.x)
        self._linear()

    def _basis(self, x):
        """Value and slopes of every function on the grid of x by x."""

        def grid(kind, dx, dy, fx, fy):
            sx, sy = self.half
            table = np.einsum("ip,jq->ijpq", fx(kind[0], x, dx) / sx**dx, fy(kind[1], x, dy) / sy**dy)
            return table.reshape(-1, len(x), len(x))

        ee, oe, eo = (self.even, self.even), (self.odd, self.even), (self.even, self.odd)
        w = {
            f"w{'x' * i}{'y' * j}": grid(ee, i, j, _bubble, _bubble)
            for i, j in [(0, 0), (1, 0), (0, 1), (2, 0), (0, 2), (1, 1)]
        }
        u = {"ux": grid(oe, 1, 0, _values, _values), "uy": grid(oe, 0, 1, _values, _values)}
        v = {"vx": grid(eo, 1, 0, _values, _values), "vy": grid(eo, 0, 1, _values, _values)}
        return w | u | v

    def _linear(self):
        f, g = self._fields, self.weight

        def product(one, other):
            return np.einsum("ipq,jpq,pq->ij", one, other, g, optimize=True)

        bending = 1 / (12 * (1 - self.nu**2))
        cross = product(f["wxx"], f["wyy"])
        self.k_bend = bending * (
            product(f["wxx"], f["wxx"]) + product(f["wyy"], f["wyy"]) + self.nu * (cross + cross.T)
        ) + bending * 2 * (1 - self.nu) * product(f["wxy"], f["wxy"])
        self.load = np.einsum("ipq,pq->i", f["w"], g)
        zero_v, zero_u = np.zeros_like(f["vx"]), np.zeros_like(f["ux"])
        self.strain = [
            np.concatenate([f["ux"], zero_v]),
            np.concatenate([zero_u, f["vy"]]),
            np.concatenate([f["uy"], f["vx"]]),
        ]
        # scaled to stress: plane stress of a plate of thickness 1
        c = 1 / (1 - self.nu**2)
        self.law = c * np.array([[1, self.nu, 0], [self.nu, 1, 0], [0, 0, (1 - self.nu) / 2]])
        flat = [s.reshape(len(s), -1) for s in self.strain]
        k = sum(self.law[i, j] * (flat[i] * g.ravel()) @ flat[j].T for i in range(3) for j in range(3))
        self.k_plane_inverse = np.linalg.pinv(k, rcond=1e-13)

    def _membrane(self, w):
        """In-plane displacements, stresses, and how the strain of the deflection changes with it."""
        f, g = self._fields, self.weight.ravel()
        wx = np.tensordot(w, f["wx"], 1)
        wy = np.tensordot(w, f["wy"], 1)
        bent = np.array([wx * wx / 2, wy * wy / 2, wx * wy]).reshape(3, -1)
        change = np.array([wx * f["wx"], wy * f["wy"], wx * f["wy"] + wy * f["wx"]])
        change = change.reshape(3, len(w), -1)
        flat = np.array([s.reshape(len(s), -1) for s in self.strain])
        pulled = np.einsum("ij,jp->ip", self.law, bent) * g
        uv = -self.k_plane_inverse @ np.einsum("iap,ip->a", flat, pulled)
        total = np.einsum("iap,a->ip", flat, uv) + bent
        return uv, self.law @ total, change, flat

    def solve(self, load: float, start: np.ndarray) -> np.ndarray:
        """Coefficients of the deflection under p*."""
        f, g, w = self._fields, self.weight.ravel(), start.copy()
        wx_f, wy_f = (f[k].reshape(len(w), -1) for k in ("wx", "wy"))
        for _ in range(25):
            _, stress, change, flat = self._membrane(w)
            gradient = self.k_bend @ w + np.einsum("iap,ip->a", change, stress * g) - load * self.load
            tangent = self.k_bend + sum(
                self.law[i, j] * (change[i] * g) @ change[j].T for i in range(3) for j in range(3)
            )
            geometric = (
                (wx_f * (g * stress[0])) @ wx_f.T
                + (wy_f * (g * stress[1])) @ wy_f.T
                + (wx_f * (g * stress[2])) @ wy_f.T
                + (wy_f * (g * stress[2])) @ wx_f.T
            )
            mixed = sum(self.law[i, j] * (flat[i] * g) @ change[j].T for i in range(3) for j in range(3))
            tangent = tangent + geometric - mixed.T @ self.k_plane_inverse @ mixed
            move = np.linalg.solve(tangent, -gradient)
            w = w + move
            if np.abs(move).max() < 1e-9 * np.abs(w).max():
                return w
        raise RuntimeError("Newton's method did not settle")

    def read(self, w: np.ndarray, load: float) -> Solved:
        """Deflection and stress factors of a solution."""
        uv = self._membrane(w)[0]
        x = np.concatenate([[0.0], np.sin(np.linspace(0, np.pi / 2, 60))[1:]])
        f = self._basis(x)
        n_u = len(f["ux"])

        def field(name, coefficients):
            return np.tensordot(coefficients, f[name], 1)

        wx, wy = field("wx", w), field("wy", w)
        e = np.array(
            [
                field("ux", uv[:n_u]) + wx**2 / 2,
                field("vy", uv[n_u:]) + wy**2 / 2,
                field("uy", uv[:n_u]) + field("vx", uv[n_u:]) + wx * wy,
            ]
        )
        curve = np.array([field("wxx", w), field("wyy", w), 2 * field("wxy", w)]) / 2
        tension = []
        for face in (1, -1):
            sx, sy, sxy = np.tensordot(self.law, e - face * curve, 1)
            tension.append((sx + sy) / 2 + np.sqrt(((sx - sy) / 2) ** 2 + sxy**2))
        most = np.maximum(*tension) / (4 * load)
        short, long, _ = np.tensordot(self.law, e - curve, 1)[:, 0, 0] / (4 * load)
        outer = x > 0.7
        return Solved(
            k4=field("w", w)[0, 0] / (16 * load),
            k1_short=short,
            k1_long=long,
            k1_inner=most[~outer][:, ~outer].max(),
            k1_edge=max(most[~outer][:, outer].max(), most[outer][:, ~outer].max()),
            k1_corner=most[outer][:, outer].max(),
            k1_most=most.max(),
        )

    def sweep(self, loads: list[float]) -> list[Solved]:
        """Solve for rising loads, each starting from the one before."""
        w = np.zeros_like(self.load)
        found, reached, stride = [], 0.0, 1.6
        for load in loads:
            while reached < load:
                ahead = min(load, max(stride * reached, 0.3))
                try:
                    w, reached = self.solve(ahead, w), ahead
                except RuntimeError:
                    stride = stride**0.5
            found.append(self.read(w, load))
        return found


SIDE_LOADS = [0.01, *np.round(np.geomspace(1, 8192, 21), 2)]
"""Loads of the table, told by the short side: a⁴ q / (E h⁴) = 16 λ² p*."""


def table_rows(aspect: float, terms: int = 14) -> list[str]:
    """Lines of the table for one aspect ratio."""
    solved = Plate(aspect, terms).sweep([load / (16 * aspect**2) for load in SIDE_LOADS])
    return [
        f"{aspect:.2f},{load:g},{s.k4:.5g},{s.k1_short:.4g},{s.k1_long:.4g},{s.k1_inner:.4g},{s.k1_edge:.4g},{s.k1_corner:.4g}"
        for load, s in zip(SIDE_LOADS, solved, strict=True)
    ]


if __name__ == "__main__":
    print("aspect,side_load,k4,k1_short,k1_long,k1_inner,k1_edge,k1_corner")
    for twentieths in range(2, 21):
        print("\n".join(table_rows(twentieths / 20)), flush=True)
