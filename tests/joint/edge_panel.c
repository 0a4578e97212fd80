/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/edge_panel.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

double next(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / 16777216.0;
}

void make_panel(struct panel *p, size_t n, uint32_t seed, bool equal, double taper)
{
    memset(p, 0, sizeof *p);
    p->n = n;
    for (size_t i = 0; i < n; i++) {
        p->strip[i] = (struct bt_strip){equal ? 100 : 60 + 90 * next(&seed), 25,
                                        taper * (2 * next(&seed) - 1)};
        p->rule[i].against_grain_allowed = true;
    }
    p->request =
        (struct bt_edge_plan_request){.nboard = n,
                                      .strip = p->strip,
                                      .rule = p->rule,
                                      .errors = {.e = 0.1 * 0.017453292519943295},
                                      .pattern = BT_PATTERN_BEST,
                                      .cup_step = 0.01,
                                      .kink_step = 1e-5};
}

struct bt_edge_plan find(const struct panel *p)
{
    struct bt_edge_plan plan = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_edge_plan_find(&p->request, &plan, &err), BT_OK, "%s", err.message);
    return plan;
}

double whole(double size, double step)
{
    return floor(fabs(size) / step + ldexp(1, -20));
}
