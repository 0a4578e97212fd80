/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FULL_SIZE_PAGE_H
#define BENCHTRUE_DRAW_FULL_SIZE_PAGE_H

#include "benchtrue/draw/full_size.h"
#include "draw/page.h"

/* Of the window through which a sheet shows the outline: its corner on the page, mm. */
#define FULL_SIZE_LEFT 10.0
#define FULL_SIZE_TOP 19.0
#define FULL_SIZE_OVERLAP 10.0

struct full_size {
    const struct bt_full_size *in;
    struct page_size paper;    /* as it lies */
    struct bt_point low, high; /* of the outline and a rim around it, mm */
    double wide, deep;         /* of the window */
    size_t rows, columns;
};

enum bt_status full_size_prepare(const struct bt_full_size *in, struct full_size *f,
                                 struct bt_error *err);

/* Where a place of the piece lies on a sheet, mm from the paper's top left. */
struct bt_point full_size_at(const struct full_size *f, size_t row, size_t column,
                             struct bt_point p);

/* A sheet; the page's origin is the paper's top left. */
void full_size_sheet(const struct full_size *f, struct page *page, size_t row,
                     size_t column);

/* The path of the outline alone, and the rule whose 0 is at x, y. */
void full_size_outline(const struct full_size *f, cairo_t *cr, size_t row,
                       size_t column);
void full_size_rule(cairo_t *cr, double x, double y);

/* The foot of each page: the rule and its words. */
void full_size_foot(const struct full_size *f, struct page *page);
void full_size_overview(const struct full_size *f, struct page *page);

#endif
