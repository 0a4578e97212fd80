/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/report/map.h"

static const struct bt_rectangle panel = {0, 0, 1200, 600};

static void draw(struct bt_buffer *out, size_t n, const struct bt_point p[],
                 const double z[], double u)
{
    bt_buffer_clear(out);
    bt_map_draw(out, n, p, z, &panel, u, BT_SYSTEM_MM);
    cr_assert_eq(bt_buffer_status(out), BT_OK);
}

/* Row `row` of the map, from 0, border included. */
static const char *row_of(const struct bt_buffer *map, int row)
{
    const char *at = map->text;

    for (; row > 0; row--)
        at = strchr(at, '\n') + 1;
    return at;
}

static const struct bt_point four[] = {{0, 0}, {1200, 0}, {1200, 600}, {0, 600}};

Test(map, has_the_back_edge_on_top_and_corners_named)
{
    static const double z[] = {1.0, -1.0, 0.5, -0.5};
    struct bt_buffer map = {0};

    draw(&map, 4, four, z, 0.05);
    cr_expect(strncmp(map.text, "  A---", 6) == 0);
    cr_expect_not_null(strstr(row_of(&map, 0), "- back -"));
    cr_expect(strstr(row_of(&map, 0), "-B\n") < row_of(&map, 1));
    cr_expect_not_null(strstr(map.text, "\n  D---"));
    cr_expect_not_null(strstr(map.text, "- front -"));
    cr_expect_not_null(strstr(map.text, "--C\n"));
    bt_buffer_clear(&map);
}

Test(map, marks_the_highest_and_the_lowest_place)
{
    static const double z[] = {1.0, -1.0, 0.5, -0.5};
    struct bt_buffer map = {0};

    draw(&map, 4, four, z, 0.05);
    cr_expect(strncmp(row_of(&map, 1), "  |[9]", 6) == 0, "%s", map.text);
    cr_expect(strncmp(row_of(&map, 1) + 61, "(0)|\n", 5) == 0, "%s", map.text);
    cr_expect_not_null(strstr(map.text, "[ ] highest: +1.00 mm at x 0 mm, y 0 mm\n"));
    cr_expect_not_null(strstr(map.text, "( ) lowest: -1.00 mm at x 1200 mm, y 0 mm\n"));
    bt_buffer_clear(&map);
}

Test(map, shows_levels_only_where_something_was_read)
{
    static const double z[] = {1.0, -1.0, 0.5, -0.5};
    struct bt_buffer map = {0};
    size_t digits = 0;

    draw(&map, 4, four, z, 0.05);
    for (const char *c = map.text; c < strstr(map.text, "front"); c++)
        digits += *c >= '0' && *c <= '9';
    cr_expect_eq(digits, 4);
    bt_buffer_clear(&map);
}

Test(map, has_no_level_finer_than_the_uncertainty)
{
    static const double z[] = {0.10, -0.10, 0.02, -0.05};
    struct bt_buffer map = {0};

    draw(&map, 4, four, z, 0.15);
    cr_expect_not_null(strstr(map.text, "one level is 0.2 mm, 0 begins at -0.2 mm."));
    draw(&map, 4, four, z, 0.001);
    cr_expect_not_null(strstr(map.text, "one level is 0.02 mm, 0 begins at -0.1 mm."));
    bt_buffer_clear(&map);
}

Test(map, shows_a_question_mark_where_the_height_is_not_seen)
{
    static const double z[] = {1.0, NAN, 0.5, -0.5};
    struct bt_buffer map = {0};

    draw(&map, 4, four, z, 0.05);
    cr_expect_not_null(strstr(row_of(&map, 1), " ? |\n"));
    cr_expect_not_null(strstr(map.text, "? the height of this place is not seen.\n"));
    bt_buffer_clear(&map);
}

Test(map, draws_places_alone_where_no_height_is_seen)
{
    static const double z[] = {NAN, NAN, NAN, NAN};
    struct bt_buffer map = {0};

    draw(&map, 4, four, z, NAN);
    cr_expect_null(strstr(map.text, "highest"));
    cr_expect_not_null(strstr(map.text, "? the height"));
    bt_buffer_clear(&map);
}

Test(map, draws_a_perfectly_flat_panel)
{
    static const double z[] = {0, 0, 0, 0};
    struct bt_buffer map = {0};

    draw(&map, 4, four, z, 0);
    cr_expect(strncmp(row_of(&map, 1), "  |[0]", 6) == 0, "%s", map.text);
    bt_buffer_clear(&map);
}

Test(map, keeps_the_farther_of_two_places_on_one_spot_and_counts_the_other)
{
    static const struct bt_point p[] = {
        {0, 0}, {600, 300}, {601, 300}, {1200, 600}, {0, 600}};
    static const double z[] = {1.0, 0.01, 0.45, -1.0, 0.0};
    struct bt_buffer map = {0};

    draw(&map, 5, p, z, 0.05);
    cr_expect_not_null(strstr(map.text, " 7 "), "%s", map.text);
    cr_expect_not_null(
        strstr(map.text, "  1 place lies too close to another to be shown.\n"));
    bt_buffer_clear(&map);
}

Test(map, grows_its_frame_to_hold_every_place)
{
    static const struct bt_point p[] = {{-50, -20}, {1300, 700}, {600, 300}};
    static const double z[] = {0.3, -0.2, 0.1};
    struct bt_buffer map = {0};

    draw(&map, 3, p, z, 0.05);
    cr_expect(strncmp(row_of(&map, 1), "  |[", 4) == 0, "%s", map.text);
    bt_buffer_clear(&map);
}

Test(map, stays_within_80_columns_and_30_lines_whatever_the_shape)
{
    static const struct bt_rectangle shapes[] = {
        {0, 0, 3000, 10}, {0, 0, 10, 3000}, {0, 0, 1e6, 1e6}, {5, 5, 5, 5}};
    static const struct bt_point p[] = {{5, 5}};
    static const double z[] = {0.3};

    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++) {
        struct bt_buffer map = {0};
        size_t lines = 0, width = 0;

        bt_map_draw(&map, 1, p, z, &shapes[i], 0.05, BT_SYSTEM_IN);
        for (const char *c = map.text; *c; c++) {
            width = *c == '\n' ? 0 : width + 1;
            lines += *c == '\n';
            cr_expect_leq(width, 80);
        }
        cr_expect_leq(lines, 30);
        bt_buffer_clear(&map);
    }
}

Test(map, draws_nothing_for_no_places)
{
    struct bt_buffer map = {0};

    draw(&map, 0, NULL, NULL, 0.05);
    cr_expect_eq(map.length, 0);
    bt_buffer_clear(&map);
}

/* A scan of `rows` by 400 points over the panel: a slope along it, of 1 mm. */
enum { ACROSS = 400, DOWN = 60, SCAN = ACROSS * DOWN };

static void make_scan(struct bt_point p[], double z[])
{
    for (size_t i = 0; i < SCAN; i++) {
        p[i].x = 1200.0 * (double)(i % ACROSS) / (ACROSS - 1);
        p[i].y = 600.0 * (double)(i / ACROSS) / (DOWN - 1);
        z[i] = p[i].x / 1200;
    }
}

Test(map, of_more_points_than_characters_shows_means_and_hides_nothing)
{
    static struct bt_point p[SCAN];
    static double z[SCAN];
    struct bt_buffer map = {0};
    const char *row;

    make_scan(p, z);
    draw(&map, SCAN, p, z, 0.02);
    row = row_of(&map, 3) + 3;
    for (int k = 0; k < 61; k++) {
        /* levels of 0.1 mm; the ends are means over half a character */
        int level = k == 60 ? 9 : (int)(10.0 * k / 60 + 0.02);
        cr_expect(row[k] == '0' + level || row[k] == '0' + level - 1 ||
                      (k == 60 && row[k] == '9'),
                  "%d: %c", k, row[k]);
    }
    cr_expect_not_null(
        strstr(map.text, "  Each digit is the mean of the heights around it.\n"));
    cr_expect_null(strstr(map.text, "too close"));
    cr_expect_not_null(
        strstr(map.text, "[ ] highest: +1.00 mm at x 1200 mm, y 0 mm\n"));
    cr_expect(strncmp(row_of(&map, 1) + 61, "[9]|\n", 5) == 0, "%s", map.text);
    cr_expect(strncmp(row_of(&map, 1), "  |(0)", 6) == 0, "%s", map.text);
    bt_buffer_clear(&map);
}

Test(map, of_a_scan_keeps_its_levels_where_one_height_is_far_off)
{
    static struct bt_point p[SCAN];
    static double z[SCAN];
    struct bt_buffer map = {0};

    make_scan(p, z);
    z[20 * ACROSS + 100] = 25; /* over 25 mm a level would be 3 mm: all the rest one */
    draw(&map, SCAN, p, z, 0.02);
    cr_expect_not_null(strstr(map.text, "one level is 0.1 mm"), "%s", map.text);
    cr_expect_not_null(strstr(map.text, "[ ] highest: +25.00 mm"));
    bt_buffer_clear(&map);
}

Test(map, of_a_scan_leaves_blank_what_was_not_read_and_marks_what_is_not_seen)
{
    static struct bt_point p[SCAN];
    static double z[SCAN];
    struct bt_buffer map = {0};

    make_scan(p, z);
    for (size_t i = 0; i < SCAN; i++) {
        if (p[i].x > 300 && p[i].x < 500)
            p[i].x = 300; /* nothing in between */
        if (p[i].x > 1000)
            z[i] = NAN;
    }
    draw(&map, SCAN, p, z, 0.02);
    cr_expect_eq(row_of(&map, 3)[3 + 20], ' ', "%s", map.text);
    cr_expect_eq(row_of(&map, 3)[3 + 55], '?', "%s", map.text);
    cr_expect_not_null(strstr(map.text, "? the height of this place is not seen."));
    for (size_t i = 0; i < SCAN; i++)
        z[i] = NAN;
    draw(&map, SCAN, p, z, 0.02);
    cr_expect_eq(row_of(&map, 3)[3 + 30], '?', "%s", map.text);
    bt_buffer_clear(&map);
}
