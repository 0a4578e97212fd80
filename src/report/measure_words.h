/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_MEASURE_WORDS_H
#define BENCHTRUE_REPORT_MEASURE_WORDS_H

#include "benchtrue/report/measure_result.h"

/* Words of `measure`.  Private to the room. */

enum { BT_MEASURE_NAME = 80 };

/* A to D for a place at a corner, else NUL. */
char bt_measure_corner(const struct bt_measure_answer *a, const struct bt_point *p);

/* Whether it is a line of before with the straightedge turned end for end. */
bool bt_measure_step_turned(const struct bt_measure_answer *a, size_t step);

/* `straightedge`, `dial`, `bar`, `level`, `winding sticks`. */
const char *bt_measure_tool_kind(enum bt_plan_kind kind);

/* `line`, `setup`, `bar`, `level`, `sticks`: in JSON and names of files. */
const char *bt_measure_kind_name(enum bt_plan_kind kind);

#endif
