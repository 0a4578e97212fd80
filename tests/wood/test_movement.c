/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/wood/movement.h"

static const double pi = 3.14159265358979323846;

static struct bt_wood wood_of(const char *text)
{
    struct bt_wood w;

    cr_assert_eq(bt_wood_find(text, strlen(text), &w, NULL), BT_OK, "%s", text);
    return w;
}

static struct bt_ring_angle exactly(double angle)
{
    return (struct bt_ring_angle){angle, angle, angle};
}

/* Worked examples as reference/checks.py (section 3) computes them; white fir is the
 * handbook's own, p. 13-17: 1.7 mm, 0.067 in. */
static const struct worked {
    const char *species;
    enum bt_movement_form form;
    double width, degrees, from, to, change, tolerance;
} worked[] = {
    {"white fir", BT_MOVEMENT_COEFFICIENT, 232, 0, 8, 11, 1.7052, 5e-5},
    {"white fir", BT_MOVEMENT_COEFFICIENT, 9.15, 0, 8, 11, 0.0673, 5e-5},
    {"red oak", BT_MOVEMENT_COEFFICIENT, 5, 0, 6, 9, 0.05535, 5e-6},
    {"white oak", BT_MOVEMENT_COEFFICIENT, 5, 0, 6, 9, 0.05475, 5e-6},
    {"mesquite", BT_MOVEMENT_COEFFICIENT, 5, 0, 6, 9, 0.01935, 5e-6},
    {"white oak", BT_MOVEMENT_COEFFICIENT, 12, 0, 14, 5, -0.3942, 5e-5},
    {"red oak", BT_MOVEMENT_COEFFICIENT, 600, 0, 6, 9, 6.642, 5e-4},
    {"red oak", BT_MOVEMENT_COEFFICIENT, 600, 90, 6, 9, 2.844, 5e-4},
    {"sugar maple", BT_MOVEMENT_COEFFICIENT, 600, 0, 6, 10, 8.472, 5e-4},
    {"sugar maple", BT_MOVEMENT_LONG, 600, 0, 6, 10, 8.601, 5e-4},
    {"black walnut", BT_MOVEMENT_COEFFICIENT, 600, 0, 8, 12, 6.576, 5e-4},
    {"black walnut", BT_MOVEMENT_LONG, 600, 0, 8, 12, 6.619, 5e-4},
};

Test(movement, worked_examples_are_met)
{
    for (size_t i = 0; i < sizeof worked / sizeof *worked; i++) {
        const struct worked *e = &worked[i];
        struct bt_wood w = wood_of(e->species);
        struct bt_ring_angle angle = exactly(e->degrees * pi / 180);
        struct bt_movement m;
        cr_assert_eq(bt_movement_by_form(&w, e->form, e->width, &angle, e->from, e->to,
                                         &m, NULL),
                     BT_OK);
        cr_expect(fabs(m.change - e->change) <= e->tolerance, "%s %g: %.6f", e->species,
                  e->width, m.change);
        cr_expect_eq(m.form, e->form);
        cr_expect(m.u >= 0.1499 * fabs(m.change) && m.u <= 0.16 * fabs(m.change),
                  "%s: u %g", e->species, m.u);
    }
}

/* reference/checks.py, section 3. */
Test(movement, the_coefficient_turns_with_the_rings)
{
    const double degrees[] = {0, 30, 45, 60, 90};
    const double want[] = {0.003690, 0.003163, 0.002635, 0.002108, 0.001580};

    for (size_t i = 0; i < 5; i++)
        cr_expect(fabs(bt_coefficient_at(0.00158, 0.00369, degrees[i] * pi / 180) -
                       want[i]) <= 5.1e-7,
                  "%g", degrees[i]);
    cr_expect(isnan(bt_coefficient_at(NAN, 0.00369, 0.3)));
    cr_expect(isnan(bt_coefficient_at(0.00158, 0.00369, NAN)));
}

static const struct cut {
    const char *text;
    double angle, low, high;
} cuts[] = {
    {"flat", 0, 0, 30},           {"Flat-Sawn", 0, 0, 30}, {"plain sawn", 0, 0, 30},
    {"plain", 0, 0, 30},          {"flatsawn", 0, 0, 30},  {"RIFT", 45, 30, 60},
    {"rift sawn", 45, 30, 60},    {"quarter", 90, 60, 90}, {"quartersawn", 90, 60, 90},
    {"quarter-sawn", 90, 60, 90}, {"", 0, 0, 90},          {"  ", 0, 0, 90},
};

Test(movement, words_for_the_cut_stand_for_ring_angles_and_their_ranges)
{
    for (size_t i = 0; i < sizeof cuts / sizeof *cuts; i++) {
        struct bt_ring_angle a = {NAN, NAN, NAN};
        cr_expect(bt_ring_angle_find(cuts[i].text, strlen(cuts[i].text), &a), "%s",
                  cuts[i].text);
        cr_expect(fabs(a.angle - cuts[i].angle * pi / 180) <= 1e-12, "%s",
                  cuts[i].text);
        cr_expect(fabs(a.low - cuts[i].low * pi / 180) <= 1e-12, "%s", cuts[i].text);
        cr_expect(fabs(a.high - cuts[i].high * pi / 180) <= 1e-12, "%s", cuts[i].text);
    }
}

Test(movement, another_word_is_no_cut_and_changes_nothing)
{
    static const char *const words[] = {"fla", "flats", "quarter 4", "sawn",
                                        "r\xc3\xaf-ft"};

    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        struct bt_ring_angle a = {42, 42, 42};
        cr_expect_not(bt_ring_angle_find(words[i], strlen(words[i]), &a), "%s",
                      words[i]);
        cr_expect(fabs(a.high - 42) <= 0);
    }
}

Test(movement, the_form_follows_the_range_of_the_coefficients)
{
    static const struct {
        double from, to;
        enum bt_movement_form form;
        bool outside, saturated;
    } row[] = {{6, 14, BT_MOVEMENT_COEFFICIENT, false, false},
               {14, 6, BT_MOVEMENT_COEFFICIENT, false, false},
               {5.9, 8, BT_MOVEMENT_LONG, true, false},
               {8, 14.1, BT_MOVEMENT_LONG, true, false},
               {45, 8, BT_MOVEMENT_LONG, true, true}};
    struct bt_wood w = wood_of("sugar maple");
    struct bt_ring_angle flat = exactly(0);

    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct bt_movement m;
        cr_assert_eq(
            bt_movement_of_board(&w, 150, &flat, row[i].from, row[i].to, &m, NULL),
            BT_OK);
        cr_expect_eq(m.form, row[i].form, "%zu", i);
        cr_expect_eq(m.outside, row[i].outside, "%zu", i);
        cr_expect_eq(m.saturated, row[i].saturated, "%zu", i);
    }
    cr_expect_str_eq(bt_movement_form_text(BT_MOVEMENT_COEFFICIENT),
                     "coefficient form");
    cr_expect_str_eq(bt_movement_form_text(BT_MOVEMENT_LONG), "long form");
}

/* From green to ovendry the long form gives the shrinkage itself, by its definition. */
Test(movement, from_green_to_ovendry_a_board_shrinks_by_its_shrinkage)
{
    struct bt_wood w = wood_of("sugar maple");
    struct bt_ring_angle flat = exactly(0);
    struct bt_movement m, wetter;

    cr_assert_eq(bt_movement_of_board(&w, 200, &flat, 30, 0, &m, NULL), BT_OK);
    cr_expect(fabs(m.change + 200 * 0.099) <= 1e-12, "%.12g", m.change);
    cr_assert_eq(bt_movement_of_board(&w, 200, &flat, 80, 0, &wetter, NULL), BT_OK);
    cr_expect(fabs(wetter.change - m.change) <= 1e-12);
    cr_expect(wetter.saturated && !m.saturated);
}

Test(movement, the_long_form_there_and_back_again_is_no_change)
{
    struct bt_wood w = wood_of("black walnut");
    struct bt_ring_angle rift = exactly(0.7);
    struct bt_movement there, back;

    cr_assert_eq(bt_movement_of_board(&w, 300, &rift, 4, 16, &there, NULL), BT_OK);
    cr_assert_eq(
        bt_movement_of_board(&w, 300 + there.change, &rift, 16, 4, &back, NULL), BT_OK);
    cr_expect(fabs(there.change + back.change) <= 1e-12);
}

Test(movement, an_angle_known_as_a_range_widens_the_uncertainty)
{
    struct bt_wood w = wood_of("sugar maple"); /* whose tables agree */
    struct bt_ring_angle angle;
    struct bt_movement m;
    double change = 600 * 0.00353 * 3, wide = 600 * 3 * (0.00353 - 0.00165);

    cr_assert(bt_ring_angle_find("", 0, &angle));
    cr_assert_eq(bt_movement_of_board(&w, 600, &angle, 6, 9, &m, NULL), BT_OK);
    cr_expect(fabs(m.change - change) <= 1e-12);
    cr_expect(fabs(m.u - hypot(0.15 * change, wide / sqrt(12.0))) <= 1e-12);
}

Test(movement, a_lone_tangential_value_serves_every_angle)
{
    struct bt_wood w = wood_of("mesquite");
    struct bt_ring_angle quarter = exactly(pi / 2);
    struct bt_movement m;

    cr_assert_eq(bt_movement_of_board(&w, 100, &quarter, 6, 9, &m, NULL), BT_OK);
    cr_expect(fabs(m.change - 100 * 0.00129 * 3) <= 1e-12);
    cr_expect(fabs(m.u - 0.15 * m.change) <= 1e-12);
}

Test(movement, a_panel_is_the_sum_of_its_boards)
{
    struct bt_wood oak = wood_of("red oak"), maple = wood_of("sugar maple");
    struct bt_movement_board board[] = {{&oak, 120, exactly(0), 6, 9},
                                        {&maple, 85.5, exactly(pi / 2), 7, 16},
                                        {&oak, 140, exactly(0.4), 8, 9}};
    struct bt_movement sum, each[3], one;
    double change = 0, u = 0;

    cr_assert_eq(bt_movement_of_panel(3, board, &sum, each, NULL), BT_OK);
    for (size_t i = 0; i < 3; i++) {
        cr_assert_eq(bt_movement_of_board(board[i].wood, board[i].width,
                                          &board[i].angle, board[i].from, board[i].to,
                                          &one, NULL),
                     BT_OK);
        cr_expect(fabs(each[i].change - one.change) <= 0);
        change += one.change;
        u += one.u;
    }
    cr_expect(fabs(sum.change - change) <= 1e-12 && fabs(sum.u - u) <= 1e-12);
    cr_expect_eq(sum.form, BT_MOVEMENT_LONG);
    cr_expect(sum.outside && !sum.saturated);
    cr_expect_eq(bt_movement_of_panel(3, board, &one, NULL, NULL), BT_OK);
    cr_expect(fabs(one.change - sum.change) <= 0);
}

static const struct bad {
    double width, angle, low, high, from, to;
    const char *message;
} bad[] = {
    {0, 0, 0, 0, 6, 9, "the width must be over 0 mm"},
    {NAN, 0, 0, 0, 6, 9, "the width must be over 0 mm"},
    {INFINITY, 0, 0, 0, 6, 9, "the width must be over 0 mm"},
    {100, NAN, 0, 0, 6, 9, "the ring angle must be 0 to 90 degrees"},
    {100, 0.2, 0.3, 0.4, 6, 9, "the ring angle must be 0 to 90 degrees"},
    {100, 0, 0, 1.6, 6, 9, "the ring angle must be 0 to 90 degrees"},
    {100, 0, -0.1, 0, 6, 9, "the ring angle must be 0 to 90 degrees"},
    {100, 0, 0, 0, -1, 9, "the moisture must be 0 % to 250 %"},
    {100, 0, 0, 0, 6, 251, "the moisture must be 0 % to 250 %"},
    {100, 0, 0, 0, NAN, 9, "the moisture must be 0 % to 250 %"},
    {100, 0, 0, 0, 6, NAN, "the moisture must be 0 % to 250 %"},
};

Test(movement, what_is_out_of_range_is_refused_and_nothing_is_changed)
{
    struct bt_wood w = wood_of("red oak");

    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_ring_angle angle = {bad[i].angle, bad[i].low, bad[i].high};
        struct bt_movement m = {.change = 42};
        struct bt_error err = {0};
        cr_expect_eq(bt_movement_of_board(&w, bad[i].width, &angle, bad[i].from,
                                          bad[i].to, &m, &err),
                     BT_EINPUT, "%zu", i);
        cr_expect_str_eq(err.message, bad[i].message);
        cr_expect(fabs(m.change - 42) <= 0);
    }
}

Test(movement, a_wood_of_which_nothing_is_known_is_refused)
{
    struct bt_wood w = wood_of("bitternut hickory"), oak = wood_of("red oak"), half;
    struct bt_ring_angle flat = exactly(0);
    struct bt_movement m = {.change = 42};
    struct bt_error err = {0};

    cr_expect_eq(bt_movement_of_board(&w, 100, &flat, 6, 9, &m, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "nothing is known of how that wood moves");
    half = oak;
    half.shrink_tangential.value = NAN;
    cr_expect_eq(
        bt_movement_by_form(&half, BT_MOVEMENT_LONG, 100, &flat, 6, 9, &m, &err),
        BT_EINPUT);
    cr_expect_str_eq(err.message, "nothing is known of how that wood moves");
    cr_expect(fabs(m.change - 42) <= 0);
    /* outside 6 to 14 %, but the coefficients are all there is */
    cr_expect_eq(bt_movement_of_board(&half, 100, &flat, 5, 9, &m, &err), BT_OK);
    cr_expect_eq(m.form, BT_MOVEMENT_COEFFICIENT);
    cr_expect(m.outside);
}

Test(movement, a_panel_names_the_board_at_fault_and_writes_no_other)
{
    struct bt_wood oak = wood_of("red oak");
    struct bt_movement_board board[] = {{&oak, 120, exactly(0), 6, 9},
                                        {&oak, 120, exactly(0), 6, NAN}};
    struct bt_movement sum = {.change = 42}, each[2] = {{.change = 42}, {.change = 42}};
    struct bt_error err = {0};

    cr_expect_eq(bt_movement_of_panel(2, board, &sum, each, &err), BT_EINPUT);
    cr_expect_eq(err.row, 1);
    cr_expect_str_eq(err.message, "the moisture must be 0 % to 250 %");
    cr_expect(fabs(sum.change - 42) <= 0 && fabs(each[0].change - 42) <= 0);
    cr_expect_eq(bt_movement_of_panel(0, NULL, &sum, NULL, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "there is no board");
    cr_expect_eq(bt_movement_of_panel(2, board, &sum, NULL, NULL), BT_EINPUT);
}
