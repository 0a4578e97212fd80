/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_FIT_LAYOUT_TRIAL_H
#define TESTS_FIT_LAYOUT_TRIAL_H

#include "benchtrue/fit/layout.h"

/* The best layout by trial of every order of every set of boards, written apart from
 * the library's search: each is laid out and looked at as it lies. */
struct trial {
    bool found;
    double wood, off; /* mm2, |first - last| mm */
    size_t turned;
    size_t tried; /* orders looked at */
};

/* At most 8 boards. */
struct trial layout_trial(const struct bt_layout_request *request);

/* Whether the rules are kept by these boards with that first strip (mm, within the
 * extent); their turns are given. */
bool layout_keeps(const struct bt_layout_request *request, size_t n,
                  const size_t board[], const bool turned[], double first);

/* A request drawn by lot, the same for the same number; board and clear are the
 * caller's, 8 and 3 of them. */
struct bt_layout_request layout_draw(unsigned number, size_t nboard,
                                     struct bt_layout_board board[],
                                     struct bt_layout_clear clear[]);

#endif
