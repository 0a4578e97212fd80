/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/fence_check.h"

#include <math.h>

#define RIGHT_ANGLE 1.5707963267948966

const char *bt_fence_kind_name(enum bt_fence_kind kind)
{
    switch (kind) {
    case BT_FENCE_SQUARE:
        return "square";
    case BT_FENCE_DOUBLED:
        return "doubled";
    case BT_FENCE_ANGLE:
        return "angle";
    case BT_FENCE_KINDS:
        break;
    }
    return "unknown check";
}

static bool positive(double v)
{
    return v > 0.0 && isfinite(v);
}

static bool not_negative(double v)
{
    return v >= 0.0 && isfinite(v);
}

static void square_error(const struct bt_fence_check *check, double *e, double *u)
{
    double h = check->height, g = check->gap;

    if (!positive(h) || !not_negative(g) || !positive(check->u_gap))
        return;
    *e = check->opens_at_top ? atan2(g, h) : -atan2(g, h);
    *u = check->u_gap * (h / hypot(h, g)) / hypot(h, g);
}

/* The straightedge and the two faces make a triangle; its angles at the straightedge
 * add up to the kink, which is 2 e. */
static void doubled_error(const struct bt_fence_check *check, double *e, double *u)
{
    double w1 = check->width, w2 = check->width2, g = check->gap, size;

    if (!positive(w1) || !positive(w2) || !not_negative(g) || !positive(check->u_gap) ||
        !(g < w1 && g < w2))
        return;
    size = (asin(g / w1) + asin(g / w2)) / 2.0;
    *e = check->hollow_at_fence ? size : -size;
    *u = check->u_gap / 2.0 *
         (1.0 / (w1 * sqrt(1.0 - g / w1 * (g / w1))) +
          1.0 / (w2 * sqrt(1.0 - g / w2 * (g / w2))));
}

static void angle_error(const struct bt_fence_check *check, double *e, double *u)
{
    if (!isfinite(check->reading) || !positive(check->u_reading))
        return;
    if (isnan(check->turned)) {
        *e = check->reading - RIGHT_ANGLE;
        *u = check->u_reading;
    } else if (isfinite(check->turned)) {
        *e = (check->reading - check->turned) / 2.0;
        *u = check->u_reading / sqrt(2.0);
    }
}

void bt_fence_check_error(const struct bt_fence_check *check, double *e, double *u)
{
    *e = *u = NAN;
    switch (check->kind) {
    case BT_FENCE_SQUARE:
        square_error(check, e, u);
        break;
    case BT_FENCE_DOUBLED:
        doubled_error(check, e, u);
        break;
    case BT_FENCE_ANGLE:
        angle_error(check, e, u);
        break;
    case BT_FENCE_KINDS:
        break;
    }
}

static bool near_right_angle(double reading)
{
    return fabs(reading - RIGHT_ANGLE) <= BT_FENCE_MOST_ERROR;
}

bool bt_fence_has_own(const struct bt_fence_check *check)
{
    return check->kind == BT_FENCE_SQUARE ||
           (check->kind == BT_FENCE_ANGLE && isnan(check->turned));
}

/* What is wrong with a gap and the lengths that go with it, as the words around the
 * number of the check; false where nothing is. */
static bool gap_fault(const struct bt_fence_check *check, const char **before,
                      const char **after)
{
    bool square = check->kind == BT_FENCE_SQUARE;

    if (!not_negative(check->gap)) {
        *before = "the gap of";
        *after = "is not a number of 0 or more";
    } else if (!positive(check->u_gap)) {
        *before = "the uncertainty of";
        *after = "is not a positive number";
    } else if (square && !positive(check->height)) {
        *before = "the height of";
        *after = "is not a positive number";
    } else if (!square && (!positive(check->width) || !positive(check->width2))) {
        *before = "a width of";
        *after = "is not a positive number";
    } else if (!square && !(check->gap < check->width && check->gap < check->width2)) {
        *before = "the gap of";
        *after = "is not smaller than its offcuts";
    } else {
        return false;
    }
    return true;
}

static bool angle_fault(const struct bt_fence_check *check, const char **before,
                        const char **after)
{
    if (!isfinite(check->reading) || isinf(check->turned)) {
        *before = "a reading of";
        *after = "is not a finite number";
    } else if (!positive(check->u_reading)) {
        *before = "the uncertainty of";
        *after = "is not a positive number";
    } else if (!near_right_angle(check->reading) ||
               (!isnan(check->turned) && !near_right_angle(check->turned))) {
        *before = "";
        *after = "reads more than 10 degrees off a right angle";
    } else {
        return false;
    }
    return true;
}

/* The same for any check. */
static bool check_fault(const struct bt_fence_check *check, double length,
                        const char **before, const char **after)
{
    double e, u;
    bool known = (int)check->kind >= 0 && check->kind < BT_FENCE_KINDS;

    *before = "";
    *after = "is of an unknown kind";
    if (!known)
        return true;
    if (check->kind == BT_FENCE_ANGLE ? angle_fault(check, before, after)
                                      : gap_fault(check, before, after))
        return true;
    if (!isnan(check->station) &&
        (!not_negative(check->station) || check->station > length)) {
        *before = "the station of";
        *after = "does not lie on the fence";
        return true;
    }
    if (bt_fence_has_own(check) && !not_negative(check->u_own)) {
        *before = "the own error of";
        *after = "is not a number of 0 or more";
        return true;
    }
    bt_fence_check_error(check, &e, &u);
    *after = "puts the fence more than 10 degrees out of square";
    return !(fabs(e) <= BT_FENCE_MOST_ERROR);
}

enum bt_status bt_fence_validate(const struct bt_fence_request *r, struct bt_error *err)
{
    const char *fault = NULL;

    if (r->ncheck == 0)
        fault = "there is no check of the fence";
    else if (!isnan(r->length) && !positive(r->length))
        fault = "the length of the fence is not a positive number";
    else if (!isnan(r->cutter) && (!not_negative(r->cutter) || r->cutter > r->length))
        fault = "the cutter does not lie on the fence";
    else if (!not_negative(r->same_station))
        fault = "the size of a station is not a number of 0 or more";
    else if (!(r->confidence >= 0.5 && r->confidence < 1.0))
        fault = "the confidence does not lie between 0.5 and 1";
    if (fault)
        return bt_error_set(err, BT_EINPUT, 0, 0, "%s", fault);
    if (r->ncheck > BT_FENCE_MOST_CHECKS)
        return bt_error_set(err, BT_EINPUT, BT_FENCE_MOST_CHECKS, 0,
                            "%zu checks are more than the %d that can be combined",
                            r->ncheck, BT_FENCE_MOST_CHECKS);
    for (size_t i = 0; i < r->ncheck; i++) {
        const char *before, *after;

        if (check_fault(&r->check[i], r->length, &before, &after))
            return bt_error_set(err, BT_EINPUT, i, 0, "%s%scheck %zu %s", before,
                                *before ? " " : "", i + 1, after);
    }
    return BT_OK;
}
