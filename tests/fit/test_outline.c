/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>

#include "benchtrue/fit/opening.h"
#include "benchtrue/fit/outline.h"

Test(outline, rectangle_has_its_corners_in_order)
{
    struct bt_outline o;
    struct bt_point low, high;

    cr_assert_eq(bt_outline_rectangle(2.5, 1.25, &o), BT_OK);
    cr_expect(o.n == 4 && o.corner[0] == 0 && o.corner[3] == 3);
    cr_expect(o.p[2].x == 2.5 && o.p[2].y == 1.25 && o.p[3].x == 0);
    cr_expect(fabs(bt_outline_area(&o) - 3.125) <= 1e-12);
    bt_outline_extent(&o, &low, &high);
    cr_expect(low.x == 0 && low.y == 0 && high.x == 2.5 && high.y == 1.25);
    bt_outline_clear(&o);
    cr_expect(o.n == 0 && !o.p);
}

Test(outline, empty_one_has_no_extent)
{
    const struct bt_outline o = {0};
    struct bt_point low = {1, 1}, high = {1, 1};

    bt_outline_extent(&o, &low, &high);
    cr_expect(low.x == 0 && high.y == 0 && bt_outline_area(&o) == 0);
    bt_outline_clear(NULL);
}

Test(outline, readings_are_named_as_opening_csv_has_them)
{
    static const struct {
        struct bt_opening_reading reading;
        const char *name;
    } rows[] = {{{.kind = BT_OPENING_SIDE, .where = BT_WALL_LEFT}, "side left"},
                {{.kind = BT_OPENING_DIAGONAL, .where = 1}, "diagonal BD"},
                {{.kind = BT_OPENING_WIDTH}, "width"},
                {{.kind = BT_OPENING_ANGLE, .where = 2}, "angle C"},
                {{.kind = BT_OPENING_OFFSET, .where = BT_WALL_BACK}, "offset back"},
                {{.kind = BT_OPENING_POINT, .where = BT_WALL_RIGHT}, "point right"}};
    char name[BT_OPENING_NAME_ROOM];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        cr_expect_str_eq(bt_opening_reading_name(name, &rows[i].reading), rows[i].name);
    cr_expect_str_eq(bt_wall_name((enum bt_wall)7), "unknown wall");
    cr_expect_str_eq(bt_opening_kind_name((enum bt_opening_kind)9), "unknown kind");
}
