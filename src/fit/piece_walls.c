/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/piece_walls.h"

#include <math.h>

#include "benchtrue/base/alloc.h"

/* Inward of a wall is to the left of its direction for back and right, to the right for
 * front and left. */
static double inward(enum bt_wall wall)
{
    return wall == BT_WALL_BACK || wall == BT_WALL_RIGHT ? 1 : -1;
}

struct bt_point bt_wall_place(const struct bt_quad_result *quad, enum bt_wall wall,
                              double at, double off)
{
    const struct bt_line chord = bt_wall_line(quad, NULL, wall, false, -off);

    return (struct bt_point){chord.at.x + at * chord.dx, chord.at.y + at * chord.dy};
}

/* Where the stations end short of the corners the edge on two high points may run out
 * into the wall there: how far it has to come in. */
static double beyond_corners(const struct bt_quad_result *quad, enum bt_wall wall,
                             const struct bt_line *line, const struct bt_point *at)
{
    double most = 0;
    int end[2];

    bt_wall_corners(wall, &end[0], &end[1]);
    for (int k = 0; k < 2; k++) {
        const struct bt_point *c = &quad->corner[end[k]];

        most = fmax(most, inward(wall) *
                              (line->dx * (c->y - at->y) - line->dy * (c->x - at->x)));
    }
    return most;
}

struct bt_line bt_wall_line(const struct bt_quad_result *quad,
                            const struct bt_wall_profile *profile, enum bt_wall wall,
                            bool home, double gap)
{
    struct bt_point a, b;
    struct bt_line line;
    double length;
    int from, to;

    if (home && profile && profile->home.seen) {
        const struct bt_wall_station *i = &profile->station[profile->rest[0]];
        const struct bt_wall_station *k = &profile->station[profile->rest[1]];

        a = bt_wall_place(quad, wall, i->at, i->offset);
        b = bt_wall_place(quad, wall, k->at, k->offset);
    } else {
        bt_wall_corners(wall, &from, &to);
        a = quad->corner[from];
        b = quad->corner[to];
    }
    length = hypot(b.x - a.x, b.y - a.y);
    line.dx = (b.x - a.x) / length;
    line.dy = (b.y - a.y) / length;
    gap += beyond_corners(quad, wall, &line, &a);
    line.at.x = a.x - inward(wall) * gap * line.dy;
    line.at.y = a.y + inward(wall) * gap * line.dx;
    return line;
}

bool bt_lines_cross(const struct bt_line *a, const struct bt_line *b,
                    struct bt_point *out)
{
    const double det = a->dx * b->dy - a->dy * b->dx;
    double t;

    if (!(fabs(det) > 1e-6))
        return false;
    t = ((b->at.x - a->at.x) * b->dy - (b->at.y - a->at.y) * b->dx) / det;
    *out = (struct bt_point){a->at.x + t * a->dx, a->at.y + t * a->dy};
    return true;
}

size_t bt_wall_between(const struct bt_wall_profile *profile, double from, double to)
{
    size_t n = 0;

    for (size_t k = 0; k < profile->n; k++)
        n += profile->station[k].at > from && profile->station[k].at < to;
    return n;
}

static double side_length(const struct bt_quad_result *quad, enum bt_wall wall)
{
    return quad->figure[BT_QUAD_SIDE + wall].value;
}

/* The places of a wall between its corners; backwards where the walls are gone round
 * against its direction. */
static void add_wall(const struct bt_quad_result *quad,
                     const struct bt_wall_profile *profile, enum bt_wall wall,
                     bool backwards, struct bt_walls *out)
{
    for (size_t i = 0; i < profile->n; i++) {
        const struct bt_wall_station *s =
            &profile->station[backwards ? profile->n - 1 - i : i];

        if (s->at > 0 && s->at < side_length(quad, wall))
            out->p[out->n++] = bt_wall_place(quad, wall, s->at, s->offset);
    }
}

enum bt_status bt_walls_make(const struct bt_quad_result *quad,
                             const struct bt_wall_profile profile[4], bool closed,
                             struct bt_walls *out)
{
    size_t room = 4;

    for (int wall = 0; wall < BT_WALLS; wall++)
        room += profile[wall].n;
    out->p = bt_alloc(room, sizeof *out->p);
    if (!out->p)
        return BT_ENOMEM;
    out->closed = closed;
    out->p[out->n++] = quad->corner[3];
    add_wall(quad, &profile[BT_WALL_LEFT], BT_WALL_LEFT, true, out);
    out->back[0] = out->n;
    out->p[out->n++] = quad->corner[0];
    add_wall(quad, &profile[BT_WALL_BACK], BT_WALL_BACK, false, out);
    out->back[1] = out->n;
    out->p[out->n++] = quad->corner[1];
    add_wall(quad, &profile[BT_WALL_RIGHT], BT_WALL_RIGHT, false, out);
    out->p[out->n++] = quad->corner[2];
    if (closed)
        add_wall(quad, &profile[BT_WALL_FRONT], BT_WALL_FRONT, true, out);
    return BT_OK;
}
