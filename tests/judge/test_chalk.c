/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/judge/chalk.h"
#include "support/memory.h"

/* A panel 1200 by 600, read on a grid of 9 by 5. */
enum { COLUMNS = 9, ROWS = 5, N = COLUMNS * ROWS };

static const struct bt_rectangle panel = {0.0, 0.0, 1200.0, 600.0};

struct grid {
    struct bt_point p[N];
    double depth[N];
};

static struct grid flat(void)
{
    struct grid g;

    for (size_t i = 0; i < N; i++) {
        g.p[i] = (struct bt_point){150.0 * (double)(i % COLUMNS),
                                   150.0 * (double)(i / COLUMNS)};
        g.depth[i] = 0.0;
    }
    return g;
}

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

static struct bt_chalk made(const struct grid *g, size_t columns, size_t rows)
{
    struct bt_chalk chalk = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_chalk_make(N, g->p, g->depth, &panel, columns, rows, &chalk, &err),
                 BT_OK, "%s", err.message);
    return chalk;
}

Test(chalk, a_grid_of_readings_gets_a_cell_for_each)
{
    struct grid g = flat();
    struct bt_chalk c;

    g.depth[0] = 0.3;
    g.depth[2 * COLUMNS + 3] = 0.7;
    g.depth[N - 1] = 0.1;
    c = made(&g, 0, 0);
    cr_expect_eq(c.columns, COLUMNS);
    cr_expect_eq(c.rows, ROWS);
    for (size_t i = 0; i < N; i++)
        cr_expect_eq(c.cell[i].places, 1, "%s", c.cell[i].name);
    cr_expect_str_eq(c.cell[0].name, "A1");
    cr_expect_str_eq(c.cell[N - 1].name, "I5");
    cr_expect_str_eq(c.cell[2 * COLUMNS + 3].name, "D3");
    near(c.cell[0].depth, 0.3, 0.0, "A1");
    near(c.cell[2 * COLUMNS + 3].depth, 0.7, 0.0, "D3");
    near(c.cell[2 * COLUMNS + 3].at.x, 450.0, 0.0, "x of D3");
    near(c.cell[N - 1].depth, 0.1, 0.0, "I5");
    near(c.cell[1].depth, 0.0, 0.0, "B1");
    bt_chalk_clear(&c);
    cr_expect(c.cell == NULL && c.columns == 0);
    bt_chalk_clear(NULL);
}

Test(chalk, a_cell_holds_the_most_and_the_mean_of_its_places)
{
    struct grid g = flat();
    struct bt_chalk c;

    g.depth[0] = 0.2;
    g.depth[1] = 0.5;
    g.depth[COLUMNS] = NAN;
    c = made(&g, 3, 2);
    /* 400 by 300: x 0, 150, 300 and y 0, 150, of which one is not known. */
    cr_expect_eq(c.cell[0].places, 5);
    near(c.cell[0].depth, 0.5, 0.0, "depth");
    near(c.cell[0].mean, 0.7 / 5.0, 1e-15, "mean");
    near(c.cell[0].at.x, 150.0, 0.0, "place");
    /* A place on a line between rows belongs in front of it. */
    cr_expect_eq(c.cell[3].places, 9);
    bt_chalk_clear(&c);
}

Test(chalk, a_cell_that_was_not_read_says_so)
{
    const struct grid g = flat();
    struct bt_chalk c = made(&g, 26, 99);
    size_t empty = 0;

    for (size_t i = 0; i < 26 * 99; i++)
        if (c.cell[i].places == 0) {
            empty++;
            cr_expect(isnan(c.cell[i].depth) && isnan(c.cell[i].mean) &&
                      isnan(c.cell[i].at.x));
        }
    cr_expect_eq(empty, 26 * 99 - N);
    cr_expect_str_eq(c.cell[26 * 99 - 1].name, "Z99");
    bt_chalk_clear(&c);
}

Test(chalk, a_large_grid_and_scattered_places_get_few_cells)
{
    enum { MANY = 3000 };
    static struct bt_point p[MANY];
    static double depth[MANY];
    struct bt_chalk c;

    for (size_t i = 0; i < MANY; i++)
        p[i] = (struct bt_point){fmod(97.31 * (double)i, 1200.0),
                                 fmod(41.77 * (double)i, 600.0)};
    cr_assert_eq(bt_chalk_make(MANY, p, depth, &panel, 0, 0, &c, NULL), BT_OK);
    cr_expect_eq(c.columns, 12);
    cr_expect_eq(c.rows, 8);
    bt_chalk_clear(&c);
    /* 17 places: cells of about 2 x 720000/17 mm2, 291 mm square. */
    cr_assert_eq(bt_chalk_make(17, p, depth, &panel, 0, 0, &c, NULL), BT_OK);
    cr_expect_eq(c.columns, 4);
    cr_expect_eq(c.rows, 2);
    bt_chalk_clear(&c);
    /* A grid of 21 by 5: two columns of it share a cell. */
    for (size_t i = 0; i < 105; i++)
        p[i] = (struct bt_point){60.0 * (double)(i % 21), 150.0 * (double)(i / 21)};
    cr_assert_eq(bt_chalk_make(105, p, depth, &panel, 0, 0, &c, NULL), BT_OK);
    cr_expect_eq(c.columns, 11);
    cr_expect_eq(c.rows, 5);
    bt_chalk_clear(&c);
}

Test(chalk, sides_tile_the_panel)
{
    const struct grid g = flat();
    struct bt_chalk c = made(&g, 3, 2);
    const struct bt_rectangle r = bt_chalk_sides(&c, 5);

    near(r.x0, 800.0, 1e-12, "x0");
    near(r.x1, 1200.0, 1e-12, "x1");
    near(r.y0, 300.0, 1e-12, "y0");
    near(r.y1, 600.0, 1e-12, "y1");
    bt_chalk_clear(&c);
}

Test(chalk, spots_come_highest_first_with_what_leads_up_to_them)
{
    struct grid g = flat();
    struct bt_chalk c;
    struct bt_chalk_spot spot[4];
    size_t count;
    const double cell = 1200.0 / 9.0 * 120.0;

    /* Two tops in row 3, B (0.4) with a shoulder at C, and G (0.9) with H and I. */
    g.depth[2 * COLUMNS + 1] = 0.4;
    g.depth[2 * COLUMNS + 2] = 0.2;
    g.depth[2 * COLUMNS + 6] = 0.9;
    g.depth[2 * COLUMNS + 7] = 0.6;
    g.depth[2 * COLUMNS + 8] = 0.3;
    g.depth[0] = 0.04;
    c = made(&g, 0, 0);
    cr_assert_eq(bt_chalk_spots(&c, 0.05, 4, spot, &count, NULL), BT_OK);
    cr_assert_eq(count, 2);
    cr_expect_str_eq(c.cell[spot[0].cell].name, "G3");
    near(spot[0].depth, 0.9, 0.0, "first");
    cr_expect_eq(spot[0].cells, 3);
    near(spot[0].volume, 1.8 * cell, 1e-6, "volume");
    cr_expect_str_eq(c.cell[spot[1].cell].name, "B3");
    cr_expect_eq(spot[1].cells, 2);
    near(spot[1].volume, 0.6 * cell, 1e-6, "volume");
    /* A1 leads up to nothing: B2 beside it has nothing to take off. */
    cr_assert_eq(bt_chalk_spots(&c, 0.0, 1, spot, &count, NULL), BT_OK);
    cr_expect_eq(count, 3);
    cr_expect_str_eq(c.cell[spot[0].cell].name, "G3");
    cr_assert_eq(bt_chalk_spots(&c, 1.0, 4, spot, &count, NULL), BT_OK);
    cr_expect_eq(count, 0);
    bt_chalk_clear(&c);
}

Test(chalk, a_level_top_is_one_spot)
{
    struct grid g = flat();
    struct bt_chalk c;
    struct bt_chalk_spot spot[4];
    size_t count;

    for (size_t i = 0; i < COLUMNS; i++)
        g.depth[2 * COLUMNS + i] = 0.5;
    c = made(&g, 0, 0);
    cr_assert_eq(bt_chalk_spots(&c, 0.0, 4, spot, &count, NULL), BT_OK);
    cr_expect_eq(count, 1);
    cr_expect_eq(spot[0].cells, COLUMNS);
    bt_chalk_clear(&c);
}

static void refused(size_t n, const struct grid *g, struct bt_rectangle r,
                    size_t columns, size_t rows, size_t row, const char *message)
{
    struct bt_chalk c = {.columns = 77};
    struct bt_error err = {0};

    cr_expect_eq(bt_chalk_make(n, g->p, g->depth, &r, columns, rows, &c, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row);
    cr_expect_eq(c.columns, 77);
}

Test(chalk, refuses_what_it_cannot_mark)
{
    struct grid g = flat();
    struct bt_chalk c = made(&g, 3, 2);
    struct bt_chalk_spot spot[1];
    struct bt_error err;
    size_t count = 7;

    refused(0, &g, panel, 0, 0, 0, "there is no place");
    refused(N, &g, (struct bt_rectangle){0, 0, 0, 600}, 0, 0, 0,
            "the rectangle has no area");
    refused(N, &g, (struct bt_rectangle){0, 0, 1200, NAN}, 0, 0, 0,
            "the rectangle has no area");
    refused(N, &g, panel, 27, 1, 0,
            "a grid of 27 columns and 1 rows has too many, 26 and 99 would do");
    refused(N, &g, panel, 1, 100, 0,
            "a grid of 1 columns and 100 rows has too many, 26 and 99 would do");
    g.depth[4] = INFINITY;
    refused(N, &g, panel, 0, 0, 4, "place 5 is not finite or has no finite depth");
    g.depth[4] = 0.0;
    g.p[7].y = NAN;
    refused(N, &g, panel, 0, 0, 7, "place 8 is not finite or has no finite depth");
    for (double least = -1.0; least < 2.0; least += 1.0) {
        const double bad = least < 0.0 ? least : least < 1.0 ? NAN : INFINITY;

        cr_expect_eq(bt_chalk_spots(&c, bad, 1, spot, &count, &err), BT_EINPUT);
        cr_expect_str_eq(err.message,
                         "the least depth is not a finite number from 0 up");
    }
    cr_expect_eq(count, 7);
    bt_chalk_clear(&c);
}

Test(chalk, survives_failed_allocations_without_a_leak)
{
    const struct grid g = flat();
    const size_t live = memory_live();
    struct bt_chalk c = {0};
    struct bt_chalk_spot spot[1];
    struct bt_error err;
    size_t count;

    memory_fail_at(1);
    cr_expect_eq(bt_chalk_make(N, g.p, g.depth, &panel, 0, 0, &c, &err), BT_ENOMEM);
    cr_expect_str_eq(err.message, "no memory for the chalk marks");
    cr_expect_eq(memory_live(), live);
    memory_fail_at(0);
    c = made(&g, 0, 0);
    cr_expect_eq(memory_calls(), 1);
    memory_fail_at(1);
    cr_expect_eq(bt_chalk_spots(&c, 0.0, 1, spot, &count, &err), BT_ENOMEM);
    cr_expect_str_eq(err.message, "no memory for the high spots");
    memory_fail_at(0);
    cr_expect_eq(bt_chalk_spots(&c, 0.0, 1, spot, &count, &err), BT_OK);
    cr_expect_eq(memory_calls(), 1);
    bt_chalk_clear(&c);
    cr_expect_eq(memory_live(), live);
}
