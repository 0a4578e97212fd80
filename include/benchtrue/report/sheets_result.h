/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_SHEETS_RESULT_H
#define BENCHTRUE_REPORT_SHEETS_RESULT_H

#include <stdbool.h>

#include "benchtrue/draw/figure.h"
#include "benchtrue/draw/paper.h"
#include "benchtrue/report/measure_result.h"

/* Sheets to pencil on at the bench, made from a job. */

/* `readings`, `fence`, `dryfit`, `opening`: one sheet each. */
#define BT_SHEET_LIST(X)                                                               \
    X(BT_SHEET_READINGS, "readings")                                                   \
    X(BT_SHEET_FENCE, "fence")                                                         \
    X(BT_SHEET_DRY_FIT, "dryfit")                                                      \
    X(BT_SHEET_OPENING, "opening")

#define BT_SHEET_CODE(code, name) code,
enum bt_sheet_kind { BT_SHEET_LIST(BT_SHEET_CODE) BT_SHEET_KINDS };
#undef BT_SHEET_CODE

/* Its name; "" for a number outside the list. */
BT_API const char *bt_sheet_name(enum bt_sheet_kind kind);

struct bt_sheets_request {
    bool wanted[BT_SHEET_KINDS]; /* none: those that the job has a use for: readings
                                    where the panel's size is stated, fence and dryfit
                                    from two boards on, opening where job.ini speaks of
                                    one */
    struct bt_measure_request measure; /* of the readings; where nothing more is to be
                                          read they are planned afresh */
    enum bt_paper paper;
};

/*
 * Make the sheets of a job.
 *
 * Readings: what bt_measure_answer_find plans, one sheet for each kind of instrument,
 * in walking order; the number in a box is its line in the file that bt_measure_csv
 * writes.  The others: a box for each reading that is usual, and in it the cells of the
 * row that it belongs to.
 *
 *   out    PDF; to be freed with bt_figure_bytes_clear; untouched on error
 *   sheets  out: how many there are; NULL accepted
 *
 * Returns as bt_measure_answer_find and bt_sheets_draw; BT_EINPUT too where a sheet is
 * asked for that the job states too little for, or it has a use for none.
 */
BT_API enum bt_status bt_sheets_make(const struct bt_job *job,
                                     const struct bt_sheets_request *request,
                                     struct bt_figure_bytes *out, size_t *sheets,
                                     struct bt_error *err);

#endif
