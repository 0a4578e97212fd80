/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>

#include "benchtrue/wood/ring.h"

static struct bt_ring_board board_of(double heart, double width, double thickness,
                                     double radial, double tangential)
{
    return (struct bt_ring_board){.width = width,
                                  .thickness = thickness,
                                  .heart_distance = heart,
                                  .e_radial = radial,
                                  .e_tangential = tangential};
}

static struct bt_ring_shape shape_of(struct bt_ring_board board)
{
    struct bt_ring_shape shape;
    struct bt_error err = {0};

    cr_assert_eq(bt_ring_shape_of(&board, &shape, &err), BT_OK, "%s", err.message);
    return shape;
}

/* reference/checks.py, section 4: its sagitta is that of the edges over the middle with
 * the heart below, so a hollow. */
static const struct map {
    double heart, width, c_r, c_t, dm, chord, sagitta;
} maps[] = {{150, 200, .00158, .00369, -4, -2.7553, 0.4944},
            {100, 200, .00190, .00431, -4, -3.0400, 0.7542},
            {60, 150, .00180, .00365, -4, -1.8790, 0.4960},
            {300, 120, .00165, .00353, -3, -1.2621, 0.0666},
            {150, 200, .00158, .00369, 4, 2.7504, -0.4981}};

Test(ring, the_polar_map_gives_the_cup_and_width_that_the_check_has)
{
    for (size_t i = 0; i < sizeof maps / sizeof *maps; i++) {
        const struct map *m = &maps[i];
        struct bt_ring_shape s =
            shape_of(board_of(m->heart, m->width, 20, m->c_r * m->dm, m->c_t * m->dm));
        cr_expect(fabs(s.width_change - m->chord) <= 5.1e-5, "%zu: %.5f", i,
                  s.width_change);
        cr_expect(fabs(s.cup + m->sagitta) <= 5.1e-5, "%zu: %.5f", i, s.cup);
    }
}

Test(ring, edge_faces_close_towards_the_bark_side_when_it_dries)
{
    struct bt_ring_shape s = shape_of(board_of(150, 120, 25, -.00632, -.01476));

    cr_expect(fabs(s.edge_angle + 0.000606) <= 5.1e-7, "%.7f", s.edge_angle);
    cr_expect(fabs(s.edge_angle - (s.right_lean - s.left_lean)) <= 1e-15);
    cr_expect(fabs(s.left_lean + s.right_lean) <= 1e-12);
}

/* Section 4: rings 30 to 60 degrees to the edges, heart 104 mm below and to one side.
 */
Test(ring, a_rift_board_is_turned_at_its_edges_as_the_check_has)
{
    double left = 104 * tan(0.52359877559829887), right = 104 * tan(1.0471975511965976);
    struct bt_ring_board b = board_of(104, right - left, 0.02, -.00632, -.01476);
    struct bt_ring_shape s;

    b.heart_x = -(left + right) / 2;
    s = shape_of(b);
    cr_expect(fabs(s.edge_angle + 0.004432) <= 5.1e-7, "%.7f", s.edge_angle);
}

/* What other books say of flat boards: w^2/(4 R) times the difference of the strains.
 */
Test(ring, a_narrow_board_far_from_the_heart_cups_as_the_short_rule_says)
{
    struct bt_ring_shape s = shape_of(board_of(2000, 60, 20, -.005, -.012));

    cr_expect(fabs(s.cup + 60.0 * 60 / (4 * 2000) * .007) <= 0.01 * 0.00315, "%g",
              s.cup);
}

Test(ring, the_heart_above_is_the_mirror_of_the_heart_below)
{
    struct bt_ring_board b = board_of(90, 140, 28, -.006, -.015);
    struct bt_ring_shape down, up;

    b.heart_x = 35;
    down = shape_of(b);
    b.heart_up = true;
    up = shape_of(b);
    cr_expect(fabs(up.cup + down.cup) <= 1e-15);
    cr_expect(fabs(up.edge_angle + down.edge_angle) <= 1e-15);
    cr_expect(fabs(up.width_change - down.width_change) <= 1e-15);
    cr_expect(up.cup > 0, "dried with the heart up it is crowned");
}

Test(ring, strains_alike_in_all_directions_only_change_the_size)
{
    struct bt_ring_board b = board_of(60, 200, 30, -.011, -.011);
    struct bt_ring_shape s;

    b.heart_x = -42;
    s = shape_of(b);
    cr_expect(fabs(s.cup) <= 1e-12 && fabs(s.edge_angle) <= 1e-12);
    cr_expect(fabs(s.width_change + 200 * .011) <= 1e-12);
}

Test(ring, flat_rings_and_rings_on_edge_make_no_cup)
{
    struct bt_ring_shape flat = shape_of(board_of(INFINITY, 150, 20, -.006, -.015));
    struct bt_ring_board b = board_of(0, 150, 20, -.006, -.015);
    struct bt_ring_shape quarter;

    cr_expect(fabs(flat.cup) <= 1e-12 && fabs(flat.edge_angle) <= 1e-12);
    cr_expect(fabs(flat.width_change + 150 * .015) <= 1e-12);
    b.heart_x = -300;
    quarter = shape_of(b);
    cr_expect(fabs(quarter.cup) <= 1e-12, "%g", quarter.cup);
    cr_expect(fabs(quarter.width_change + 150 * .006) <= 1e-12);
}

/* The strain of the map is e_r and e_t everywhere: a small square anywhere keeps right
 * angles to its rings.  Seen from outside: a board so small that it is such a square.
 */
Test(ring, a_small_piece_anywhere_strains_by_the_two_strains)
{
    for (double at = 0.1; at < 1.5; at += 0.2) {
        struct bt_ring_board b = board_of(100 * cos(at), 1e-3, 1e-3, -.006, -.015);
        struct bt_ring_shape s;
        double c = cos(at), si = sin(at), want;
        b.heart_x = -100 * si;
        s = shape_of(b);
        want = hypot((1 - .015) * c, (1 - .006) * si) - 1;
        cr_expect(fabs(s.width_change / 1e-3 - want) <= 1e-6, "%g: %g", at,
                  s.width_change / 1e-3);
    }
}

/* Section 4: the angles of five boards all the same way up add to 0.218 mm; each has a
 * ripple of its own. */
Test(ring, boards_all_one_way_up_add_to_a_cup)
{
    struct bt_ring_board board[5];
    struct bt_ring_panel p;
    struct bt_ring_shape one;

    for (size_t i = 0; i < 5; i++)
        board[i] = board_of(150, 120, 25, -.00632, -.01476);
    one = shape_of(board[0]);
    cr_assert_eq(bt_ring_panel_of(5, board, &p, NULL, NULL, NULL), BT_OK);
    /* on the chords as they are when dry */
    cr_expect(fabs(p.cup + 0.218 * (120 + one.width_change) / 120) <= 5e-4, "%.5f",
              p.cup);
    cr_expect(fabs(p.ripple - fabs(one.cup)) <= 1e-12);
    cr_expect(fabs(p.range - fabs(p.cup + one.cup)) <= 1e-5, "%.5f", p.range);
    for (size_t i = 0; i < 5; i++)
        board[i].heart_up = true;
    cr_assert_eq(bt_ring_panel_of(5, board, &p, NULL, NULL, NULL), BT_OK);
    cr_expect(p.cup > 0.2);
}

Test(ring, boards_in_turn_stay_flat_but_for_their_ripple)
{
    struct bt_ring_board board[6];
    struct bt_ring_panel p;
    struct bt_ring_shape one;
    double y[13], h[13];

    for (size_t i = 0; i < 6; i++) {
        board[i] = board_of(150, 120, 25, -.00632, -.01476);
        board[i].heart_up = i % 2;
    }
    one = shape_of(board[0]);
    cr_assert_eq(bt_ring_panel_of(6, board, &p, y, h, NULL), BT_OK);
    /* the turns leave a zigzag of half an edge angle a board, and no more */
    cr_expect(fabs(p.cup) <= 0.5 * fabs(one.edge_angle) * 120, "%g", p.cup);
    cr_expect(p.range <= 2 * p.ripple + fabs(one.edge_angle) * 120, "%g", p.range);
    cr_expect(fabs(h[0]) <= 1e-12 && fabs(h[12]) <= 1e-9);
    cr_expect(fabs(y[0]) <= 1e-12);
    cr_expect(fabs(y[12] - 6 * 120 - p.width_change) <= 1e-9);
    for (size_t i = 1; i < 13; i++)
        cr_expect(y[i] > y[i - 1], "%zu", i);
    for (size_t i = 0; i < 6; i++) /* heart down dries hollow, up crowned */
        cr_expect((h[2 * i + 1] - (h[2 * i] + h[2 * i + 2]) / 2 > 0) == (i % 2 == 1));
}

Test(ring, a_panel_of_one_board_is_that_board)
{
    struct bt_ring_board b = board_of(80, 130, 22, -.006, -.014);
    struct bt_ring_panel p;
    struct bt_ring_shape one = shape_of(b);
    double y[3], h[3];

    cr_assert_eq(bt_ring_panel_of(1, &b, &p, y, h, NULL), BT_OK);
    cr_expect(fabs(p.cup) <= 1e-12);
    cr_expect(fabs(p.ripple - fabs(one.cup)) <= 1e-12);
    cr_expect(fabs(p.range - fabs(one.cup)) <= 1e-12);
    cr_expect(fabs(p.width_change - one.width_change) <= 1e-12);
    cr_expect(fabs(h[1] - one.cup) <= 1e-12);
}

Test(ring, a_panel_turned_about_gives_the_same_cup)
{
    struct bt_ring_board there[3], back[3];
    struct bt_ring_panel a, b;

    there[0] = board_of(80, 130, 22, -.006, -.014);
    there[1] = board_of(120, 90, 22, -.007, -.012);
    there[2] = board_of(60, 111, 22, -.004, -.013);
    there[0].heart_x = 20;
    there[2].heart_up = true;
    for (size_t i = 0; i < 3; i++) {
        back[i] = there[2 - i];
        back[i].heart_x = -back[i].heart_x;
    }
    cr_assert_eq(bt_ring_panel_of(3, there, &a, NULL, NULL, NULL), BT_OK);
    cr_assert_eq(bt_ring_panel_of(3, back, &b, NULL, NULL, NULL), BT_OK);
    cr_expect(fabs(a.cup - b.cup) <= 1e-12);
    cr_expect(fabs(a.range - b.range) <= 1e-12);
    cr_expect(fabs(a.width_change - b.width_change) <= 1e-12);
}

/* reference/checks.py: 25 mm sugar maple, 1 % between the faces, 600 mm wide. */
Test(ring, unequal_faces_bend_a_panel_as_the_check_has)
{
    cr_expect(fabs(bt_gradient_cup(.00353, 1, 600, 25) - 6.354) <= 5.1e-4);
    cr_expect(fabs(bt_gradient_cup(.00353, -1, 600, 25) + 6.354) <= 5.1e-4);
    cr_expect(isnan(bt_gradient_cup(NAN, 1, 600, 25)));
    cr_expect(isnan(bt_gradient_cup(.003, NAN, 600, 25)));
    cr_expect(isnan(bt_gradient_cup(.003, 1, NAN, 25)));
    cr_expect(isnan(bt_gradient_cup(.003, 1, 600, NAN)));
    cr_expect(isnan(bt_gradient_cup(.003, 1, 600, 0)));
    cr_expect(isnan(bt_gradient_cup(.003, 1, -1, 25)));
    cr_expect(isnan(bt_gradient_cup(-.003, 1, 600, 25)));
}

static const struct bad {
    struct bt_ring_board board;
    const char *message;
} bad[] = {
    {{0, 20, 0, 100, false, 0, 0}, "width and thickness must be over 0 mm"},
    {{NAN, 20, 0, 100, false, 0, 0}, "width and thickness must be over 0 mm"},
    {{100, NAN, 0, 100, false, 0, 0}, "width and thickness must be over 0 mm"},
    {{100, INFINITY, 0, 100, false, 0, 0}, "width and thickness must be over 0 mm"},
    {{100, 20, 0, 100, false, NAN, 0}, "a strain must be under 0.5"},
    {{100, 20, 0, 100, false, 0, 0.5}, "a strain must be under 0.5"},
    {{100, 20, 0, NAN, false, 0, 0}, "the distance of the heart must be 0 mm or more"},
    {{100, 20, 0, -INFINITY, false, 0, 0},
     "the distance of the heart must be 0 mm or more"},
    {{100, 20, 0, -1, false, 0, 0}, "the distance of the heart must be 0 mm or more"},
    {{100, 20, NAN, 100, false, 0, 0},
     "the distance of the heart must be 0 mm or more"},
    {{100, 20, 50, 10, false, 0, 0}, "the heart must lie outside the board"},
};

Test(ring, what_is_no_board_is_refused_and_nothing_is_changed)
{
    struct bt_ring_board two[2] = {board_of(100, 100, 20, 0, 0)};
    struct bt_ring_panel panel = {.cup = 42};
    struct bt_error err = {0};

    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_ring_shape s = {.cup = 42};
        cr_expect_eq(bt_ring_shape_of(&bad[i].board, &s, &err), BT_EINPUT, "%zu", i);
        cr_expect_str_eq(err.message, bad[i].message);
        cr_expect(fabs(s.cup - 42) <= 0);
        two[1] = bad[i].board;
        cr_expect_eq(bt_ring_panel_of(2, two, &panel, NULL, NULL, &err), BT_EINPUT);
        cr_expect_eq(err.row, 1);
        cr_expect_str_eq(err.message, bad[i].message);
    }
    cr_expect_eq(bt_ring_panel_of(0, NULL, &panel, NULL, NULL, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "there is no board");
    cr_expect(fabs(panel.cup - 42) <= 0);
}
