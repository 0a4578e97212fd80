/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lower face in the frame of the upper. */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "judge/removal_private.h"

void bt_removal_under_clear(struct bt_removal_under *under)
{
    if (!under)
        return;
    bt_free(under->p);
    bt_free(under->z);
    bt_free(under->u);
    bt_free(under->from);
    memset(under, 0, sizeof *under);
}

static bool make_room(struct bt_removal_under *under, size_t n)
{
    memset(under, 0, sizeof *under);
    under->misfit = NAN;
    under->p = bt_alloc(n, sizeof *under->p);
    under->z = bt_alloc(n, sizeof *under->z);
    under->u = bt_alloc(n, sizeof *under->u);
    under->from = bt_alloc(n, sizeof *under->from);
    return under->p && under->z && under->u && under->from;
}

static void forget_u(struct bt_removal_under *under)
{
    bt_free(under->u);
    under->u = NULL;
}

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "no memory for the lower face");
}

static enum bt_status check_readings(size_t n, const struct bt_thickness_reading r[],
                                     double same, struct bt_error *err)
{
    if (!(same >= 0.0) || !isfinite(same))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the distance of places that are one is not a finite "
                            "number from 0 up");
    for (size_t i = 0; i < n; i++)
        if (!isfinite(r[i].at.x) || !isfinite(r[i].at.y) || !(r[i].thickness > 0.0) ||
            !isfinite(r[i].thickness) || r[i].u < 0.0 || isinf(r[i].u))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "thickness %zu is not a finite place with a thickness "
                                "above 0 and a u from 0 up",
                                i + 1);
    return BT_OK;
}

/* The nearest place of a face, n if none is within `same`.  With mirror not NaN y is
 * mirror - y. */
static size_t find(const struct bt_removal_face *face, double mirror,
                   struct bt_point at, double same)
{
    double least = HUGE_VAL;
    size_t found = face->n;

    for (size_t i = 0; i < face->n; i++) {
        const double y = isnan(mirror) ? face->p[i].y : mirror - face->p[i].y;
        const double d = hypot(face->p[i].x - at.x, y - at.y);

        if (d <= same && d < least) {
            least = d;
            found = i;
        }
    }
    return found;
}

enum bt_status bt_removal_underside(const struct bt_removal_face *top, size_t n,
                                    const struct bt_thickness_reading reading[],
                                    double same, struct bt_removal_under *under,
                                    struct bt_error *err)
{
    struct bt_removal_under made;
    enum bt_status status = removal_check(top, "", err);
    bool known = top->u;

    if (status == BT_OK)
        status = check_readings(n, reading, same, err);
    if (status != BT_OK)
        return status;
    if (!make_room(&made, n))
        status = no_memory(err);
    for (size_t i = 0; i < n && status == BT_OK; i++) {
        const size_t at = find(top, NAN, reading[i].at, same);

        if (at == top->n)
            continue;
        made.p[made.n] = top->p[at];
        made.z[made.n] = top->z[at] - reading[i].thickness;
        made.u[made.n] = hypot(top->u ? top->u[at] : 0.0, reading[i].u);
        made.from[made.n++] = i;
        known = known && !isnan(reading[i].u);
    }
    if (status == BT_OK && made.n == 0)
        status = bt_error_set(err, BT_EINPUT, 0, 0,
                              "no thickness was measured at a place of the top face");
    if (status == BT_OK) {
        if (!known)
            forget_u(&made);
        *under = made;
        return BT_OK;
    }
    bt_removal_under_clear(&made);
    return status;
}

/* Where both faces and the thickness are known. */
struct tie {
    size_t n;
    struct bt_point *p;
    double *differ; /* what the bottom's heights, negated, lack */
    struct bt_plane plane;
};

static enum bt_status fit_tie(struct tie *tie, double *misfit, struct bt_error *err)
{
    double sum = 0.0;
    enum bt_status status;

    if (tie->n < 3)
        return bt_error_set(err, BT_EINPUT, tie->n, 0,
                            "%zu thickness readings lie at places of both faces, three "
                            "would do",
                            tie->n);
    status = bt_plane_fit(tie->n, tie->p, tie->differ, &tie->plane, tie->differ, err);
    if (status == BT_ESINGULAR)
        return bt_error_set(err, BT_ESINGULAR, 0, 0,
                            "the thickness readings lie on one line");
    if (status != BT_OK)
        return status;
    for (size_t i = 0; i < tie->n; i++)
        sum += tie->differ[i] * tie->differ[i];
    *misfit = tie->n > 3 ? sqrt(sum / (double)(tie->n - 3)) : NAN;
    return BT_OK;
}

static enum bt_status make_tie(const struct bt_removal_face *top,
                               const struct bt_removal_face *bottom, double width,
                               size_t n, const struct bt_thickness_reading reading[],
                               double same, struct tie *tie)
{
    tie->p = bt_alloc(n, sizeof *tie->p);
    tie->differ = bt_alloc(n, sizeof *tie->differ);
    if (!tie->p || !tie->differ)
        return BT_ENOMEM;
    for (size_t i = 0; i < n; i++) {
        const size_t a = find(top, NAN, reading[i].at, same);
        const size_t b = find(bottom, width, reading[i].at, same);

        if (a == top->n || b == bottom->n)
            continue;
        tie->p[tie->n] = reading[i].at;
        tie->differ[tie->n++] = top->z[a] - reading[i].thickness + bottom->z[b];
    }
    return BT_OK;
}

static void turn(const struct bt_removal_face *bottom, double width,
                 const struct bt_plane *tie, struct bt_removal_under *under)
{
    under->n = bottom->n;
    for (size_t i = 0; i < bottom->n; i++) {
        const struct bt_point p = {bottom->p[i].x, width - bottom->p[i].y};

        under->p[i] = p;
        under->z[i] = tie->a + tie->b * p.x + tie->c * p.y - bottom->z[i];
        under->u[i] = bottom->u ? bottom->u[i] : 0.0;
        under->from[i] = i;
    }
    if (!bottom->u)
        forget_u(under);
}

enum bt_status bt_removal_turned(const struct bt_removal_face *top,
                                 const struct bt_removal_face *bottom, double width,
                                 size_t n, const struct bt_thickness_reading reading[],
                                 double same, struct bt_removal_under *under,
                                 struct bt_error *err)
{
    struct bt_removal_under made = {0};
    struct tie tie = {0};
    double misfit = NAN;
    enum bt_status status = removal_check(top, "", err);

    if (status == BT_OK)
        status = removal_check(bottom, "bottom: ", err);
    if (status == BT_OK && !(width > 0.0 && isfinite(width)))
        status = bt_error_set(err, BT_EINPUT, 0, 0,
                              "the width is not a finite number above 0");
    if (status == BT_OK)
        status = check_readings(n, reading, same, err);
    if (status == BT_OK) {
        status = make_tie(top, bottom, width, n, reading, same, &tie);
        if (status == BT_OK)
            status = fit_tie(&tie, &misfit, err);
        if (status == BT_OK && !make_room(&made, bottom->n))
            status = BT_ENOMEM;
        if (status == BT_ENOMEM)
            no_memory(err);
    }
    bt_free(tie.p);
    bt_free(tie.differ);
    if (status != BT_OK) {
        bt_removal_under_clear(&made);
        return status;
    }
    turn(bottom, width, &tie.plane, &made);
    made.misfit = misfit;
    *under = made;
    return BT_OK;
}
