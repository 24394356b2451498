"""A space frame of beams and joint springs, solved for many loads at once.

Straight beam elements with shear deformation (Timoshenko), joints as springs in six
directions with rigid arms to the axes they join, supports by direction. Everything is
assembled in arrays and factored once: all loads of a piece of 40 members take some
milliseconds. Units N, mm, MPa. Checked against a general frame library in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from contextlib import AbstractContextManager
from functools import cache, cached_property, lru_cache

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix, csr_matrix, triu
from scipy.sparse.linalg import splu
from threadpoolctl import ThreadpoolController

from studio_lib.structure.factored import Factored, Filling

LOOSE = 1e-11
"""A pivot this much smaller than the largest is none: something is free to move."""


SYMMETRIC = {"diag_pivot_thresh": 0.0, "relax": 1, "options": {"SymmetricMode": True}}


@cache
def _pools() -> ThreadpoolController:
    return ThreadpoolController()


def one_thread() -> AbstractContextManager:
    """Matrices of a piece are too small to share out: threads wait for each other ten times longer than they work."""
    return _pools().limit(limits=1, user_api="blas")


class Mechanism(ValueError):
    """The frame folds; ``nodes`` are those that move, the most first."""

    def __init__(self, nodes: tuple[int, ...]):
        super().__init__("the frame folds: " + ", ".join(map(str, nodes[:8])))
        self.nodes = nodes


@dataclass(frozen=True)
class Solved:
    """What a set of loads does. Axes of beams: x along, y and z across as the frame was given."""

    moves: np.ndarray
    """Displacements and rotations of each node, cases x nodes x 6. [mm], [rad]"""
    ends: np.ndarray
    """Forces on each beam at its two ends in its own axes, cases x beams x 12. [N], [N mm]"""
    springs: np.ndarray
    """Force and moment through each joint, on the second node, in the joint's axes, cases x joints x 6. [N], [N mm]"""
    reactions: np.ndarray
    """Force and moment of the ground on each node, cases x nodes x 6. [N], [N mm]"""


def places(pairs: np.ndarray) -> np.ndarray:
    """Rows of the whole matrix that a pair of nodes fills, M x 12."""
    return (6 * pairs[:, :, None] + np.arange(6)).reshape(len(pairs), 12)


@dataclass(frozen=True, eq=False)
class _Pattern:
    """Where the numbers of all blocks go: the same for all frames joined and held alike, whatever their sizes."""

    free: np.ndarray
    """Free directions, in the order in which the fewest new numbers arise as they are eliminated."""
    loose: np.ndarray
    """Which numbers of the blocks join free directions, on and over the diagonal."""
    slot: np.ndarray
    """Which number of the matrix each of those is part of."""
    filling: Filling
    """Where the matrix and its factors have numbers."""
    ground: np.ndarray
    """Which numbers of the blocks act on held directions."""
    ground_slot: np.ndarray
    """Which number of the rows at held directions each of those is part of."""
    ground_cols: np.ndarray
    ground_starts: np.ndarray
    """Columns and row starts of those rows, as sparse matrices have them: all directions, and none but the held ones filled."""

    def matrix(self, numbers: np.ndarray) -> np.ndarray:
        """Numbers of the stiffness of the free directions, from those of all blocks; the last of each column is its diagonal."""
        return np.bincount(self.slot, numbers[self.loose], len(self.filling.rows))

    def at_ground(self, numbers: np.ndarray) -> csr_matrix:
        """Rows of the whole stiffness at held directions."""
        size = len(self.ground_starts) - 1
        return csr_matrix((np.bincount(self.ground_slot, numbers[self.ground], len(self.ground_cols)), self.ground_cols, self.ground_starts), (size, size))


@lru_cache(maxsize=64)
def _pattern(beams: bytes, joints: bytes, fixed: bytes) -> _Pattern:
    """The pattern of pairs of nodes, as the bytes of whole numbers, and of held directions."""
    where = np.concatenate([places(np.frombuffer(pairs, int).reshape(-1, 2)) for pairs in (beams, joints)])
    rows, cols = np.repeat(where, 12, axis=1).ravel(), np.tile(where, (1, 12)).ravel()
    held = np.frombuffer(fixed, bool)
    free, number = np.flatnonzero(~held), np.cumsum(~held) - 1
    among = ~(held[rows] | held[cols])
    order = _order(number[rows[among]], number[cols[among]], len(free))
    number[free[order]] = np.arange(len(free))
    loose = np.flatnonzero(among & (number[rows] <= number[cols]))
    whole = np.arange(len(free))  # the diagonal, which even what nothing is joined to has
    slot, inner, starts = _placed(np.append(number[cols[loose]], whole), np.append(number[rows[loose]], whole), len(free))
    ground = np.flatnonzero(held[rows])
    return _Pattern(free[order], loose, slot[:len(loose)], Filling.of(inner, starts), ground, *_placed(rows[ground], cols[ground], len(held)))


def _order(rows: np.ndarray, cols: np.ndarray, size: int) -> np.ndarray:
    """Of a symmetric matrix with numbers there, in which order the fewest new ones arise as rows are eliminated."""
    among = coo_matrix((np.ones(len(rows)), (rows, cols)), (size, size)).tocsc()
    among.data[:] = -1.0
    among.setdiag(size)  # any sound numbers do: the order rests on where they stand
    return np.argsort(splu(among, permc_spec="MMD_AT_PLUS_A", **SYMMETRIC).perm_c)


def _placed(outer: np.ndarray, inner: np.ndarray, size: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Which number of a sparse matrix each of some is part of, the inner places of its numbers, and where each outer one begins."""
    keys, slot = np.unique(outer * size + inner, return_inverse=True)
    return slot, (keys % size).astype(np.int32), np.searchsorted(keys, np.arange(size + 1) * size).astype(np.int32)


@dataclass(frozen=True, eq=False)
class Frame:
    """A frame as arrays.

    Parameters
    ----------
    nodes : N x 3. [mm]
    beams : B x 2
        Node numbers, from and to.
    axes : B x 3 x 3
        Rows: unit vectors of each beam's x (along it), y and z.
    e, g : B
        Modulus of elasticity and of shear. [MPa]
    area, iy, iz, torsion : B
        Section: iy resists bending in the x-z plane, iz in the x-y plane. [mm2], [mm4]
    joints : J x 2
        Node numbers joined.
    joint_at : J x 3
        Where the springs act; both nodes reach there by rigid arms. [mm]
    joint_axes : J x 3 x 3
        Rows: unit vectors of each joint's own directions.
    stiffness : J x 6
        Along and about those directions. [N/mm], [N mm/rad]
    fixed : N x 6 of bool
        Directions held by the ground.
    """

    nodes: np.ndarray
    beams: np.ndarray
    axes: np.ndarray
    e: np.ndarray
    g: np.ndarray
    area: np.ndarray
    iy: np.ndarray
    iz: np.ndarray
    torsion: np.ndarray
    joints: np.ndarray
    joint_at: np.ndarray
    joint_axes: np.ndarray
    stiffness: np.ndarray
    fixed: np.ndarray

    @cached_property
    def length(self) -> np.ndarray:
        a, b = self.nodes[self.beams[:, 0]], self.nodes[self.beams[:, 1]]
        return np.linalg.norm(b - a, axis=1)

    @cached_property
    def _local(self) -> np.ndarray:
        """Stiffness of each beam in its own axes, B x 12 x 12."""
        length, k = self.length, np.zeros((len(self.beams), 12, 12))
        axial, twist = self.e * self.area / length, self.g * self.torsion / length
        for (i, j), v in (((0, 6), axial), ((3, 9), twist)):
            k[:, i, i] = k[:, j, j] = v
            k[:, i, j] = k[:, j, i] = -v
        shear_area = self.area * 5 / 6
        # Bending in x-y (v, rz) and in x-z (w, ry); the second has the sign of rotation turned.
        for inertia, v1, r1, v2, r2, sign in ((self.iz, 1, 5, 7, 11, 1.0), (self.iy, 2, 4, 8, 10, -1.0)):
            ei = self.e * inertia
            phi = 12 * ei / (self.g * shear_area * length**2)
            base = ei / (length**3 * (1 + phi))
            a, b = 12 * base, sign * 6 * base * length
            c, d = (4 + phi) * base * length**2, (2 - phi) * base * length**2
            for p, q, v in ((v1, v1, a), (v2, v2, a), (v1, v2, -a), (v1, r1, b), (v1, r2, b), (v2, r1, -b), (v2, r2, -b),
                            (r1, r1, c), (r2, r2, c), (r1, r2, d)):
                k[:, p, q] = v
                k[:, q, p] = v
        return k

    @cached_property
    def _turn(self) -> np.ndarray:
        """From the frame's axes to each beam's, B x 12 x 12."""
        t = np.zeros((len(self.beams), 12, 12))
        for block in range(0, 12, 3):
            t[:, block:block + 3, block:block + 3] = self.axes
        return t

    @cached_property
    def _reach(self) -> np.ndarray:
        """From the moves of a joint's two nodes to the gap in its springs, J x 6 x 12."""
        out = np.zeros((len(self.joints), 6, 12))
        for side, sign in ((0, -1.0), (1, 1.0)):
            arm = self.joint_at - self.nodes[self.joints[:, side]]
            lever = np.zeros((len(arm), 3, 3))
            # u at the end of the arm = u + theta x arm.
            lever[:, 0, 1], lever[:, 0, 2] = arm[:, 2], -arm[:, 1]
            lever[:, 1, 0], lever[:, 1, 2] = -arm[:, 2], arm[:, 0]
            lever[:, 2, 0], lever[:, 2, 1] = arm[:, 1], -arm[:, 0]
            k = 6 * side
            out[:, :3, k:k + 3] = sign * self.joint_axes
            out[:, :3, k + 3:k + 6] = sign * self.joint_axes @ lever
            out[:, 3:, k + 3:k + 6] = sign * self.joint_axes
        return out

    @cached_property
    def _to_ends(self) -> np.ndarray:
        """From the moves of a beam's two nodes to the forces on its ends in its own axes, B x 12 x 12."""
        return self._local @ self._turn

    @cached_property
    def _beam_blocks(self) -> np.ndarray:
        """Stiffness of each beam in the frame's axes, B x 12 x 12."""
        return np.transpose(self._turn, (0, 2, 1)) @ self._to_ends

    @cached_property
    def _pattern(self) -> _Pattern:
        return _pattern(self.beams.tobytes(), self.joints.tobytes(), self.fixed.tobytes())

    def with_joints(self, stiffness: np.ndarray) -> Frame:
        """The same frame with joints of other stiffness; what does not depend on it is not worked out again."""
        other = replace(self, stiffness=stiffness)
        for name in ("length", "_local", "_turn", "_reach", "_to_ends", "_beam_blocks", "_pattern"):
            other.__dict__[name] = getattr(self, name)
        return other

    @cached_property
    def _factored(self) -> tuple[csr_matrix, np.ndarray, np.ndarray, Factored]:
        """Rows of the whole matrix at held directions, the free directions, their scale and the factors."""
        reach, pattern = self._reach, self._pattern
        joints = np.transpose(reach, (0, 2, 1)) @ (self.stiffness[:, :, None] * reach)
        numbers = np.concatenate([self._beam_blocks, joints]).ravel()
        filling, part = pattern.filling, pattern.matrix(numbers)
        # Springs of mm and of radians differ by many powers of ten; scaled, one measure of a lost pivot does for both.
        scale = np.sqrt(np.maximum(part[filling.starts[1:] - 1], 1e-30))
        part /= scale[filling.rows] * np.repeat(scale, np.diff(filling.starts))
        factor = Factored(filling, part)
        if not np.abs(factor.pivots).min() >= LOOSE:
            with one_thread():
                raise Mechanism(self._that_fold(part, pattern))
        return pattern.at_ground(numbers), pattern.free, scale, factor

    def _that_fold(self, scaled: np.ndarray, pattern: _Pattern) -> tuple[int, ...]:
        """Nodes that move when the frame folds, by inverse iteration on the nearly singular matrix."""
        free, filling = pattern.free, pattern.filling
        size = len(free)
        upper = csc_matrix((scaled, filling.rows, filling.starts), (size, size))
        eased = (upper + triu(upper, 1).T + 1e-8 * coo_matrix((np.ones(size), (range(size), range(size))), (size, size))).tocsc()
        factor = splu(eased)
        shape = np.random.default_rng(1).standard_normal(size)
        for _ in range(4):
            shape = factor.solve(shape / np.linalg.norm(shape))
        moved = np.zeros(6 * len(self.nodes))
        moved[free] = np.abs(shape)
        by_node = moved.reshape(-1, 6).max(axis=1)
        order = np.argsort(-by_node)
        return tuple(int(n) for n in order if by_node[n] > 0.05 * by_node[order[0]])

    def solve(self, loads: np.ndarray) -> Solved:
        """Moves and forces under each case.

        Parameters
        ----------
        loads : cases x nodes x 6
            Forces and moments on the nodes, in the frame's axes. [N], [N mm]

        Raises
        ------
        Mechanism
            When some of the frame is free to move.
        """
        held, free, scale, factor = self._factored
        forces = loads.reshape(len(loads), -1).T
        moves = np.zeros(forces.shape)  # directions x cases
        moves[free] = factor.solve(forces[free] / scale[:, None]) / scale[:, None]
        reactions = np.where(self.fixed.reshape(-1, 1), held @ moves - forces, 0.0)
        ends = self._through(self._to_ends, moves, self.beams)
        springs = np.zeros((len(loads), len(self.joints), 6))
        if len(self.joints):
            springs = -self.stiffness * self._through(self._reach, moves, self.joints)
        shape = (len(loads), len(self.nodes), 6)
        return Solved(np.ascontiguousarray(moves.T).reshape(shape), ends, springs, reactions.T.reshape(shape))

    def _through(self, matrices: np.ndarray, moves: np.ndarray, pairs: np.ndarray) -> np.ndarray:
        """Each matrix on the moves of its own pair of nodes, directions x cases: cases x M x rows."""
        return np.ascontiguousarray((matrices @ moves[places(pairs)]).transpose(2, 0, 1))

    def let_go(self, nodes, reactions: np.ndarray) -> np.ndarray | None:
        """How far each of some held nodes moves when the ground lets it alone go, n x 6. [mm], [rad]

        Parameters
        ----------
        reactions : nodes x 6
            What the ground did on them under the loads that stay. [N], [N mm]

        Returns None where the frame would fold. A node's stiffness with all else in place is the Schur
        complement of the frame's, so nothing is factored anew.
        """
        own = [6 * n + np.flatnonzero(self.fixed[n]) for n in nodes]
        held, free, scale, factor = self._factored
        side = held[np.concatenate(own)].toarray().T
        follow = factor.solve(side[free] / scale[:, None]) / scale[:, None]
        moved, column = np.zeros((len(own), 6)), 0
        for k, (node, rows) in enumerate(zip(nodes, own)):
            mine = slice(column, column + len(rows))
            column += len(rows)
            left = side[rows, mine] - side[free, mine].T @ follow[:, mine]
            if np.linalg.cond(left) > 1 / LOOSE:
                return None
            moved[k, self.fixed[node]] = np.linalg.solve(left, -reactions[k, self.fixed[node]])
        return moved
