/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/figure_opening.h"
#include "benchtrue/report/opening_result.h"

enum bt_status bt_opening_draw(const struct bt_opening_answer *answer,
                               enum bt_figure_format format,
                               struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct bt_opening_figure input = {.job = answer->job,
                                            .quad = &answer->quad,
                                            .profile = answer->profile,
                                            .plan = &answer->plan,
                                            .piece = answer->has_piece ? &answer->piece
                                                                       : NULL,
                                            .tilts = answer->tilts,
                                            .level = answer->level,
                                            .height_needed = answer->height_needed};

    return bt_figure_opening(&input, format, out, err);
}
