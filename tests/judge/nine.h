/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_JUDGE_NINE_H
#define TESTS_JUDGE_NINE_H

#include <criterion/criterion.h>
#include <math.h>

#include "benchtrue/judge/removal.h"

static inline void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

/* Three by three places, 100 mm apart, on a panel 200 mm by 200 mm. */
enum { NINE = 9 };

struct nine {
    struct bt_point p[NINE];
    double z[NINE], u[NINE];
};

static inline struct nine square(const double z[NINE])
{
    struct nine s;

    for (size_t i = 0; i < NINE; i++) {
        s.p[i] = (struct bt_point){100.0 * (double)(i % 3), 100.0 * (double)(i / 3)};
        s.z[i] = z[i];
        s.u[i] = 0.02;
    }
    return s;
}

/* The same a little out of their places, so that no two planes are as good. */
static inline struct nine scattered(const double z[NINE])
{
    static const double off[NINE] = {3, -7, 11, 5, -9, 2, -4, 13, 8};
    struct nine s = square(z);

    for (size_t i = 0; i < NINE; i++) {
        s.p[i].x += off[i];
        s.p[i].y -= off[(i + 4) % NINE];
    }
    return s;
}

static inline struct bt_removal_face face(const struct nine *s)
{
    return (struct bt_removal_face){NINE, s->p, s->z, s->u, NULL};
}

/* Hollow: the middle 1 mm under the corners, mid-sides 0.5.  Every plane under it that
 * touches the middle removes the same: 8 places, 4 + 4/2 = 6 mm, 6/9 on average.  The
 * level one removes least at its worst: 1 mm, at a corner. */
static const double hollow[NINE] = {1, 0.5, 1, 0.5, 0, 0.5, 1, 0.5, 1};

static const struct bt_thickness_reading caliper[] = {{{1.0, 0.0}, 24.0, 0.05},
                                                      {{200.0, 0.5}, 24.3, 0.05},
                                                      {{0.0, 199.0}, 24.1, 0.05},
                                                      {{200.0, 200.0}, 23.9, 0.05},
                                                      {{50.0, 50.0}, 99.0, 0.05}};

#endif
