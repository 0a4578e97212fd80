/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "draw/bay.h"
#include "draw/opening_figure.h"
#include "draw/written.h"
#include "support/memory.h"

Test(figure_opening, tells_corners_sides_diagonals_cuts_gaps_and_the_way_in,
     .fini = bt_figure_teardown)
{
    /* Worked out by hand: 500 deep, 10 narrower at each end, so 88.9 deg at the back,
     * 91.15 at the front; sides hypot(500, 10), diagonals hypot(1490, 500). */
    static const char *const said[] = {
        "Seat in a bay",
        "A  88.9 deg",
        "C  91.1 deg",
        "back wall 1500 mm",
        "open front 1480 mm",
        "AC 1572 mm",
        "BD 1572 mm",
        "back edge, the reference: pushed home",
        "overhang 20 mm",
        "in tilted, one end first",
        "1  back edge: joint it straight",
        "2  left end: 88.9 deg to the back edge, 10 mm over 520 mm, towards",
        "3  right end: 88.9 deg",
        "4  front edge: 520 mm from the back edge at the left end, 520 mm at the",
        "through the year 16 mm to 23 mm",
        "Not straight, but tilted, one end first: at "};
    struct bt_figure_bytes b = {0};
    struct bay bay;
    const char *text;

    bay_make(&bay, 1500, 500, 10, false);
    cr_assert_eq(bt_figure_opening(&bay.input, BT_FIGURE_SVG, &b, NULL), BT_OK);
    text = written_text(&b);
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        cr_expect_not_null(strstr(text, said[i]), "no '%s' in %.6000s", said[i],
                           strstr(text, "<desc>"));
    cr_expect_null(strstr(text, "scribe"));
    bt_figure_bytes_clear(&b);
    bay_clear(&bay);
}

Test(figure_opening, says_how_much_larger_hollows_are_drawn_and_what_is_scribed,
     .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b = {0};
    struct bay bay;
    const char *text;

    bay_make(&bay, 1500, 500, 10, true);
    cr_assert_eq(bt_figure_opening(&bay.input, BT_FIGURE_SVG, &b, NULL), BT_OK);
    text = written_text(&b);
    cr_expect_not_null(strstr(text, "are drawn 6 times as large"), "%.4000s",
                       strstr(text, "<desc>"));
    cr_expect_not_null(strstr(text, "pushed home, scribed"));
    cr_expect_not_null(strstr(text, "more and scribe it last"));
    bt_figure_bytes_clear(&b);
    bay_clear(&bay);
}

Test(figure_opening, no_text_lies_over_another, .fini = bt_figure_teardown)
{
    static const struct {
        double wide, deep, narrower;
        bool hollow, wall;
    } rows[] = {
        {1500, 500, 10, true, false}, {1500, 500, 0, false, false},
        {3000, 150, 5, true, true},   {400, 1500, -10, true, false},
        {600, 600, 20, true, true},   {2500, 90, 0, false, false},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        for (int inches = 0; inches < 2; inches++) {
            struct opening_figure f;
            struct bay bay;

            bay_make(&bay, rows[i].wide, rows[i].deep, rows[i].narrower,
                     rows[i].hollow);
            bay.plan.front_wall = rows[i].wall;
            bay.job.system = inches ? BT_SYSTEM_IN : BT_SYSTEM_MM;
            cr_assert_eq(opening_prepare(&bay.input, &f, NULL), BT_OK);
            written_expect_apart(opening_draw, &f, 2 * i + (size_t)inches);
            bay_clear(&bay);
        }
}

Test(figure_opening, warns_where_the_readings_contradict_each_other,
     .fini = bt_figure_teardown)
{
    static const char warning[] = "The readings do not agree with each other: measure "
                                  "again before you cut.";

    for (int bad = 0; bad < 2; bad++) {
        struct bt_figure_bytes b = {0};
        struct bay bay;

        bay_make(&bay, 1500, 500, 10, false);
        bay.quad.contradiction = bad;
        cr_assert_eq(bt_figure_opening(&bay.input, BT_FIGURE_SVG, &b, NULL), BT_OK);
        cr_expect_eq(strstr(written_text(&b), warning) != NULL, bad == 1);
        bt_figure_bytes_clear(&b);
        bay_clear(&bay);
    }
}

Test(figure_opening, is_written_in_each_format, .fini = bt_figure_teardown)
{
    struct bay bay;

    bay_make(&bay, 1500, 500, 10, true);
    for (int format = BT_FIGURE_SVG; format <= BT_FIGURE_PNG; format++) {
        struct bt_figure_bytes b = {0};

        cr_expect_eq(
            bt_figure_opening(&bay.input, (enum bt_figure_format)format, &b, NULL),
            BT_OK);
        cr_expect_gt(b.length, 1000);
        bt_figure_bytes_clear(&b);
    }
    bay_clear(&bay);
}

Test(figure_opening, shows_the_opening_alone_where_no_piece_is_planned,
     .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b = {0};
    struct bay bay;
    const char *text;

    bay_make(&bay, 1500, 500, 10, false);
    bay.input.piece = NULL;
    cr_assert_eq(bt_figure_opening(&bay.input, BT_FIGURE_SVG, &b, NULL), BT_OK);
    text = written_text(&b);
    cr_expect_not_null(strstr(text, "A  88.9 deg"));
    cr_expect_null(strstr(text, "Cuts"));
    bt_figure_bytes_clear(&b);
    bay_clear(&bay);
}

Test(figure_opening, refuses_corners_that_are_not_seen)
{
    struct bt_figure_bytes b = {0};
    struct bt_error err = {0};
    struct bay bay;

    bay_make(&bay, 1500, 500, 10, false);
    bay.quad.corner[2].x = NAN;
    cr_expect_eq(bt_figure_opening(&bay.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "the corners are not determined: nothing to draw");
    cr_expect_null(b.bytes);
    bay_clear(&bay);
}

Test(figure_opening, fails_cleanly_at_every_allocation, .fini = bt_figure_teardown)
{
    enum bt_status status = BT_ENOMEM;
    struct bay bay;
    size_t k = 1;

    bay_make(&bay, 1500, 500, 10, true);
    for (; status != BT_OK; k++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err = {0};
        const size_t before = memory_live();

        cr_assert_lt(k, 2000, "never done");
        memory_fail_at(k);
        status = bt_figure_opening(&bay.input, BT_FIGURE_SVG, &b, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        bt_figure_bytes_clear(&b);
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    cr_expect_gt(k, 10, "nothing was allocated");
    memory_fail_at(0);
    bay_clear(&bay);
}
