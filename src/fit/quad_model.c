/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/quad_model.h"

#include <math.h>

/* Step of the central differences, mm: gradients are good to about 1e-9 at rooms'
 * sizes, far below what a solution or its u needs. */
#define STEP 1e-3

void bt_quad_corners(const double x[], struct bt_point corner[4])
{
    corner[0] = (struct bt_point){0, 0};
    corner[1] = (struct bt_point){x[0], 0};
    corner[2] = (struct bt_point){x[1], x[2]};
    corner[3] = (struct bt_point){x[3], x[4]};
}

static double distance(const struct bt_point *a, const struct bt_point *b)
{
    return hypot(b->x - a->x, b->y - a->y);
}

/* Inside angle at corner k. */
static double angle_at(const struct bt_point c[4], int k)
{
    const struct bt_point *p = &c[k], *next = &c[(k + 1) & 3], *last = &c[(k + 3) & 3];
    const double ax = next->x - p->x, ay = next->y - p->y;
    const double bx = last->x - p->x, by = last->y - p->y;
    const double angle = atan2(ax * by - ay * bx, ax * bx + ay * by);

    return angle < 0 ? angle + 2 * 3.14159265358979323846 : angle;
}

void bt_quad_figures(const struct bt_point c[4], double out[])
{
    for (int wall = 0; wall < BT_WALLS; wall++) {
        int from, to;

        bt_wall_corners((enum bt_wall)wall, &from, &to);
        out[BT_QUAD_SIDE + wall] = distance(&c[from], &c[to]);
    }
    out[BT_QUAD_DIAGONAL_AC] = distance(&c[0], &c[2]);
    out[BT_QUAD_DIAGONAL_BD] = distance(&c[1], &c[3]);
    for (int k = 0; k < 4; k++)
        out[BT_QUAD_ANGLE + k] = angle_at(c, k);
    out[BT_QUAD_LEAN_LEFT] = c[3].x - c[0].x;
    out[BT_QUAD_LEAN_RIGHT] = c[2].x - c[1].x;
    out[BT_QUAD_NARROWER] = out[BT_QUAD_LEAN_LEFT] - out[BT_QUAD_LEAN_RIGHT];
    out[BT_QUAD_DEPTH_LEFT] = c[3].y;
    out[BT_QUAD_DEPTH_RIGHT] = c[2].y;
}

/* x of a side wall where y is `at`, outward (wall right: more, left: less). */
static double side_x(const struct bt_quad_model *m, const struct bt_point c[4],
                     enum bt_wall wall, double at)
{
    const struct bt_point *from = wall == BT_WALL_LEFT ? &c[0] : &c[1];
    const struct bt_point *to = wall == BT_WALL_LEFT ? &c[3] : &c[2];
    const double deep = to->y - from->y, length = distance(from, to);
    const double t = at / deep, out = bt_wall_profile_at(&m->profile[wall], t * length);

    return from->x + t * (to->x - from->x) +
           (wall == BT_WALL_LEFT ? -out : out) * length / deep;
}

static double depth_at(const struct bt_quad_model *m, const struct bt_point c[4],
                       double at)
{
    const double wide = c[2].x - c[3].x, length = distance(&c[2], &c[3]);
    const double t = (at - c[3].x) / wide;

    return c[3].y + t * (c[2].y - c[3].y) +
           bt_wall_profile_at(&m->profile[BT_WALL_FRONT], t * length) * length / wide +
           bt_wall_profile_at(&m->profile[BT_WALL_BACK], at);
}

/* How far a traced point lies outside its wall. */
static double outside(const struct bt_quad_model *m, const double x[],
                      const struct bt_point c[4], const struct bt_opening_reading *r)
{
    const double turn = x[5] / m->scale, cs = cos(turn), sn = sin(turn);
    const double py = m->mirror * r->y;
    const double wx = cs * r->x - sn * py + x[6], wy = sn * r->x + cs * py + x[7];
    const enum bt_wall wall = (enum bt_wall)r->where;
    /* from back and right the inside is on the left hand, from front and left, whose
     * stations run the other way round, on the right */
    const double hand = wall == BT_WALL_BACK || wall == BT_WALL_RIGHT ? 1 : -1;
    double dx, dy, length, along, square;
    int from, to;

    bt_wall_corners(wall, &from, &to);
    dx = c[to].x - c[from].x;
    dy = c[to].y - c[from].y;
    length = hypot(dx, dy);
    along = ((wx - c[from].x) * dx + (wy - c[from].y) * dy) / length;
    square = (dx * (wy - c[from].y) - dy * (wx - c[from].x)) / length;
    return -hand * square - bt_wall_profile_at(&m->profile[wall], along);
}

double bt_quad_predict(const struct bt_quad_model *m, const double x[], size_t i)
{
    const struct bt_opening_reading *r = &m->reading[i];
    struct bt_point c[4];
    int from, to;

    bt_quad_corners(x, c);
    switch (r->kind) {
    case BT_OPENING_SIDE:
        bt_wall_corners((enum bt_wall)r->where, &from, &to);
        return distance(&c[from], &c[to]);
    case BT_OPENING_DIAGONAL:
        return r->where ? distance(&c[1], &c[3]) : distance(&c[0], &c[2]);
    case BT_OPENING_WIDTH:
        return side_x(m, c, BT_WALL_RIGHT, r->at) - side_x(m, c, BT_WALL_LEFT, r->at);
    case BT_OPENING_DEPTH:
        return depth_at(m, c, r->at);
    case BT_OPENING_ANGLE:
        return angle_at(c, r->where);
    case BT_OPENING_POINT:
        return outside(m, x, c, r);
    default:
        return NAN;
    }
}

double bt_quad_residual(const struct bt_quad_model *m, const double x[], size_t i)
{
    const double value =
        m->reading[i].kind == BT_OPENING_POINT ? 0 : m->reading[i].value;

    return value - bt_quad_predict(m, x, i);
}

void bt_quad_gradient(const struct bt_quad_model *m, const double x[], size_t i,
                      double g[])
{
    double moved[BT_QUAD_UNKNOWNS] = {0};

    for (size_t k = 0; k < m->nu; k++)
        moved[k] = x[k];
    for (size_t k = 0; k < m->nu; k++) {
        double high;

        moved[k] = x[k] + STEP;
        high = bt_quad_predict(m, moved, i);
        moved[k] = x[k] - STEP;
        g[k] = (high - bt_quad_predict(m, moved, i)) / (2 * STEP);
        moved[k] = x[k];
    }
}
