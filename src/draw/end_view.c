/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/end_view.h"

#include <math.h>

#define STEEPEST_EVER 0.7853981633974483 /* pi/4 */
#define INVISIBLE 1e-3                   /* rad */

static bool finite_corner(const double corner[2])
{
    return isfinite(corner[0]) && isfinite(corner[1]);
}

/* A corner of the other face in u and v. */
static struct bt_point within(const struct bt_quad *quad, const double corner[2],
                              double cosine, double sine)
{
    double y = corner[0] - quad->show_back[0], z = corner[1] - quad->show_back[1];

    return (struct bt_point){y * cosine + z * sine, y * sine - z * cosine};
}

bool end_shape_of(const struct bt_quad *quad, struct end_shape *shape)
{
    double dy = quad->show_front[0] - quad->show_back[0];
    double dz = quad->show_front[1] - quad->show_back[1];
    double width = hypot(dy, dz), lean_back, lean_front, slope;
    struct bt_point back, front;

    if (!finite_corner(quad->show_back) || !finite_corner(quad->show_front) ||
        !finite_corner(quad->other_back) || !finite_corner(quad->other_front) ||
        !(width > 0))
        return false;
    back = within(quad, quad->other_back, dy / width, dz / width);
    front = within(quad, quad->other_front, dy / width, dz / width);
    if (!(back.y > 0) || !(front.y > 0) || !(front.x > back.x))
        return false;
    lean_back = atan2(-back.x, back.y);
    lean_front = atan2(front.x - width, front.y);
    if (!(fabs(lean_back) < STEEPEST_EVER) || !(fabs(lean_front) < STEEPEST_EVER))
        return false;
    slope = (front.y - back.y) / (front.x - back.x);
    *shape = (struct end_shape){width,      back.y + slope * (width / 2 - back.x),
                                slope,      lean_back,
                                lean_front, atan2(dz, dy)};
    return shape->thickness > 0;
}

void end_corners(const struct end_shape *shape, double factor,
                 struct bt_point corner[END_CORNERS])
{
    double slope = factor * shape->slope, w = shape->width;
    double back = tan(factor * shape->lean_back);
    double front = tan(factor * shape->lean_front);
    double high_back = (shape->thickness - slope * w / 2) / (1 + slope * back);
    double high_front = (shape->thickness + slope * w / 2) / (1 - slope * front);

    corner[END_SHOW_BACK] = (struct bt_point){0, 0};
    corner[END_SHOW_FRONT] = (struct bt_point){w, 0};
    corner[END_OTHER_FRONT] = (struct bt_point){w + high_front * front, high_front};
    corner[END_OTHER_BACK] = (struct bt_point){-high_back * back, high_back};
}

static bool fits(const struct end_shape *shape, int factor, double steepest)
{
    /* Of its height in the middle an edge keeps two thirds, so that a tapered board is
     * still seen to meet its neighbours; of its width the other face a third of that of
     * the show face. */
    const double high = 2.0 / 3, wide = 1.0 / 3;
    double lean = fmax(fabs(shape->lean_back), fabs(shape->lean_front));
    struct bt_point p[END_CORNERS];

    if (!(factor * lean <= steepest))
        return false;
    end_corners(shape, factor, p);
    return p[END_OTHER_BACK].y >= high * shape->thickness &&
           p[END_OTHER_FRONT].y >= high * shape->thickness &&
           p[END_OTHER_FRONT].x - p[END_OTHER_BACK].x >= wide * shape->width;
}

static const int factors[] = {500, 200, 100, 50, 20, 10, 5, 2, 1};

int end_factor_below(int factor)
{
    for (size_t k = 0; k < sizeof factors / sizeof *factors; k++)
        if (factors[k] < factor)
            return factors[k];
    return 1;
}

int end_factor(size_t n, const struct end_shape shape[], double steepest)
{
    int factor = factors[0];
    double most = 0;

    for (size_t i = 0; i < n; i++) {
        most = fmax(most, fmax(fabs(shape[i].lean_back), fabs(shape[i].lean_front)));
        most = fmax(most, fabs(shape[i].slope));
    }
    /* Nothing to see at any factor. */
    if (!(most * factor > INVISIBLE))
        return 1;
    for (size_t i = 0; i < n; i++)
        while (factor > 1 && !fits(&shape[i], factor, steepest))
            factor = end_factor_below(factor);
    return factor;
}
