/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_CLAMPING_CASE_H
#define BENCHTRUE_TESTS_CLAMPING_CASE_H

#include "benchtrue/joint/clamping.h"

/* A reading-room table of ash, six boards, for the tests of glue-up. */

extern const struct bt_clamp_kind bars;  /* strong, with a screw line off the middle */
extern const struct bt_clamp_kind light; /* weak, any opening, offset not known */

struct bt_clamping_request ask(size_t nkind, const struct bt_clamp_kind kind[]);

/* The plan; the test ends where there is none. */
struct bt_clamping plan_of(const struct bt_clamping_request *request);

void expect_near(double got, double want, double share, const char *what);

#endif
