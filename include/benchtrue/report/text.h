/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_H
#define BENCHTRUE_REPORT_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/print.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/result.h"

/*
 * Results for people: plain text, UTF-8, lines ended by a line break.
 */

struct bt_text_options {
    enum bt_system system; /* what lengths are printed in */
    bool details;          /* sigma0, rank, degrees of freedom and the like */
    bool colour;           /* verdict words in colour (ECMA-48); they are always
                              written out as well */
    size_t nset;           /* sets in the job: over 1, the text says that this one is
                              the latest, unless `chosen` */
    bool chosen;           /* the user named the set, or asked for all */
};

/*
 * One set: the verdict in words and the next action in the first line; file and
 * date; what was read and how well the readings agree; the figures with u, limit and
 * verdict; a map of heights; what to do.  No number has more digits than its
 * uncertainty carries, and each carries its word (`hollow`, `A and C high`).
 *
 *   out   the text is added to it
 *
 * Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_flatness(const struct bt_set_result *result,
                                       const struct bt_text_options *options,
                                       struct bt_buffer *out);

/*
 * What a job says it is, for `check`: panel, limits, instruments, boards, and of each
 * set what was read and every note.  Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_job(const struct bt_job *job, struct bt_buffer *out);

#endif
