/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/bay.h"

#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

static void hollow_wall(struct bay *bay, enum bt_wall wall, double length)
{
    const double at[] = {0, length / 4, length / 2, length};
    const double off[] = {0, 1, 6, 0}, u[] = {0.5, 0.5, 0.5, 0.5};

    cr_assert_eq(bt_wall_profile_find(4, at, off, u, &bay->profile[wall], NULL), BT_OK);
}

void bay_make(struct bay *bay, double wide, double deep, double narrower, bool hollow)
{
    const bool traced[4] = {false};
    const struct bt_point c[4] = {
        {0, 0}, {wide, 0}, {wide - narrower, deep}, {narrower, deep}};
    struct bt_opening_reading r[5];
    struct bt_piece_request request;
    double figure[BT_QUAD_FIGURES];
    struct bt_error err = {0};

    memset(bay, 0, sizeof *bay);
    bt_quad_figures(c, figure);
    for (int k = 0; k < 5; k++)
        r[k] = (struct bt_opening_reading){.kind = k < 4 ? BT_OPENING_SIDE
                                                         : BT_OPENING_DIAGONAL,
                                           .where = k & 3,
                                           .at = NAN,
                                           .value = figure[k],
                                           .x = NAN,
                                           .y = NAN,
                                           .u = 3};
    if (hollow) {
        hollow_wall(bay, BT_WALL_BACK, wide);
        hollow_wall(bay, BT_WALL_LEFT, figure[BT_QUAD_SIDE + BT_WALL_LEFT]);
    }
    cr_assert_eq(
        bt_quad_fit(5, r, bay->profile, traced, BT_SYSTEM_MM, &bay->quad, &err), BT_OK,
        "%s", err.message);
    bay->plan = bt_opening_plan_none();
    bay->plan.joint = 3;
    bay->plan.thickness = 38;
    bay->plan.overhang = 20;
    bay->plan.scribe = 10;
    request =
        (struct bt_piece_request){&bay->quad, bay->profile, bay->plan, 3, 4, 0, 0};
    cr_assert_eq(bt_piece_find(&request, BT_SYSTEM_MM, &bay->piece, &err), BT_OK, "%s",
                 err.message);
    bay->job.title = "Seat in a bay";
    bay->job.date = "2026-06-08";
    bay->input = (struct bt_opening_figure){.job = &bay->job,
                                            .quad = &bay->quad,
                                            .profile = bay->profile,
                                            .plan = &bay->plan,
                                            .piece = &bay->piece,
                                            .tilts = narrower > 0,
                                            .height_needed = bay->piece.tilt_in.height};
}

void bay_clear(struct bay *bay)
{
    bt_piece_clear(&bay->piece);
    bt_quad_clear(&bay->quad);
    for (int wall = 0; wall < BT_WALLS; wall++)
        bt_wall_profile_clear(&bay->profile[wall]);
}
