/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_DRAW_BAY_H
#define TESTS_DRAW_BAY_H

#include "benchtrue/draw/figure_opening.h"

/* A bay between walls and the seat for it, with corners that are known (invented). */
struct bay {
    struct bt_job job;
    struct bt_quad_result quad;
    struct bt_wall_profile profile[BT_WALLS];
    struct bt_opening_plan plan;
    struct bt_piece piece;
    struct bt_opening_figure input;
};

/* Back wall `wide`, depth `deep`, the front narrower by `narrower` at each end; with
 * hollow the back and the left wall are, by 6 mm, and followed. */
void bay_make(struct bay *bay, double wide, double deep, double narrower, bool hollow);
void bay_clear(struct bay *bay);

#endif
