/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/fit/ends.h"
#include "benchtrue/fit/fixings.h"
#include "benchtrue/fit/holding.h"
#include "benchtrue/report/movement_result.h"
#include "support/reference.h"

static void close_to(double got, double want, double share)
{
    cr_expect(fabs(got - want) <= share * fabs(want), "got %.9g, want %.9g", got, want);
}

/* The two forms that the handbook prints of one formula: N and mm, lb and in.
 * FPL-GTR-190 (2010), chapter 8 (from memory): 108.25 and 15,700; 41.1 and 2655. */
Test(holding, pull_out_is_the_same_in_both_forms_of_the_handbook)
{
    const double in = 25.4, lbf = 4.4482216152605;
    const struct bt_screw screw = {0.164 * in, 0.75 * in}; /* No. 8 */
    const double G = 0.6;

    close_to(bt_screw_pull_out(G, &screw) / lbf, 15700 * G * G * 0.164 * 0.75, 1e-3);
    close_to(bt_screw_pull_out_board(G, &screw) / lbf,
             2655 * sqrt(0.164) * pow(0.75 - 0.164 / 3, 1.25) * G * G, 5e-3);
}

Test(holding, pull_out_grows_with_diameter_length_and_the_square_of_gravity)
{
    const struct bt_screw screw = {5, 15}, thick = {10, 15}, deep = {5, 30};

    close_to(bt_screw_pull_out(0.6, &screw), 108.25 * 0.36 * 75, 1e-12);
    close_to(bt_screw_pull_out(0.6, &thick), 2 * bt_screw_pull_out(0.6, &screw), 1e-12);
    close_to(bt_screw_pull_out(0.6, &deep), 2 * bt_screw_pull_out(0.6, &screw), 1e-12);
    close_to(bt_screw_pull_out(0.3, &screw), bt_screw_pull_out(0.6, &screw) / 4, 1e-12);
}

/* 690 pi D G^2 t and 1725 pi D^2 G^2 lb of NDS-2018, 12.2.5 (from memory), which meet
 * at a thickness of 2.5 heads. */
Test(holding, the_head_holds_as_the_design_value_says)
{
    const double in = 25.4, lbf = 4.4482216152605, pi = 3.14159265358979323846;

    close_to(bt_head_holds(0.5, 0.3 * in, 0.5 * in, 0) / lbf,
             690 * pi * 0.3 * 0.25 * 0.5, 1e-9);
    close_to(bt_head_holds(0.5, 0.3 * in, 2 * in, NAN) / lbf, 1725 * pi * 0.09 * 0.25,
             1e-9);
    close_to(bt_head_holds(0.5, 0.3 * in, 0.75 * in, 0),
             bt_head_holds(0.5, 0.3 * in, 0.7500001 * in, 0), 1e-6);
}

/* Over a slot half as wide as the head a third of the rim hangs free: asin(1/2) is 30
 * degrees, four times, of 360. */
Test(holding, over_a_slot_the_head_loses_the_rim_that_hangs_free)
{
    const double whole = bt_head_holds(0.6, 12, 20, 0);

    close_to(bt_head_holds(0.6, 12, 20, 6), whole * 2 / 3, 1e-12);
    cr_expect(bt_head_holds(0.6, 12, 20, 12) == 0);
    cr_expect(bt_head_holds(0.6, 12, 20, 14) == 0);
}

Test(holding, nothing_is_known_from_what_is_not_known)
{
    const struct bt_screw screw = {5, 15}, none = {NAN, 15}, stub = {6, 2};

    cr_expect(isnan(bt_screw_pull_out(NAN, &screw)));
    cr_expect(isnan(bt_screw_pull_out(0.6, &none)));
    cr_expect(isnan(bt_screw_pull_out_board(0.6, &none)));
    cr_expect(isnan(bt_screw_pull_out_board(0.6, &stub)));
    cr_expect(isnan(bt_head_holds(NAN, 10, 20, 0)));
    cr_expect(isnan(bt_head_holds(0.6, NAN, 20, 0)));
    cr_expect(isnan(bt_head_holds(0.6, 10, NAN, 0)));
    cr_expect(isnan(bt_head_holds(0.6, 10, 20, -1)));
}

static struct bt_fixing slot(void)
{
    return (struct bt_fixing){.kind = BT_FIXING_SLOT,
                              .direction = 0,
                              .slot = 14,
                              .hole = 6,
                              .screw = 5,
                              .thread = 15,
                              .travel = NAN,
                              .arm = NAN,
                              .at = NAN,
                              .head = NAN,
                              .through = 20};
}

Test(holding, a_fixing_holds_the_lesser_of_thread_and_head)
{
    const struct bt_screw screw = {5, 15};
    struct bt_fixing f = slot();
    struct bt_hold hold = bt_hold_of(&f, 0.6, 0.5, 200);

    close_to(hold.thread, bt_screw_pull_out(0.6, &screw) / 5.5, 1e-12);
    close_to(hold.head_diameter, 10, 1e-12);
    close_to(hold.head, bt_head_holds(0.5, 10, 20, 6), 1e-12);
    close_to(hold.both, fmin(hold.thread, hold.head), 1e-12);
    close_to(hold.share, 200, 1e-12);
    f.washer = true;
    cr_expect(bt_hold_of(&f, 0.6, 0.5, 200).head > hold.head);
    close_to(bt_hold_of(&f, 0.6, 0.5, 200).head_diameter, 15, 1e-12);
    f.head = 18;
    close_to(bt_hold_of(&f, 0.6, 0.5, 200).head_diameter, 18, 1e-12);
}

Test(holding, each_material_holds_by_its_own_rule)
{
    const struct bt_screw screw = {5, 15};
    struct bt_fixing f = slot();

    f.into = BT_INTO_PLYWOOD;
    close_to(bt_hold_of(&f, 0.6, 0.5, NAN).thread,
             0.7 * bt_screw_pull_out(0.55, &screw) / 5.5, 1e-12);
    f.into = BT_INTO_PARTICLE_BOARD;
    close_to(bt_hold_of(&f, 0.6, 0.5, NAN).thread,
             bt_screw_pull_out_board(0.65, &screw) / 5.5, 1e-12);
    f.into = BT_INTO_MDF;
    close_to(bt_hold_of(&f, 0.6, 0.5, NAN).thread,
             bt_screw_pull_out_board(0.72, &screw) / 5.5, 1e-12);
    f.into = BT_INTO_METAL;
    cr_expect(isinf(bt_hold_of(&f, 0.6, 0.5, NAN).thread));
    f.into = BT_INTO_SOLID_WOOD;
    cr_expect(isnan(bt_hold_of(&f, NAN, 0.5, NAN).thread));
    cr_expect(isnan(bt_hold_of(&f, NAN, 0.5, NAN).both));
    cr_expect_str_eq(bt_hold_of(&f, NAN, 0.5, NAN).thread_source, "");
}

Test(holding, heads_on_metal_are_not_pulled_through)
{
    struct bt_fixing f = slot();
    struct bt_hold hold;

    f.kind = BT_FIXING_FIGURE_EIGHT;
    hold = bt_hold_of(&f, 0.6, 0.5, NAN);
    cr_expect(isinf(hold.head));
    close_to(hold.both, hold.thread, 1e-12);
    cr_expect(isnan(hold.share));
    f.kind = BT_FIXING_SLOT;
    f.through = NAN;
    hold = bt_hold_of(&f, 0.6, 0.5, NAN);
    cr_expect(isnan(hold.head));
    close_to(hold.both, hold.thread, 1e-12);
}

Test(holding, constants_are_those_of_the_table)
{
    static const double pi = 3.14159265358979323846, psi = 0.0068947572931683613;
    const struct bt_screw screw = {1, 1}, board = {1, 4.0 / 3};
    const struct {
        const char *rule;
        double value;
    } rows[] = {
        {"pull-out in solid wood", bt_screw_pull_out(1, &screw)},
        {"pull-out in particle board", bt_screw_pull_out_board(1, &board)},
        {"design over ultimate", BT_SCREW_SAFETY},
        {"head pull-through thin", bt_head_holds(1, 1, 1, 0) / psi / pi},
        {"head pull-through thick", bt_head_holds(1, 1, 9, 0) / psi / pi},
        {"gravity of plywood", BT_GRAVITY_PLYWOOD},
        {"gravity of particle board", BT_GRAVITY_PARTICLE_BOARD},
        {"gravity of mdf", BT_GRAVITY_MDF},
        {"plywood over solid wood", BT_PLYWOOD_SHARE},
        {"head over shank", BT_HEAD_TIMES},
        {"washer over shank", BT_WASHER_TIMES},
        {"swing of a figure-eight", BT_FIXING_SWING * 180 / pi},
        {"hold of a tongue", BT_FIXING_TONGUE_HOLD},
        {"hold of an edge in its groove", BT_FRAME_HOLD},
        {"yield of a tight screw", BT_FIXING_YIELDS},
        {"movement along the grain", BT_SEASONS_ALONG},
        {"distance of the heart", BT_HEART_TAKEN},
    };
    struct reference *table = reference_load("fixings.csv");

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const size_t row = reference_find(table, "rule", rows[i].rule, 0);

        close_to(rows[i].value, reference_number(table, row, "value"), 1e-9);
    }
    reference_free(table);
}
