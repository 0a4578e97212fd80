/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/motion.h"

#include <gsl/gsl_heapsort.h>
#include <math.h>

#define PI 3.14159265358979323846

size_t bt_walls_edges(const struct bt_walls *walls)
{
    return walls->n < 2 ? 0 : walls->n - !walls->closed;
}

static double cross(const struct bt_point *a, const struct bt_point *b,
                    const struct bt_point *c)
{
    return (b->x - a->x) * (c->y - a->y) - (b->y - a->y) * (c->x - a->x);
}

static bool segments_cross(const struct bt_point *a, const struct bt_point *b,
                           const struct bt_point *c, const struct bt_point *d)
{
    return cross(a, b, c) * cross(a, b, d) < 0 && cross(c, d, a) * cross(c, d, b) < 0;
}

static double point_to_segment(const struct bt_point *p, const struct bt_point *a,
                               const struct bt_point *b)
{
    const double dx = b->x - a->x, dy = b->y - a->y, square = dx * dx + dy * dy;
    double t = square > 0 ? ((p->x - a->x) * dx + (p->y - a->y) * dy) / square : 0;

    t = fmin(1, fmax(0, t));
    return hypot(p->x - a->x - t * dx, p->y - a->y - t * dy);
}

static double segment_distance(const struct bt_point *a, const struct bt_point *b,
                               const struct bt_point *c, const struct bt_point *d)
{
    if (segments_cross(a, b, c, d))
        return 0;
    return fmin(fmin(point_to_segment(a, c, d), point_to_segment(b, c, d)),
                fmin(point_to_segment(c, a, b), point_to_segment(d, a, b)));
}

double bt_motion_distance(const struct bt_piece_at *piece, const struct bt_walls *walls)
{
    const size_t edges = bt_walls_edges(walls);
    double least = INFINITY;

    for (size_t i = 0; i < piece->n; i++)
        for (size_t k = 0; k < edges; k++)
            least = fmin(least,
                         segment_distance(&piece->p[i], &piece->p[(i + 1) % piece->n],
                                          &walls->p[k], &walls->p[(k + 1) % walls->n]));
    return least;
}

/* Direction of a vector from straight out, positive to the right. */
static double direction_of(double x, double y)
{
    return atan2(x, y);
}

static void add(struct bt_blocked *blocked, double from, double to)
{
    blocked->item[blocked->n++] = (struct bt_directions){from, to};
}

/* The directions in which the origin meets the parallelogram of all differences of a
 * place on the wall and one on the edge of the piece. */
static void add_cone(const struct bt_point *a, const struct bt_point *b,
                     const struct bt_point *c, const struct bt_point *d,
                     struct bt_blocked *blocked)
{
    const struct bt_point v[4] = {{c->x - a->x, c->y - a->y},
                                  {d->x - a->x, d->y - a->y},
                                  {d->x - b->x, d->y - b->y},
                                  {c->x - b->x, c->y - b->y}};
    /* its middle lies in the cone, so that the corners stand less than half a turn to
     * either side of it */
    const double mx = (v[0].x + v[2].x) / 2, my = (v[0].y + v[2].y) / 2;
    const double middle = direction_of(mx, my);
    double low = 0, high = 0;

    for (int k = 0; k < 4; k++) {
        const double off = atan2(v[k].x * my - v[k].y * mx, v[k].x * mx + v[k].y * my);

        low = fmin(low, off);
        high = fmax(high, off);
    }
    low += middle;
    high += middle;
    if (low < -PI) {
        add(blocked, low + 2 * PI, PI);
        low = -PI;
    }
    if (high > PI) {
        add(blocked, -PI, high - 2 * PI);
        high = PI;
    }
    add(blocked, low, high);
}

static int by_from(const void *a, const void *b)
{
    const struct bt_directions *p = a, *q = b;

    return (p->from > q->from) - (p->from < q->from);
}

void bt_motion_blocked(const struct bt_piece_at *piece, const struct bt_walls *walls,
                       struct bt_blocked *blocked)
{
    const size_t edges = bt_walls_edges(walls);
    size_t kept = 0;

    blocked->n = 0;
    for (size_t i = 0; i < piece->n; i++)
        for (size_t k = 0; k < edges; k++)
            add_cone(&piece->p[i], &piece->p[(i + 1) % piece->n], &walls->p[k],
                     &walls->p[(k + 1) % walls->n], blocked);
    if (blocked->n == 0)
        return;
    /* in place, without the memory that a library's sort may take */
    gsl_heapsort(blocked->item, blocked->n, sizeof *blocked->item, by_from);
    for (size_t i = 1; i < blocked->n; i++)
        if (blocked->item[i].from <= blocked->item[kept].to)
            blocked->item[kept].to = fmax(blocked->item[kept].to, blocked->item[i].to);
        else
            blocked->item[++kept] = blocked->item[i];
    blocked->n = kept + 1;
}

double bt_motion_nearest(const struct bt_blocked *blocked)
{
    double nearest = NAN;

    for (size_t i = 0; i < blocked->n; i++) {
        const struct bt_directions *b = &blocked->item[i];

        if (b->from > 0 || b->to < 0)
            continue;
        if (b->from > -PI && !(fabs(b->from) > fabs(nearest)))
            nearest = b->from;
        if (b->to < PI && !(fabs(b->to) > fabs(nearest)))
            nearest = b->to;
        /* both ends of it were tried, and it is the only one that holds 0 */
        return nearest;
    }
    return 0;
}
