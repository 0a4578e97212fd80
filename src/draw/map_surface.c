/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "draw/map_figure.h"
#include "draw/palette.h"
#include "draw/words.h"

/* Steps on paper that no eye sees are left out, mm. */
#define FINEST 0.06

static void trace(const struct map_figure *f, cairo_t *cr, const struct contours *c,
                  const struct contour_path *path)
{
    struct bt_point last = {0, 0};

    for (size_t i = 0; i < path->count; i++) {
        struct bt_point p = map_at(f, c->point[path->start + i]);

        if (i == 0)
            cairo_move_to(cr, p.x, p.y);
        else if (i + 1 < path->count && hypot(p.x - last.x, p.y - last.y) < FINEST)
            continue;
        else
            cairo_line_to(cr, p.x, p.y);
        last = p;
    }
    if (path->closed)
        cairo_close_path(cr);
}

void map_draw_surface(const struct map_figure *f, struct page *page)
{
    const int count = f->levels.count;

    /* From the lowest up, each over the one before: no seams between the bands. */
    for (int i = 0; i < count; i++) {
        const struct contours *c = &f->region[i];
        double rgb[3];

        palette_colour(count > 1 ? (double)i / (count - 1) : 0.5, rgb);
        for (size_t k = 0; k < c->npath; k++)
            trace(f, page->cr, c, &c->path[k]);
        cairo_set_source_rgb(page->cr, rgb[0], rgb[1], rgb[2]);
        cairo_fill(page->cr);
    }
    cairo_set_source_rgb(page->cr, 0, 0, 0);
}

/* A stretch of a contour on the page: points from to to, included. */
struct stretch {
    const struct map_figure *f;
    struct bt_point *p;
    size_t from, to;
};

static struct bt_point point(const struct stretch *s, size_t i)
{
    return s->p[i];
}

static double apart(struct bt_point a, struct bt_point b)
{
    return hypot(b.x - a.x, b.y - a.y);
}

static void draw(const struct stretch *s, cairo_t *cr, size_t from, size_t to)
{
    cairo_move_to(cr, s->p[from].x, s->p[from].y);
    for (size_t i = from + 1; i <= to; i++)
        cairo_line_to(cr, s->p[i].x, s->p[i].y);
    cairo_stroke(cr);
}

/* How far the stretch strays from the straight line between two of its points. */
static double stray(const struct stretch *s, size_t from, size_t to)
{
    struct bt_point a = point(s, from), b = point(s, to);
    double length = apart(a, b), most = 0;

    for (size_t i = from + 1; i < to; i++) {
        struct bt_point p = point(s, i);
        double d = ((p.x - a.x) * (b.y - a.y) - (p.y - a.y) * (b.x - a.x)) / length;

        most = fmax(most, fabs(d));
    }
    return most;
}

struct label {
    struct page_text how;
    const char *text;
    double wide, high;
};

static bool inside(const struct map_figure *f, const struct box *b)
{
    struct bt_point low = map_at(f, (struct bt_point){f->frame.x0, f->frame.y0});
    struct bt_point high = map_at(f, (struct bt_point){f->frame.x1, f->frame.y1});

    return b->x0 >= low.x + 0.5 && b->y0 >= low.y + 0.5 && b->x1 <= high.x - 0.5 &&
           b->y1 <= high.y - 0.5;
}

/* Whether the label can stand between two points: where and how steep. */
static bool fits(const struct stretch *s, const struct page *page, struct label *l,
                 size_t from, size_t to, struct bt_point *at)
{
    struct bt_point a = point(s, from), b = point(s, to);
    struct box box;

    if (apart(a, b) < 0.93 * (l->wide + 1) || stray(s, from, to) > 0.25 * l->high)
        return false;
    *at = (struct bt_point){(a.x + b.x) / 2, (a.y + b.y) / 2};
    l->how.angle = page_reading_angle(b.x - a.x, b.y - a.y);
    box = page_bounds(&l->how, at->x, at->y, l->wide + 1, l->high);
    return inside(s->f, &box) && !page_occupied(page, &box);
}

/* Look for a place from the middle outwards, label it and draw the rest; without a
 * place draw all. */
static void draw_labelled(const struct stretch *s, struct page *page, struct label *l,
                          double length)
{
    size_t best_from = 0, best_to = 0, to = s->from;
    double run = 0, back = 0, best = HUGE_VAL;
    struct bt_point best_at = {0, 0}, at;

    for (size_t from = s->from; from < s->to; from++) {
        double off;

        while (to < s->to && run - back < l->wide + 1) {
            run += apart(point(s, to), point(s, to + 1));
            to++;
        }
        if (run - back < l->wide + 1)
            break;
        off = fabs((run + back) / 2 - length / 2);
        if (off < best && fits(s, page, l, from, to, &at)) {
            best = off;
            best_from = from;
            best_to = to;
            best_at = at;
        }
        back += apart(point(s, from), point(s, from + 1));
    }
    if (best == HUGE_VAL) {
        draw(s, page->cr, s->from, s->to);
        return;
    }
    fits(s, page, l, best_from, best_to, &at);
    draw(s, page->cr, s->from, best_from);
    draw(s, page->cr, best_to, s->to);
    page_write(page, &l->how, best_at.x, best_at.y, l->text);
}

/* One label for every so many mm of line; lines shorter than the least have none. */
#define LABEL_EVERY 170.0
#define LABEL_LEAST 22.0

/* A closed line shorter than this is noise that ink would only magnify. */
#define LINE_LEAST 4.0

static double length_of(const struct stretch *s)
{
    double length = 0;

    for (size_t i = s->from; i < s->to; i++)
        length += apart(point(s, i), point(s, i + 1));
    return length;
}

static void draw_path(struct stretch s, bool closed, struct page *page, struct label *l)
{
    double length = length_of(&s);
    size_t parts = 1 + (size_t)(length / LABEL_EVERY), end = s.to, from = s.from;

    if (length < LINE_LEAST && closed)
        return;
    if (length < LABEL_LEAST) {
        draw(&s, page->cr, s.from, s.to);
        return;
    }
    for (size_t k = 0; k < parts && from < end; k++) {
        double part = 0;

        s.from = s.to = from;
        while (s.to < end && (part < length / (double)parts || k + 1 == parts)) {
            part += apart(point(&s, s.to), point(&s, s.to + 1));
            s.to++;
        }
        draw_labelled(&s, page, l, part);
        from = s.to;
    }
}

/* Points no closer than the eye sees and no farther apart than a gap for a label may be
 * wrong by. */
struct points {
    struct bt_point *p;
    size_t n, room;
};

#define COARSEST 0.7

static bool add(struct points *points, struct bt_point p)
{
    struct bt_point *grown =
        bt_grow(points->p, &points->room, points->n + 1, sizeof *grown);

    if (!grown)
        return false;
    points->p = grown;
    grown[points->n++] = p;
    return true;
}

static bool add_to(struct points *points, struct bt_point p, bool end)
{
    struct bt_point last = points->p[points->n - 1];
    double d = apart(last, p);
    size_t parts = (size_t)(d / COARSEST) + 1;
    bool good = true;

    if (d < FINEST && !end)
        return true;
    for (size_t k = 1; k <= parts && good; k++) {
        double t = (double)k / (double)parts;

        good = add(points, (struct bt_point){last.x + t * (p.x - last.x),
                                             last.y + t * (p.y - last.y)});
    }
    return good;
}

static bool lay_out(const struct map_figure *f, const struct contours *c,
                    const struct contour_path *path, struct points *points)
{
    const struct bt_point *p = c->point + path->start;
    bool good;

    points->n = 0;
    good = add(points, map_at(f, p[0]));
    for (size_t i = 1; i < path->count && good; i++)
        good = add_to(points, map_at(f, p[i]), i + 1 == path->count && !path->closed);
    if (path->closed && good)
        good = add_to(points, map_at(f, p[0]), true);
    return good;
}

static void draw_level(const struct map_figure *f, struct page *page, int i)
{
    double z = (f->levels.base + i) * f->levels.step;
    const struct contours *c = &f->line[i];
    struct draw_words text = {0};
    struct label l = {.how = {.size = LETTER, .anchor = PAGE_MIDDLE, .halo = true}};
    struct points points = {0};
    struct box size;

    draw_add_height(&text, z, 0, f->in->job->system, true);
    l.text = text.text;
    page_measure(page, &l.how, l.text, &size);
    l.wide = size.x1;
    l.high = size.y1 * 0.8; /* digits stand lower than the line of letters */
    for (size_t k = 0; k < c->npath; k++) {
        if (!lay_out(f, c, &c->path[k], &points)) {
            page->failed = true;
            break;
        }
        cairo_set_line_width(page->cr, f->levels.base + i == 0 ? 0.65 : 0.28);
        cairo_set_source_rgb(page->cr, 0, 0, 0);
        draw_path((struct stretch){f, points.p, 0, points.n - 1}, c->path[k].closed,
                  page, &l);
    }
    bt_free(points.p);
}

void map_draw_contours(const struct map_figure *f, struct page *page)
{
    cairo_set_line_cap(page->cr, CAIRO_LINE_CAP_ROUND);
    for (int i = 1; i < f->levels.count; i++)
        draw_level(f, page, i);
}
