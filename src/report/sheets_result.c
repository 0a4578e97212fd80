/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/sheets_result.h"

#include <math.h>
#include <string.h>

#include "report/sheets_build.h"

const char *bt_sheet_name(enum bt_sheet_kind kind)
{
#define NAME(code, name) name,
    static const char *const names[] = {BT_SHEET_LIST(NAME)};
#undef NAME

    return (int)kind >= 0 && kind < BT_SHEET_KINDS ? names[kind] : "";
}

static bool any_wanted(const struct bt_sheets_request *request)
{
    for (int k = 0; k < BT_SHEET_KINDS; k++)
        if (request->wanted[k])
            return true;
    return false;
}

/* What the job has a use for. */
static void want_usual(const struct bt_job *job, struct bt_sheets_request *request)
{
    request->wanted[BT_SHEET_READINGS] = job->panel.length > 0 && job->panel.width > 0;
    request->wanted[BT_SHEET_FENCE] = job->nboard >= 2;
    request->wanted[BT_SHEET_DRY_FIT] = job->nboard >= 2;
}

static enum bt_status build_all(struct sheets_build *build,
                                const struct bt_sheets_request *request,
                                struct sheets_plan *plan, struct bt_error *err)
{
    enum bt_status status = BT_OK;

    if (request->wanted[BT_SHEET_FENCE])
        sheets_fence(build);
    if (request->wanted[BT_SHEET_DRY_FIT])
        status = sheets_dry_fit(build, err);
    if (status == BT_OK && request->wanted[BT_SHEET_READINGS])
        status = sheets_readings(build, &request->measure, plan, err);
    if (status == BT_OK && request->wanted[BT_SHEET_OPENING])
        sheets_opening(build);
    if (status != BT_OK)
        return status;
    if (build->nsheet == 0 && !build->kept.failed)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "there is nothing to measure yet: state the panel's length "
                            "and width in job.ini, or boards in boards.csv");
    status = sheets_done(build);
    return status == BT_OK
               ? BT_OK
               : bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
}

enum bt_status bt_sheets_make(const struct bt_job *job,
                              const struct bt_sheets_request *request,
                              struct bt_figure_bytes *out, size_t *sheets,
                              struct bt_error *err)
{
    struct bt_sheets_request all = *request;
    struct sheets_build build = {.job = job};
    struct sheets_plan plan = {0};
    enum bt_status status;

    if (!any_wanted(&all))
        want_usual(job, &all);
    status = build_all(&build, &all, &plan, err);
    if (status == BT_OK)
        status = bt_sheets_draw(*job->title ? job->title : "Panel", job->date,
                                build.nsheet, build.sheet, all.paper, out, err);
    if (status == BT_OK && sheets)
        *sheets = build.nsheet;
    sheets_plan_clear(&plan);
    sheets_clear(&build);
    return status;
}
