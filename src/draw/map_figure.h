/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_MAP_FIGURE_H
#define BENCHTRUE_DRAW_MAP_FIGURE_H

#include "benchtrue/draw/levels.h"
#include "draw/contour.h"
#include "draw/peaks.h"
#include "draw/page.h"

/* Letters, mm: 12 points and more, so that a page 360 pixels wide can be read. */
#define LETTER 4.3
#define LETTER_TITLE 6.0

/* Everything that the map shows, worked out before anything is drawn. */
struct map_figure {
    const struct bt_figure_input *in;
    struct bt_rectangle panel; /* mm */
    struct bt_rectangle frame; /* the panel and every point */
    double scale;              /* page per panel */
    double left, top;          /* of the frame on the page, mm */
    struct mesh mesh;
    struct bt_levels levels;
    struct contours region[BT_LEVELS_MAX]; /* at or above the band's lower end */
    struct contours line[BT_LEVELS_MAX];   /* 1 to count - 1: between bands */
    size_t npeak;
    struct peak peak[PEAKS_MAX];
    double least; /* drop of a high spot, mm */
    size_t nseen;
    double low, high, u_low, u_high; /* mm; u NaN where not known */
    bool each;                       /* places are drawn one by one */
};

/* Where a place of the panel is on the page. */
static inline struct bt_point map_at(const struct map_figure *f, struct bt_point p)
{
    return (struct bt_point){f->left + f->scale * (p.x - f->frame.x0),
                             f->top + f->scale * (p.y - f->frame.y0)};
}

/* Work it out from the input; map_clear in any case.  Errors as for bt_figure_map. */
enum bt_status map_prepare(const struct bt_figure_input *in, struct map_figure *f,
                           struct bt_error *err);
void map_clear(struct map_figure *f);

/* Draw all of it; returns how high the page gets, mm. */
double map_draw(struct map_figure *f, struct page *page);

/* Its parts, in the order drawn. */
void map_draw_head(const struct map_figure *f, struct page *page, double *y);
void map_draw_surface(const struct map_figure *f, struct page *page);
void map_draw_marks(const struct map_figure *f, struct page *page);
void map_draw_contours(const struct map_figure *f, struct page *page);
void map_draw_spots(const struct map_figure *f, struct page *page);
void map_draw_border(const struct map_figure *f, struct page *page);
void map_draw_foot(const struct map_figure *f, struct page *page, double *y);

/* Marks, also as samples in the legend. */
void map_mark_reading(struct page *page, enum bt_reading_kind kind, struct bt_point at,
                      double angle);
void map_line_reading(struct page *page, enum bt_reading_kind kind, struct bt_point a,
                      struct bt_point b);
void map_mark_unseen(struct page *page, struct bt_point at);
void map_mark_contact(struct page *page, struct bt_point at, int side);
void map_line_joint(struct page *page, struct bt_point a, struct bt_point b);
void map_mark_spot(struct page *page, struct bt_point at, size_t number);

/* Keep the places of high spots and contacts clear of labels. */
void map_reserve(const struct map_figure *f, struct page *page);

#endif
