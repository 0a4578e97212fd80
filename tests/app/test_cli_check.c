/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `check`: what it says of the files for fitting, and which of their cells are blank.
 */
#include <criterion/criterion.h>

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app/program.h"

Test(check, prints_what_is_expected_for_the_window_seat)
{
    const struct conditions there = {.folder = BT_SAMPLE_DIR};
    struct outcome got = run_under("check oak-window-seat", &there);
    char path[512], *text = calloc(1, 65536);
    int file;

    snprintf(path, sizeof path, "%s/app/expected/check-seat.txt", BT_TESTS_DIR);
    file = open(path, O_RDONLY);
    cr_assert_geq(file, 0, "no %s", path);
    cr_assert_gt(read(file, text, 65535), 0);
    close(file);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_str_eq(got.err, "");
    cr_expect_str_eq(got.out, text, "printed\n%s\nnot\n%s", got.out, text);
    free(text);
    outcome_clear(&got);
}

/* A job of these sections, with this file where it is not NULL: these lines are there.
 */
static void expect_lines(const char *sections, const char *name, const char *rows,
                         const char *want)
{
    char folder[64], args[128], ini[1024];
    struct outcome got;

    new_folder(folder);
    snprintf(ini, sizeof ini,
             "[job]\nunits = mm\n[panel]\nlength = 1200\nwidth = 600\nthickness = "
             "25\n%s",
             sections);
    put_file(folder, "job.ini", ini);
    if (name)
        put_file(folder, name, rows);
    snprintf(args, sizeof args, "check %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 0, "%s", got.err);
    cr_expect_str_eq(got.err, "");
    cr_expect_not_null(strstr(got.out, want), "no\n%sin\n%s", want, got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(check, names_the_rough_boards_whose_warp_is_not_read)
{
    expect_lines("[stock]\nallowance = 0.3\nplaner_width = 330\n", "stock.csv",
                 "board,length,width,thickness,cup,bow,twist,crook\n"
                 "1,2400,150,32,1,,1,\n2,2400,150,32,,,1,\nlast,2400,150,32,,,0,\n",
                 "\nStock:     3 rough boards, to be 25 mm, each face less 0.3 mm, "
                 "planer 330 mm\n"
                 "           cup not read of 2, last; bow not read of all; crook not "
                 "read of all\n");
    expect_lines("[stock]\njointer_width = 200\n", NULL, NULL,
                 "\nStock:     0 rough boards, to be 25 mm, jointer 200 mm\n");
}

Test(check, counts_the_blank_rows_beyond_the_first_eight)
{
    expect_lines("", "stock.csv",
                 "board,length,width,thickness,cup,bow,twist,crook\n"
                 "a,2400,150,32,0,0,0,0\nb,2400,150,32,0,0,,0\nc,2400,150,32,0,0,,0\n"
                 "d,2400,150,32,0,0,,0\ne,2400,150,32,0,0,,0\nf,2400,150,32,0,0,,0\n"
                 "g,2400,150,32,0,0,,0\nh,2400,150,32,0,0,,0\ni,2400,150,32,0,0,,0\n"
                 "j,2400,150,32,0,0,,0\nk,2400,150,32,0,0,,0\n",
                 "\n           twist not read of b, c, d, e, f, g, h, i and 2 more\n");
}

Test(check, tells_the_seasons_and_which_is_not_stated)
{
    expect_lines("[climate]\ndriest = 32 % at 21 C\nnow = 8.5 %\n", NULL, NULL,
                 "\nClimate:   driest 32 % at 21 C (wood comes to 6.5 %), dampest not "
                 "stated, now wood at 8.5 %\n");
}

Test(check, tells_the_rules_of_the_layout_that_are_stated)
{
    expect_lines(
        "[layout]\nlength = 1100\norder = as listed\ntrim = back\ncentre = "
        "joint\nrings = match\nturn = 1 deg\nclear = 300 +- 20, 450 +- 5\n",
        NULL, NULL,
        "\nLayout:    piece 1100 mm long, order as listed, trim back, centre "
        "on a joint, rings match, turn 1 deg\n"
        "           no joint within 20 mm of y = 300 mm, 5 mm of y = 450 mm\n");
    expect_lines("[layout]\njointing = 0.5\n", NULL, NULL,
                 "\nLayout:    jointing 0.5 mm\n");
    expect_lines("[layout]\nclear = 300 +- 20\n", NULL, NULL,
                 "\nLayout:    no joint within 20 mm of y = 300 mm\n");
}

Test(check, counts_the_cut_outs_and_names_those_with_sharp_corners)
{
    expect_lines("", "cutouts.csv",
                 "name,shape,x,y,length,width,diameter,radius\n"
                 "port,circle,100,80,,,60,\nbasin,rectangle,600,300,300,200,,\n"
                 "flap,rectangle,1000,300,100,100,,10\n",
                 "\nCut-outs:  3: 2 rectangle, 1 circle\n"
                 "           no radius at the corners of basin\n");
}

Test(check, counts_the_readings_of_the_opening_and_those_left_blank)
{
    expect_lines("[opening]\nfront = wall\nenter = above\nsealant = 12.5 %\n",
                 "opening.csv",
                 "kind,where,at,reading\nside,back,,1200\nside,front,,\n"
                 "width,,300,1201\n",
                 "\nOpening:   2 readings: 1 side, 1 width; 1 left blank\n"
                 "           front a wall, let in from above, sealant 12.5 %\n");
}

Test(check, names_the_fixings_without_what_movement_needs)
{
    expect_lines("[fixing]\nfixed = 40\nends = breadboard\nends_width = 60\nload = 500 "
                 "N\n",
                 "fixings.csv",
                 "name,x,y,kind,slot,screw,arm,thread\nback,60,60,slot,,5,,15\n"
                 ",60,300,slot,14,,,15\nfront,60,540,clip,,4,,\n"
                 "end,1100,60,button,,4,12,14\n",
                 "\nFixings:   4: 2 slot, 1 clip, 1 button\n"
                 "           fixed at y = 40 mm, breadboard ends, width of the ends 60 "
                 "mm, load 500 N\n"
                 "           screw not stated of 2; slot not stated of back; travel "
                 "not known of front; thread not stated of front\n");
    expect_lines("", "fixings.csv", "x,y,kind\n", "\nFixings:   none listed\n");
    expect_lines("[fixing]\nfixed = back edge\n", NULL, NULL,
                 "\nFixings:   fixed at the back edge\n");
}

Test(check, says_where_the_thickness_was_read)
{
    expect_lines("", "thickness.csv", "x,y,thickness\n0,0,25.1\n600,300,24.9\n9,9,\n",
                 "\nThickness: 2 places\n");
}

Test(check, says_nothing_of_files_and_sections_that_are_not_there)
{
    static const char *const labels[] = {
        "Stock:",    "Thickness:", "Climate:", "Layout:",
        "Cut-outs:", "Opening:",   "Fixings:"};
    char folder[64], args[128];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini", "[panel]\nlength = 1200 mm\nwidth = 600 mm\n");
    snprintf(args, sizeof args, "check %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 0, "%s", got.err);
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++)
        cr_expect_null(strstr(got.out, labels[i]), "%s in\n%s", labels[i], got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

/* Thirteen lines on the corners of lines.csv once followed one slip of the pen. */
Test(cli_check, a_size_mistyped_in_panel_is_told_once)
{
    char folder[64], args[128];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlenght = 1200 mm\nwidth = 600 mm\n"
             "[readings first]\nfiles = a.csv\n");
    put_file(folder, "lines.csv", "line,from,to\nac,A,C\nbd,B,D\n");
    put_file(folder, "a.csv", "line,at_mm,gap_mm\nac,0,0\nac,600,0.2\nac,1300,0\n");
    snprintf(args, sizeof args, "check %s", folder);
    got = run(args);
    cr_expect_not_null(strstr(got.err, "job.ini:4:1: unknown key in [panel]: 'lenght'"),
                       "%s", got.err);
    cr_expect_null(strstr(got.err, "size of the panel not known"), "%s", got.err);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(cli_check, a_table_that_no_set_names_is_told)
{
    char folder[64], args[128];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 1200 mm\nwidth = 600 mm\n"
             "[readings first]\nfiles = a.csv\n");
    put_file(folder, "a.csv", "x_mm,y_mm,z_mm\n0,0,0\n1200,0,0\n0,600,0\n600,300,0\n");
    put_file(folder, "more.csv", "x_mm,y_mm,z_mm\n0,0,0\n");
    snprintf(args, sizeof args, "check %s", folder);
    got = run(args);
    cr_expect_not_null(strstr(got.out,
                              "\nNot read:  more.csv, which nothing in job.ini "
                              "names"),
                       "%s%s", got.out, got.err);
    cr_expect_null(strstr(got.out, "Not read:  a.csv"), "%s", got.out);
    outcome_clear(&got);
    remove_folder(folder);
}
