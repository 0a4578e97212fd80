/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_STOCK_H
#define BENCHTRUE_REPORT_TEXT_STOCK_H

#include "benchtrue/report/stock_result.h"

/* Parts of the text of `stock`; private to the room.  Each adds to out. */

const struct bt_rough_board *bt_stock_rough(const struct bt_stock_answer *a, size_t i);

/* The board in the state in which it is to be surfaced. */
const struct bt_stock_piece *bt_stock_planned(const struct bt_stock_answer *a,
                                              size_t i);

/* A thickness: on a rule, or a caliper, to the digits that u carries. */
void bt_say_thick(struct bt_buffer *out, double mm, double u, enum bt_system system);

/* The name of a figure, and blanks to its value. */
void bt_stock_name(struct bt_buffer *out, const char *name);

/* What the nominal sizes usually yield, and which to buy. */
void bt_text_stock_quarters(struct bt_buffer *out, const struct bt_stock_answer *a,
                            enum bt_system system);

/* Moisture against the room, days to wait. */
void bt_text_stock_moisture(struct bt_buffer *out, const struct bt_stock_answer *a,
                            enum bt_system system);

/* What the machines do not take; nothing where they take all. */
void bt_text_stock_trouble(struct bt_buffer *out, const struct bt_stock_answer *a);

void bt_text_stock_details(struct bt_buffer *out, const struct bt_stock_answer *a,
                           enum bt_system system);

void bt_text_stock_cautions(struct bt_buffer *out, const struct bt_stock_answer *a);

#endif
