/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_EDGES_SPRINGS_H
#define BENCHTRUE_REPORT_EDGES_SPRINGS_H

#include "benchtrue/report/edges_result.h"

/* Private to the room: parts of bt_edges_answer_find. */

/* The spring joints of the answer, whose setup is filled; where something is missing
 * for them that is said in spring_missing, and no error. */
enum bt_status bt_edges_springs_find(struct bt_edges_answer *answer,
                                     struct bt_error *err);

/* The figures for the hollow that a dry fit showed. */
enum bt_status bt_edges_springs_read(struct bt_edges_answer *answer,
                                     struct bt_error *err);

/* Hollow that the clamps close at a joint beyond what the glue bridges of it, mm;
 * NaN not known.  closes_most leaves the glue its gap, and the dry fit adds that gap
 * again. */
double bt_edges_closes(const struct bt_edges_answer *answer, size_t joint);

#endif
