/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_TREND_H
#define BENCHTRUE_DRAW_FIGURE_TREND_H

#include "benchtrue/draw/figure.h"
#include "benchtrue/judge/trend.h"

/* One reading of a figure. */
struct bt_trend_mark {
    long day; /* bt_day_of_date */
    struct bt_measured
        value; /* mm, u of all that is known; passed over where not seen */
};

/* One figure over time. */
struct bt_trend_graph {
    const char *name; /* `cup`; written in front of its latest value */
    const char *above,
        *below;          /* what values over and under 0 are: `crowned`, `hollow` */
    const char *verdict; /* `moved`; "" none */
    double limit;        /* mm, > 0; NaN none */
    size_t n;
    const struct bt_trend_mark *mark; /* [n] ascending in day */
    const struct bt_trend_rest *rest; /* approach to rest; NULL: none to draw */
};

enum { BT_TREND_GRAPHS_MAX = 8 };

/* What the figure shows.  Nothing is owned; all of it must outlive the call. */
struct bt_trend_figure_input {
    const struct bt_job *job; /* title, system */
    const char *date;         /* of the PDF: the latest set's; "" none */
    const char *what;         /* a line under the title: which sets, which face */
    size_t ngraph;            /* 1 to BT_TREND_GRAPHS_MAX */
    const struct bt_trend_graph *graph;
    bool next_known;
    long next; /* day on which to look again */
};

/*
 * Each figure over time, one graph under another on one scale of days, each with a
 * scale of its own: readings with bars of 2 u, the fitted approach to rest with its
 * 95 % band (2 u) from the first reading to the day to look again or a third beyond the
 * latest, where it comes to rest; readings without a fit are joined by straight lines
 * with a band between their bars.  0, the limit of the side that the values lie on, the
 * latest value in words.  A limit that would spread the scale more than thrice is
 * named, not drawn.
 *
 * Bands are told apart by shape and by words, not by colour alone.  Format, size and
 * out as for bt_figure_map.
 *
 * Returns BT_OK; BT_EINPUT (no graph or too many; a value, u or limit that is not
 * finite, days that do not ascend: row is the graph; no reading seen at all, or all of
 * one day); BT_ENOMEM; BT_EWRITE.
 */
BT_API enum bt_status bt_figure_trend(const struct bt_trend_figure_input *input,
                                      enum bt_figure_format format,
                                      struct bt_figure_bytes *out,
                                      struct bt_error *err);

#endif
