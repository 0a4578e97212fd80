/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All boards together: their show faces from above, and the section. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "draw/edges_figure.h"
#include "draw/words.h"

/* Bands of the show faces: grain, triangle, numbers. */
#define BAND_GRAIN 8.0
#define BAND_TRIANGLE 9.0
#define FACES_HIGH (BAND_GRAIN + BAND_TRIANGLE + 4.6)

static double panel_left(const struct edges_figure *f)
{
    double width = 0;

    for (size_t i = 0; i < f->n; i++)
        width += f->shape[i].width;
    return (PAGE_WIDTH - f->panel_scale * width) / 2;
}

/* Where the number of a board fits its width, it is written. */
static void write_number(const struct edges_figure *f, struct page *page, size_t board,
                         double x, double y, double room)
{
    struct page_text how = {.size = f->letter, .anchor = PAGE_MIDDLE, .halo = true};
    struct box size;
    char text[24];

    snprintf(text, sizeof text, "%zu", board + 1);
    page_measure(page, &how, text, &size);
    if (size.x1 + 0.8 <= room)
        page_write(page, &how, x, y, text);
}

/* The grain as it runs out of the back edge: an arrow whose head is there. */
static void draw_grain(struct page *page, double x, double y, double room, bool left)
{
    double high = 6, slant = fmin(1.6, 0.35 * room), to = left ? 1 : -1;
    struct bt_point tip = {x - slant / 2, y + to * high / 2};
    struct bt_point tail = {x + slant / 2, y - to * high / 2};
    double dx = (tip.x - tail.x) / hypot(slant, high);
    double dy = (tip.y - tail.y) / hypot(slant, high);

    cairo_set_line_width(page->cr, 0.35);
    cairo_move_to(page->cr, tail.x, tail.y);
    cairo_line_to(page->cr, tip.x - dx, tip.y - dy);
    cairo_stroke(page->cr);
    cairo_move_to(page->cr, tip.x, tip.y);
    cairo_line_to(page->cr, tip.x - 1.8 * dx + 0.6 * dy, tip.y - 1.8 * dy - 0.6 * dx);
    cairo_line_to(page->cr, tip.x - 1.8 * dx - 0.6 * dy, tip.y - 1.8 * dy + 0.6 * dx);
    cairo_close_path(page->cr);
    cairo_fill(page->cr);
}

static void draw_triangle(struct page *page, double x0, double x1, double y)
{
    double inset = 0.03 * (x1 - x0), base = y + BAND_GRAIN + BAND_TRIANGLE;

    cairo_set_line_width(page->cr, 0.6);
    cairo_move_to(page->cr, x0 + inset, base);
    cairo_line_to(page->cr, x1 - inset, base);
    cairo_line_to(page->cr, (x0 + x1) / 2, y + BAND_GRAIN);
    cairo_close_path(page->cr);
    cairo_stroke(page->cr);
}

static void write_ends(const struct edges_figure *f, struct page *page, double x0,
                       double x1, double *y)
{
    struct page_text how = {.size = f->letter};

    page_write(page, &how, x0, *y, "back edge");
    how.anchor = PAGE_TOP_RIGHT;
    page_write(page, &how, x1, *y, "front edge");
    how.anchor = PAGE_TOP_MIDDLE;
    *y = page_write(page, &how, (x0 + x1) / 2, *y, "right end") + 0.5;
}

void edges_draw_faces(const struct edges_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = f->letter, .anchor = PAGE_TOP_MIDDLE};
    double x = panel_left(f), x0 = x, x1 = PAGE_WIDTH - x;

    write_ends(f, page, x0, x1, y);
    for (size_t i = 0; i < f->n; i++) {
        double wide = f->panel_scale * f->shape[i].width;

        cairo_rectangle(page->cr, x, *y, wide, FACES_HIGH);
        page_wood(page);
        x += wide;
    }
    draw_triangle(page, x0, x1, *y);
    x = x0;
    for (size_t i = 0; i < f->n; i++) {
        double wide = f->panel_scale * f->shape[i].width;
        enum bt_grain grain = edges_grain(f, i);

        write_number(f, page, i, x + wide / 2, *y + FACES_HIGH - 2.2, wide);
        if (grain != BT_GRAIN_UNKNOWN)
            draw_grain(page, x + wide / 2, *y + BAND_GRAIN / 2, wide,
                       grain == BT_GRAIN_LEFT);
        x += wide;
    }
    *y += FACES_HIGH + 0.5;
    *y = page_write(page, &how, PAGE_WIDTH / 2, *y,
                    "left end, from which the boards are seen below") +
         2;
}

static void add_cup(struct draw_words *text, const struct edges_figure *f)
{
    const struct bt_measured *cup = &f->in->section->cup;
    enum bt_system system = f->in->job->system;
    char value[BT_PRINT_ROOM], u[BT_PRINT_ROOM];

    if (!cup->seen || !isfinite(cup->value)) {
        draw_add(text, "cup not seen");
        return;
    }
    draw_add(text, "cup %s",
             bt_print_length(value, cup->value, cup->u, system, BT_LENGTH_FEELER));
    if (strpbrk(value, "123456789"))
        draw_add(text, cup->value > 0 ? " crowned" : " hollow");
    if (isfinite(cup->u))
        draw_add(text, ", u %s %s", bt_print_u_bare(u, cup->u, system),
                 bt_length_unit_name(system, BT_LENGTH_FEELER));
}

/* Height of the show face over the middle of the panel, in mm, y down. */
static double middle_of(const struct edges_figure *f)
{
    double half = f->together[f->n * END_CORNERS - END_CORNERS + END_SHOW_FRONT].x / 2;

    for (size_t i = 0; i < f->n; i++) {
        const struct bt_point *p = f->together + i * END_CORNERS;
        struct bt_point a = p[END_SHOW_BACK], b = p[END_SHOW_FRONT];

        if (b.x >= half)
            return a.y + (b.y - a.y) * (half - a.x) / (b.x - a.x);
    }
    return 0;
}

static void draw_arrow(struct page *page, double x, double from, double to)
{
    double head = fmin(1.6, fabs(to - from)), way = to > from ? 1 : -1;

    cairo_set_line_width(page->cr, 0.35);
    cairo_move_to(page->cr, x, from);
    cairo_line_to(page->cr, x, to);
    cairo_stroke(page->cr);
    cairo_move_to(page->cr, x, to);
    cairo_line_to(page->cr, x - 0.4 * head, to - way * head);
    cairo_line_to(page->cr, x + 0.4 * head, to - way * head);
    cairo_close_path(page->cr);
    cairo_fill(page->cr);
}

/* The straight line through the outer ends, and how far the middle is off it. */
static void draw_cup(const struct edges_figure *f, struct page *page, double x0,
                     double level)
{
    static const double dash[] = {1.4, 0.8};
    double to = level + f->panel_scale * middle_of(f);

    if (!f->bent)
        return;
    cairo_set_line_width(page->cr, 0.3);
    cairo_set_dash(page->cr, dash, 2, 0);
    cairo_move_to(page->cr, x0, level);
    cairo_line_to(page->cr, PAGE_WIDTH - x0, level);
    cairo_stroke(page->cr);
    cairo_set_dash(page->cr, NULL, 0, 0);
    if (fabs(to - level) > 0.3)
        draw_arrow(page, PAGE_WIDTH / 2, level, to);
}

static void write_heading(const struct edges_figure *f, struct page *page, double *y)
{
    struct page_text how = {
        .size = f->letter, .weight = PAGE_BOLD, .width = EDGES_FULL};
    struct draw_words text = {0}, cup = {0};

    draw_add(&text, "The panel as it comes out of the clamps");
    if (f->bend > 1)
        draw_add(&text, ", all angles drawn %d times as large", f->bend);
    else
        draw_add(&text, ", angles drawn as they are");
    *y = page_write(page, &how, PAGE_MARGIN, *y, text.text) + 0.6;
    how = (struct page_text){.size = f->letter, .anchor = PAGE_TOP_MIDDLE};
    add_cup(&cup, f);
    *y = page_write(page, &how, PAGE_WIDTH / 2, *y, cup.text) + 0.8;
}

void edges_draw_section(const struct edges_figure *f, struct page *page, double *y)
{
    double over = f->panel_scale * f->over, under = f->panel_scale * f->under;
    double wide = f->together[f->n * END_CORNERS - END_CORNERS + END_SHOW_FRONT].x;
    double x0 = (PAGE_WIDTH - f->panel_scale * wide) / 2, level;

    *y = page_room(page, *y, over + under + 6 * f->letter);
    write_heading(f, page, y);
    level = *y + over;
    for (size_t i = 0; i < f->n; i++) {
        edges_trace(page, f->together + i * END_CORNERS, x0, level, f->panel_scale);
        page_wood(page);
    }
    draw_cup(f, page, x0, level);
    *y = level + under + 0.7 * f->letter;
    for (size_t i = 0; i < f->n; i++) {
        const struct bt_point *p = f->together + i * END_CORNERS;
        double a = p[END_SHOW_BACK].x, b = p[END_SHOW_FRONT].x;

        write_number(f, page, i, x0 + f->panel_scale * (a + b) / 2, *y,
                     f->panel_scale * (b - a));
    }
    *y += f->letter + 1.5;
}
