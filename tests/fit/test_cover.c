/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The outline on the blank: against simple cases and a fine trial of turns. */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/fit/cover.h"

static struct bt_cover lay(const struct bt_outline *o, double length, double width,
                           double turn)
{
    const struct bt_cover_request r = {o, length, width, turn};
    struct bt_cover out = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_cover_find(&r, &out, &err), BT_OK, "%s", err.message);
    return out;
}

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.10g, want %.10g", what, got, want);
}

Test(cover, rectangle_lies_on_the_middle_and_parallel)
{
    struct bt_outline o;
    struct bt_cover c;

    cr_assert_eq(bt_outline_rectangle(1500, 400, &o), BT_OK);
    c = lay(&o, 1540, 430, 0.1);
    cr_expect(c.fits);
    near(c.turn, 0, 0, "turn");
    near(c.across, 15, 1e-12, "across");
    near(c.along, 20, 1e-12, "along");
    near(c.at.x, 20, 1e-12, "x");
    near(c.at.y, 15, 1e-12, "y");
    bt_outline_clear(&o);
}

/* A long piece between two parallel edges that lean by atan(3 / 100): turned back by
 * that it is no wider than the distance of the two. */
Test(cover, leaning_piece_is_turned_back)
{
    struct bt_point p[] = {{0, 0}, {1000, 30}, {1000, 330}, {0, 300}};
    const struct bt_outline o = {4, p, {0, 1, 2, 3}};
    const double lean = atan(0.03);
    struct bt_cover c = lay(&o, INFINITY, 310, 0.1);

    near(c.turn, -lean, 1e-12, "turn");
    near(c.width, 300 * cos(lean), 1e-9, "width");
    near(c.across, 155 - 150 * cos(lean), 1e-9, "margin");
    c = lay(&o, INFINITY, 310, 0);
    cr_expect_not(c.fits);
    near(c.across, -10, 1e-12, "margin of the piece laid parallel");
}

static unsigned draw(unsigned *s, unsigned below)
{
    *s = *s * 1664525u + 1013904223u;
    return (*s >> 8) % below;
}

/* Around an ellipse, so that corners in order make a simple polygon; now and then with
 * a point drawn in, so that it is not convex. */
static size_t random_outline(unsigned *s, struct bt_point p[12])
{
    const size_t n = 4 + draw(s, 9);

    for (size_t i = 0; i < n; i++) {
        const double a = 6.283185307179586 * (double)i / (double)n;
        const double in = draw(s, 4) ? 1 : 0.7;

        p[i].x = (600 + 60.0 * draw(s, 10) / 10) * in * cos(a);
        p[i].y = (250 + 60.0 * draw(s, 10) / 10) * in * sin(a);
    }
    return n;
}

Test(cover, no_turn_of_a_fine_trial_has_a_larger_least_margin)
{
    unsigned s = 4711;
    size_t turned = 0;

    for (int k = 0; k < 150; k++) {
        struct bt_point p[12], low, high;
        const size_t n = random_outline(&s, p);
        const struct bt_outline o = {n, p, {0, 1, 2, 3}};
        const double length = 1100 + draw(&s, 300), width = 450 + draw(&s, 200);
        const double most = 0.02 + 0.01 * draw(&s, 40);
        const struct bt_cover c = lay(&o, length, width, most);
        double best = -INFINITY;

        for (int i = -4000; i <= 4000; i++) {
            bt_cover_extent(&o, most * i / 4000, &low, &high);
            best =
                fmax(best, fmin(length - (high.x - low.x), width - (high.y - low.y)));
        }
        best /= 2;
        near(fmin(c.along, c.across), best, 0.1, "least margin");
        cr_expect(fmin(c.along, c.across) >= best - 1e-9, "outline %d", k);
        cr_expect(fabs(c.turn) <= most);
        turned += c.turn != 0;
    }
    cr_expect(turned > 100);
}

Test(cover, holds_every_point_where_it_says_so)
{
    unsigned s = 99;
    size_t fit = 0;

    for (int k = 0; k < 100; k++) {
        struct bt_point p[12];
        const size_t n = random_outline(&s, p);
        const struct bt_outline o = {n, p, {0, 1, 2, 3}};
        const double length = 1100 + draw(&s, 400), width = 450 + draw(&s, 300);
        const struct bt_cover c = lay(&o, length, width, 0.2);
        const struct bt_point zero = bt_cover_turned(p[0], c.turn);
        bool inside = true;

        for (size_t i = 0; i < n; i++) {
            const struct bt_point q = bt_cover_turned(p[i], c.turn);
            const double x = q.x - zero.x + c.at.x, y = q.y - zero.y + c.at.y;

            inside = inside && x >= -1e-9 && y >= -1e-9 && x <= length + 1e-9 &&
                     y <= width + 1e-9;
        }
        cr_expect_eq(inside, c.fits, "outline %d", k);
        fit += c.fits;
    }
    cr_expect(fit > 10 && fit < 90, "%zu", fit);
}

Test(cover, refuses_what_is_no_outline_or_blank)
{
    struct bt_point good[] = {{0, 0}, {10, 0}, {10, 5}, {0, 5}};
    struct bt_point bad[] = {{0, 0}, {10, 0}, {NAN, 5}, {0, 5}};
    const struct bt_outline o = {4, good, {0, 1, 2, 3}}, b = {4, bad, {0, 1, 2, 3}},
                            two = {2, good, {0, 1, 1, 1}};
    const struct {
        struct bt_cover_request r;
        const char *message;
        size_t row;
    } rows[] = {
        {{&two, 20, 20, 0}, "an outline has three points or more", 0},
        {{&b, 20, 20, 0}, "a point of the outline is not finite", 2},
        {{&o, 20, 0, 0}, "a size of the blank is not over 0, or both are endless", 0},
        {{&o, NAN, 9, 0}, "a size of the blank is not over 0, or both are endless", 0},
        {{&o, INFINITY, INFINITY, 0},
         "a size of the blank is not over 0, or both are endless",
         0},
        {{&o, 20, 20, 0.8}, "the turn is not 0 to 45 degrees", 0},
        {{&o, 20, 20, NAN}, "the turn is not 0 to 45 degrees", 0},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_cover out = {.turn = 77};
        struct bt_error err = {0};

        cr_expect_eq(bt_cover_find(&rows[i].r, &out, &err), BT_EINPUT);
        cr_expect_str_eq(err.message, rows[i].message);
        cr_expect_eq(err.row, rows[i].row);
        near(out.turn, 77, 0, "untouched");
    }
}
