/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_REPORT_RESULT_H
#define BENCHTRUE_REPORT_REPORT_RESULT_H

#include "benchtrue/draw/document.h"
#include "benchtrue/ingest/job.h"

/* One document of everything that a job's files allow. */

struct bt_report_request {
    bool pdf; /* else HTML */
    enum bt_paper paper;
    const char *version; /* of the program, for the foot */
};

/*
 * Make the document: the job in short, readings and form, why and what to do, whether
 * it moves, fence, edges and glue-up, cautions, where limits and values come from.  A
 * stage that the job's files do not reach is named with what it lacks.  At the foot
 * date, version, and the SHA-256 of each file that was read.
 *
 *   job  read with all its sets
 *   out  the file; to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Returns BT_OK; BT_ENOMEM; BT_EWRITE (cairo failed otherwise); BT_EREAD, BT_ENOFILE (a
 * file of the job cannot be read again).
 */
BT_API enum bt_status bt_report_make(const struct bt_job *job,
                                     const struct bt_report_request *request,
                                     struct bt_figure_bytes *out, struct bt_error *err);

#endif
