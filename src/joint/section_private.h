/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_JOINT_SECTION_PRIVATE_H
#define BT_JOINT_SECTION_PRIVATE_H

#include "benchtrue/joint/section.h"

/* Private to the room. */

/* Whether boards and errors can be computed with: as bt_section_evaluate returns. */
enum bt_status bt_section_check(size_t n, const struct bt_strip strip[],
                                const struct bt_edge_errors *errors,
                                struct bt_error *err);

/* BT_EINPUT, of no one board. */
enum bt_status bt_section_too_large(size_t n, struct bt_error *err);

/* A board as it lies in the panel. */
struct bt_strip bt_strip_laid(const struct bt_strip *strip, bool turned);

/* An edge as it lies in the panel. */
struct bt_edge_view {
    double lean;      /* rad, see bt_edge_lean */
    double per_e;     /* what the lean gains per rad of e: 1 run in,
                         -1 run out */
    double per_taper; /* rad/mm, per mm of the strip's taper as it was given */
    double thickness; /* mm, of the edge */
};

struct bt_edge_view bt_edge_see(const struct bt_strip *strip,
                                const struct bt_board_run *run, bool front, double e);

/* What a joint adds to the cup per rad of its kink, mm, negative. */
double bt_cup_share(double y, double width);

#endif
