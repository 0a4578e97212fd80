/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/fit/piece.h"

#define PI 3.14159265358979323846

static void near(const char *what, double got, double want, double tol)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

/* An opening with corners that are known. */
struct space {
    struct bt_quad_result quad;
    struct bt_wall_profile profile[BT_WALLS];
    struct bt_piece_request request;
    struct bt_piece piece;
    struct bt_error err;
};

static void open_space(struct space *s, double b, double cx, double cy, double dx,
                       double dy)
{
    const bool traced[4] = {false};
    const struct bt_point c[4] = {{0, 0}, {b, 0}, {cx, cy}, {dx, dy}};
    struct bt_opening_reading r[5];
    double figure[BT_QUAD_FIGURES];

    memset(s, 0, sizeof *s);
    bt_quad_figures(c, figure);
    for (int k = 0; k < 5; k++)
        r[k] =
            (struct bt_opening_reading){k < 4 ? BT_OPENING_SIDE : BT_OPENING_DIAGONAL,
                                        k & 3,
                                        NAN,
                                        figure[k],
                                        NAN,
                                        NAN,
                                        1,
                                        0};
    cr_assert_eq(bt_quad_fit(5, r, s->profile, traced, BT_SYSTEM_MM, &s->quad, NULL),
                 BT_OK);
    s->request = (struct bt_piece_request){
        &s->quad, s->profile, bt_opening_plan_none(), 0, 0, 0, 0};
    s->request.plan.joint = 3;
    s->request.plan.thickness = 38;
}

static void wall_of(struct space *s, enum bt_wall wall, size_t n, const double at[],
                    const double off[])
{
    const double u[] = {1, 1, 1, 1, 1, 1, 1, 1};

    cr_assert_eq(bt_wall_profile_find(n, at, off, u, &s->profile[wall], NULL), BT_OK);
}

static void find_well(struct space *s)
{
    cr_assert_eq(bt_piece_find(&s->request, BT_SYSTEM_MM, &s->piece, &s->err), BT_OK,
                 "%s", s->err.message);
}

static void close_space(struct space *s)
{
    bt_piece_clear(&s->piece);
    bt_quad_clear(&s->quad);
    for (int wall = 0; wall < BT_WALLS; wall++)
        bt_wall_profile_clear(&s->profile[wall]);
}

Test(piece, of_a_square_bay_is_a_rectangle_with_a_joint_at_both_ends)
{
    struct space s;

    open_space(&s, 1500, 1500, 500, 0, 500);
    s.request.plan.overhang = 20;
    find_well(&s);
    cr_expect_eq(s.piece.outline.n, 4);
    near("length", s.piece.length, 1494, 1e-5);
    near("width", s.piece.width, 520, 1e-5);
    near("A", hypot(s.piece.outline.p[0].x, s.piece.outline.p[0].y), 0, 1e-9);
    near("angle left", s.piece.cut[1].angle, PI / 2, 1e-8);
    near("angle front", s.piece.cut[3].angle, PI / 2, 1e-8);
    cr_expect(s.piece.insert.straight);
    cr_expect(!s.piece.tilt_in.needed);
    near("overhang at its dampest", s.piece.overhang_dampest, 20, 1e-9);
    close_space(&s);
}

Test(piece, ends_are_cut_as_the_walls_lean)
{
    struct space s;

    /* the front narrower by 7 at the left, 3 at the right */
    open_space(&s, 1500, 1497, 600, 7, 600);
    find_well(&s);
    cr_expect_eq(s.piece.cut[0].edge, BT_WALL_BACK);
    cr_expect_eq(s.piece.cut[1].edge, BT_WALL_LEFT);
    cr_expect_eq(s.piece.cut[3].edge, BT_WALL_FRONT);
    near("left", s.piece.cut[1].angle, atan2(600, 7), 1e-8);
    near("left offset", s.piece.cut[1].offset, 7, 1e-5);
    near("left over", s.piece.cut[1].over, 600, 1e-5);
    near("right", s.piece.cut[2].angle, atan2(600, 3), 1e-8);
    near("right offset", s.piece.cut[2].offset, -3, 1e-5);
    near("back length", s.piece.length_back,
         1500 - 3 / sin(atan2(600, 7)) - 3 / sin(atan2(600, 3)), 1e-5);
    cr_expect(!s.piece.insert.straight);
    /* it has to give what the walls lean, less the joint */
    near("give", s.piece.insert.give_left, 7 - 3 / sin(atan2(600, 7)), 1e-3);
    cr_expect(s.piece.tilt_in.needed && s.piece.tilt_in.possible);
    near("narrowest", s.piece.narrowest, 1490, 1e-5);
    close_space(&s);
}

Test(piece, back_edge_rests_on_two_high_points_and_turns_the_piece)
{
    struct space s;
    const double at[] = {0, 200, 1000, 1500}, off[] = {0, -4, -12, 0};

    open_space(&s, 1500, 1500, 500, 0, 500);
    wall_of(&s, BT_WALL_BACK, 4, at, off);
    find_well(&s);
    near("tilt", s.piece.tilt, atan2(-4 + 12, 800), 1e-6);
    near("widest gap", s.piece.gap[BT_WALL_BACK].widest, s.profile[0].home.value,
         1e-12);
    /* the ends stay along their walls, so they are no longer square to the back edge */
    near("left", s.piece.cut[1].angle, PI / 2 - atan2(8, 800), 1e-6);
    close_space(&s);
}

Test(piece, edge_follows_a_wall_that_may_be_scribed)
{
    struct space s;
    const double at[] = {0, 150, 350, 500}, off[] = {0, -4, 3, 0};

    open_space(&s, 1500, 1500, 500, 0, 500);
    wall_of(&s, BT_WALL_LEFT, 4, at, off);
    s.request.plan.scribe = 10;
    find_well(&s);
    cr_expect(s.piece.gap[BT_WALL_LEFT].scribed && s.piece.cut[1].scribed);
    cr_expect_eq(s.piece.outline.n, 6);
    cr_expect_eq(s.piece.outline.corner[3], 3);
    /* D, then the stations from the front: 3 mm hollow, 4 mm bump */
    near("hollow", s.piece.outline.p[4].x, -3, 1e-6);
    near("bump", s.piece.outline.p[5].x, 4, 1e-6);
    near("scribed", s.piece.cut[1].scribe_most, s.profile[BT_WALL_LEFT].zone.value, 0);
    near("widest", s.piece.gap[BT_WALL_LEFT].widest, 3, 0);
    close_space(&s);
}

Test(piece, wall_beyond_what_is_scribed_is_told_and_left)
{
    struct space s;
    const double at[] = {0, 250, 500}, off[] = {0, 14, 0};

    open_space(&s, 1500, 1500, 500, 0, 500);
    wall_of(&s, BT_WALL_LEFT, 3, at, off);
    s.request.plan.scribe = 10;
    find_well(&s);
    cr_expect(s.piece.scribe_over && !s.piece.gap[BT_WALL_LEFT].scribed);
    near("widest", s.piece.gap[BT_WALL_LEFT].widest, 17, 1e-9);
    cr_expect_eq(s.piece.outline.n, 4);
    close_space(&s);
}

/* Its middle is fixed: the back edge moves too, and its joint is judged as the front's.
 */
Test(piece, stated_joint_at_the_back_has_to_take_what_the_back_edge_moves)
{
    struct space s;

    open_space(&s, 1500, 1500, 500, 0, 500);
    s.request.plan.back_joint = 6;
    s.request.plan.sealant = 25;
    s.request.back_wider = 1.5;
    s.request.back_narrower = 2;
    find_well(&s);
    near("movement", s.piece.gap[BT_WALL_BACK].movement, 1.5, 0);
    near("sealant", s.piece.gap[BT_WALL_BACK].sealant, 8, 1e-12);
    near("taken", s.piece.gap[BT_WALL_BACK].taken, 8, 1e-12);
    cr_expect(s.piece.gap[BT_WALL_BACK].too_small);
    close_space(&s);
}

Test(piece, front_wall_gets_the_joint_that_movement_and_sealant_need)
{
    struct space s;

    open_space(&s, 1500, 1500, 500, 0, 500);
    s.request.plan.front_wall = true;
    s.request.plan.sealant = 25;
    s.request.wider = 1.5;
    s.request.narrower = 2.5;
    find_well(&s);
    near("movement", s.piece.gap[BT_WALL_FRONT].movement, 1.5, 0);
    /* stretched by 2.5 mm, a quarter of 10 mm: class 25 of ISO 11600, reference/
     * fixings.csv */
    near("sealant", s.piece.gap[BT_WALL_FRONT].sealant, 10, 1e-12);
    near("taken", s.piece.gap[BT_WALL_FRONT].taken, 10, 1e-12);
    cr_expect(s.piece.gap[BT_WALL_FRONT].too_small);
    cr_expect(!s.piece.gap[BT_WALL_LEFT].too_small);
    near("sealant at an end", s.piece.gap[BT_WALL_LEFT].sealant, 0, 0);
    near("width", s.piece.width, 500 - 10, 1e-5);
    cr_expect(s.piece.walls.closed);
    cr_expect_eq(s.piece.insert.turning, BT_TURN_IMPOSSIBLE);
    near("height", s.piece.tilt_in.height, 38, 1e-12);
    close_space(&s);
}

Test(piece, gap_that_nobody_states_is_taken_and_marked)
{
    struct space s;

    open_space(&s, 1500, 1500, 500, 0, 500);
    s.request.plan.joint = NAN;
    find_well(&s);
    cr_expect(s.piece.gap[BT_WALL_LEFT].assumed);
    near("taken", s.piece.gap[BT_WALL_LEFT].taken, BT_JOINT_TAKEN, 0);
    cr_expect(!s.piece.gap[BT_WALL_BACK].assumed);
    near("back", s.piece.gap[BT_WALL_BACK].taken, 0, 0);
    bt_piece_clear(&s.piece);
    s.request.plan.clearance = 5;
    find_well(&s);
    cr_expect(!s.piece.gap[BT_WALL_LEFT].assumed);
    near("clearance", s.piece.gap[BT_WALL_LEFT].taken, 5, 0);
    close_space(&s);
}

Test(piece, refuses_joints_that_leave_nothing)
{
    struct space s;

    open_space(&s, 100, 100, 500, 0, 500);
    s.request.plan.joint = 60;
    cr_expect_eq(bt_piece_find(&s.request, BT_SYSTEM_MM, &s.piece, &s.err), BT_EINPUT);
    cr_expect_str_eq(
        s.err.message,
        "the joints leave nothing of the opening: it is 100 mm wide and 500 "
        "mm deep, the joints take 120 mm and 0 mm of that; check joint, "
        "back_joint and clearance in [opening]");
    close_space(&s);
}

Test(piece, refuses_an_opening_whose_corners_are_not_seen)
{
    struct space s;

    open_space(&s, 100, 100, 500, 0, 500);
    s.quad.cov[0] = NAN;
    cr_expect_eq(bt_piece_find(&s.request, BT_SYSTEM_MM, &s.piece, &s.err), BT_ECALL);
    cr_expect_str_eq(s.err.message, "the corners of the opening are not seen");
    close_space(&s);
}

Test(piece, spacers_are_the_whole_number_that_comes_nearest)
{
    double mm;

    cr_expect_eq(bt_spacers(3, 0.4, &mm), 8);
    near("makes", mm, 3.2, 1e-12);
    cr_expect_eq(bt_spacers(0.1, 0.4, &mm), 1);
    cr_expect_eq(bt_spacers(0, 0.4, &mm), 0);
    near("none", mm, 0, 0);
    cr_expect_eq(bt_spacers(3, 0, &mm), 0);
    cr_expect_eq(bt_spacers(NAN, 0.4, &mm), 0);
}

Test(piece, outline_lies_inside_the_walls_by_its_joints)
{
    struct space s;
    const double at[] = {40, 200, 420, 560}, off[] = {0, -2.5, 1.5, 0};
    const double along[] = {0, 300, 800, 1490}, back[] = {0, 3, -2, 0};

    open_space(&s, 1490, 1482, 612, 9, 605);
    wall_of(&s, BT_WALL_LEFT, 4, at, off);
    wall_of(&s, BT_WALL_BACK, 4, along, back);
    find_well(&s);
    /* no corner of a wall is nearer to an end than the joint */
    for (size_t k = 0; k <= s.piece.walls.back[0]; k++) {
        const struct bt_point *p = &s.piece.walls.p[k];
        const struct bt_point *a = &s.piece.placed.p[0], *d = &s.piece.placed.p[3];
        const double off_edge =
            ((d->x - a->x) * (p->y - a->y) - (d->y - a->y) * (p->x - a->x)) /
            hypot(d->x - a->x, d->y - a->y);

        cr_expect(off_edge >= 3 - 1e-6, "wall point %zu at %g", k, off_edge);
    }
    near("area is the same in both frames", bt_outline_area(&s.piece.placed),
         bt_outline_area(&s.piece.outline), 1e-3);
    close_space(&s);
}
