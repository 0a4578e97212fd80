/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Minimum zone.  A small set of points is solved exactly; a pass over all points adds
 * those that stick out, until none does: then the planes of the set are those of all
 * points, and its four contacts prove it.  The set starts as a sample, so that the
 * first pass already finds the neighbourhood of the contacts.
 */
#include "benchtrue/surface/zone.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "zone_private.h"

/* Points of the first set: few beside a scan, many beside the contacts.  To them come
 * the first, the last and one far off their line. */
enum { SAMPLE = 1024, MORE = 3, CONTACTS = 4 };

/* One in so many of a sample is enough for the base of a frame. */
enum { EACH = 8 };

/* Far more passes and levellings than were ever needed; both stop by themselves. */
enum { PASSES = 100, LEVELLINGS = 50 };

/* The triangle that scales the frame may be this much narrower than it is long, before
 * a wider one is looked for among all points. */
static const double narrow = 1.0 / 64.0;

/* Squares of coordinates, and sums of a few, must be numbers. */
static const double largest_square = 1e150;

/* Everything that is made on the way. */
struct zone_work {
    struct zone_data data;
    struct zone_extent extent;
    size_t chosen[SAMPLE + MORE], count, corner[3];
    double origin[3]; /* near the middle of the points, mm */
    double size;      /* of the coordinates x and y, mm */
    struct zone_frame frame;
    struct zone_set set;
    struct zone_basis basis;
    struct zone_planes planes;
    struct zone_pass pass;
    size_t passes;
};

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "out of memory");
}

static enum bt_status too_large(struct bt_error *err)
{
    return bt_error_set(err, BT_EINPUT, 0, 0,
                        "the numbers are too large to compute with");
}

static enum bt_status on_one_line(size_t n, struct bt_error *err)
{
    return bt_error_set(err, BT_ESINGULAR, 0, 0,
                        "all %zu points lie on one line, a zone needs one beside it",
                        n);
}

/*
 * One point of each of SAMPLE stretches, at a place in it that differs by the golden
 * section from one to the next: a regular step could fall on the same column of a
 * grid every time.  All points where they are few.
 */
static void choose(struct zone_work *w)
{
    const uint64_t golden = 0x9E3779B97F4A7C15u;
    const size_t n = w->data.n;
    const double stretch = (double)n / SAMPLE;

    if (n <= SAMPLE) {
        for (; w->count < n; w->count++)
            w->chosen[w->count] = w->count;
        return;
    }
    for (; w->count < SAMPLE; w->count++) {
        const double within =
            (double)((golden * (uint64_t)w->count) >> 11) / 9007199254740992.0;
        const size_t point = (size_t)(((double)w->count + within) * stretch);
        w->chosen[w->count] = point < n ? point : n - 1;
    }
    w->chosen[w->count++] = 0;
    w->chosen[w->count++] = n - 1;
}

/* A triangle as wide as the chosen points: the ends along the longer side of their box,
 * and the one farthest from the line between them, or of all points where those are
 * nearly on it. */
static void find_corners(struct zone_work *w)
{
    const struct zone_data *d = &w->data;
    size_t end[4] = {0, 0, 0, 0}, axis, *corner = w->corner;
    double far, half[2];

    for (size_t i = 0; i < w->count; i++) {
        const size_t k = w->chosen[i];
        end[0] = d->p[k].x < d->p[end[0]].x ? k : end[0];
        end[1] = d->p[k].x > d->p[end[1]].x ? k : end[1];
        end[2] = d->p[k].y < d->p[end[2]].y ? k : end[2];
        end[3] = d->p[k].y > d->p[end[3]].y ? k : end[3];
    }
    half[0] = 0.5 * d->p[end[1]].x - 0.5 * d->p[end[0]].x;
    half[1] = 0.5 * d->p[end[3]].y - 0.5 * d->p[end[2]].y;
    w->origin[0] = d->p[end[0]].x + half[0];
    w->origin[1] = d->p[end[2]].y + half[1];
    w->origin[2] = d->z[0];
    w->size = fmax(fabs(w->origin[0]) + half[0], fabs(w->origin[1]) + half[1]);
    axis = half[0] < half[1] ? 2 : 0;
    corner[0] = end[axis];
    corner[1] = end[axis + 1];
    corner[2] = zone_farthest(d, corner[0], corner[1], w->count, w->chosen, &far);
    if (far > narrow * fmax(half[0], half[1]))
        return;
    corner[2] = zone_farthest(d, corner[0], corner[1], 0, NULL, &far);
    if (d->n > SAMPLE)
        w->chosen[w->count++] = corner[2];
}

static void base_point(const struct zone_work *w, size_t point, struct bt_point place[],
                       double height[], size_t m)
{
    const struct zone_place at =
        zone_place(&w->frame, w->data.p[point].x, w->data.p[point].y, w->data.z[point]);

    place[m] = (struct bt_point){at.u, at.v};
    height[m] = at.h;
}

/* Take the least-squares plane of the chosen points off the heights: what is left has
 * few digits to lose, however high or steep the points lie.  Of a sample some do, with
 * the corners, which are well apart in (u, v). */
static enum bt_status take_base(struct zone_work *w, struct bt_error *err)
{
    const size_t step = w->data.n > SAMPLE ? EACH : 1;
    struct bt_point place[SAMPLE + MORE];
    double height[SAMPLE + MORE];
    struct bt_plane plane;
    enum bt_status status;
    size_t m = 0;

    for (size_t i = 0; i < w->count; i += step)
        base_point(w, w->chosen[i], place, height, m++);
    for (size_t j = 0; j < 3 && step > 1; j++)
        base_point(w, w->corner[j], place, height, m++);
    status = bt_plane_fit(m, place, height, &plane, NULL, NULL);
    if (status == BT_ESINGULAR)
        return on_one_line(w->data.n, err);
    if (status != BT_OK)
        return too_large(err);
    w->frame.base[0] = plane.a;
    w->frame.base[1] = plane.b;
    w->frame.base[2] = plane.c;
    return BT_OK;
}

static enum bt_status start(struct zone_work *w, struct bt_error *err)
{
    const double vertical[3] = {0.0, 0.0, 1.0};
    enum bt_status status;

    choose(w);
    find_corners(w);
    if (!(w->size <= largest_square))
        return too_large(err);
    if (!zone_frame_make(&w->data, w->corner, w->origin, w->size, vertical, &w->frame))
        return on_one_line(w->data.n, err);
    status = take_base(w, err);
    if (status != BT_OK)
        return status;
    for (size_t i = 0; i < w->count; i++)
        if (!zone_set_add(&w->set, &w->data, &w->frame, w->chosen[i]))
            return no_memory(err);
    w->pass.bound = bt_alloc(zone_blocks(w->data.n), sizeof *w->pass.bound);
    return w->pass.bound ? BT_OK : no_memory(err);
}

/* Bound of |axis . d| over all points. */
static double reach(const struct zone_work *w, const double axis[3])
{
    double sum = 0.0;

    for (size_t j = 0; j < 3; j++)
        sum += fabs(axis[j]) * w->extent.reach[j];
    return sum;
}

/* At most by how much a residual changes from one pair of planes to the next, with room
 * for its rounding. */
static double shift(const struct zone_work *w, const struct zone_planes *from)
{
    return fabs(w->planes.a - from->a) +
           fabs(w->planes.b - from->b) * reach(w, w->frame.along) +
           fabs(w->planes.c - from->c) * reach(w, w->frame.across) +
           4.0 * zone_slack(&w->set);
}

/* The first pass is also the first look at most of the points. */
static enum bt_status first_pass(struct zone_work *w, struct bt_error *err)
{
    for (size_t k = 0; k < zone_blocks(w->data.n); k++)
        w->pass.bound[k] = INFINITY;
    w->pass.shift = 0.0;
    w->pass.extent = &w->extent;
    if (!zone_price(&w->data, &w->frame, &w->planes, &w->pass, &w->set))
        return no_memory(err);
    w->pass.extent = NULL;
    for (size_t j = 0; j < 3; j++)
        if (!(fabs(w->origin[j]) + w->extent.reach[j] <= largest_square))
            return too_large(err);
    return isfinite(w->pass.largest) ? BT_OK : too_large(err);
}

/* Planes of all points in the frame, from those in w->planes that the bounds are of.
 * Three points are a plane, and have no fourth that could be a contact. */
static enum bt_status solve(struct zone_work *w, bool warm, struct bt_error *err)
{
    enum bt_status status = BT_OK;

    for (size_t pass = 0; pass < PASSES; pass++) {
        const struct zone_planes from = w->planes;

        if (w->data.n > 3 && !zone_solve(&w->set, warm, &w->basis, &w->planes))
            return on_one_line(w->data.n, err);
        w->pass.shift = shift(w, &from);
        if (w->passes == 0)
            status = first_pass(w, err);
        else if (!zone_price(&w->data, &w->frame, &w->planes, &w->pass, &w->set))
            status = no_memory(err);
        if (status != BT_OK)
            return status;
        w->passes++;
        if (w->data.n == 3 || w->pass.added == 0)
            break;
        warm = true;
    }
    return BT_OK;
}

static double size_of(const double g[3])
{
    return sqrt(g[0] * g[0] + g[1] * g[1] + g[2] * g[2]);
}

static struct bt_plane middle(const struct zone_work *w)
{
    const struct zone_frame *f = &w->frame;
    const long double a = (long double)f->base[0] + w->planes.a;
    const long double b = (long double)f->base[1] + w->planes.b;
    const long double c = (long double)f->base[2] + w->planes.c;
    const long double x = b * f->along[0] + c * f->across[0];
    const long double y = b * f->along[1] + c * f->across[1];

    return (struct bt_plane){
        (double)(f->origin[2] + a - x * f->origin[0] - y * f->origin[1]), (double)x,
        (double)y};
}

static void take_contacts(const struct zone_work *w, struct bt_zone *zone)
{
    int above = 0;

    zone->ncontact = CONTACTS;
    for (int k = 0; k < CONTACTS; k++) {
        const struct zone_member *m = &w->set.member[w->basis.member[k]];
        int at = k;

        for (; at > 0 && zone->contact[at - 1].point > m->point; at--)
            zone->contact[at] = zone->contact[at - 1];
        zone->contact[at] = (struct bt_zone_contact){m->point, w->basis.side[k]};
        above += w->basis.side[k] > 0;
    }
    zone->kind = above == 3 ? BT_ZONE_3_1 : above == 1 ? BT_ZONE_1_3 : BT_ZONE_2_2;
}

/* What a pass has proved of the vertical optimum. */
static void take_vertical(const struct zone_work *w, struct bt_zone *zone)
{
    const double largest = fmax(w->pass.largest, w->planes.half);
    const double z = w->extent.height;
    double g[3], size;

    zone_gradient(&w->frame, &w->planes, g);
    size = size_of(g);
    zone->middle = middle(w);
    for (size_t j = 0; j < 3; j++)
        zone->normal[j] = g[j] / size;
    zone->kind = BT_ZONE_FLAT;
    zone->vertical = zone->gap = zone->normal_width = 0.0;
    zone->ncontact = 0;
    memset(zone->contact, 0, sizeof zone->contact);
    if (w->data.n == 3 || !(2.0 * largest > 4.0 * DBL_EPSILON * z))
        return;
    zone->vertical = 2.0 * largest;
    zone->normal_width = 2.0 * largest / size;
    zone->gap = 2.0 * (largest - w->planes.half);
    take_contacts(w, zone);
}

/*
 * The same planes seen along their normal: every residual is shorter by the size of its
 * gradient.  False if there is no such frame.
 */
static bool turn(struct zone_work *w, const double normal[3])
{
    const double wrong = zone_rounding(&w->frame, &w->planes, w->extent.reach);
    const double offset = w->frame.base[0] + w->planes.a;
    double g[3], size, room;

    zone_gradient(&w->frame, &w->planes, g);
    size = size_of(g);
    if (!zone_frame_make(&w->data, w->corner, w->origin, w->size, normal, &w->frame))
        return false;
    w->planes = (struct zone_planes){offset / size, 0.0, 0.0, w->planes.half / size};
    room = wrong / size + 2.0 * zone_rounding(&w->frame, &w->planes, w->extent.reach);
    for (size_t k = 0; k < zone_blocks(w->data.n); k++)
        w->pass.bound[k] = w->pass.bound[k] / size + room;
    return true;
}

/*
 * From the least separation in z to the least along the normal: seen along the normal
 * of the planes found, the same four contacts mostly prove the same planes; where they
 * do not, the zone is solved anew in that view.  The width never grows, and stops at
 * planes that stand.
 */
static enum bt_status level(struct zone_work *w, struct bt_zone *zone,
                            struct bt_error *err)
{
    for (int round = 0; round < LEVELLINGS; round++) {
        enum bt_status status;
        double g[3], size, width;

        if (!turn(w, zone->normal))
            break;
        for (size_t k = 0; k < CONTACTS; k++)
            zone_member_move(&w->set.member[w->basis.member[k]], &w->data, &w->frame);
        if (zone_stands(&w->set, &w->basis))
            break;
        zone_set_move(&w->set, &w->data, &w->frame);
        status = solve(w, true, NULL);
        if (status == BT_ENOMEM)
            return no_memory(err);
        if (status != BT_OK)
            break;
        zone_gradient(&w->frame, &w->planes, g);
        size = size_of(g);
        width = 2.0 * fmax(w->pass.largest, w->planes.half) / size;
        if (!(width < zone->normal_width))
            break;
        zone->normal_width = width;
        for (size_t j = 0; j < 3; j++)
            zone->normal[j] = g[j] / size;
    }
    return BT_OK;
}

static enum bt_status fit(struct zone_work *w, struct bt_zone *zone,
                          struct bt_error *err)
{
    enum bt_status status = start(w, err);
    bool over;

    if (status == BT_OK)
        status = solve(w, false, err);
    if (status != BT_OK)
        return status;
    take_vertical(w, zone);
    zone->passes = w->passes;
    if (zone->kind == BT_ZONE_FLAT)
        return BT_OK;
    status = level(w, zone, err);
    /* A steep body may have been levelled over its edge. */
    over = zone->normal[2] < 0.0;
    for (size_t j = 0; j < 3 && over; j++)
        zone->normal[j] = -zone->normal[j];
    return status;
}

/* Not finite is the cause, whatever else then seemed wrong. */
static enum bt_status blame(const struct zone_data *data, enum bt_status status,
                            struct bt_error *err)
{
    size_t bad = data->n;

    if (status == BT_EINPUT || status == BT_ESINGULAR)
        bad = zone_not_finite(data);
    if (bad == data->n)
        return status;
    return bt_error_set(err, BT_EINPUT, bad, 0, "point %zu is not three finite numbers",
                        bad + 1);
}

enum bt_status bt_zone_fit(size_t n, const struct bt_point p[], const double z[],
                           struct bt_zone *zone, struct bt_error *err)
{
    struct zone_work w;
    struct bt_zone found;
    enum bt_status status;

    if (n < 3)
        return bt_error_set(err, BT_EINPUT, n, 0,
                            "%zu points are too few for a zone, 3 would do", n);
    memset(&w, 0, sizeof w);
    memset(&found, 0, sizeof found);
    w.data = (struct zone_data){.n = n, .p = p, .z = z};
    status = blame(&w.data, fit(&w, &found, err), err);
    bt_free(w.pass.bound);
    bt_free(w.set.member);
    if (status == BT_OK)
        *zone = found;
    return status;
}
