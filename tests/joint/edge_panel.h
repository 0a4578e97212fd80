/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_EDGE_PANEL_H
#define BENCHTRUE_TESTS_EDGE_PANEL_H

#include <stdbool.h>
#include <stdint.h>

#include "benchtrue/joint/edge_plan.h"

/* Invented panels for the tests of the edge plan. */

enum { MOST = 64 };

struct panel {
    size_t n;
    struct bt_strip strip[MOST];
    struct bt_board_rule rule[MOST];
    struct bt_edge_plan_request request; /* points into the panel: not to be copied */
};

/* Fixed, reproducible: from 0 to 1. */
double next(uint32_t *state);

/* n boards 25 thick, 100 wide or of any width, tapers up to -+taper; no rules; the best
 * pattern in steps of 0.01 mm and 1e-5 rad, e 0.1 degrees. */
void make_panel(struct panel *p, size_t n, uint32_t seed, bool equal, double taper);

/* The plan; the test fails where there is none. */
struct bt_edge_plan find(const struct panel *p);

/* Whole steps of a size. */
double whole(double size, double step);

#endif
