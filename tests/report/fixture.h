/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_REPORT_FIXTURE_H
#define TESTS_REPORT_FIXTURE_H

#include "benchtrue/report/result.h"

/*
 * An evaluated set built by hand, so that texts are tested without the adjustment:
 * nine places on a cherry shelf of 800 x 300 x 20 mm, read as gaps; bow 0.31 mm
 * crowned, cup 1.234 mm hollow, twist 0.85 mm with A and C high, range 1.9 mm, zone
 * 1.86 mm, gap 1.216 mm under 800 mm across at the left end.  All numbers are invented.
 * Texts and arrays live inside the struct; point nothing at it after it has moved.
 */
enum { FIXTURE_POINTS = 9 };

struct fixture {
    struct bt_job job;
    struct bt_set set;
    struct bt_network net;
    struct bt_point point[FIXTURE_POINTS];
    struct bt_obs obs[FIXTURE_POINTS];
    struct bt_source source[FIXTURE_POINTS];
    double z[FIXTURE_POINTS], u[FIXTURE_POINTS], score[FIXTURE_POINTS];
    char *file[1];
    struct bt_kink kink[2];
    struct bt_set_result result;
};

/* No limits, no unseen shapes, no suspects. */
void fixture_init(struct fixture *fixture);

/* Limit a figure of the fixture and judge it. */
void fixture_limit(struct fixture *fixture, enum bt_figure figure, double limit);

/* Two joints, at y 100 mm a crowned kink and at y 200 mm a larger hollow one, unseen
 * where the preference is. */
void fixture_joints(struct fixture *fixture, enum bt_facets_preferred preferred);

/* Make a figure unseen. */
void fixture_hide(struct fixture *fixture, enum bt_figure figure);

#endif
