/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_TWO_BEAMS_H
#define BENCHTRUE_TESTS_TWO_BEAMS_H

#include "benchtrue/joint/spring.h"

/*
 * A second opinion on spring joints: each board as a chain of finite elements with
 * bending and shear (J. S. Przemieniecki, Theory of Matrix Structural Analysis, 1968,
 * section 5.6, from memory; exact at the nodes for forces at nodes), the boards held
 * together by multipliers, all solved densely.  No flexibility, no superposition.
 */
enum { BEAM_STEPS = 64 };

struct two_beams {
    double length, hollow;
    struct bt_spring_board board[2];
    bool closed[BEAM_STEPS + 1]; /* clamped until the gap is 0 */
    double load[BEAM_STEPS + 1]; /* pressed with that, N, where not closed */
    /* out */
    double gap[BEAM_STEPS + 1];   /* mm */
    double force[BEAM_STEPS + 1]; /* N between the boards, pressing them together
                                     positive, without the load */
};

/* Find where the boards touch between the clamps, and all gaps and forces. */
void two_beams_solve(struct two_beams *beams);

double two_beams_largest_gap(const struct two_beams *beams);

#endif
