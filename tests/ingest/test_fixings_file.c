/* SPDX-License-Identifier: GPL-3.0-or-later */

/* [fixing] and fixings.csv: what is read, and every fault. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "jobdir.h"

#define PI 3.14159265358979323846

static void load(struct jobdir *dir, const char *fixing, const char *fixings)
{
    char ini[512];

    snprintf(ini, sizeof ini,
             "[job]\nunits = mm\n[panel]\nlength = 1500\nwidth = 750\n[fixing]\n%s",
             fixing);
    jobdir_make(dir);
    jobdir_write(dir, "job.ini", ini);
    if (fixings)
        jobdir_write(dir, "fixings.csv", fixings);
}

static void near(double got, double want)
{
    cr_expect(fabs(got - want) <= 1e-9 * fabs(want), "got %.12g, want %.12g", got,
              want);
}

Test(fixings_file, takes_every_column)
{
    static const char text[] =
        "x_mm,y_mm,kind,name,direction,slot,hole,screw,thread,travel,arm,at,head,"
        "through,"
        "into,washer,note\n"
        "75,60,slot,back left,across,16,5.5,5,15,,3.5,-2,10,22,plywood,yes,mine\n"
        "750,1 in,Round Hole,,,,6,5,15,,,,,,,,\n"
        "75,690,figure-eight,,,,,4,14,8,,,,,metal,no,\n"
        "90,690,bracket,,30 deg,12,,4,,,,,,,mdf,,\n"
        "95,690,bracket,,along,12,,4,,,,,,,particle board,,\n";
    struct jobdir dir;
    const struct bt_fixing *f;

    load(&dir,
         "fixed = 200 mm\nends = breadboard\nends_width = 60\nends_play = 3\n"
         "load = 400 N\n",
         text);
    jobdir_load_well(&dir);
    cr_assert_eq(dir.job.fixing.n, 5);
    f = dir.job.fixing.fixing;
    cr_expect_str_eq(f[0].name, "back left");
    near(f[0].x, 75);
    near(f[0].y, 60);
    cr_expect_eq(f[0].kind, BT_FIXING_SLOT);
    cr_expect(f[0].direction == 0);
    near(f[0].slot, 16);
    near(f[0].hole, 5.5);
    near(f[0].screw, 5);
    near(f[0].thread, 15);
    cr_expect(isnan(f[0].travel));
    near(f[0].arm, 3.5);
    near(f[0].at, -2);
    near(f[0].head, 10);
    near(f[0].through, 22);
    cr_expect_eq(f[0].into, BT_INTO_PLYWOOD);
    cr_expect(f[0].washer);
    cr_expect_eq(f[0].line, 2);
    near(f[1].y, 25.4);
    cr_expect_eq(f[1].kind, BT_FIXING_ROUND_HOLE);
    cr_expect_eq(f[1].into, BT_INTO_SOLID_WOOD);
    cr_expect_not(f[1].washer);
    cr_expect(isnan(f[1].slot) && isnan(f[1].direction));
    cr_expect_eq(f[2].kind, BT_FIXING_FIGURE_EIGHT);
    cr_expect_eq(f[2].into, BT_INTO_METAL);
    near(f[2].travel, 8);
    near(f[3].direction, PI / 6);
    cr_expect_eq(f[3].into, BT_INTO_MDF);
    near(f[4].direction, PI / 2);
    cr_expect_eq(f[4].into, BT_INTO_PARTICLE_BOARD);
    cr_expect_eq(dir.job.fixing.fixed, BT_FIXED_AT);
    near(dir.job.fixing.fixed_at, 200);
    cr_expect_eq(dir.job.fixing.ends, BT_ENDS_BREADBOARD);
    near(dir.job.fixing.ends_width, 60);
    near(dir.job.fixing.ends_play, 3);
    near(dir.job.fixing.load, 400);
    jobdir_remove(&dir);
}

Test(fixings_file, states_nothing_where_it_is_missing)
{
    struct jobdir dir;

    load(&dir, "", NULL);
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.fixing.n, 0);
    cr_expect_eq(dir.job.fixing.fixed, BT_FIXED_NOT_STATED);
    cr_expect(isnan(dir.job.fixing.load) && isnan(dir.job.fixing.ends_play));
    near(bt_fixed_line_at(&dir.job.fixing, 750), 375);
    jobdir_remove(&dir);
}

Test(fixings_file, finds_the_line_that_does_not_move)
{
    static const struct {
        const char *text;
        double y;
    } rows[] = {{"fixed = back edge\n", 0}, {"fixed = Front Edge\n", 750},
                {"fixed = centre\n", 375},  {"fixed = center\n", 375},
                {"fixed = 4 in\n", 101.6},  {"fixed = 751 mm\n", 750}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct jobdir dir;

        load(&dir, rows[i].text, NULL);
        jobdir_load_well(&dir);
        near(bt_fixed_line_at(&dir.job.fixing, 750), rows[i].y);
        jobdir_remove(&dir);
    }
}

/* One fault, and no other. */
static void expect_one(const char *fixing, const char *fixings, const char *file,
                       size_t line, size_t column, const char *message)
{
    struct jobdir dir;

    load(&dir, fixing, fixings);
    jobdir_load(&dir, NULL);
    cr_expect_eq(dir.status, BT_EINPUT, "%s", message);
    cr_expect_eq(dir.faults.n, 1, "%s: %zu faults", message, dir.faults.n);
    if (dir.faults.n >= 1) {
        const struct bt_fault *fault = &dir.faults.item[0];

        cr_expect_str_eq(fault->message, message);
        cr_expect_str_eq(fault->file, file, "%s", message);
        cr_expect(fault->line == line && fault->column == column, "%s: %zu:%zu",
                  message, fault->line, fault->column);
    }
    jobdir_remove(&dir);
}

Test(fixings_file, tells_each_fault_of_the_section_with_its_place)
{
    static const struct {
        const char *text;
        size_t column;
        const char *message;
    } rows[] = {
        {"fixed = middle\n", 9,
         "not a line of the panel: 'middle', write back edge, front edge, centre, or "
         "how far from the back edge"},
        {"fixed = 900 mm\n", 9,
         "outside the panel: '900 mm', y, across the panel, is 0 to 750 mm (and up to "
         "2 "
         "mm beyond)"},
        {"ends = bread\n", 8,
         "unknown value of ends: 'bread', write one of none, breadboard, frame"},
        {"load = 0 N\n", 8,
         "load must be more than 0 and at most 100 kN, such as 3.5 kN or 800 lbf: '0 "
         "N'"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect_one(rows[i].text, NULL, "job.ini", 7, rows[i].column, rows[i].message);
}

/* The top is cut from a panel of 1500 x 750 mm. */
Test(fixings_file, counts_places_on_the_finished_piece)
{
    static const char cut[] = "[layout]\nlength = 1460\nwidth = 725\n";

    expect_one(
        cut, "x_mm,y_mm,kind\n75,740,slot\n", "fixings.csv", 2, 4,
        "outside the panel: '740', y, across the finished piece, is 0 to 725 mm, "
        "as [layout] says");
    expect_one(
        cut, "x_mm,y_mm,kind\n1480,60,slot\n", "fixings.csv", 2, 1,
        "outside the panel: '1480', x, along the finished piece, is 0 to 1460 mm, "
        "as [layout] says");
    expect_one("fixed = 740 mm\n[layout]\nwidth = 725\n", NULL, "job.ini", 7, 9,
               "outside the panel: '740 mm', y, across the finished piece, is 0 to 725 "
               "mm, as [layout] says");
}

Test(fixings_file, tells_each_fault_of_a_row_with_its_place)
{
    static const struct {
        const char *row;
        size_t column;
        const char *message;
    } rows[] = {
        {",60,slot,,,,,,\n", 1,
         "x is missing: type where the fixing is, from the left end"},
        {"75,,slot,,,,,,\n", 4,
         "y is missing: type where the fixing is, from the back edge"},
        {"75,60,,,,,,,\n", 7,
         "the kind is missing: write round hole, slot, figure-eight, clip, button or "
         "bracket"},
        {"75,60,nail,,,,,,\n", 7,
         "unknown value of kind: 'nail', write one of round hole, slot, figure-eight, "
         "clip, button, bracket"},
        {"75,800,slot,,,,,,\n", 4,
         "outside the panel: '800', y, across the panel, is 0 to 750 mm (and up to 2 "
         "mm "
         "beyond)"},
        {"-9,60,slot,,,,,,\n", 1,
         "outside the panel: '-9', x, along the panel, is 0 to 1500 mm (and up to 2 mm "
         "beyond)"},
        {"75,60,slot,skew,,,,,\n", 12,
         "not a direction of a slot: 'skew', write across, along, or its angle to "
         "across, as 30 deg"},
        {"75,60,slot,120 deg,,,,,\n", 12,
         "not a direction of a slot: '120 deg', write across, along, or its angle to "
         "across, as 30 deg"},
        {"75,60,slot,,4,,5,,\n", 13,
         "a slot shorter than the screw: '4', the screw is 5 "
         "mm thick"},
        {"75,60,slot,,8,9,5,,\n", 13,
         "a slot shorter than it is wide: '8', slot is its length over all, hole its "
         "width"},
        {"75,60,round hole,,,4,5,,\n", 20,
         "a hole smaller than the screw: '4', the screw is 5 mm thick"},
        {"75,60,round hole,,,,5,,4\n", 24,
         "a head smaller than the screw: '4', the screw is 5 mm thick"},
        {"75,60,clip,,9,,,,\n", 13,
         "a slot where there is none: '9', it belongs to the "
         "kinds slot and bracket"},
        {"75,60,clip,,,,,-1,\n", 16,
         "a travel below 0: '-1', write how far it lets the "
         "panel go in all, 0 for none"},
        {"75,60,slot,,,,60,,\n", 15,
         "a screw that is not believed: '60', at most 20 mm (0.79 in): is it its "
         "thickness, and is the unit right?"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[256];

        snprintf(text, sizeof text,
                 "x_mm,y_mm,kind,direction,slot_mm,hole_mm,screw_mm,travel_mm,head_mm\n"
                 "%s",
                 rows[i].row);
        expect_one("", text, "fixings.csv", 2, rows[i].column, rows[i].message);
    }
}

Test(fixings_file, tells_each_fault_of_the_header)
{
    expect_one("", "x_mm,y_mm\n1,2\n", "fixings.csv", 1, 1,
               "no column 'kind': a table of fixings has x,y,kind");
    expect_one("", "y_mm,kind\n1,slot\n", "fixings.csv", 1, 1,
               "no column 'x': a table of fixings has x,y,kind");
}

Test(fixings_file, takes_the_ring_angle_of_a_board)
{
    static const struct {
        const char *cells;
        double angle, low, high;
    } rows[] = {
        {",", 0, 0, PI / 2},
        {"bark up,", 0, 0, PI / 2},
        {",30 deg", PI / 6, PI / 6, PI / 6},
        {",12", PI / 15, PI / 15, PI / 15},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct jobdir dir;
        char text[128];

        snprintf(text, sizeof text,
                 "board,width_mm,rings,ring_angle,heart_mm\n1,90,%s,80\n",
                 rows[i].cells);
        load(&dir, "", NULL);
        jobdir_write(&dir, "boards.csv", text);
        jobdir_load_well(&dir);
        cr_assert_eq(dir.job.nboard, 1);
        near(dir.job.board[0].ring_angle.angle, rows[i].angle);
        near(dir.job.board[0].ring_angle.low, rows[i].low);
        near(dir.job.board[0].ring_angle.high, rows[i].high);
        near(dir.job.board[0].heart, 80);
        jobdir_remove(&dir);
    }
}

Test(fixings_file, takes_the_cut_of_a_board_from_either_column)
{
    static const char *const texts[] = {
        "board,width_mm,rings\n1,90,quarter\n",
        "board,width_mm,rings,ring_angle\n1,90,bark up,quartersawn\n"};

    for (size_t i = 0; i < 2; i++) {
        struct jobdir dir;

        load(&dir, "", NULL);
        jobdir_write(&dir, "boards.csv", texts[i]);
        jobdir_load_well(&dir);
        near(dir.job.board[0].ring_angle.angle, PI / 2);
        jobdir_remove(&dir);
    }
}

Test(fixings_file, refuses_what_is_no_ring_angle)
{
    struct jobdir dir;

    load(&dir, "", NULL);
    jobdir_write(&dir, "boards.csv", "board,width_mm,ring_angle\n1,90,95 deg\n");
    jobdir_load(&dir, NULL);
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_str_eq(dir.faults.item[0].message,
                     "not a ring angle: '95 deg', write flat, rift or quarter, or the "
                     "angle between rings and face, as 30 deg");
    cr_expect(dir.faults.item[0].line == 2 && dir.faults.item[0].column == 6);
    jobdir_remove(&dir);
}
