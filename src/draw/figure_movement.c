/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_movement.h"

#include <math.h>
#include <stdio.h>

#include "draw/page.h"
#include "draw/words.h"

#define LETTER 3.0
#define LETTER_TITLE 6.0
#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
#define SIDE 14.0 /* beside the panel */
#define PLAN_HIGH 110.0
#define LARGEST 14.0 /* of a slot on the page */
#define DOT_LEAST 0.7

static const double dash[] = {1.6, 1.0};
static const double dots[] = {0.4, 0.9};

/* Worked out before anything is drawn. */
struct movement_figure {
    const struct bt_movement_figure *in;
    double length, width; /* of the panel, mm */
    double scale;         /* page per mm */
    double times;         /* slots and ways, larger than the panel */
    double x0, y0;        /* of its back left corner on the page */
};

/* ---- working out ---- */

/* Over all of what is drawn of a fixing, mm. */
static double extent(const struct bt_movement_figure *in, size_t i)
{
    const struct bt_fixing *f = &in->job->fixing.fixing[i];
    double most = in->way[i].need;

    if (isfinite(in->way[i].travel))
        most = fmax(most, in->way[i].travel);
    return fmax(most + 2, isnan(f->slot) ? 0 : f->slot);
}

static enum bt_status prepare(const struct bt_movement_figure *in,
                              struct movement_figure *f, struct bt_error *err)
{
    double most = 8;

    *f = (struct movement_figure){.in = in, .length = in->length};
    if (in->seasons->n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no board: nothing to fix");
    if (!(f->length > 0) || isinf(f->length))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the length of the panel is not known: write length in "
                            "[panel] of job.ini");
    for (size_t i = 0; i < in->seasons->n; i++)
        f->width += in->seasons->board[i].width;
    for (size_t i = 0; i < in->job->fixing.n; i++)
        if (isfinite(extent(in, i)))
            most = fmax(most, extent(in, i));
    f->scale = fmin((FULL - 2 * SIDE) / f->length, PLAN_HIGH / f->width);
    f->times = fmax(1, floor(LARGEST / (most * f->scale)));
    f->x0 = PAGE_MARGIN + (FULL - f->scale * f->length) / 2;
    return BT_OK;
}

/* ---- drawing ---- */

static void line(struct page *page, double xa, double ya, double xb, double yb,
                 double wide)
{
    cairo_set_line_width(page->cr, wide);
    cairo_move_to(page->cr, xa, ya);
    cairo_line_to(page->cr, xb, yb);
    cairo_stroke(page->cr);
}

static void draw_head(const struct movement_figure *f, struct page *page, double *y)
{
    const struct bt_job *job = f->in->job;
    struct page_text how = {.size = LETTER_TITLE, .weight = PAGE_BOLD, .width = FULL};
    struct draw_words what = {0};

    page->running = job->title && *job->title ? job->title : "Panel";
    *y = page_write(page, &how, PAGE_MARGIN, *y, page->running);
    draw_add(&what, "Fixings, %s, ", job->date && *job->date ? job->date : "undated");
    draw_add_count(&what, job->fixing.n, "fixing", "fixings");
    how.size = 1.1 * LETTER;
    how.weight = PAGE_PLAIN;
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.6, what.text) + 0.6;
    what = (struct draw_words){0};
    draw_add(&what,
             "From above, left end on the left, back edge on top. Slots, screws, ways "
             "and the outlines beyond the edges are drawn %.0f times as large as the "
             "panel. Dot: the screw today; bar: how far it goes; thick dashes: the "
             "line that stays; dashed edge: dampest, dotted edge: driest.",
             f->times);
    *y = page_write(page, &how, PAGE_MARGIN, *y, what.text) + 3;
}

/* An edge as it goes with the season, larger than life. */
static void draw_edge(const struct movement_figure *f, struct page *page, double y,
                      const struct bt_season_change *c)
{
    const double x1 = f->x0 + f->scale * f->length, k = f->scale * f->times;

    cairo_set_dash(page->cr, dash, 2, 0);
    line(page, f->x0, y + k * c->damp, x1, y + k * c->damp, 0.25);
    cairo_set_dash(page->cr, dots, 2, 0);
    line(page, f->x0, y + k * c->dry, x1, y + k * c->dry, 0.35);
    cairo_set_dash(page->cr, NULL, 0, 0);
}

static void draw_panel(const struct movement_figure *f, struct page *page)
{
    const double x1 = f->x0 + f->scale * f->length;
    const double fixed = f->y0 + f->scale * f->in->seasons->fixed;
    double y = f->y0;

    cairo_rectangle(page->cr, f->x0, f->y0, f->scale * f->length, f->scale * f->width);
    page_wood(page);
    for (size_t i = 0; i + 1 < f->in->seasons->n; i++) {
        y += f->scale * f->in->seasons->board[i].width;
        line(page, f->x0, y, x1, y, 0.2);
    }
    draw_edge(f, page, f->y0, f->in->back);
    draw_edge(f, page, f->y0 + f->scale * f->width, f->in->front);
    cairo_set_dash(page->cr, dash, 2, 0);
    line(page, f->x0 - 5, fixed, x1 + 5, fixed, 0.7);
    cairo_set_dash(page->cr, NULL, 0, 0);
}

/* A slot about the place, its axis turned from across. */
static void draw_slot(struct page *page, double x, double y, double length, double wide,
                      double angle)
{
    const double straight = fmax(0, length - wide) / 2, r = wide / 2;

    cairo_save(page->cr);
    cairo_translate(page->cr, x, y);
    cairo_rotate(page->cr, -angle);
    cairo_new_sub_path(page->cr);
    cairo_arc(page->cr, 0, straight, r, 0, 3.14159265358979);
    cairo_arc(page->cr, 0, -straight, r, 3.14159265358979, 2 * 3.14159265358979);
    cairo_close_path(page->cr);
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    cairo_fill_preserve(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.3);
    cairo_stroke(page->cr);
    cairo_restore(page->cr);
}

/* The way with a stroke at both ends. */
static void draw_way(struct page *page, double x, double from, double to)
{
    line(page, x, from, x, to, 0.5);
    line(page, x - 0.8, from, x + 0.8, from, 0.3);
    line(page, x - 0.8, to, x + 0.8, to, 0.3);
}

/* Half of what a slot or a hole takes along the panel, mm. */
static double half_along(const struct bt_fixing *f, double wide)
{
    const double angle = isnan(f->direction) ? 0 : f->direction;

    if (isnan(f->slot))
        return wide / 2;
    return wide / 2 + fmax(0, f->slot - wide) / 2 * sin(angle);
}

static void draw_fixing(const struct movement_figure *f, struct page *page, size_t i)
{
    const struct bt_fixing *fixing = &f->in->job->fixing.fixing[i];
    const struct bt_fixing_way *way = &f->in->way[i];
    const double k = f->scale * f->times;
    const double x = f->x0 + f->scale * fixing->x, y = f->y0 + f->scale * fixing->y;
    const double screw = isnan(fixing->screw) ? 4 : fixing->screw;
    const double hole = isnan(fixing->hole) ? screw : fixing->hole, wide = k * hole;
    const double beside = fmax(k * half_along(fixing, hole), k * screw / 2);
    const double at = isfinite(way->at) ? way->at : 0;
    const double r = fmax(DOT_LEAST, k * screw / 2);
    struct page_text how = {
        .size = LETTER, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE_LEFT, .halo = true};
    char number[24];

    if (!isnan(fixing->slot))
        draw_slot(page, x, y, k * fixing->slot, wide,
                  isnan(fixing->direction) ? 0 : fixing->direction);
    else if (fixing->kind == BT_FIXING_ROUND_HOLE)
        draw_slot(page, x, y, wide, wide, 0);
    else if (isfinite(way->travel))
        draw_slot(page, x, y, k * (way->travel + screw), k * screw, 0);
    cairo_arc(page->cr, x, y + k * at, r, 0, 2 * 3.14159265358979);
    cairo_fill(page->cr);
    if (isfinite(way->need))
        draw_way(page, x + beside + 1.2, y + k * (at - way->to_back),
                 y + k * (at + way->to_front));
    snprintf(number, sizeof number, "%zu%s", i + 1, f->in->enough[i] ? "" : " !");
    page_write(page, &how, x + beside + 2.6, y, number);
}

/* ---- words ---- */

static void add_length(struct draw_words *text, double mm, double u,
                       enum bt_system system)
{
    char length[BT_PRINT_ROOM];

    draw_add(text, "%s", bt_print_length(length, mm, u, system, BT_LENGTH_RULE));
}

static void add_set(struct draw_words *text, const struct bt_fixing_way *way,
                    enum bt_system system)
{
    if (!(way->travel > BT_FIXING_YIELDS) || isinf(way->travel) || way->along)
        return;
    draw_add(text, "; set the screw ");
    if (fabs(way->at_best) < 0.05) {
        draw_add(text, "in the middle");
        return;
    }
    add_length(text, fabs(way->at_best), 0.3, system);
    draw_add(text, " to the %s of the middle", way->at_best > 0 ? "front" : "back");
}

static void write_fixing(const struct movement_figure *f, struct page *page, double *y,
                         size_t i)
{
    const struct bt_fixing *fixing = &f->in->job->fixing.fixing[i];
    const struct bt_fixing_way *way = &f->in->way[i];
    const enum bt_system system = f->in->job->system;
    struct page_text how = {.size = LETTER, .width = FULL};
    struct draw_words text = {0};
    struct box size;

    draw_add(&text, "%zu  %s%s%s, ", i + 1, bt_fixing_kind_name(fixing->kind),
             *fixing->name ? " " : "", fixing->name);
    add_length(&text, fixing->x, 0, system);
    draw_add(&text, " from the left, ");
    add_length(&text, fixing->y, 0, system);
    draw_add(&text, " from the back: needs ");
    add_length(&text, way->need, way->u_need, system);
    draw_add(&text, ", gives ");
    if (isinf(way->travel))
        draw_add(&text, "all of it");
    else if (isnan(way->travel))
        draw_add(&text, "what is not known");
    else
        add_length(&text, way->travel, 0, system);
    add_set(&text, way, system);
    if (way->along)
        draw_add(&text, "; WRONG WAY, along the grain");
    else if (way->off_line)
        draw_add(&text, "; a round hole off the line: make it a slot");
    page_measure(page, &how, text.text, &size);
    *y = page_room(page, *y, size.y1);
    *y = page_write(page, &how, PAGE_MARGIN, *y, text.text) + 0.8;
}

static double draw(const void *figure, struct page *page)
{
    struct movement_figure f = *(const struct movement_figure *)figure;
    const double k = f.scale * f.times;
    double y = PAGE_MARGIN;

    draw_head(&f, page, &y);
    f.y0 = y + 3 + k * fmax(0, -fmin(f.in->back->damp, f.in->back->dry));
    draw_panel(&f, page);
    for (size_t i = 0; i < f.in->job->fixing.n; i++)
        draw_fixing(&f, page, i);
    y = f.y0 + f.scale * f.width +
        k * fmax(0, fmax(f.in->front->damp, f.in->front->dry)) + 6;
    for (size_t i = 0; i < f.in->job->fixing.n; i++)
        write_fixing(&f, page, &y, i);
    return y + PAGE_MARGIN;
}

enum bt_status bt_figure_movement(const struct bt_movement_figure *input,
                                  enum bt_figure_format format,
                                  struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct bt_job *job = input->job;
    struct movement_figure f;
    const enum bt_status status = prepare(input, &f, err);

    if (status != BT_OK)
        return status;
    return page_make(draw, &f, format, job->title && *job->title ? job->title : "Panel",
                     job->date ? job->date : "", out, err);
}
