/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_LAYOUT_WORDS_H
#define BENCHTRUE_REPORT_LAYOUT_WORDS_H

#include "benchtrue/report/layout_result.h"

/* Words that text and JSON of a layout share.  Private to the room. */

/* `narrowest`, `clear`, ...: as [layout] names the rule. */
const char *bt_layout_rule_name(enum bt_layout_rule rule);

/* The rule in words: `no strip narrower than 60 mm`. */
void bt_say_layout_rule(struct bt_buffer *out, const struct bt_layout_report *r,
                        enum bt_layout_rule rule, size_t clear, enum bt_system system);

/* `other boards`, `equal strips`, `one edge`, `as listed`, `without a rule`. */
const char *bt_layout_way_name(enum bt_layout_way way);

/* The boards from the back, `3, 1 turned, 5`. */
void bt_say_layout_boards(struct bt_buffer *out, const struct bt_layout_report *r,
                          const struct bt_layout_plan *plan);

/* The fault of a cut-out in words, with its figure; of one bit. */
void bt_say_cutout_fault(struct bt_buffer *out, const struct bt_layout_report *r,
                         size_t cutout, enum bt_cutout_fault fault,
                         enum bt_system system);

/* `back edge`, `right end`, `front edge`, `left end`. */
const char *bt_side_words(int side);

#endif
