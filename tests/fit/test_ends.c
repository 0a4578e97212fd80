/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>

#include "benchtrue/fit/ends.h"

static void near(double got, double want, double tolerance)
{
    cr_expect(fabs(got - want) <= tolerance, "got %.9g, want %.9g", got, want);
}

static struct bt_season_change change(double dry, double damp)
{
    return (struct bt_season_change){.dry = dry,
                                     .damp = damp,
                                     .range = damp - dry,
                                     .u_dry = 0.2,
                                     .u_damp = 0.3,
                                     .u_range = 0.5};
}

/* The 95 % point of the normal distribution. */
static const double z = 1.6448536269514722;

Test(ends, each_edge_goes_out_when_damp_and_draws_back_when_dry)
{
    const struct bt_season_change back = change(1, -2), front = change(-1.5, 3);
    struct bt_fixing_setup setup = bt_fixing_none();
    struct bt_ends_room room;

    setup.ends = BT_ENDS_BREADBOARD;
    setup.ends_play = 3.5;
    room = bt_ends_room(&setup, &back, &front, 0.95);
    near(room.back.outwards, 2, 1e-12);
    near(room.back.inwards, 1, 1e-12);
    near(room.front.outwards, 3, 1e-12);
    near(room.front.inwards, 1.5, 1e-12);
    near(room.back.u_outwards, 0.3, 1e-12);
    near(room.back.u_inwards, 0.2, 1e-12);
    near(room.front.room_needed, 3 + z * 0.3, 1e-9);
    /* Phi(0.5/0.3) and Phi(5) */
    near(room.front.p_room, 0.952209648, 1e-8);
    near(room.back.p_room, 0.999999713, 1e-8);
    cr_expect(isnan(room.front.depth_needed) && isnan(room.front.p_holds));
}

Test(ends, a_groove_holds_the_edge_at_its_driest)
{
    const struct bt_season_change back = change(1, -2), front = change(-1.5, 3);
    struct bt_fixing_setup setup = bt_fixing_none();
    struct bt_ends_room room;

    setup.ends = BT_ENDS_FRAME;
    setup.ends_play = 4;
    setup.ends_width = 9;
    room = bt_ends_room(&setup, &back, &front, 0.95);
    near(room.front.depth_needed, 4 + 1.5 + z * 0.2 + 3, 1e-9);
    /* 9 - 4 - 1.5 - 3 is 0.5: Phi(2.5) */
    near(room.front.p_holds, 0.993790335, 1e-8);
    setup.ends_play = NAN;
    room = bt_ends_room(&setup, &back, &front, 0.95);
    cr_expect(isnan(room.front.p_room));
    near(room.front.depth_needed, room.front.room_needed + 1.5 + z * 0.2 + 3, 1e-9);
}

Test(ends, without_ends_only_the_movement_is_told)
{
    const struct bt_season_change back = change(1, -2), front = change(-1.5, 3);
    const struct bt_fixing_setup setup = bt_fixing_none();
    const struct bt_ends_room room = bt_ends_room(&setup, &back, &front, 0.95);

    near(room.front.outwards, 3, 1e-12);
    cr_expect(isnan(room.front.room_needed) && isnan(room.front.depth_needed) &&
              isnan(room.front.p_room) && isnan(room.front.p_holds));
}

/* A joint of 10 mm that becomes 8 and 11: pressed 20 %, stretched 10 %. */
Test(ends, a_sealant_is_strained_by_its_share_of_the_joint)
{
    static const struct {
        double takes, p;
    } rows[] = {{0.075, 0}, {0.125, 0}, {0.2, 1}, {0.25, 1}}; /* ISO 11600 */

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct bt_seal s = bt_seal_of(10, rows[i].takes, 2, 0, 1, 0, 0.95);

        near(s.narrowest, 8, 1e-12);
        near(s.widest, 11, 1e-12);
        near(s.pressed, 0.2, 1e-12);
        near(s.stretched, 0.1, 1e-12);
        near(s.joint_needed, 2 / rows[i].takes, 1e-12);
        cr_expect(s.p_takes == rows[i].p, "%g: %g", rows[i].takes, s.p_takes);
        cr_expect(s.p_clear == 1);
    }
}

Test(ends, u_of_the_movement_makes_the_joint_wider)
{
    const struct bt_seal s = bt_seal_of(10, 0.25, 2, 0.25, 1, 0.5, 0.95);

    near(s.joint_needed, (2 + z * 0.25) / 0.25, 1e-9);
    /* 2.5 against 2 (u 0.25): Phi(2); against 1 (u 0.5): Phi(3) */
    near(s.p_takes, 0.977249868 + 0.998650102 - 1, 1e-8);
    near(s.p_clear, 1, 1e-12);
}

Test(ends, an_open_joint_only_has_to_stay_open)
{
    const struct bt_seal s = bt_seal_of(1.5, NAN, 2, 0.5, 1, 0.5, 0.95);

    cr_expect(isnan(s.p_takes) && isnan(s.joint_needed));
    near(s.narrowest, -0.5, 1e-12);
    near(s.p_clear, 0.158655254, 1e-8); /* Phi(-1) */
}

Test(ends, without_a_joint_nothing_is_known)
{
    const struct bt_seal s = bt_seal_of(NAN, 0.25, 2, 0.5, 1, 0.5, 0.95);
    const struct bt_seal none = bt_seal_of(0, 0.25, 2, 0.5, 1, 0.5, 0.95);

    cr_expect(isnan(s.narrowest) && isnan(s.stretched) && isnan(s.p_takes) &&
              isnan(s.p_clear));
    cr_expect(isnan(none.narrowest) && isnan(none.p_takes));
}
