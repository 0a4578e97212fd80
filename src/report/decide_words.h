/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_REPORT_DECIDE_WORDS_H
#define BT_REPORT_DECIDE_WORDS_H

#include "benchtrue/report/decide_result.h"

/* Words that text and JSON of decide share; private to the room. */

/* The u that the depths of the removal map are printed to, in picture and table alike,
 * mm; no finer than chalk is worked to, which is also what NaN is answered with. */
double bt_decide_map_u(const struct bt_decide_answer *a);

/* What is left, as a rule shows it. */
void bt_decide_say_size(struct bt_buffer *out, const struct bt_measured *left,
                        enum bt_system system);

/* Why a choice is open or not; "" where it is possible. */
void bt_decide_say_reason(struct bt_buffer *out, const struct bt_decide_answer *a,
                          const struct bt_choice *c, enum bt_system system);

/* Why it stands where it does; "" where it is not possible. */
const char *bt_decide_rank_words(const struct bt_choice *c);

/* Where the form that it leaves comes from; "" where that is not known. */
const char *bt_decide_form_words(enum bt_choice_form form);

/* What it risks. */
const char *bt_decide_risk(const struct bt_decide_answer *a, enum bt_choice_kind kind);

#endif
