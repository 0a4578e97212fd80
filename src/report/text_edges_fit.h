/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_EDGES_FIT_H
#define BENCHTRUE_REPORT_TEXT_EDGES_FIT_H

#include "benchtrue/report/joint_text.h"

/* Parts of the text of edges; private to the room.  Each adds to out, nothing where
 * there is nothing to say. */

/* What the dry fits show, a block a joint: which to mend and how. */
void bt_text_dry_fits(struct bt_buffer *out, const struct bt_edges_answer *answer,
                      const struct bt_text_options *options);

/* The table of spring joints, or what to write so that there is one. */
void bt_text_springs(struct bt_buffer *out, const struct bt_edges_answer *answer,
                     enum bt_system system);

/* The dry joint that is open by the worst, NULL where none is. */
const struct bt_edges_dry *bt_edges_worst_dry(const struct bt_edges_answer *answer);

/* What to do about a dry joint, a sentence without its stop. */
void bt_say_mend(struct bt_buffer *out, const struct bt_edges_dry *dry);

#endif
