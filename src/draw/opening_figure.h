/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_OPENING_FIGURE_H
#define BENCHTRUE_DRAW_OPENING_FIGURE_H

#include "benchtrue/draw/figure_opening.h"
#include "draw/page.h"
#include "draw/words.h"

/* One picture of it on the page. */
struct opening_figure {
    const struct bt_opening_figure *in;
    double scale;              /* page per mm */
    double times;              /* hollows of walls, larger than the opening */
    struct bt_point low, high; /* of all that is drawn, mm, frame of the opening */
    double x0, y0;             /* of `low` on the page */
};

#define OPENING_FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
#define OPENING_LETTER 2.9

/* `figure` of page_make is a struct opening_figure that opening_prepare filled. */
double opening_draw(const void *figure, struct page *page);
enum bt_status opening_prepare(const struct bt_opening_figure *in,
                               struct opening_figure *f, struct bt_error *err);

/* The words below the pictures; returns the y below them. */
double opening_words(const struct bt_opening_figure *in, struct page *page, double y);

/* `17 3/8 in`, as from a tape. */
void opening_add_tape(struct draw_words *words, double mm, double u,
                      enum bt_system system);

/* A place or length that is computed, to be marked with a rule. */
void opening_add_rule(struct draw_words *words, double mm, enum bt_system system);

#endif
