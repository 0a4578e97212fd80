/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/wood/ring.h"

#include <math.h>

struct point {
    double x, y;
};

static struct point minus(struct point a, struct point b)
{
    return (struct point){a.x - b.x, a.y - b.y};
}

/* Where a point goes; the heart is the origin and lies below the board. */
static struct point moved(const struct bt_ring_board *b, double x, double y)
{
    double r, p;

    if (isinf(b->heart_distance))
        return (struct point){x * (1.0 + b->e_tangential), y * (1.0 + b->e_radial)};
    x -= b->heart_x;
    y += b->heart_distance;
    r = hypot(x, y) * (1.0 + b->e_radial);
    p = atan2(x, y) * (1.0 + b->e_tangential) / (1.0 + b->e_radial);
    return (struct point){r * sin(p), r * cos(p)};
}

/* Lean of the edge face at x from the normal of the chord, which has slope angle a. */
static double lean_at(const struct bt_ring_board *b, double x, double a)
{
    struct point d =
        minus(moved(b, x, 0.5 * b->thickness), moved(b, x, -0.5 * b->thickness));
    double c = cos(a), s = sin(a);

    return atan2(d.x * c + d.y * s, d.y * c - d.x * s);
}

/* One board in the frame of its own chord: it runs from (0, 0) to (chord, 0). */
struct piece {
    double chord, middle, cup, left_lean, right_lean;
};

static struct piece shape_of(const struct bt_ring_board *b)
{
    double half = 0.5 * b->width, a, c, s;
    struct point left = moved(b, -half, 0.0), right = moved(b, half, 0.0);
    struct point chord = minus(right, left), m = minus(moved(b, 0.0, 0.0), left);
    struct piece p;

    a = atan2(chord.y, chord.x);
    c = cos(a);
    s = sin(a);
    p.chord = hypot(chord.x, chord.y);
    p.middle = m.x * c + m.y * s;
    p.cup = m.y * c - m.x * s;
    p.left_lean = lean_at(b, -half, a);
    p.right_lean = lean_at(b, half, a);
    if (b->heart_up) { /* seen in a mirror that lies level */
        p.cup = -p.cup;
        p.left_lean = -p.left_lean;
        p.right_lean = -p.right_lean;
    }
    return p;
}

static bool strain_fits(double e)
{
    return fabs(e) < 0.5;
}

static enum bt_status check(const struct bt_ring_board *b, struct bt_error *err)
{
    if (!(b->width > 0.0) || isinf(b->width) || !(b->thickness > 0.0) ||
        isinf(b->thickness))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "width and thickness must be over 0 mm");
    if (!strain_fits(b->e_radial) || !strain_fits(b->e_tangential))
        return bt_error_set(err, BT_EINPUT, 0, 0, "a strain must be under 0.5");
    if (isinf(b->heart_distance) && b->heart_distance > 0.0)
        return BT_OK;
    if (!(b->heart_distance >= 0.0) || !isfinite(b->heart_x))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the distance of the heart must be 0 mm or more");
    if (!(b->heart_distance > 0.5 * b->thickness) &&
        !(fabs(b->heart_x) > 0.5 * b->width))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the heart must lie outside the board");
    return BT_OK;
}

enum bt_status bt_ring_shape_of(const struct bt_ring_board *board,
                                struct bt_ring_shape *shape, struct bt_error *err)
{
    enum bt_status status = check(board, err);
    struct piece p;

    if (status != BT_OK)
        return status;
    p = shape_of(board);
    shape->width_change = p.chord - board->width;
    shape->cup = p.cup;
    shape->left_lean = p.left_lean;
    shape->right_lean = p.right_lean;
    shape->edge_angle = p.right_lean - p.left_lean;
    return BT_OK;
}

/* Walks along the panel: each board begins where the last ended, turned so that the
 * edge faces meet. */
struct walk {
    struct point at;
    double slope;        /* of the chord of the board in hand */
    double right_lean;   /* of the board before it */
    struct point middle; /* of the board in hand */
};

static void step(struct walk *w, const struct piece *p, bool first)
{
    double c, s;

    w->slope = first ? 0.0 : w->slope + p->left_lean - w->right_lean;
    c = cos(w->slope);
    s = sin(w->slope);
    w->middle = (struct point){w->at.x + p->middle * c - p->cup * s,
                               w->at.y + p->middle * s + p->cup * c};
    w->at = (struct point){w->at.x + p->chord * c, w->at.y + p->chord * s};
    w->right_lean = p->right_lean;
}

static struct point end_of(size_t n, const struct bt_ring_board board[])
{
    struct walk w = {{0.0, 0.0}, 0.0, 0.0, {0.0, 0.0}};

    for (size_t i = 0; i < n; i++) {
        struct piece p = shape_of(&board[i]);
        step(&w, &p, i == 0);
    }
    return w.at;
}

/* The frame of the chord of the whole panel. */
struct frame {
    double c, s, length;
};

static struct point in_frame(const struct frame *f, struct point p)
{
    return (struct point){p.x * f->c + p.y * f->s, p.y * f->c - p.x * f->s};
}

struct extent {
    double low, high;
};

static void include(struct extent *e, double h)
{
    e->low = fmin(e->low, h);
    e->high = fmax(e->high, h);
}

static void put(double y[], double h[], size_t i, struct point p)
{
    if (y) {
        y[i] = p.x;
        h[i] = p.y;
    }
}

static void walk_panel(size_t n, const struct bt_ring_board board[],
                       const struct frame *f, struct bt_ring_panel *panel, double y[],
                       double h[])
{
    struct walk w = {{0.0, 0.0}, 0.0, 0.0, {0.0, 0.0}};
    struct point before = {0.0, 0.0};
    struct extent extent = {0.0, 0.0};
    double half = 0.5 * f->length;

    put(y, h, 0, before);
    for (size_t i = 0; i < n; i++) {
        struct piece p = shape_of(&board[i]);
        struct point middle, joint;
        step(&w, &p, i == 0);
        middle = in_frame(f, w.middle);
        joint = in_frame(f, w.at);
        include(&extent, middle.y);
        include(&extent, joint.y);
        panel->ripple = fmax(panel->ripple, fabs(p.cup));
        if (before.x <= half && half < joint.x)
            panel->cup = before.y + (joint.y - before.y) * (half - before.x) /
                                        (joint.x - before.x);
        put(y, h, 2 * i + 1, middle);
        put(y, h, 2 * i + 2, joint);
        before = joint;
    }
    panel->range = extent.high - extent.low;
}

enum bt_status bt_ring_panel_of(size_t n, const struct bt_ring_board board[],
                                struct bt_ring_panel *panel, double y[], double h[],
                                struct bt_error *err)
{
    struct bt_ring_panel made = {0.0, 0.0, 0.0, 0.0};
    struct frame f;
    struct point end;
    double width = 0.0;

    if (n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "there is no board");
    for (size_t i = 0; i < n; i++) {
        enum bt_status status = check(&board[i], err);
        if (status != BT_OK) {
            if (err)
                err->row = i;
            return status;
        }
        width += board[i].width;
    }
    end = end_of(n, board);
    f.length = hypot(end.x, end.y);
    f.c = end.x / f.length;
    f.s = end.y / f.length;
    walk_panel(n, board, &f, &made, y, h);
    made.width_change = f.length - width;
    *panel = made;
    return BT_OK;
}

double bt_gradient_cup(double coefficient, double upper_less_lower, double width,
                       double thickness)
{
    if (!(coefficient >= 0.0) || !isfinite(coefficient) ||
        !isfinite(upper_less_lower) || !(width > 0.0) || isinf(width) ||
        !(thickness > 0.0) || isinf(thickness))
        return NAN;
    return coefficient * upper_less_lower * width * width / (8.0 * thickness);
}
