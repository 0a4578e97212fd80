/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/clamping_case.h"

#include <criterion/criterion.h>
#include <math.h>

static const double table_width[] = {118, 131, 96.5, 142, 127, 109};
const struct bt_clamp_kind bars = {
    .count = 12, .force = 3100, .opening = 1200, .offset = 6.5, .pad = 38};
const struct bt_clamp_kind light = {
    .count = 5, .force = 1200, .opening = NAN, .offset = NAN, .pad = 25};

struct bt_clamping_request ask(size_t nkind, const struct bt_clamp_kind kind[])
{
    return (struct bt_clamping_request){.nboard = 6,
                                        .width = table_width,
                                        .length = 1430,
                                        .thickness = 23.5,
                                        .density = 655,
                                        .E_across = 820,
                                        .caul = 30,
                                        .nkind = nkind,
                                        .kind = kind,
                                        .pressure = NAN,
                                        .open_time = 5,
                                        .spread_time = 0.6,
                                        .place_time = 0.25};
}

struct bt_clamping plan_of(const struct bt_clamping_request *request)
{
    struct bt_clamping plan = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_clamping_plan(request, &plan, &err), BT_OK, "%s", err.message);
    return plan;
}

void expect_near(double got, double want, double share, const char *what)
{
    cr_expect(fabs(got - want) <= share * fabs(want), "%s: %.12g, not %.12g", what, got,
              want);
}
