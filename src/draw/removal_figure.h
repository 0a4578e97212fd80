/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_REMOVAL_FIGURE_H
#define BENCHTRUE_DRAW_REMOVAL_FIGURE_H

#include "benchtrue/draw/figure_removal.h"
#include "benchtrue/draw/levels.h"
#include "draw/contour.h"
#include "draw/page.h"

#define REMOVAL_FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)

/* Letters, mm. */
#define REMOVAL_LETTER 3.6
#define REMOVAL_TITLE 6.0
#define REMOVAL_SMALL 2.8

enum { REMOVAL_SPOTS = 9 };

/* What the removal map shows, worked out before anything is drawn. */
struct removal_figure {
    const struct bt_removal_figure *in;
    const struct bt_rectangle *panel; /* mm */
    double scale, left, top;          /* page per mm; of the panel on the page, mm */
    struct mesh mesh;
    struct bt_levels levels;
    struct contours region[BT_LEVELS_MAX]; /* at or above the band's lower end; the
                                              first: where anything comes off */
    double largest;
    size_t ncut;  /* cells with something to take off */
    size_t nspot; /* that are shown */
};

enum bt_status removal_prepare(const struct bt_removal_figure *in,
                               struct removal_figure *f, struct bt_error *err);
void removal_clear(struct removal_figure *f);

/* Draw all of it; returns how high the page gets, mm. */
double removal_draw(const void *figure, struct page *page);

/* Its words, from y down; each returns the y after it. */
double removal_draw_head(const struct removal_figure *f, struct page *page, double y);
double removal_draw_key(const struct removal_figure *f, struct page *page, double y);
double removal_draw_spots(const struct removal_figure *f, struct page *page, double y);
double removal_draw_table(const struct removal_figure *f, struct page *page, double y);
double removal_draw_caption(const struct removal_figure *f, struct page *page,
                            double y);

/* A depth as it is written on the map: with the digits of its u, bare. */
const char *removal_depth(const struct removal_figure *f, double depth,
                          char out[BT_PRINT_ROOM]);

/* Whether that depth is more than nothing, as printed. */
bool removal_counts(const struct removal_figure *f, double depth);

/* The disc that a spot has on the map and in the list. */
void removal_mark_spot(struct page *page, struct bt_point at, size_t number);

#endif
