/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every allocation of the room fails once in turn: a clean error each time, no leak. */
#include <criterion/criterion.h>

#include <math.h>

#include "draw/panel.h"
#include "support/memory.h"

static struct panel panel;

static double twisted(double x, double y)
{
    return x * y / 160000 - x / 400 + 0.2;
}

typedef enum bt_status make(const struct bt_figure_input *, enum bt_figure_format,
                            struct bt_figure_bytes *, struct bt_error *);

static void fail_each(make *figure, enum bt_figure_format format)
{
    enum bt_status status = BT_ENOMEM;
    size_t k = 1;

    for (; status != BT_OK; k++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err = {0};

        cr_assert_lt(k, 2000, "never done");
        memory_fail_at(k);
        status = figure(&panel.input, format, &b, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d: %s", k,
                  (int)status, err.message);
        if (status == BT_ENOMEM)
            cr_expect_str_eq(err.message, "out of memory");
        bt_figure_bytes_clear(&b);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    cr_expect_gt(k, 10, "nothing was allocated");
    memory_fail_at(0);
}

Test(draw_memory, map_of_a_grid_fails_cleanly_at_every_allocation,
     .fini = bt_figure_teardown)
{
    const size_t back[] = {0, 2, 4};
    const double gap[] = {0, 0.3, 0};

    panel_grid(&panel, 5, 3, twisted);
    panel_edge(&panel, 3, back, gap);
    fail_each(bt_figure_map, BT_FIGURE_SVG);
}

Test(draw_memory, map_of_scattered_places_fails_cleanly_at_every_allocation,
     .fini = bt_figure_teardown)
{
    panel_scan(&panel, 40, twisted);
    fail_each(bt_figure_map, BT_FIGURE_PDF);
}

Test(draw_memory, map_of_many_places_fails_cleanly_at_every_allocation,
     .fini = bt_figure_teardown)
{
    panel_scan(&panel, 20001, twisted);
    /* Few of them far apart: little to draw, all the way of averaging. */
    for (size_t i = 0; i < 20001; i++)
        panel.point[i] =
            (struct bt_point){100.0 * (double)(i % 9), 100.0 * (double)(i % 5)};
    fail_each(bt_figure_map, BT_FIGURE_SVG);
}

Test(draw_memory, lines_fail_cleanly_at_every_allocation, .fini = bt_figure_teardown)
{
    panel_grid(&panel, 5, 3, twisted);
    fail_each(bt_figure_lines, BT_FIGURE_SVG);
}

Test(draw_memory, picture_fails_cleanly_at_every_allocation, .fini = bt_figure_teardown)
{
    const size_t back[] = {0, 2, 4};
    const double gap[] = {0, 0.3, 0};

    panel_grid(&panel, 5, 3, twisted);
    panel_edge(&panel, 3, back, gap);
    fail_each(bt_figure_lines, BT_FIGURE_PNG);
}
