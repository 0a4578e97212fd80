/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/movement_result.h"

enum bt_status bt_movement_lay(const struct bt_job *job,
                               struct bt_layout_report *layout,
                               struct bt_movement_piece *piece, struct bt_error *err)
{
    enum bt_status status;

    if (!job->nboard || job->nset || (!piece->fitted && !(job->layout.width > 0)))
        return BT_OK;
    status = bt_layout_report_find(job, piece->fitted ? &piece->fitted->outline : NULL,
                                   layout, NULL);
    /* turned on the blank the joints run slanting: no strip has one width */
    if (status == BT_OK && !layout->needs_turn)
        piece->plan = &layout->best.plan;
    return status == BT_ENOMEM
               ? bt_error_set(err, status, 0, 0, "%s", bt_status_text(status))
               : BT_OK;
}
