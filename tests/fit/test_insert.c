/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/fit/insert.h"

#define PI 3.14159265358979323846

static double noise(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0 - 0.5;
}

static void near(const char *what, double got, double want, double tol)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

/* Walls D A B C and a piece of four corners. */
static struct bt_insert four(const struct bt_point wall[4], struct bt_point piece[4])
{
    struct bt_walls walls = {4, (struct bt_point *)wall, {1, 2}, false};
    struct bt_outline outline = {4, piece, {0, 1, 2, 3}};
    struct bt_insert in;
    struct bt_error err = {0};

    cr_assert_eq(bt_insert_find(&outline, &walls, &in, &err), BT_OK, "%s", err.message);
    return in;
}

Test(insert, space_wider_in_front_lets_it_straight_in_and_a_fan_of_directions)
{
    const struct bt_point wall[4] = {{-50, 500}, {0, 0}, {1000, 0}, {1050, 500}};
    struct bt_point piece[4] = {{0, 0}, {1000, 0}, {1050, 500}, {-50, 500}};
    struct bt_insert in = four(wall, piece);

    cr_expect(in.straight);
    cr_expect_eq(in.nfree, 1);
    near("from", in.free[0].from, -atan2(50, 500), 1e-3);
    near("to", in.free[0].to, atan2(50, 500), 1e-3);
    cr_expect_eq(in.turning, BT_TURN_NOT_NEEDED);
    near("give", in.give_left + in.give_right, 0, 0);
    bt_insert_clear(&in);
}

Test(insert, walls_that_lean_alike_let_it_in_along_them_only)
{
    const struct bt_point wall[4] = {{40, 500}, {0, 0}, {1000, 0}, {1040, 500}};
    struct bt_point piece[4] = {{0, 0}, {1000, 0}, {1040, 500}, {40, 500}};
    struct bt_insert in = four(wall, piece);

    cr_expect(!in.straight);
    near("nearest", in.nearest, atan2(40, 500), 1e-3);
    near("give left", in.give_left, 40, 1e-3);
    near("give right", in.give_right, 0, 1e-3);
    bt_insert_clear(&in);
}

Test(insert, front_narrower_than_back_lets_it_in_in_no_direction)
{
    const struct bt_point wall[4] = {{7, 500}, {0, 0}, {1500, 0}, {1496, 500}};
    struct bt_point piece[4] = {{2, 0}, {1498, 0}, {1494, 500}, {9, 500}};
    struct bt_insert in = four(wall, piece);

    cr_expect_eq(in.nfree, 0);
    cr_expect(isnan(in.nearest));
    near("give left", in.give_left, 5, 1e-3);
    near("give right", in.give_right, 2, 1e-3);
    cr_expect_eq(in.turning, BT_TURN_NOT_FOUND);
    near("gap", in.gap, 1489, 1e-9);
    bt_insert_clear(&in);
}

Test(insert, clearance_lets_a_little_narrowing_pass)
{
    const struct bt_point wall[4] = {{2, 500}, {0, 0}, {1500, 0}, {1498, 500}};
    struct bt_point piece[4] = {{3, 0}, {1497, 0}, {1495, 500}, {5, 500}};
    struct bt_insert in = four(wall, piece);

    cr_expect(in.straight);
    bt_insert_clear(&in);
}

Test(insert, wider_every_way_than_the_gap_is_impossible)
{
    const struct bt_point wall[4] = {{200, 300}, {0, 0}, {500, 0}, {400, 300}};
    struct bt_point piece[4] = {{20, 10}, {480, 10}, {400, 240}, {190, 270}};
    struct bt_insert in = four(wall, piece);

    cr_expect_eq(in.turning, BT_TURN_IMPOSSIBLE);
    cr_expect(in.least_width > in.gap);
    bt_insert_clear(&in);
}

Test(insert, walls_all_round_leave_no_way_in_the_plane)
{
    const struct bt_point wall[4] = {{0, 300}, {0, 0}, {500, 0}, {500, 300}};
    struct bt_point piece[4] = {{2, 2}, {498, 2}, {498, 298}, {2, 298}};
    struct bt_walls walls = {4, (struct bt_point *)wall, {1, 2}, true};
    struct bt_outline outline = {4, piece, {0, 1, 2, 3}};
    struct bt_insert in;

    cr_assert_eq(bt_insert_find(&outline, &walls, &in, NULL), BT_OK);
    cr_expect_eq(in.nfree, 0);
    cr_expect_eq(in.turning, BT_TURN_IMPOSSIBLE);
    cr_expect(isnan(in.gap));
    bt_insert_clear(&in);
}

Test(insert, bump_in_front_of_the_end_bars_the_way)
{
    /* straight walls but for one bump of 6 mm at 300 from the back */
    const struct bt_point wall[5] = {
        {0, 500}, {6, 300}, {0, 0}, {1000, 0}, {1000, 500}};
    struct bt_point piece[5] = {{1, 0}, {999, 0}, {999, 500}, {1, 500}, {7, 300}};
    struct bt_walls walls = {5, (struct bt_point *)wall, {2, 3}, false};
    struct bt_outline outline = {5, piece, {0, 1, 2, 3}};
    struct bt_insert in;

    cr_assert_eq(bt_insert_find(&outline, &walls, &in, NULL), BT_OK);
    cr_expect(!in.straight);
    near("give left", in.give_left, 5, 1e-3);
    near("give right", in.give_right, 0, 1e-3);
    bt_insert_clear(&in);
}

Test(insert, refuses_a_piece_that_crosses_a_wall)
{
    const struct bt_point wall[4] = {{0, 500}, {0, 0}, {1000, 0}, {1000, 500}};
    struct bt_point piece[4] = {{-1, 10}, {900, 10}, {900, 400}, {10, 400}};
    struct bt_walls walls = {4, (struct bt_point *)wall, {1, 2}, false};
    struct bt_outline outline = {4, piece, {0, 1, 2, 3}};
    struct bt_insert in;
    struct bt_error err = {0};

    cr_expect_eq(bt_insert_find(&outline, &walls, &in, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "the piece does not fit between the walls");
    bt_insert_clear(&in);
}

/* ---- against moving it in small steps ---- */

struct scene {
    size_t nw, np;
    struct bt_point wall[12], piece[8], given[8]; /* piece: a little smaller */
    struct bt_walls walls;
    struct bt_outline outline;
};

static bool crosses(const struct scene *s, double cs, double sn, struct bt_point about,
                    double mx, double my)
{
    struct bt_point p[8];

    for (size_t i = 0; i < s->np; i++) {
        const double dx = s->piece[i].x - about.x, dy = s->piece[i].y - about.y;

        p[i] = (struct bt_point){about.x + cs * dx - sn * dy + mx,
                                 about.y + sn * dx + cs * dy + my};
    }
    for (size_t i = 0; i < s->np; i++)
        for (size_t k = 0; k + 1 < s->nw; k++) {
            const struct bt_point a = p[i], b = p[(i + 1) % s->np], c = s->wall[k],
                                  d = s->wall[k + 1];
            const double ux = b.x - a.x, uy = b.y - a.y, vx = d.x - c.x, vy = d.y - c.y;
            const double det = ux * vy - uy * vx, wx = c.x - a.x, wy = c.y - a.y;
            const double t = (wx * vy - wy * vx) / det, q = (wx * uy - wy * ux) / det;

            if (t > 0 && t < 1 && q > 0 && q < 1)
                return true;
        }
    return false;
}

static bool slides_out(const struct scene *s, double direction, double turn,
                       struct bt_point about)
{
    for (int n = 0; n < 200; n++)
        if (crosses(s, cos(turn), sin(turn), about, 3.0 * n * sin(direction),
                    3.0 * n * cos(direction)))
            return false;
    return true;
}

/* A bay with ragged walls and a piece of some corners in it. */
static bool make(struct scene *s, uint64_t *state)
{
    const double half = 90 + 80 * noise(state);
    const double lean = 60 * noise(state);
    const struct bt_point bay[8] = {{-half + lean, 200}, {-half, 120},      {-half, 60},
                                    {-half, 0},          {half, 0},         {half, 60},
                                    {half, 120},         {half + lean, 200}};

    s->nw = 8;
    for (size_t k = 0; k < 8; k++)
        s->wall[k] = (struct bt_point){bay[k].x + 30 * noise(state),
                                       bay[k].y + 30 * noise(state)};
    s->np = 4 + (size_t)((noise(state) + 0.5) * 3);
    for (size_t i = 0; i < s->np; i++) {
        const double turn =
            -PI + 2 * PI * (double)i / (double)s->np + 0.4 * noise(state);
        const double far = 60 + 40 * noise(state);

        s->given[i] = (struct bt_point){1.3 * far * cos(turn), 90 + far * sin(turn)};
        s->piece[i] =
            (struct bt_point){0.999 * s->given[i].x, 90 + 0.999 * (s->given[i].y - 90)};
    }
    s->walls = (struct bt_walls){s->nw, s->wall, {3, 4}, false};
    s->outline = (struct bt_outline){s->np, s->given, {0, 1, 2, 3}};
    return !crosses(s, 1, 0, s->piece[0], 0, 0);
}

static double border(const struct bt_insert *in, double direction)
{
    double least = INFINITY;

    for (size_t i = 0; i < in->nfree; i++)
        least = fmin(least, fmin(fabs(direction - in->free[i].from),
                                 fabs(direction - in->free[i].to)));
    return least;
}

static bool is_free(const struct bt_insert *in, double direction)
{
    for (size_t i = 0; i < in->nfree; i++)
        if (direction >= in->free[i].from && direction <= in->free[i].to)
            return true;
    return false;
}

static void compare_directions(const struct scene *s, const struct bt_insert *in,
                               uint64_t *state, size_t count[2])
{
    for (int k = 0; k < 6; k++) {
        const double direction = 1.6 * noise(state);
        const bool slid = slides_out(s, direction, 0, s->piece[0]);

        if (is_free(in, direction)) {
            cr_expect(slid, "said to be free: %g", direction);
            count[0]++;
        } else if (border(in, direction) > 0.05) {
            /* so far from the border steps of 3 mm cannot jump over the corner */
            cr_expect(!slid, "said to be barred: %g", direction);
            count[1]++;
        }
    }
}

Test(insert, agrees_with_moving_it_in_small_steps)
{
    uint64_t state = 5;
    size_t scenes = 0, turned = 0, count[2] = {0, 0};

    for (int round = 0; round < 4000; round++) {
        struct scene s;
        struct bt_insert in;

        if (!make(&s, &state))
            continue;
        if (bt_insert_find(&s.outline, &s.walls, &in, NULL) != BT_OK)
            continue;
        scenes++;
        compare_directions(&s, &in, &state, count);
        if (in.turning == BT_TURN_FOUND) {
            const struct bt_point about = s.piece[in.pivot];

            turned++;
            for (int n = 0; n <= 300; n++)
                cr_assert(!crosses(&s, cos(in.turn * n / 300), sin(in.turn * n / 300),
                                   about, 0, 0));
            cr_assert(slides_out(&s, in.then, in.turn, about));
        }
        bt_insert_clear(&in);
    }
    /* the scenes are not all of one sort */
    cr_expect(scenes > 1000 && turned > 20 && count[0] > 1000 && count[1] > 1000,
              "%zu scenes, %zu turned, %zu free, %zu barred", scenes, turned, count[0],
              count[1]);
}

/* x of a chain of points at y. */
static double chain_x(const struct bt_point a[], size_t n, double y)
{
    for (size_t k = 0; k + 1 < n; k++)
        if ((a[k].y - y) * (a[k + 1].y - y) <= 0 && a[k].y != a[k + 1].y)
            return a[k].x +
                   (y - a[k].y) * (a[k + 1].x - a[k].x) / (a[k + 1].y - a[k].y);
    return NAN;
}

Test(insert, gives_are_how_far_the_wall_in_front_stands_in_the_way)
{
    uint64_t state = 99;

    for (int round = 0; round < 300; round++) {
        struct bt_point wall[6] = {{40 * noise(&state), 300},
                                   {40 * noise(&state), 150},
                                   {0, 0},
                                   {800, 0},
                                   {800 + 40 * noise(&state), 150},
                                   {800 + 40 * noise(&state), 300}};
        /* a piece that follows the walls, 1 mm off */
        struct bt_point piece[6] = {{1, 0},
                                    {799, 0},
                                    {wall[4].x - 1, 150},
                                    {wall[5].x - 1, 300},
                                    {wall[0].x + 1, 300},
                                    {wall[1].x + 1, 150}};
        const struct bt_point side[3] = {wall[2], wall[1], wall[0]};
        struct bt_walls walls = {6, wall, {2, 3}, false};
        struct bt_outline outline = {6, piece, {0, 1, 3, 4}};
        struct bt_insert in;
        double most = 0;

        cr_assert_eq(bt_insert_find(&outline, &walls, &in, NULL), BT_OK);
        for (int i = 0; i <= 300; i += 2)
            for (int k = i; k <= 300; k += 2)
                most = fmax(most, chain_x(side, 3, k) - chain_x(side, 3, i) - 1);
        if (!in.straight)
            near("give left", in.give_left, most, 1e-3);
        else
            /* it is taken a little smaller, and may have less to give than that */
            near("nothing to give", most, 0, 0.1);
        bt_insert_clear(&in);
    }
}

/* ---- from above ---- */

Test(insert, tilt_is_the_angle_at_which_it_just_passes)
{
    for (int k = 0; k < 200; k++) {
        const double length = 900 + 5 * k, thick = 18 + 0.2 * k,
                     narrow = length - 1 - k % 37;
        const struct bt_tilt t = bt_tilt_find(length, thick, narrow, length + 40);
        double least = INFINITY;

        cr_expect(t.needed && t.possible && t.turns_down);
        near("passes", length * cos(t.angle) + thick * sin(t.angle), narrow, 1e-9);
        near("height", t.height, length * sin(t.angle) + thick * cos(t.angle), 1e-9);
        /* tilting it further in small steps: the first angle at which it passes */
        for (int i = 0; i <= 90000 && isinf(least); i++) {
            const double a = i * PI / 180000;

            if (length * cos(a) + thick * sin(a) <= narrow)
                least = a;
        }
        near("angle", t.angle, least, 2e-5);
    }
}

Test(insert, board_that_passes_level_is_not_tilted)
{
    const struct bt_tilt t = bt_tilt_find(1500, 38, 1500, 1500);

    cr_expect(!t.needed && t.possible);
    near("height", t.height, 38, 0);
    near("angle", t.angle, 0, 0);
}

Test(insert, seat_shorter_than_the_diagonal_jams_it_on_the_way_down)
{
    const struct bt_tilt t = bt_tilt_find(1500, 40, 1490, 1500.3);

    near("diagonal", t.least_length, sqrt(1500.0 * 1500 + 1600), 1e-9);
    cr_expect(t.needed && !t.turns_down && !t.possible);
}

Test(insert, gap_thinner_than_the_board_lets_nothing_in)
{
    const struct bt_tilt t = bt_tilt_find(1500, 40, 39, 1600);

    cr_expect(t.needed && !t.possible && isnan(t.angle) && isnan(t.height));
}
