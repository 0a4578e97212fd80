/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/plan_private.h"

/* Stations stand no farther apart than this, mm, where their number allows: a bend
 * between two of them is not seen (common practice, no source). */
#define WIDEST 400.0

/* Narrower than this, mm, three stations across will do. */
#define NARROW 250.0

/* A station moves to where readings were taken within this share of a step. */
#define NEAR 0.3

/* Down to a whole step; the allowance keeps 300 from becoming 299.9 where 300/step
 * falls short. */
static double whole(double at, double step)
{
    return floor(at / step + 1e-6) * step;
}

size_t plan_stations(double length, double step, double widest, size_t least,
                     double out[PLAN_STATIONS])
{
    double pitch;
    size_t n = least;

    while (n < 17 && length / (double)(n - 1) > widest)
        n = 2 * n - 1;
    /* All steps alike, what is left over at both ends: so that places corner to corner
     * lie on a straight line.  Where rounding bends it, shapes would seem to be seen
     * that are not. */
    pitch = whole(length / (double)(n - 1), step);
    for (size_t i = 0; i < n; i++)
        out[i] =
            whole((length - (double)(n - 1) * pitch) / 2, step) + pitch * (double)i;
    return n;
}

/* Half foot distances, centred; 0 where the bar does not fit, or there would be too
 * many. */
static size_t bar_stations(double length, double reach, double step,
                           double out[PLAN_STATIONS])
{
    const double half = reach / 2;
    const double steps = floor(length / half + 1e-9);

    if (!(steps >= 2) || !(steps < PLAN_STATIONS))
        return 0;
    for (size_t i = 0; i <= (size_t)steps; i++)
        out[i] = whole((length - steps * half) / 2, step) + half * (double)i;
    return (size_t)steps + 1;
}

static double coordinate(const struct bt_point *p, int axis)
{
    return axis ? p->y : p->x;
}

/* Move each station to the place, near it, where most readings were taken. */
static void follow_taken(const struct bt_readings *taken, int axis, size_t n,
                         double at[])
{
    for (size_t i = 0; i < n; i++) {
        const double room = NEAR * fmin(i ? at[i] - at[i - 1] : HUGE_VAL,
                                        i + 1 < n ? at[i + 1] - at[i] : HUGE_VAL);
        double best = at[i];
        size_t most = 0;

        for (size_t p = 0; p < taken->npoint; p++) {
            const double here = coordinate(&taken->point[p], axis);
            size_t count = 0;
            if (!(fabs(here - at[i]) <= room))
                continue;
            for (size_t q = 0; q < taken->npoint; q++)
                count += fabs(coordinate(&taken->point[q], axis) - here) <= 1e-9;
            if (count > most ||
                (count == most && fabs(here - at[i]) < fabs(best - at[i]))) {
                most = count;
                best = here;
            }
        }
        if (most > 1)
            at[i] = best;
    }
}

/* The point at a place: one that was taken, where it is near enough, else a new one. */
static size_t point_at(struct plan_world *w, double x, double y)
{
    size_t nearest = w->npoint;
    double least = w->request->same_point;

    for (size_t p = 0; p < w->ntaken; p++) {
        const double d = hypot(w->point[p].x - x, w->point[p].y - y);
        if (d < least || d <= 0) {
            least = d;
            nearest = p;
        }
    }
    if (nearest == w->npoint)
        w->point[w->npoint++] = (struct bt_point){x, y};
    return nearest;
}

static enum bt_status lay_grid(struct plan_world *w)
{
    const struct bt_readings *taken = w->request->taken;

    w->ntaken = taken ? taken->npoint : 0;
    w->point = bt_alloc(w->ntaken + w->nx * w->ny, sizeof *w->point);
    w->grid = bt_alloc(w->nx * w->ny, sizeof *w->grid);
    if (!w->point || !w->grid)
        return BT_ENOMEM;
    if (w->ntaken)
        memcpy(w->point, taken->point, w->ntaken * sizeof *w->point);
    w->npoint = w->ntaken;
    for (size_t j = 0; j < w->ny; j++)
        for (size_t i = 0; i < w->nx; i++)
            w->grid[j * w->nx + i] = point_at(w, w->x[i], w->y[j]);
    return BT_OK;
}

/*
 * Stations that the reach of an instrument calls for along a side: it lies over four,
 * so that two placements have two in common and each goes two farther.  One that is
 * long enough for the side does not need them close.  other: the other side, which a
 * set-up spans as a whole.
 */
static double widest_step(const struct bt_plan_request *request, const bool use[],
                          double length, double other)
{
    double widest = WIDEST;

    for (size_t k = 0; k < request->ninstrument; k++) {
        const struct bt_plan_instrument *i = &request->instrument[k];
        double reach = i->reach;

        if (i->kind == BT_PLAN_SETUP)
            reach = sqrt(fmax(0, reach * reach - other * other));
        else if (i->kind != BT_PLAN_LINE)
            continue;
        if (use[k] && reach > 0 && reach < length)
            widest = fmin(widest, reach / 3);
    }
    return widest;
}

static size_t even_stations(const struct bt_plan_request *request, const bool use[],
                            double length, double other, double out[PLAN_STATIONS])
{
    return plan_stations(length, request->step,
                         widest_step(request, use, length, other),
                         length <= NARROW ? 3 : 5, out);
}

enum bt_status plan_world_build(const struct bt_plan_request *request, const bool use[],
                                size_t bar, struct plan_world *world)
{
    enum bt_status status;

    memset(world, 0, sizeof *world);
    world->request = request;
    if (bar < request->ninstrument) {
        const double reach = request->instrument[bar].reach;
        world->nx = bar_stations(request->length, reach, request->step, world->x);
        world->ny = bar_stations(request->width, reach, request->step, world->y);
        if (!world->nx || !world->ny)
            return BT_OK; /* no option */
    } else {
        world->nx =
            even_stations(request, use, request->length, request->width, world->x);
        world->ny =
            even_stations(request, use, request->width, request->length, world->y);
        if (request->taken) {
            follow_taken(request->taken, 0, world->nx, world->x);
            follow_taken(request->taken, 1, world->ny, world->y);
        }
    }
    status = lay_grid(world);
    for (size_t k = 0; k < request->ninstrument && status == BT_OK; k++)
        if (use[k] && (request->instrument[k].kind != BT_PLAN_BAR || k == bar))
            status = plan_options_add(world, k);
    return status;
}

void plan_world_clear(struct plan_world *world)
{
    bt_free(world->point);
    bt_free(world->grid);
    bt_free(world->option);
    bt_free(world->place);
    memset(world, 0, sizeof *world);
}
