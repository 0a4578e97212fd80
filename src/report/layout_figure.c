/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_layout.h"
#include "benchtrue/report/layout_result.h"

enum bt_status bt_layout_draw(const struct bt_layout_report *report,
                              enum bt_figure_format format, struct bt_figure_bytes *out,
                              struct bt_error *err)
{
    const struct bt_layout_figure input = {.job = report->job,
                                           .outline = &report->outline,
                                           .plan = &report->best.plan,
                                           .turn = report->best.turn,
                                           .at = report->best.at,
                                           .blank_length = report->best.blank_length,
                                           .request = &report->request,
                                           .ncutout = report->job->layout.ncutout,
                                           .cutout = report->job->layout.cutout,
                                           .nfixing = report->job->fixing.n,
                                           .fixing = report->job->fixing.fixing};

    if (!report->best.plan.found)
        return bt_error_set(err, BT_EINPUT, 0, 0, "there is no layout of these boards");
    return bt_figure_layout(&input, format, out, err);
}
