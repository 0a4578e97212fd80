/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_CLAMPS_FIGURE_H
#define BENCHTRUE_DRAW_CLAMPS_FIGURE_H

#include "benchtrue/draw/figure_clamps.h"
#include "draw/page.h"
#include "draw/words.h"

#define CLAMPS_LETTER 3.0
#define CLAMPS_FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)

/* Everything that the figure shows, worked out before anything is drawn. */
struct clamps_figure {
    const struct bt_clamps_figure *in;
    size_t nboard, njoint, nplace;
    size_t *order;         /* [nplace] indices of plan->place, from the left end */
    size_t *stage;         /* [njoint] in which it is glued */
    double *at, *label;    /* places on the page and of their labels: room for the
                              boards, the joints and the clamps, one after another */
    double width;          /* of the panel, mm */
    double scale;          /* page per mm */
    double left;           /* of the panel on the page */
    double x0, x1, y0, y1; /* of the panel on the page; y as clamps_draw comes to it */
};

/* Work it out; clamps_clear in any case.  Errors as for bt_figure_clamps. */
enum bt_status clamps_prepare(const struct bt_clamps_figure *in,
                              struct clamps_figure *f, struct bt_error *err);
void clamps_clear(struct clamps_figure *f);

/* Draw all of it (a page_draw). */
double clamps_draw(const void *figure, struct page *page);

/* Its parts, in the order drawn. */
void clamps_draw_head(const struct clamps_figure *f, struct page *page, double *y);
void clamps_draw_plan(struct clamps_figure *f, struct page *page, double *y);
void clamps_draw_words(const struct clamps_figure *f, struct page *page, double *y);

/* The clamp that is the k-th from the left end. */
const struct bt_clamp_place *clamps_place(const struct clamps_figure *f, size_t k);

/* Name of a kind. */
const char *clamps_kind(const struct clamps_figure *f, size_t kind);

#endif
