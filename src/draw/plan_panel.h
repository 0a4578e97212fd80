/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_PLAN_PANEL_H
#define BENCHTRUE_DRAW_PLAN_PANEL_H

#include "benchtrue/draw/figure_plan.h"
#include "draw/page.h"

/* The panel of a plan with its steps, battens and corners, for whatever page it stands
 * on. */

/* Returns as bt_figure_plan, err->row the place. */
enum bt_status plan_panel_check(const struct bt_plan_figure_input *in,
                                struct bt_error *err);

/* Draw it from y on, no higher than `high`; returns the y below it. */
double plan_panel_draw(const struct bt_plan_figure_input *in, struct page *page,
                       double y, double high);

#endif
