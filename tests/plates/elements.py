"""Plates by finite elements (scikit-fem), the independent reference: Argyris triangles for the deflection.

Units as suit each case: thickness 1, Young's modulus 1.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import bmat
from skfem import (
    Basis,
    BilinearForm,
    ElementTriArgyris,
    ElementTriP3,
    ElementVector,
    LinearForm,
    MeshTri,
    asm,
    condense,
    solve,
)
from skfem.helpers import dd, ddot, dot, eye, grad, sym_grad, trace


def _mesh(short, long, cells):
    x, y = np.linspace(0, short, cells + 1), np.linspace(0, long, cells + 1)
    return MeshTri.init_tensor(x, y).with_boundaries(
        {
            "sides": lambda p: np.isclose(p[0], 0) | np.isclose(p[0], short),
            "ends": lambda p: np.isclose(p[1], 0) | np.isclose(p[1], long),
        }
    )


def _held(basis):
    """Deflection is nothing along the edges, so its derivatives along them are nothing too."""
    sides = basis.get_dofs("sides").all(["u", "u_y", "u_yy"])
    ends = basis.get_dofs("ends").all(["u", "u_x", "u_xx"])
    return np.union1d(sides, ends)


def _bending(poisson):
    @BilinearForm
    def form(w, v, _):
        flat = (1 - poisson) * dd(w) + poisson * eye(trace(dd(w)), 2)
        return ddot(flat, dd(v))

    return form


@LinearForm
def _unit_load(v, _):
    return v


def linear_plate_by_elements(aspect, poisson, cells=8):
    """Deflection, moments along the short and long side at the centre, and mean deflection; q, a, D = 1."""
    basis = Basis(_mesh(1.0, 1 / aspect, cells), ElementTriArgyris())
    stiffness, load = asm(_bending(poisson), basis), asm(_unit_load, basis)
    w = solve(*condense(stiffness, load, D=_held(basis)))
    middle = np.array([[0.5], [0.5 / aspect]])
    deflection = (basis.probes(middle) @ w)[0]
    curves = _curvature_at(basis, w, middle)
    return (
        deflection,
        -(curves[0] + poisson * curves[1]),
        -(curves[1] + poisson * curves[0]),
        load @ w * aspect,
    )


def _curvature_at(basis, w, point):
    """Second derivatives at a vertex are degrees of freedom of the element."""
    vertex = np.linalg.norm(basis.mesh.p - point, axis=0).argmin()
    dofs = basis.nodal_dofs[:, vertex]
    # Argyris keeps u, u_x, u_y, u_xx, u_xy, u_yy at a vertex
    return w[dofs[3]], w[dofs[5]]


def _stress(strain, poisson):
    return ((1 - poisson) * strain + poisson * eye(trace(strain), 2)) / (1 - poisson**2)


def _mixed(one, other):
    """Strain that a slope ``one`` makes with a slope ``other``, symmetric."""
    product = np.einsum("i...,j...->ij...", one, other)
    return (product + np.swapaxes(product, 0, 1)) / 2


def large_deflection_by_elements(aspect, plate_load, poisson, cells=6):
    """k4 and k1 at the centre of a von Karman plate free to move in its plane, under p*; area 4."""
    short, long = 2 * np.sqrt(aspect), 2 / np.sqrt(aspect)
    mesh = _mesh(short, long, cells)
    bent = Basis(mesh, ElementTriArgyris(), intorder=6)
    plane = bent.with_element(ElementVector(ElementTriP3()))
    stiff = asm(_bending(poisson), bent) / (12 * (1 - poisson**2))
    load, free = asm(_unit_load, bent), np.setdiff1d(np.arange(bent.N), _held(bent))
    w, u = np.zeros(bent.N), np.zeros(plane.N)
    # a whisper of spring stops the plate from drifting in its plane
    spring = 1e-9 * asm(BilinearForm(lambda a, b, _: dot(a, b)), plane)
    for share in (0.3, 1.0):
        for _ in range(15):
            move = _newton_step(bent, plane, stiff, spring, w, u, share * plate_load * load, free, poisson)
            w, u = w + move[: bent.N], u + move[bent.N :]
            if np.abs(move).max() < 1e-5 * np.abs(w).max():
                break
    middle = np.array([[short / 2], [long / 2]])
    deflection = (bent.probes(middle) @ w)[0]
    return deflection / (16 * plate_load), _centre_stress(bent, plane, w, u, middle, poisson) / (
        4 * plate_load
    )


def _newton_step(bent, plane, stiff, spring, w, u, load, free, poisson):
    fields = {"w": bent.interpolate(w), "u": plane.interpolate(u)}

    def force(f):
        return _stress(sym_grad(f["u"]) + _mixed(grad(f["w"]), grad(f["w"])) / 2, poisson)

    plane_plane = BilinearForm(lambda a, b, _: ddot(_stress(sym_grad(a), poisson), sym_grad(b)))
    plane_bent = BilinearForm(
        lambda a, b, f: ddot(_stress(_mixed(grad(f["w"]), grad(a)), poisson), sym_grad(b))
    )
    bent_bent = BilinearForm(
        lambda a, b, f: (
            ddot(force(f), _mixed(grad(a), grad(b)))
            + ddot(_stress(_mixed(grad(f["w"]), grad(a)), poisson), _mixed(grad(f["w"]), grad(b)))
        )
    )
    pull = LinearForm(lambda b, f: ddot(force(f), sym_grad(b)))
    lift = LinearForm(lambda b, f: ddot(force(f), _mixed(grad(f["w"]), grad(b))))
    across = plane_bent.assemble(bent, plane, **fields)
    tangent = bmat(
        [
            [stiff + bent_bent.assemble(bent, **fields), across.T],
            [across, plane_plane.assemble(plane, **fields) + spring],
        ],
        format="csr",
    )
    rest = np.concatenate(
        [stiff @ w + lift.assemble(bent, **fields) - load, pull.assemble(plane, **fields) + spring @ u]
    )
    keep = np.concatenate([free, bent.N + np.arange(plane.N)])
    return solve(*condense(tangent, -rest, I=keep))


def _centre_stress(bent, plane, w, u, middle, poisson):
    """Greatest tension at the centre, where slopes vanish."""
    curves = _curvature_at(bent, w, middle)
    cell = np.flatnonzero((np.linalg.norm(bent.mesh.p - middle, axis=0).argmin() == bent.mesh.t).any(axis=0))
    strain = sym_grad(plane.interpolate(u))
    spot = np.asarray(plane.global_coordinates())
    near = np.linalg.norm(spot - middle[:, :, None], axis=0)
    closest = np.unravel_index(
        np.where(np.isin(np.arange(spot.shape[1]), cell)[:, None], near, np.inf).argmin(), near.shape
    )
    stretched = np.array([strain[0, 0][closest], strain[1, 1][closest]])
    c = 1 / (1 - poisson**2)
    total = stretched - np.array(curves) / 2
    return max(c * (total[0] + poisson * total[1]), c * (total[1] + poisson * total[0]))
