/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/cutouts.h"

#include <math.h>

const char *bt_cutout_shape_name(enum bt_cutout_shape shape)
{
    static const char *const names[] = {"rectangle", "circle", "notch"};

    return (unsigned)shape < BT_CUT_SHAPES ? names[shape] : "unknown shape";
}

/* ---- where it lies ---- */

/* Least and most of one coordinate of the outline on the line where the other is
 * `at`; NaN where it does not come there. */
static void cross_outline(const struct bt_outline *o, bool across, double at,
                          double *least, double *most)
{
    *least = *most = NAN;
    for (size_t i = 0; i < o->n; i++) {
        const struct bt_point p = o->p[i], q = o->p[(i + 1) % o->n];
        const double a = across ? p.x : p.y, b = across ? q.x : q.y;
        const double va = across ? p.y : p.x, vb = across ? q.y : q.x;
        const double v = a == b ? va : va + (vb - va) * (at - a) / (b - a);

        if (fmin(a, b) > at || fmax(a, b) < at)
            continue;
        *least = fmin(*least, fmin(v, a == b ? vb : v));
        *most = fmax(*most, fmax(v, a == b ? vb : v));
    }
}

void bt_cutout_place(const struct bt_outline *outline, const struct bt_cutout *cutout,
                     struct bt_point *low, struct bt_point *high)
{
    struct bt_point at = {0, 0}, from, to;
    double least, most;

    bt_outline_extent(outline, &from, &to);
    at.x = cutout->from_right ? to.x - cutout->x : from.x + cutout->x;
    /* An edge that runs askew gives x for a y, and y for an x: it settles at once,
     * for edges lie nearly square. */
    for (int round = 0; round < 8; round++) {
        cross_outline(outline, true, at.x, &least, &most);
        at.y = cutout->from_front ? most - cutout->y : least + cutout->y;
        cross_outline(outline, false, at.y, &least, &most);
        at.x = cutout->from_right ? most - cutout->x : least + cutout->x;
    }
    *low = (struct bt_point){at.x - cutout->length / 2, at.y - cutout->width / 2};
    *high = (struct bt_point){at.x + cutout->length / 2, at.y + cutout->width / 2};
}

/* ---- distances ---- */

struct box {
    struct bt_point low, high;
    bool circle;
};

static struct bt_point middle(const struct box *b)
{
    return (struct bt_point){(b->low.x + b->high.x) / 2, (b->low.y + b->high.y) / 2};
}

static double to_segment(struct bt_point p, struct bt_point a, struct bt_point b)
{
    const double dx = b.x - a.x, dy = b.y - a.y, long2 = dx * dx + dy * dy;
    double t = long2 > 0 ? ((p.x - a.x) * dx + (p.y - a.y) * dy) / long2 : 0;

    t = fmin(fmax(t, 0), 1);
    return hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

static double turn(struct bt_point a, struct bt_point b, struct bt_point c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static bool meet(struct bt_point a, struct bt_point b, struct bt_point c,
                 struct bt_point d)
{
    return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

static void corners(const struct box *b, struct bt_point out[4])
{
    out[0] = b->low;
    out[1] = (struct bt_point){b->high.x, b->low.y};
    out[2] = b->high;
    out[3] = (struct bt_point){b->low.x, b->high.y};
}

/* From a box to a segment; 0 where they meet. */
static double box_to_segment(const struct box *b, struct bt_point p, struct bt_point q)
{
    struct bt_point c[4];
    double least = INFINITY;

    if (b->circle)
        return fmax(to_segment(middle(b), p, q) - (b->high.x - b->low.x) / 2, 0);
    corners(b, c);
    if (p.x > b->low.x && p.x < b->high.x && p.y > b->low.y && p.y < b->high.y)
        return 0;
    for (int k = 0; k < 4; k++) {
        const struct bt_point next = c[(k + 1) % 4];

        if (meet(c[k], next, p, q))
            return 0;
        least = fmin(least,
                     fmin(to_segment(c[k], p, q),
                          fmin(to_segment(p, c[k], next), to_segment(q, c[k], next))));
    }
    return least;
}

/* From a box to a place: 0 inside. */
static double box_to_point(const struct box *b, struct bt_point p)
{
    const double dx = fmax(fmax(b->low.x - p.x, p.x - b->high.x), 0);
    const double dy = fmax(fmax(b->low.y - p.y, p.y - b->high.y), 0);
    const struct bt_point m = middle(b);

    if (b->circle)
        return fmax(hypot(p.x - m.x, p.y - m.y) - (b->high.x - b->low.x) / 2, 0);
    return hypot(dx, dy);
}

static double box_to_box(const struct box *a, const struct box *b)
{
    const double dx = fmax(fmax(b->low.x - a->high.x, a->low.x - b->high.x), 0);
    const double dy = fmax(fmax(b->low.y - a->high.y, a->low.y - b->high.y), 0);

    if (b->circle)
        return fmax(box_to_point(a, middle(b)) - (b->high.x - b->low.x) / 2, 0);
    if (a->circle)
        return fmax(box_to_point(b, middle(a)) - (a->high.x - a->low.x) / 2, 0);
    return hypot(dx, dy);
}

/* Even and odd: does a line to the right cross an odd number of edges? */
static bool is_inside(const struct bt_outline *o, struct bt_point p)
{
    bool inside = false;

    for (size_t i = 0; i < o->n; i++) {
        const struct bt_point a = o->p[i], b = o->p[(i + 1) % o->n];

        if ((a.y > p.y) != (b.y > p.y) &&
            p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y))
            inside = !inside;
    }
    return inside;
}

/* ---- checks ---- */

static int side_of(const struct bt_outline *o, size_t i)
{
    return i < o->corner[1] ? 0 : i < o->corner[2] ? 1 : i < o->corner[3] ? 2 : 3;
}

static void check_edges(const struct bt_cutouts_request *r, const struct box *b,
                        bool notch, struct bt_cutout_check *out)
{
    const struct bt_outline *o = r->outline;
    double side[4] = {INFINITY, INFINITY, INFINITY, INFINITY};
    bool cut = false;

    for (size_t i = 0; i < o->n; i++) {
        const int k = side_of(o, i);

        side[k] = fmin(side[k], box_to_segment(b, o->p[i], o->p[(i + 1) % o->n]));
    }
    out->edge = INFINITY;
    for (int k = 0; k < 4; k++) {
        /* a notch that ends on the edge cuts it as well */
        const bool cuts = notch && !(side[k] > 1e-9);

        cut = cut || cuts;
        if (!cuts && side[k] < out->edge) {
            out->edge = side[k];
            out->edge_side = k;
        }
    }
    if (notch ? !cut : !(out->edge > 0) || !is_inside(o, middle(b)))
        out->faults |= BT_CUT_OUTSIDE;
    else if (out->edge < r->beside)
        out->faults |= BT_CUT_NEAR_EDGE;
}

static void check_joints(const struct bt_cutouts_request *r, const struct box *b,
                         struct bt_cutout_check *out)
{
    const double x = middle(b).x;

    out->joint = NAN;
    for (size_t i = 0; i < r->njoint; i++) {
        const double y =
            r->joint_left[i] + (r->joint_right[i] - r->joint_left[i]) * x / r->length;
        const double away = fmin(fabs(y - b->low.y), fabs(y - b->high.y));

        out->crossed += y > b->low.y && y < b->high.y;
        if (isnan(out->joint) || away < out->joint) {
            out->joint = away;
            out->joint_index = i;
        }
    }
    if (out->joint < r->clearance || (b->circle && out->crossed))
        out->faults |= BT_CUT_ON_JOINT;
}

static void check_fixings(const struct bt_cutouts_request *r, const struct box *b,
                          struct bt_cutout_check *out)
{
    out->fixing = NAN;
    for (size_t i = 0; i < r->nfixing; i++) {
        const struct bt_fixing *f = &r->fixing[i];
        const double half = isnan(f->screw) ? 0 : f->screw / 2;
        const double away =
            fmax(box_to_point(b, (struct bt_point){f->x, f->y}) - half, 0);

        if (isnan(out->fixing) || away < out->fixing) {
            out->fixing = away;
            out->fixing_index = i;
        }
    }
    if (out->fixing < r->clearance)
        out->faults |= BT_CUT_NEAR_FIXING;
}

static struct box box_of(const struct bt_cutouts_request *r, size_t i)
{
    struct box b = {.circle = r->cutout[i].shape == BT_CUT_CIRCLE};

    bt_cutout_place(r->outline, &r->cutout[i], &b.low, &b.high);
    return b;
}

static void check_others(const struct bt_cutouts_request *r, size_t i,
                         const struct box *b, struct bt_cutout_check *out)
{
    out->other = NAN;
    for (size_t k = 0; k < r->n; k++) {
        const struct box other = box_of(r, k);
        const double away = box_to_box(b, &other);

        if (k == i || isnan(other.low.x) || isnan(other.low.y) ||
            !(isnan(out->other) || away < out->other))
            continue;
        out->other = away;
        out->other_index = k;
    }
    if (out->other < r->beside)
        out->faults |= BT_CUT_NEAR_OTHER;
}

void bt_cutouts_check(const struct bt_cutouts_request *r, struct bt_cutout_check out[])
{
    for (size_t i = 0; i < r->n; i++) {
        const struct box b = box_of(r, i);
        const bool notch = r->cutout[i].shape == BT_CUT_NOTCH;

        out[i] = (struct bt_cutout_check){.low = b.low, .high = b.high};
        out[i].sharp = !b.circle && !(r->cutout[i].radius > 0);
        if (isnan(b.low.x) || isnan(b.low.y)) {
            out[i].faults = BT_CUT_OUTSIDE;
            out[i].edge = out[i].joint = out[i].other = out[i].fixing = NAN;
            continue;
        }
        check_edges(r, &b, notch, &out[i]);
        check_joints(r, &b, &out[i]);
        check_others(r, i, &b, &out[i]);
        check_fixings(r, &b, &out[i]);
    }
}
