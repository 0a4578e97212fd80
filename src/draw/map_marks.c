/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "benchtrue/base/alloc.h"
#include "draw/map_figure.h"

static void black(cairo_t *cr, double width)
{
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, width);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
}

static void segment(cairo_t *cr, struct bt_point a, struct bt_point b)
{
    cairo_move_to(cr, a.x, a.y);
    cairo_line_to(cr, b.x, b.y);
}

static void disc(cairo_t *cr, struct bt_point at, double radius)
{
    cairo_new_sub_path(cr);
    cairo_arc(cr, at.x, at.y, radius, 0, 2 * acos(-1));
}

/* Straightedge: a stroke across its line; bar: a square; level: a ring; sticks: a
 * diamond; heights: a dot. */
void map_mark_reading(struct page *page, enum bt_reading_kind kind, struct bt_point at,
                      double angle)
{
    cairo_t *cr = page->cr;
    double c = cos(angle), s = sin(angle);

    black(cr, 0.25);
    switch (kind) {
    case BT_READ_GAP:
        segment(cr, (struct bt_point){at.x + 0.9 * s, at.y - 0.9 * c},
                (struct bt_point){at.x - 0.9 * s, at.y + 0.9 * c});
        cairo_stroke(cr);
        break;
    case BT_READ_BAR:
        cairo_rectangle(cr, at.x - 0.6, at.y - 0.6, 1.2, 1.2);
        cairo_fill(cr);
        break;
    case BT_READ_SLOPE:
        disc(cr, at, 0.8);
        cairo_stroke(cr);
        break;
    case BT_READ_WIND:
        segment(cr, (struct bt_point){at.x - 1.1, at.y},
                (struct bt_point){at.x, at.y - 1.1});
        cairo_line_to(cr, at.x + 1.1, at.y);
        cairo_line_to(cr, at.x, at.y + 1.1);
        cairo_close_path(cr);
        cairo_fill(cr);
        break;
    case BT_READ_HEIGHT:
    case BT_READ_SCAN:
    case BT_READ_KINDS:
        disc(cr, at, kind == BT_READ_SCAN ? 0.3 : 0.6);
        cairo_fill(cr);
        break;
    }
}

void map_line_reading(struct page *page, enum bt_reading_kind kind, struct bt_point a,
                      struct bt_point b)
{
    static const double dots[] = {0, 0.9}, dashes[] = {1.6, 0.9};
    cairo_t *cr = page->cr;

    black(cr, 0.3);
    switch (kind) {
    case BT_READ_GAP:
        cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
        cairo_set_dash(cr, dots, 2, 0);
        break;
    case BT_READ_WIND:
        cairo_set_line_width(cr, 0.7);
        cairo_set_dash(cr, dashes, 2, 0);
        break;
    case BT_READ_SLOPE:
        cairo_set_dash(cr, dashes, 2, 0);
        break;
    case BT_READ_BAR:
    case BT_READ_HEIGHT:
    case BT_READ_SCAN:
    case BT_READ_KINDS:
        cairo_set_line_width(cr, 0.2);
        break;
    }
    segment(cr, a, b);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

void map_mark_unseen(struct page *page, struct bt_point at)
{
    black(page->cr, 0.3);
    segment(page->cr, (struct bt_point){at.x - 0.9, at.y - 0.9},
            (struct bt_point){at.x + 0.9, at.y + 0.9});
    segment(page->cr, (struct bt_point){at.x - 0.9, at.y + 0.9},
            (struct bt_point){at.x + 0.9, at.y - 0.9});
    cairo_stroke(page->cr);
}

void map_mark_contact(struct page *page, struct bt_point at, int side)
{
    cairo_t *cr = page->cr;
    double up = side > 0 ? -1 : 1;

    black(cr, 0.35);
    segment(cr, (struct bt_point){at.x - 1.9, at.y - up * 1.2},
            (struct bt_point){at.x + 1.9, at.y - up * 1.2});
    cairo_line_to(cr, at.x, at.y + up * 2.1);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_fill_preserve(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_stroke(cr);
}

void map_line_joint(struct page *page, struct bt_point a, struct bt_point b)
{
    static const double dash[] = {5, 1.2, 1.2, 1.2};

    black(page->cr, 0.4);
    cairo_set_dash(page->cr, dash, 4, 0);
    cairo_set_source_rgba(page->cr, 0, 0, 0, 0.7);
    segment(page->cr, a, b);
    cairo_stroke(page->cr);
    cairo_set_dash(page->cr, NULL, 0, 0);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
}

#define SPOT 2.8 /* radius, mm */

void map_mark_spot(struct page *page, struct bt_point at, size_t number)
{
    const struct page_text how = {
        .size = LETTER, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};
    char text[24];

    snprintf(text, sizeof text, "%zu", number);
    disc(page->cr, at, SPOT + 0.4);
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    cairo_fill(page->cr);
    disc(page->cr, at, SPOT);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_fill(page->cr);
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    page_write(page, &how, at.x, at.y, text);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
}

/* Beside a contact of the zone, which stands on its own place: towards the middle. */
static void step_aside(const struct map_figure *f, struct bt_point *p)
{
    const struct bt_zone *zone = f->in->zone;
    double middle = f->left + f->scale * (f->frame.x1 - f->frame.x0) / 2;

    for (int i = 0; zone && i < zone->ncontact; i++) {
        struct bt_point c =
            map_at(f, f->in->flatness->used->point[zone->contact[i].point]);

        if (hypot(c.x - p->x, c.y - p->y) < SPOT + 2.2) {
            p->x = c.x + (c.x > middle ? -1 : 1) * (SPOT + 2.6);
            return;
        }
    }
}

/* The disc of a high spot stands inside the panel, at most its own radius away. */
static struct bt_point spot_at(const struct map_figure *f, size_t i)
{
    struct bt_point p = map_at(f, f->mesh.p[f->peak[i].corner]);
    struct bt_point high = map_at(f, (struct bt_point){f->frame.x1, f->frame.y1});

    step_aside(f, &p);
    p.x = fmin(fmax(p.x, f->left + SPOT + 0.6), fmax(high.x - SPOT - 0.6, f->left));
    p.y = fmin(fmax(p.y, f->top + SPOT + 0.6), fmax(high.y - SPOT - 0.6, f->top));
    return p;
}

static void reserve(struct page *page, struct bt_point at, double radius)
{
    page_occupy(
        page, &(struct box){at.x - radius, at.y - radius, at.x + radius, at.y + radius},
        "");
}

void map_reserve(const struct map_figure *f, struct page *page)
{
    const struct bt_zone *zone = f->in->zone;

    for (size_t i = 0; i < f->npeak; i++)
        reserve(page, spot_at(f, i), SPOT + 0.4);
    for (int i = 0; zone && i < zone->ncontact; i++)
        reserve(page, map_at(f, f->in->flatness->used->point[zone->contact[i].point]),
                2);
}

void map_draw_spots(const struct map_figure *f, struct page *page)
{
    const struct bt_zone *zone = f->in->zone;

    for (size_t i = f->npeak; i-- > 0;)
        map_mark_spot(page, spot_at(f, i), i + 1);
    for (int i = 0; zone && i < zone->ncontact; i++)
        map_mark_contact(
            page, map_at(f, f->in->flatness->used->point[zone->contact[i].point]),
            zone->contact[i].side);
}

static void draw_joints(const struct map_figure *f, struct page *page)
{
    const struct bt_job *job = f->in->job;

    for (size_t i = 0; i < job->njoint; i++) {
        double y = bt_job_panel_y(job, f->in->set, job->joint[i]);

        if (y >= f->panel.y0 && y <= f->panel.y1)
            map_line_joint(page, map_at(f, (struct bt_point){f->panel.x0, y}),
                           map_at(f, (struct bt_point){f->panel.x1, y}));
    }
}

/* The lines of readings that have them: along a straightedge from each place to the
 * next, bar and level from end to end, each of the two sticks. */
static void draw_lines(const struct map_figure *f, struct page *page, size_t last[])
{
    const struct bt_readings *r = f->in->flatness->used;

    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];
        struct bt_point at = map_at(f, r->point[o->point[0]]);

        if (o->kind == BT_READ_GAP && o->group >= 0) {
            size_t before = last[o->group];

            last[o->group] = o->point[0] + 1;
            if (before)
                map_line_reading(page, o->kind, map_at(f, r->point[before - 1]), at);
        } else if (o->npoint >= 2) {
            size_t end = o->kind == BT_READ_BAR ? 2 : 1;

            map_line_reading(page, o->kind, at, map_at(f, r->point[o->point[end]]));
        }
        if (o->kind == BT_READ_WIND)
            map_line_reading(page, o->kind, map_at(f, r->point[o->point[2]]),
                             map_at(f, r->point[o->point[3]]));
    }
}

/* Which way the line of a straightedge runs at one of its readings. */
static double angle_at(const struct map_figure *f, size_t i)
{
    const struct bt_readings *r = f->in->flatness->used;
    const struct bt_obs *o = &r->obs[i], *other = NULL;

    if (i > 0 && o[-1].group == o->group && o[-1].point[0] != o->point[0])
        other = o - 1;
    else if (i + 1 < r->nobs && o[1].group == o->group)
        other = o + 1;
    if (!other)
        return 0;
    return atan2(r->point[o->point[0]].y - r->point[other->point[0]].y,
                 r->point[o->point[0]].x - r->point[other->point[0]].x);
}

static void draw_places(const struct map_figure *f, struct page *page)
{
    const struct bt_readings *r = f->in->flatness->used;

    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];

        for (int k = 0; k < o->npoint; k++)
            map_mark_reading(page, o->kind, map_at(f, r->point[o->point[k]]),
                             o->kind == BT_READ_GAP ? angle_at(f, i) : 0);
    }
    for (size_t i = 0; i < r->npoint; i++)
        if (isnan(f->in->flatness->z[i]))
            map_mark_unseen(page, map_at(f, r->point[i]));
}

void map_draw_marks(const struct map_figure *f, struct page *page)
{
    size_t *last;

    draw_joints(f, page);
    if (!f->each)
        return;
    last = bt_alloc(f->in->flatness->used->ngroup, sizeof *last);
    if (!last) {
        page->failed = true;
        return;
    }
    draw_lines(f, page, last);
    draw_places(f, page);
    bt_free(last);
}
