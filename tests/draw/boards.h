/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_DRAW_BOARDS_H
#define TESTS_DRAW_BOARDS_H

#include "benchtrue/draw/figure_edges.h"

enum { BOARDS_MOST = 40 };

/* Boards of an ash table top (invented), their plan and section, as the figures take
 * them. */
struct boards {
    struct bt_job job;
    struct bt_board board[BOARDS_MOST];
    char name[BOARDS_MOST][80];
    struct bt_edge_plan plan;
    struct bt_board_run run[BOARDS_MOST];
    struct bt_edge_conflict conflict[8];
    struct bt_section section;
    struct bt_quad quad[BOARDS_MOST];
    struct bt_joint_kink kink[BOARDS_MOST];
    struct bt_edges_figure input;
};

/* n boards of 22 mm, 70 to 150 mm wide, run in and out in turn (alternate) or all in.
 */
void boards_make(struct boards *b, size_t n, bool alternate, double e);

/* Section and kinks anew, after the runs were changed: corners by turning each board
 * against the one before; u are invented. */
void boards_section(struct boards *b, double e);

#endif
