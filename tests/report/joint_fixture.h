/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_REPORT_JOINT_FIXTURE_H
#define TESTS_REPORT_JOINT_FIXTURE_H

#include "benchtrue/report/fence_result.h"
#include "benchtrue/report/glueup_result.h"

/*
 * Answers of fence, edges and glueup built by hand, so that texts are tested without
 * the joint room: an oak window seat of three boards, 102, 98 and 105 mm wide and 28 mm
 * thick, a fence 0.12 degrees out, alternate boards, a cup of 0.12 mm hollow, u 0.15.
 * All numbers are invented.  Texts and arrays live inside the struct; point nothing at
 * it after it has moved.
 */
enum { JOINT_BOARDS = 3, JOINT_JOINTS = 2, JOINT_CHECKS = 3 };

struct joint_fixture {
    struct bt_job job;
    struct bt_board board[JOINT_BOARDS];
    struct bt_fence_check check[JOINT_CHECKS];
    struct bt_fence_station station[2];
    struct bt_clamp clamp[1];
    struct bt_dry_fit dry_read[JOINT_JOINTS];
    struct bt_strip strip[JOINT_BOARDS];
    struct bt_board_rule rule[JOINT_BOARDS];
    struct bt_board_run run[JOINT_BOARDS];
    struct bt_edge_conflict conflict[1];
    struct bt_quad quad[JOINT_BOARDS];
    struct bt_joint_kink kink[JOINT_JOINTS];
    struct bt_forgotten forgotten[JOINT_BOARDS];
    struct bt_edges_dry dry[JOINT_JOINTS];
    struct bt_edges_spring spring[JOINT_JOINTS];
    struct bt_clamp_place place[3];
    struct bt_stage stage[2];
    size_t order[JOINT_JOINTS];
    struct bt_fence_answer fence;
    struct bt_edges_answer edges;
    struct bt_glueup_answer glueup;
};

/* No cup limit, no dry fit, no conflict; the checks agree. */
void joint_fixture_init(struct joint_fixture *fixture);

/* Limit the cup and judge it in all answers. */
void joint_fixture_limit(struct joint_fixture *fixture, double limit);

/* Joint 1 closes, joint 2 shows a fault, each read with six gaps. */
void joint_fixture_dry(struct joint_fixture *fixture, enum bt_dry_verdict angle,
                       enum bt_dry_verdict straight);

#endif
