/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_PLAN_H
#define BENCHTRUE_DRAW_FIGURE_PLAN_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/surface/plan.h"

/* What the figure of a plan of readings shows.  Nothing is owned; all of it must
 * outlive the call. */
struct bt_plan_figure_input {
    const struct bt_job *job;              /* title, date, system */
    const struct bt_plan_request *request; /* the panel */
    const struct bt_plan *plan;            /* of that request */
    const char *const *name;               /* [plan->nstep] what each step is called */
    const struct bt_point *support; /* [2] places along x of two battens, y not looked
                                       at; NULL: none are shown */
};

/*
 * Where to read, to follow at the panel: to scale from above, back edge on top, left
 * end on the left, corners A to D.
 *
 * - Each line with its number, an arrow at the end at which it begins, and a dot at
 *   each place to read; a line that is read twice carries two numbers.
 * - Set-ups and sticks as the frame around their places, number at the first.
 * - Battens to lay the panel on, dashed.
 * - In words under it: number and name of each step, how many places.
 *
 * Width 210 mm; no letters under 2.4 mm.  Otherwise as bt_figure_map.
 *
 *   out  to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (the panel has no size, or a place is not finite or beyond
 * it by more than a tenth: row is the place); BT_ENOMEM; BT_EWRITE (cairo failed
 * otherwise).
 */
BT_API enum bt_status bt_figure_plan(const struct bt_plan_figure_input *input,
                                     enum bt_figure_format format,
                                     struct bt_figure_bytes *out, struct bt_error *err);

#endif
