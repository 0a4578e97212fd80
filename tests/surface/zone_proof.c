/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "zone_proof.h"

#include <math.h>
#include <stdlib.h>

typedef long double real;

static real area(struct bt_point a, struct bt_point b, struct bt_point c)
{
    return ((real)b.x - a.x) * ((real)c.y - a.y) -
           ((real)c.x - a.x) * ((real)b.y - a.y);
}

/* Least separation of the four alone, and their sides: NULL or what is wrong. */
static const char *check_contacts(const struct bt_point p[], const double z[],
                                  const struct bt_zone *zone, real *width)
{
    const struct bt_zone_contact *k = zone->contact;
    const struct bt_point a = p[k[0].point], b = p[k[1].point], c = p[k[2].point],
                          d = p[k[3].point];
    const real weight[4] = {area(b, c, d), -area(a, c, d), area(a, b, d),
                            -area(a, b, c)};
    real sum = 0.0L, height = 0.0L;
    int above = 0;

    for (int i = 0; i < 4; i++) {
        sum += fabsl(weight[i]);
        height += weight[i] * ((real)z[k[i].point] - z[k[0].point]);
        above += k[i].side > 0;
        if (k[i].side != 1 && k[i].side != -1)
            return "a contact has no side";
    }
    if (!(sum > 0.0L))
        return "the contacts are on one line";
    for (int i = 0; i < 4; i++)
        if (!(k[i].side * weight[i] * (height < 0.0L ? -1 : 1) >= -1e-12L * sum))
            return "a contact is on the wrong side";
    if (zone->kind != (above == 3   ? BT_ZONE_3_1
                       : above == 1 ? BT_ZONE_1_3
                                    : BT_ZONE_2_2) ||
        above < 1 || above > 3)
        return "the kind is not that of the contacts";
    *width = 2.0L * fabsl(height) / sum;
    return NULL;
}

const char *zone_not_proved(size_t n, const struct bt_point p[], const double z[],
                            const struct bt_zone *zone, double tolerance)
{
    real width, low = INFINITY, high = -INFINITY, at[4];
    const char *wrong;

    if (zone->ncontact != 4)
        return "there are not four contacts";
    wrong = check_contacts(p, z, zone, &width);
    if (wrong)
        return wrong;
    for (size_t i = 0; i < n; i++) {
        const real r = z[i] - ((real)zone->middle.a + (real)zone->middle.b * p[i].x +
                               (real)zone->middle.c * p[i].y);
        low = fminl(low, r);
        high = fmaxl(high, r);
        for (int k = 0; k < 4; k++)
            if (zone->contact[k].point == i)
                at[k] = r;
    }
    if (!(high - low <= zone->vertical + (real)tolerance))
        return "points stick out";
    for (int k = 0; k < 4; k++)
        if (!(fabsl(at[k] - (zone->contact[k].side > 0 ? high : low)) <=
              (real)tolerance))
            return "a contact does not touch";
    if (!(fabsl((real)zone->vertical - width) <= (real)tolerance))
        return "the contacts could be closer";
    if (!(zone->gap >= 0.0) || !(zone->gap <= tolerance))
        return "the certificate has a gap";
    return NULL;
}

double zone_next(unsigned long long *state)
{
    *state =
        (*state * 6364136223846793005u + 1442695040888963407u) & 0xFFFFFFFFFFFFFFFFu;
    return (double)(*state >> 11) / 9007199254740992.0;
}

double zone_least_squares_range(const struct zone_case *c)
{
    double *r = malloc(c->n * sizeof *r), low = INFINITY, high = -INFINITY;
    struct bt_plane plane;

    if (!r || bt_plane_fit(c->n, c->p, c->z, &plane, r, NULL) != BT_OK) {
        free(r);
        return NAN;
    }
    for (size_t i = 0; i < c->n; i++) {
        low = fmin(low, r[i]);
        high = fmax(high, r[i]);
    }
    free(r);
    return high - low;
}
