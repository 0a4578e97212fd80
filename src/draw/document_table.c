/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/document_table.h"

#include <math.h>

#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
#define LETTER 3.0
#define AIR 2.4 /* beside a cell */

struct table {
    const struct bt_part *part;
    struct page *page;
    size_t ncolumn, nrow;
    double width[DOCUMENT_COLUMNS];
};

static const char *cell(const struct table *t, size_t row, size_t column)
{
    const size_t k = row * t->part->ncolumn + column;

    return k < t->part->ncell ? t->part->cell[k] : "";
}

static struct page_text letters(const struct table *t, size_t row, size_t column)
{
    return (struct page_text){.size = LETTER,
                              .weight = row ? PAGE_PLAIN : PAGE_BOLD,
                              .width = t->width[column]};
}

static double natural_width(const struct table *t, size_t column)
{
    double wide = 0;

    for (size_t r = 0; r < t->nrow; r++) {
        struct page_text how = letters(t, r, column);
        struct box size;

        how.width = 0;
        page_measure(t->page, &how, cell(t, r, column), &size);
        wide = fmax(wide, size.x1 + 0.3);
    }
    return wide;
}

static double sum_to(const struct table *t, double most)
{
    double sum = 0;

    for (size_t c = 0; c < t->ncolumn; c++)
        sum += fmin(t->width[c], most);
    return sum;
}

/* As wide as their longest text where there is room for all; else none wider than what
 * makes them fit. */
static void find_widths(struct table *t)
{
    const double room = FULL - AIR * (double)(t->ncolumn - 1);
    double low = 0, high = room;

    for (size_t c = 0; c < t->ncolumn; c++)
        t->width[c] = natural_width(t, c);
    if (sum_to(t, HUGE_VAL) <= room)
        return;
    for (int i = 0; i < 50; i++) {
        const double most = (low + high) / 2;

        *(sum_to(t, most) <= room ? &low : &high) = most;
    }
    for (size_t c = 0; c < t->ncolumn; c++)
        t->width[c] = fmin(t->width[c], low);
}

static double row_height(const struct table *t, size_t row)
{
    double high = 0;

    for (size_t c = 0; c < t->ncolumn; c++) {
        const struct page_text how = letters(t, row, c);
        struct box size;

        page_measure(t->page, &how, cell(t, row, c), &size);
        high = fmax(high, size.y1);
    }
    return high + 1.4;
}

static void rule(const struct table *t, double y, double weight)
{
    cairo_set_line_width(t->page->cr, weight);
    cairo_move_to(t->page->cr, PAGE_MARGIN, y);
    cairo_line_to(t->page->cr, PAGE_MARGIN + FULL, y);
    cairo_stroke(t->page->cr);
}

static double draw_row(const struct table *t, size_t row, double y)
{
    const double high = row_height(t, row);
    double x = PAGE_MARGIN;

    for (size_t c = 0; c < t->ncolumn; c++) {
        struct page_text how = letters(t, row, c);
        double at = x;

        if (t->part->numbers >> c & 1u) {
            how.anchor = PAGE_TOP_RIGHT;
            at = x + t->width[c];
        }
        page_write(t->page, &how, at, y + 0.7, cell(t, row, c));
        x += t->width[c] + AIR;
    }
    rule(t, y + high, row ? 0.1 : 0.35);
    return y + high;
}

double document_table(const struct bt_part *part, struct page *page, double y)
{
    struct table t = {.part = part, .page = page};

    t.ncolumn = part->ncolumn < DOCUMENT_COLUMNS ? part->ncolumn : DOCUMENT_COLUMNS;
    if (t.ncolumn == 0 || part->ncell == 0)
        return y;
    t.nrow = (part->ncell + part->ncolumn - 1) / part->ncolumn;
    find_widths(&t);
    for (size_t r = 0; r < t.nrow; r++) {
        const double high = row_height(&t, r);
        const double room =
            page_room(page, y, r == 0 && t.nrow > 1 ? high + row_height(&t, 1) : high);

        if (r > 0 && room < y)
            y = draw_row(&t, 0, room);
        else
            y = room;
        y = draw_row(&t, r, y);
    }
    return y;
}
