/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/wall.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* Behind the line through stations i and j, mm. */
static double behind(const struct bt_wall_station s[], size_t i, size_t j, size_t k)
{
    const double t = (s[k].at - s[i].at) / (s[j].at - s[i].at);

    return s[k].offset - (s[i].offset + t * (s[j].offset - s[i].offset));
}

/* u of that. */
static double behind_u(const struct bt_wall_station s[], size_t i, size_t j, size_t k)
{
    const double t = (s[k].at - s[i].at) / (s[j].at - s[i].at);

    return hypot(s[k].u, hypot((1 - t) * s[i].u, t * s[j].u));
}

/* The next corner of the hull after i on the side of sign: +1 what stands out into the
 * opening, -1 what lies deepest. */
static size_t hull_next(const struct bt_wall_profile *p, size_t i, double sign)
{
    size_t best = i + 1;

    for (size_t k = i + 2; k < p->n; k++)
        if (sign * behind(p->station, i, best, k) <= 0)
            best = k;
    return best;
}

/* The station farthest from the line through i and j, on the other side of it. */
static size_t farthest(const struct bt_wall_profile *p, size_t i, size_t j, double sign)
{
    size_t far = i;
    double most = 0;

    for (size_t k = 0; k < p->n; k++)
        if (sign * behind(p->station, i, j, k) > most) {
            most = sign * behind(p->station, i, j, k);
            far = k;
        }
    return far;
}

/* The width of a zone as a function of its slope is convex and bends at the slopes of
 * the hull's edges: the least is at one of them. */
static void find_zone(struct bt_wall_profile *p)
{
    double least = INFINITY, sign_there = 1;

    for (int side = 0; side < 2; side++) {
        const double sign = side ? -1 : 1;

        for (size_t i = 0, j; i + 1 < p->n; i = j) {
            size_t k;
            double width;

            j = hull_next(p, i, sign);
            k = farthest(p, i, j, sign);
            width = k == i ? 0 : sign * behind(p->station, i, j, k);
            if (!(width < least))
                continue;
            least = width;
            sign_there = sign;
            p->zone_at[0] = i;
            p->zone_at[1] = j;
            p->zone_at[2] = k;
        }
    }
    p->zone = (struct bt_measured){
        least, behind_u(p->station, p->zone_at[0], p->zone_at[1], p->zone_at[2]), true};
    for (size_t k = 0; k < p->n; k++) {
        const double depth = behind(p->station, p->zone_at[0], p->zone_at[1], k);

        /* from the line along the deepest places */
        p->station[k].scribe = fmax(0, sign_there > 0 ? least - depth : -depth);
    }
}

static void find_home(struct bt_wall_profile *p)
{
    const double middle = (p->station[0].at + p->station[p->n - 1].at) / 2;
    double most = -1;

    for (size_t i = 0, j; i + 1 < p->n; i = j) {
        size_t k;
        double gap;

        j = hull_next(p, i, 1);
        if (!(p->station[i].at <= middle && p->station[j].at >= middle))
            continue;
        k = farthest(p, i, j, 1);
        gap = k == i ? 0 : behind(p->station, i, j, k);
        /* Over a high point in the very middle it rocks: the worse of the two. */
        if (!(gap > most))
            continue;
        most = gap;
        p->rest[0] = i;
        p->rest[1] = j;
        p->widest = k;
    }
    p->home = (struct bt_measured){
        most, behind_u(p->station, p->rest[0], p->rest[1], p->widest), true};
    for (size_t k = 0; k < p->n; k++)
        p->station[k].home = fmax(0, behind(p->station, p->rest[0], p->rest[1], k));
}

/* Where a reading belongs: its place, or where it has to be put in. */
static size_t find_place(const struct bt_wall_profile *p, double at)
{
    size_t k = 0;

    while (k < p->n && p->station[k].at < at)
        k++;
    return k;
}

static void add(struct bt_wall_profile *p, double at, double reading, double u)
{
    const size_t k = find_place(p, at);
    struct bt_wall_station *s = &p->station[k];

    if (k < p->n && s->at == at) {
        const double w = 1 / (s->u * s->u), w2 = 1 / (u * u);

        s->offset = (w * s->offset + w2 * reading) / (w + w2);
        s->u = 1 / sqrt(w + w2);
        return;
    }
    memmove(s + 1, s, (p->n - k) * sizeof *s);
    *s = (struct bt_wall_station){at, reading, u, NAN, NAN};
    p->n++;
}

static void take_line_off(struct bt_wall_profile *p)
{
    const struct bt_wall_station first = p->station[0], last = p->station[p->n - 1];

    for (size_t k = 0; k < p->n; k++) {
        const double t =
            p->n > 1 ? (p->station[k].at - first.at) / (last.at - first.at) : 0;

        p->station[k].offset -= first.offset + t * (last.offset - first.offset);
    }
}

enum bt_status bt_wall_profile_find(size_t n, const double at[], const double reading[],
                                    const double u[], struct bt_wall_profile *out,
                                    struct bt_error *err)
{
    memset(out, 0, sizeof *out);
    out->zone = out->home = (struct bt_measured){NAN, NAN, false};
    for (size_t i = 0; i < n; i++)
        if (!isfinite(at[i]) || !isfinite(reading[i]) || !(u[i] > 0) || isinf(u[i]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "a place, offset or uncertainty of a wall is no number "
                                "that can be used");
    if (n == 0)
        return BT_OK;
    out->station = bt_alloc(n, sizeof *out->station);
    if (!out->station)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (size_t i = 0; i < n; i++)
        add(out, at[i], reading[i], u[i]);
    take_line_off(out);
    if (out->n >= 3) {
        find_zone(out);
        find_home(out);
    }
    return BT_OK;
}

double bt_wall_profile_at(const struct bt_wall_profile *profile, double at)
{
    size_t k;

    if (!profile || profile->n < 2 || !(at > profile->station[0].at) ||
        !(at < profile->station[profile->n - 1].at))
        return 0;
    k = find_place(profile, at);
    return profile->station[k].offset +
           (profile->station[k].offset - profile->station[k - 1].offset) *
               (at - profile->station[k].at) /
               (profile->station[k].at - profile->station[k - 1].at);
}

void bt_wall_profile_clear(struct bt_wall_profile *profile)
{
    if (!profile)
        return;
    bt_free(profile->station);
    memset(profile, 0, sizeof *profile);
}
