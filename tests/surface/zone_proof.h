/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_ZONE_PROOF_H
#define BENCHTRUE_TESTS_ZONE_PROOF_H

#include "benchtrue/surface/zone.h"

/*
 * Proof that a zone is the vertical optimum, from the contacts and the points alone:
 * weights of either sign with sum weight (1, x, y) = 0 over the four contacts agree
 * with their sides, so that no planes hold even these four in less than
 * 2 |sum weight z| / sum |weight|; and the planes found hold all points in as much.
 * `tolerance` for both, mm.  Returns NULL, or what is not proved.
 */
const char *zone_not_proved(size_t n, const struct bt_point p[], const double z[],
                            const struct bt_zone *zone, double tolerance);

/* Places, heights and room of a case. */
enum { CASE_ROOM = 4800 };

struct zone_case {
    size_t n;
    struct bt_point p[CASE_ROOM];
    double z[CASE_ROOM];
};

/* 0 to 1: linear congruential sequence with the constants of D. E. Knuth's MMIX, from
 * memory. */
double zone_next(unsigned long long *state);

/* Highest less lowest height over the least-squares plane, mm. */
double zone_least_squares_range(const struct zone_case *c);

#endif
