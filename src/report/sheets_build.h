/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_SHEETS_BUILD_H
#define BENCHTRUE_REPORT_SHEETS_BUILD_H

#include "benchtrue/draw/sheet.h"
#include "benchtrue/report/sheets_result.h"
#include "report/kept.h"

/* Sheets in the making.  Private to the room.  A lack of memory is kept until
 * sheets_done tells it. */
struct sheets_build {
    const struct bt_job *job;
    struct kept kept;
    size_t nsheet, sheet_room, nblock, block_room, nbox, box_room;
    struct bt_sheet *sheet;
    struct bt_sheet_block *block;
    struct bt_sheet_box *box;
};

/* Begin a sheet, a block on it, add a box to that.  Texts must outlive the build or be
 * kept by it.  sheets_begin: *what is copied but for its blocks. */
void sheets_begin(struct sheets_build *build, const struct bt_sheet *what);
void sheets_block(struct sheets_build *build, const char *title, const char *how);
void sheets_box(struct sheets_build *build, const char *label, const char *row);

/* Everything has its place: BT_OK or BT_ENOMEM. */
enum bt_status sheets_done(struct sheets_build *build);

void sheets_clear(struct sheets_build *build);

/* ---- one errand each ---- */

/* plan and name must outlive the build: see sheets_readings.c. */
struct sheets_plan {
    struct bt_measure_answer answer;
    struct bt_plan_figure_input figure;
    struct bt_point support[2];
    const char **name;
};

enum bt_status sheets_readings(struct sheets_build *build,
                               const struct bt_measure_request *request,
                               struct sheets_plan *plan, struct bt_error *err);
void sheets_plan_clear(struct sheets_plan *plan);

void sheets_fence(struct sheets_build *build);
enum bt_status sheets_dry_fit(struct sheets_build *build, struct bt_error *err);
void sheets_opening(struct sheets_build *build);

#endif
