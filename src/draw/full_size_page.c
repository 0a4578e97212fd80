/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/full_size_page.h"

#include <math.h>
#include <stdio.h>

#include "draw/words.h"

#define LETTER 3.0
#define SMALL 2.5
#define LINE 0.2       /* of the outline */
#define CROSS 4.0      /* half of a registration mark */
#define FOOT_RULE 17.0 /* the rule above the paper's lower edge */

static const double dash[] = {2.0, 1.5};

struct bt_point full_size_at(const struct full_size *f, size_t row, size_t column,
                             struct bt_point p)
{
    return (struct bt_point){FULL_SIZE_LEFT + p.x - f->low.x -
                                 (double)column * (f->wide - FULL_SIZE_OVERLAP),
                             FULL_SIZE_TOP + p.y - f->low.y -
                                 (double)row * (f->deep - FULL_SIZE_OVERLAP)};
}

/* ---- the rule ---- */

void full_size_rule(cairo_t *cr, double x, double y)
{
    cairo_set_line_width(cr, 0.15);
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x + 4 * 25.4, y);
    for (int mm = 0; mm <= 100; mm++) {
        cairo_move_to(cr, x + mm, y);
        cairo_line_to(cr, x + mm, y - (mm % 10 == 0 ? 4 : mm % 5 == 0 ? 2.8 : 1.8));
    }
    for (int eighth = 0; eighth <= 32; eighth++) {
        cairo_move_to(cr, x + eighth * 25.4 / 8, y);
        cairo_line_to(cr, x + eighth * 25.4 / 8,
                      y + (eighth % 8 == 0   ? 4
                           : eighth % 4 == 0 ? 2.8
                                             : 1.8));
    }
    cairo_stroke(cr);
}

void full_size_foot(const struct full_size *f, struct page *page)
{
    static const char *const above[] = {"0", "50", "100 mm"};
    static const char *const below[] = {"0", "2", "4 in"};
    const double x = FULL_SIZE_LEFT, y = f->paper.height - FOOT_RULE;
    struct page_text how = {.size = SMALL, .anchor = PAGE_TOP_MIDDLE};

    full_size_rule(page->cr, x, y);
    for (int k = 0; k < 3; k++) {
        how.anchor = k == 0 ? PAGE_TOP_LEFT : PAGE_TOP_MIDDLE;
        page_write(page, &how, x + 50.0 * k, y - 7.6, above[k]);
        page_write(page, &how, x + 50.8 * k, y + 4.2, below[k]);
    }
    if (f->in->doubtful) {
        how = (struct page_text){.size = SMALL, .weight = PAGE_BOLD};
        page_write(page, &how, x + 118, y + 4.2,
                   "The readings do not agree: do not cut to it yet.");
    }
    how = (struct page_text){.size = SMALL, .width = f->paper.width - 2 * x - 118};
    how.width = fmin(how.width, 120);
    page_write(page, &how, x + 118, y - 6.5,
               "Print at 100 %, no fit to page. Before use measure this rule: 100 mm "
               "and 4 in. If it is off, do not cut to this sheet. Paper swells with "
               "damp: where it counts, trust the numbers.");
}

/* ---- the outline ---- */

void full_size_outline(const struct full_size *f, cairo_t *cr, size_t row,
                       size_t column)
{
    const struct bt_outline *o = &f->in->piece->outline;

    for (size_t i = 0; i < o->n; i++) {
        const struct bt_point q = full_size_at(f, row, column, o->p[i]);

        if (i == 0)
            cairo_move_to(cr, q.x, q.y);
        else
            cairo_line_to(cr, q.x, q.y);
    }
    cairo_close_path(cr);
}

static bool in_window(const struct full_size *f, struct bt_point q, double rim)
{
    return q.x >= FULL_SIZE_LEFT + rim && q.x <= FULL_SIZE_LEFT + f->wide - rim &&
           q.y >= FULL_SIZE_TOP + rim && q.y <= FULL_SIZE_TOP + f->deep - rim;
}

/* ---- registration marks ---- */

static void cross(const struct full_size *f, struct page *page, size_t row,
                  size_t column, struct bt_point p)
{
    const struct bt_point q = full_size_at(f, row, column, p);
    const struct box box = {q.x - CROSS, q.y - CROSS, q.x + CROSS, q.y + CROSS};

    if (!in_window(f, q, CROSS))
        return;
    cairo_set_line_width(page->cr, 0.15);
    cairo_move_to(page->cr, q.x - CROSS, q.y);
    cairo_line_to(page->cr, q.x + CROSS, q.y);
    cairo_move_to(page->cr, q.x, q.y - CROSS);
    cairo_line_to(page->cr, q.x, q.y + CROSS);
    cairo_new_sub_path(page->cr);
    cairo_arc(page->cr, q.x, q.y, CROSS / 2, 0, 2 * acos(-1));
    cairo_stroke(page->cr);
    page_occupy(page, &box, "");
}

/* In the middle of the overlaps, at a quarter and three quarters of each sheet. */
static void draw_crosses(const struct full_size *f, struct page *page, size_t row,
                         size_t column)
{
    const double along = f->wide - FULL_SIZE_OVERLAP;
    const double down = f->deep - FULL_SIZE_OVERLAP;
    const double half = FULL_SIZE_OVERLAP / 2;

    for (size_t r = 0; r < f->rows; r++)
        for (size_t c = 0; c + 1 < f->columns; c++)
            for (int k = 0; k < 2; k++)
                cross(f, page, row, column,
                      (struct bt_point){f->low.x + (double)(c + 1) * along + half,
                                        f->low.y + (double)r * down +
                                            (k ? 0.75 : 0.25) * f->deep});
    for (size_t r = 0; r + 1 < f->rows; r++)
        for (size_t c = 0; c < f->columns; c++)
            for (int k = 0; k < 2; k++)
                cross(f, page, row, column,
                      (struct bt_point){f->low.x + (double)c * along +
                                            (k ? 0.75 : 0.25) * f->wide,
                                        f->low.y + (double)(r + 1) * down + half});
}

/* ---- words on it ---- */

/* The part of a line that the window shows, as shares of it; false: none. */
static bool shown(const struct full_size *f, struct bt_point a, struct bt_point b,
                  double *from, double *to)
{
    const double at[] = {a.x, a.y}, d[] = {b.x - a.x, b.y - a.y};
    const double low[] = {FULL_SIZE_LEFT, FULL_SIZE_TOP}, size[] = {f->wide, f->deep};

    *from = 0;
    *to = 1;
    for (int k = 0; k < 2; k++) {
        const double s = (low[k] - at[k]) / d[k], e = (low[k] + size[k] - at[k]) / d[k];

        if (d[k] == 0 && !(at[k] >= low[k] && at[k] <= low[k] + size[k]))
            return false;
        if (d[k] == 0)
            continue;
        *from = fmax(*from, fmin(s, e));
        *to = fmin(*to, fmax(s, e));
    }
    return *from < *to;
}

/* Along the edge, within the piece, where the sheet shows enough of it. */
static void name_edge(const struct full_size *f, struct page *page, size_t row,
                      size_t column, int k)
{
    static const enum bt_wall wall[] = {BT_WALL_BACK, BT_WALL_RIGHT, BT_WALL_FRONT,
                                        BT_WALL_LEFT};
    static const char *const name[] = {"back edge, the reference", "right end",
                                       "front edge", "left end"};
    static const double share[] = {0.5, 0.35, 0.65, 0.2, 0.8};
    static const double inward[] = {0, -1, 0, 1}, forward[] = {1, 0, -1, 0};
    const struct bt_outline *o = &f->in->piece->outline;
    const struct bt_point a = full_size_at(f, row, column, o->p[o->corner[k]]);
    const struct bt_point b =
        full_size_at(f, row, column, o->p[o->corner[(k + 1) % 4]]);
    struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE};
    struct draw_words text = {0};
    double from, to;
    struct box size;

    if (!shown(f, a, b, &from, &to))
        return;
    draw_add(&text, "%s%s", name[k],
             f->in->piece->gap[wall[k]].scribed ? ", scribed to the wall" : "");
    how.angle = page_reading_angle(b.x - a.x, b.y - a.y);
    page_measure(page, &how, text.text, &size);
    for (size_t i = 0; i < sizeof share / sizeof *share; i++) {
        const double s = from + share[i] * (to - from);
        const double x = a.x + s * (b.x - a.x) + 6 * inward[k];
        const double y = a.y + s * (b.y - a.y) + 6 * forward[k];
        const struct box box = page_bounds(&how, x, y, size.x1, size.y1);

        if (page_occupied(page, &box) ||
            !in_window(f, (struct bt_point){box.x0, box.y0}, 2) ||
            !in_window(f, (struct bt_point){box.x1, box.y1}, 2))
            continue;
        page_write(page, &how, x, y, text.text);
        return;
    }
}

static void name_corner(const struct full_size *f, struct page *page, size_t row,
                        size_t column, int k)
{
    static const char *const corner[] = {"A", "B", "C", "D"};
    const struct bt_outline *o = &f->in->piece->outline;
    const struct bt_point c = full_size_at(f, row, column, o->p[o->corner[k]]);
    const struct bt_point q = {c.x + (k == 0 || k == 3 ? 7 : -7),
                               c.y + (k < 2 ? 7 : -7)};
    const struct page_text how = {
        .size = 6, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};

    if (in_window(f, q, 4))
        page_write(page, &how, q.x, q.y, corner[k]);
}

/* ---- a sheet ---- */

static void write_head(const struct full_size *f, struct page *page, size_t row,
                       size_t column)
{
    const char *title = f->in->job->title;
    const double right = f->paper.width - FULL_SIZE_LEFT;
    struct page_text how = {.size = LETTER, .weight = PAGE_BOLD};
    struct draw_words where = {0};
    char text[PAGE_TEXT_ROOM];
    struct box size;

    if (f->in->one)
        draw_add(&where, "outline at full size, from above");
    else
        draw_add(&where, "row %zu of %zu, column %zu of %zu", row + 1, f->rows,
                 column + 1, f->columns);
    how.anchor = PAGE_TOP_RIGHT;
    page_measure(page, &how, where.text, &size);
    page_write(page, &how, right, 11, where.text);
    how.anchor = PAGE_TOP_LEFT;
    page_fit(page, &how, title && *title ? title : "Outline",
             right - FULL_SIZE_LEFT - size.x1 - 6, text);
    page_write(page, &how, FULL_SIZE_LEFT, 11, text);
}

static void draw_window(const struct full_size *f, struct page *page)
{
    cairo_set_source_rgb(page->cr, 0.5, 0.5, 0.5);
    cairo_set_line_width(page->cr, 0.15);
    cairo_set_dash(page->cr, dash, 2, 0);
    cairo_rectangle(page->cr, FULL_SIZE_LEFT, FULL_SIZE_TOP, f->wide, f->deep);
    cairo_stroke(page->cr);
    cairo_set_dash(page->cr, NULL, 0, 0);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
}

void full_size_sheet(const struct full_size *f, struct page *page, size_t row,
                     size_t column)
{
    write_head(f, page, row, column);
    if (!f->in->one)
        draw_window(f, page);
    cairo_save(page->cr);
    cairo_rectangle(page->cr, FULL_SIZE_LEFT, FULL_SIZE_TOP, f->wide, f->deep);
    cairo_clip(page->cr);
    full_size_outline(f, page->cr, row, column);
    cairo_set_line_join(page->cr, CAIRO_LINE_JOIN_MITER);
    cairo_set_line_width(page->cr, LINE);
    cairo_stroke(page->cr);
    cairo_restore(page->cr);
    draw_crosses(f, page, row, column);
    for (int k = 0; k < 4; k++)
        name_corner(f, page, row, column, k);
    for (int k = 0; k < 4; k++)
        name_edge(f, page, row, column, k);
    full_size_foot(f, page);
}
