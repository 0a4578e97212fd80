/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_JOB_FIT_H
#define BENCHTRUE_REPORT_TEXT_JOB_FIT_H

#include "benchtrue/ingest/job.h"
#include "benchtrue/report/buffer.h"

/*
 * Parts of what `check` prints; private to the room.  Each adds to out, and nothing
 * where neither its section nor its file says anything.
 */

/* [stock] and stock.csv. */
void bt_text_job_stock(struct bt_buffer *out, const struct bt_job *job);

/* [climate]. */
void bt_text_job_climate(struct bt_buffer *out, const struct bt_job *job);

/* [layout] and cutouts.csv. */
void bt_text_job_layout(struct bt_buffer *out, const struct bt_job *job);

/* [opening] and opening.csv. */
void bt_text_job_opening(struct bt_buffer *out, const struct bt_job *job);

/* [fixing] and fixings.csv. */
void bt_text_job_fixings(struct bt_buffer *out, const struct bt_job *job);

#endif
