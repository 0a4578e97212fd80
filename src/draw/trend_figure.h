/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_TREND_FIGURE_H
#define BENCHTRUE_DRAW_TREND_FIGURE_H

#include "benchtrue/draw/figure_trend.h"
#include "draw/page.h"

/* Of one graph. */
struct trend_scale {
    double low, high, step;       /* mm; step: of the lines with numbers */
    bool limit_over, limit_under; /* drawn on that side of 0 */
    double top, height;           /* on the page, mm */
};

/* Everything that the figure shows, worked out before anything is drawn. */
struct trend_figure {
    const struct bt_trend_figure_input *in;
    long first, last;  /* days of the readings */
    double day0, day1; /* of the left and the right side */
    long day_step;     /* days between dates written, from the first */
    bool fitted;       /* a graph has a fit */
    struct trend_scale scale[BT_TREND_GRAPHS_MAX];
};

enum bt_status trend_prepare(const struct bt_trend_figure_input *in,
                             struct trend_figure *f, struct bt_error *err);

/* Draw all of it; returns how high the page gets, mm. */
double trend_draw(const void *figure, struct page *page);

/* Dates that have room under a graph. */
double trend_date_most(void);

const char *trend_title(const struct bt_trend_figure_input *in);

#endif
