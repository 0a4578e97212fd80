/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `movement`: what it prints for the sample, and how it ends. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

static const struct conditions in_samples = {.folder = BT_SAMPLE_DIR};

Test(movement_verb, prints_what_is_expected_for_the_sample)
{
    static const struct {
        const char *args, *file;
    } rows[] = {
        {"movement reading-room-table", "movement.txt"},
        {"movement reading-room-table --details --units in", "movement-in.txt"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got = run_under(rows[i].args, &in_samples);

        cr_expect_eq(got.code, 1, "%s gave %d", rows[i].args, got.code);
        cr_expect_str_eq(got.err, "");
        expect_file(&got, rows[i].file);
        outcome_clear(&got);
    }
}

Test(movement_verb, a_figure_is_drawn_into_the_file)
{
    char folder[64], args[256], path[128];
    struct outcome got;
    struct stat file;

    new_folder(folder);
    snprintf(path, sizeof path, "%s/fixings.svg", folder);
    snprintf(args, sizeof args, "movement reading-room-table --figure %s", path);
    got = run_under(args, &in_samples);
    cr_expect_eq(got.code, 1, "%s", got.err);
    cr_expect_eq(stat(path, &file), 0, "no %s", path);
    cr_expect_gt(file.st_size, 1000);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(movement_verb, json_is_one_object_and_nothing_else)
{
    struct outcome got = run_under("movement reading-room-table --json", &in_samples);

    cr_expect_eq(got.code, 1);
    cr_expect_eq(got.out[0], '{');
    cr_expect_str_eq(got.out + strlen(got.out) - 3, "\n}\n");
    cr_expect_str_eq(got.err, "");
    outcome_clear(&got);
}

/* A red oak panel of 600 mm with these sections and fixings; NULL: no such file. */
static struct outcome run_job(const char *folder, const char *sections,
                              const char *fixings)
{
    char args[128], ini[1024];

    snprintf(
        ini, sizeof ini,
        "[job]\nunits = mm\n[panel]\nlength = 900\nwidth = 600\nthickness = 22\n%s",
        sections);
    put_file(folder, "job.ini", ini);
    put_file(folder, "r.csv", "x_mm,y_mm,height_mm\n0,0,1\n900,0,1\n0,600,1\n");
    if (fixings)
        put_file(folder, "fixings.csv", fixings);
    snprintf(args, sizeof args, "movement %s", folder);
    return run(args);
}

static void expect_end(const char *sections, const char *fixings, int code,
                       const char *out, const char *err)
{
    char folder[64], message[512];
    struct outcome got;

    new_folder(folder);
    got = run_job(folder, sections, fixings);
    cr_expect_eq(got.code, code, "ended with %d, not %d: %s%s", got.code, code, got.out,
                 got.err);
    cr_expect(strncmp(got.out, out, strlen(out)) == 0, "printed\n%s\nnot\n%s", got.out,
              out);
    snprintf(message, sizeof message, err, folder);
    cr_expect_str_eq(got.err, message, "said\n%s\nnot\n%s", got.err, message);
    outcome_clear(&got);
    remove_folder(folder);
}

/* 7 to 11 %, today 8: 600 mm of flat red oak go 8.9 mm in all. */
#define OAK "species = red oak\n[climate]\ndriest = 7 %\ndampest = 11 %\nnow = 8 %\n"
#define HEAD "x_mm,y_mm,kind,direction,slot_mm,hole_mm,screw_mm,thread_mm\n"

Test(movement_verb, status_says_whether_every_fixing_lets_the_panel_go)
{
    expect_end(OAK, NULL, 0,
               "It moves: the width goes 9 mm between driest and dampest. Next: write "
               "each screw into fixings.csv, x,y,kind.\n",
               "");
    expect_end(OAK, HEAD "90,50,slot,across,20,,5,15\n450,300,round hole,,,,5,15\n", 0,
               "It can move: the width goes 9 mm between driest and dampest. Next: set "
               "the screws as told below, and drive them so that they can slide.\n",
               "");
    expect_end(OAK, HEAD "90,50,slot,across,20,,5,15\n", 0,
               "It can move: the width goes 9 mm between driest and dampest. Next: one "
               "fixing at the line that is to stay, or it wanders.\n",
               "");
    expect_end(OAK, HEAD "90,50,slot,across,6,,5,15\n", 1,
               "It cannot move as it has to: fixing 1, a slot, gives 1 mm of the ", "");
    expect_end(OAK, HEAD "90,50,slot,along,20,,5,15\n", 1,
               "It cannot move as it has to: fixing 1, a slot along the grain, gives 0 "
               "mm of the ",
               "");
    expect_end(OAK, HEAD "90,50,slot,across,9,,5,15\n", 2,
               "Too close to call: fixing 1, a slot, gives 4 mm of the ", "");
    expect_end(OAK, HEAD "90,50,figure-eight,,,,4,15\n", 2,
               "Not seen: fixing 1, a figure-eight, has to let the panel go ", "");
    expect_end(
        OAK, HEAD "90,50,round hole,,,,5,15\n90,550,round hole,,,,5,15\n", 1,
        "It cannot move as it has to: fixing 1 and fixing 2 hold the panel across "
        "the grain on both sides: ",
        "");
}

Test(movement_verb, status_says_whether_the_screws_hold_the_load)
{
    expect_end(OAK "[fixing]\nload = 5 kN\n",
               HEAD "90,50,slot,across,20,,5,15\n450,300,round hole,,,,5,15\n", 1,
               "It cannot move as it has to: fixing 1 holds ", "");
    expect_end(OAK "[fixing]\nload = 100 N\n",
               HEAD "90,50,slot,across,20,,5,15\n450,300,round hole,,,,5,15\n", 0,
               "It can move: ", "");
    expect_end(OAK "[fixing]\nload = 100 N\n",
               HEAD "90,50,slot,across,20,,5,\n450,300,round hole,,,,5,15\n", 2,
               "Not seen: fixing 1: what it holds is not known. Next: write screw and "
               "thread in fixings.csv.\n",
               "");
}

Test(movement_verb, status_says_whether_the_ends_leave_room)
{
    expect_end(OAK "[fixing]\nends = breadboard\nends_play = 8\n", NULL, 0,
               "It can move: ", "");
    expect_end(OAK "[fixing]\nends = breadboard\nends_play = 1\n", NULL, 1,
               "It cannot move as it has to: the front edge goes out by ", "");
    expect_end(OAK "[fixing]\nends = frame\nends_play = 6\n", NULL, 2,
               "Not seen: the front edge goes out by ", "");
    expect_end(OAK "[fixing]\nends = frame\nends_play = 8\nends_width = 18\n", NULL, 0,
               "It can move: ", "");
}

Test(movement_verb, what_the_job_does_not_state_is_asked_for)
{
    expect_end(
        "species = red oak\n", NULL, 65, "",
        "benchtrue: %s: no climate is stated: write driest and dampest in "
        "[climate] of job.ini, as 30 %% at 20 C, or the moisture of the wood, as "
        "7 %%\n");
    expect_end("[climate]\ndriest = 7 %\ndampest = 11 %\n", NULL, 65, "",
               "benchtrue: %s: no species is stated: write species in [panel] of "
               "job.ini, or a column species in boards.csv\n");
    expect_end("species = red oaf\n[climate]\ndriest = 7 %\ndampest = 11 %\n", NULL, 65,
               "",
               "benchtrue: %s: no such species: 'red oaf', did you mean Oak, red?\n");
}

Test(movement_verb, wood_that_is_too_wet_is_refused)
{
    expect_end("species = red oak\n[climate]\ndriest = 7 %\ndampest = 11 %\n"
               "now = 80 %\n",
               NULL, 65, "",
               "job.ini:11:7: wood in a room is no damper than 30 %%: '80 %%'; "
               "the air is written with its temperature, as 80 %% at 20 C\n");
    expect_end(
        "species = red oak\n[climate]\ndriest = 7 %\ndampest = 11 %\n"
        "[readings green]\nfiles = r.csv\nmoisture = 80 %\n",
        NULL, 65, "",
        "benchtrue: %s: wood at 80 %% is too wet to be fitted: let it dry to the "
        "room first\n");
}

Test(movement_verb, a_moisture_outside_the_coefficients_is_said)
{
    char folder[64];
    struct outcome got;

    new_folder(folder);
    got = run_job(folder,
                  "species = red oak\n[climate]\ndriest = 4 %\ndampest = 11 %\n"
                  "now = 3 %\n",
                  NULL);
    cr_expect_not_null(strstr(got.out, "Outside the range of the coefficients, 6 to 14 "
                                       "%: the long form is used"),
                       "%s", got.out);
    cr_expect_not_null(
        strstr(got.out, "Today the wood is drier than it will ever be there"), "%s",
        got.out);
    outcome_clear(&got);
    remove_folder(folder);
}

/* Where the moisture of today comes from, in order. */
Test(movement_verb, moisture_of_today_is_from_the_readings_or_the_boards)
{
    static const struct {
        const char *sections, *boards, *says;
    } rows[] = {
        {"[readings a]\nfiles = r.csv\nmoisture = 9 %\nhumidity = 50 %\n"
         "temperature = 20 C\n",
         NULL, "the moisture of the readings a"},
        {"[readings a]\nfiles = r.csv\nhumidity = 50 %\ntemperature = 20 C\n", NULL,
         "from the air of the readings a"},
        {"", "board,width_mm,moisture_pct\n1,300,8\n2,300,9\n",
         "the mean of boards.csv"},
        {"", NULL, "taken, between the seasons"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char folder[64], sections[512];
        struct outcome got;

        new_folder(folder);
        if (rows[i].boards)
            put_file(folder, "boards.csv", rows[i].boards);
        snprintf(sections, sizeof sections,
                 "species = red oak\n[climate]\ndriest = 7 %%\ndampest = 11 %%\n%s",
                 rows[i].sections);
        got = run_job(folder, sections, NULL);
        cr_expect_eq(got.code, 0, "%s", got.err);
        cr_expect_not_null(strstr(got.out, rows[i].says), "%s", got.out);
        outcome_clear(&got);
        remove_folder(folder);
    }
}

/* `back_edge_to_front.driest_mm.value`; NaN where there is none. */
static double number_at(const cJSON *json, const char *path)
{
    char key[64];

    while (json && *path) {
        const size_t n = strcspn(path, ".");

        snprintf(key, sizeof key, "%.*s", (int)n, path);
        json = cJSON_GetObjectItemCaseSensitive(json, key);
        path += n + (path[n] == '.');
    }
    return cJSON_IsNumber(json) ? json->valuedouble : (double)NAN;
}

/* `opening` had the back edge pushed home and all movement at the front; `movement` a
 * joint behind it, its middle fixed, and the verdict over. */
Test(movement_verb, seat_in_the_bay_moves_as_opening_says)
{
    static const struct {
        const char *movement, *opening;
    } rows[] = {
        {"width_mm", "piece.width_mm"},
        {"fixed_mm", "movement.fixed_mm"},
        {"front_edge_to_front.dampest_mm.value", "movement.dampest_mm"},
        {"front_edge_to_front.driest_mm.value", "movement.driest_mm"},
        {"overhang_dampest_mm", "movement.overhang_dampest_mm"},
        {"overhang_driest_mm", "movement.overhang_driest_mm"},
    };
    struct outcome seat = run_under("movement oak-window-seat --json", &in_samples);
    struct outcome bay = run_under("opening oak-window-seat --json", &in_samples);
    cJSON *a = cJSON_Parse(seat.out), *b = cJSON_Parse(bay.out), *wall;

    cr_expect_eq(seat.code, 0, "%d %s", seat.code, seat.err);
    cr_assert(a && b);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        cr_expect(fabs(number_at(a, rows[i].movement) -
                       number_at(b, rows[i].opening)) <= 1e-9,
                  "%s %.9g, %s %.9g", rows[i].movement, number_at(a, rows[i].movement),
                  rows[i].opening, number_at(b, rows[i].opening));
    cr_expect(fabs(number_at(a, "overhang_dampest_mm") - 19.05 -
                   number_at(b, "movement.dampest_mm")) <= 1e-9);
    cr_expect(fabs(number_at(a, "back_edge_to_front.dampest_mm.value")) <= 1e-12);
    cJSON_ArrayForEach(wall, cJSON_GetObjectItem(a, "walls"))
        cr_expect_str_neq(cJSON_GetObjectItem(wall, "wall")->valuestring, "back");
    cJSON_Delete(a);
    cJSON_Delete(b);
    outcome_clear(&seat);
    outcome_clear(&bay);
}

Test(movement_verb, says_that_the_back_edge_is_taken_to_stay_and_why)
{
    struct outcome got = run_under("movement oak-window-seat", &in_samples);

    cr_expect_not_null(strstr(got.out,
                              "the back edge (taken, since it is pushed home against "
                              "the back wall: [fixing] fixed)"),
                       "%s", got.out);
    cr_expect_not_null(strstr(got.out, "none: pushed home ([opening] back_joint)"));
    cr_expect_not_null(strstr(got.out, "Next: write each screw into fixings.csv"));
    outcome_clear(&got);
}

/* A joint behind it that is stated: the middle stays, half of the movement shows at
 * each edge, for both verbs. */
Test(movement_verb, joint_at_the_back_wall_is_back_joint_for_both_verbs)
{
    char folder[64], args[128];
    struct outcome seat, bay;
    cJSON *a, *b;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 1100\nwidth = 540\nthickness = 30\n"
             "species = red oak\n[climate]\ndriest = 7 %\ndampest = 11 %\nnow = 8 %\n"
             "[opening]\njoint = 4\nback_joint = 20\nsealant = 25 %\noverhang = 20\n");
    put_file(folder, "opening.csv",
             "kind,where,at_mm,reading_mm\nside,back,,1000\nside,left,,500\n"
             "side,right,,500\nside,front,,1000\ndiagonal,AC,,1118.03\n"
             "diagonal,BD,,1118.03\n");
    snprintf(args, sizeof args, "movement %s --json", folder);
    seat = run(args);
    snprintf(args, sizeof args, "opening %s --json", folder);
    bay = run(args);
    a = cJSON_Parse(seat.out);
    b = cJSON_Parse(bay.out);
    cr_assert(a && b, "%s%s", seat.err, bay.err);
    cr_expect(fabs(number_at(a, "width_mm") - 500) <= 0.1);
    cr_expect(fabs(number_at(a, "fixed_mm") - number_at(a, "width_mm") / 2) <= 1e-9);
    cr_expect(fabs(number_at(b, "movement.fixed_mm") - number_at(a, "fixed_mm")) <=
              1e-9);
    cr_expect(fabs(number_at(b, "movement.overhang_dampest_mm") - 20 -
                   250 * 0.00369 * 3) <= 0.01,
              "%.9g", number_at(b, "movement.overhang_dampest_mm"));
    cr_expect(fabs(number_at(cJSON_GetArrayItem(cJSON_GetObjectItem(a, "walls"), 0),
                             "joint_mm") -
                   20) <= 1e-9,
              "%s", seat.out);
    cJSON_Delete(a);
    cJSON_Delete(b);
    outcome_clear(&seat);
    outcome_clear(&bay);
    remove_folder(folder);
}

/* Not glued yet: as `layout` orders and trims them. */
Test(movement_verb, strips_are_those_of_layout_until_the_panel_is_read)
{
    static const char ini[] =
        "[job]\nunits = mm\n[panel]\nlength = 900\nwidth = 400\nthickness = 22\n"
        "species = red oak\n[climate]\ndriest = 7 %\ndampest = 11 %\nnow = 8 %\n"
        "[layout]\nwidth = 380\nlength = 880\ntrim = back\n";
    char folder[64], args[128], glued[512];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini", ini);
    put_file(folder, "boards.csv", "board,width\na,105\nb,102\nc,104\nd,99\n");
    snprintf(args, sizeof args, "movement %s", folder);
    got = run(args);
    cr_expect_not_null(strstr(got.out, "880 mm by 380 mm across the grain, as [layout] "
                                       "says\n"),
                       "%s%s", got.out, got.err);
    cr_expect_not_null(strstr(got.out, "its strips as `layout` lays and trims them\n"),
                       "%s", got.out);
    outcome_clear(&got);
    snprintf(glued, sizeof glued, "%s[readings glued]\nfiles = r.csv\n", ini);
    put_file(folder, "job.ini", glued);
    put_file(folder, "r.csv", "x_mm,y_mm,height_mm\n0,0,1\n900,0,1\n0,400,1\n");
    got = run(args);
    cr_expect_not_null(strstr(got.out, "its boards as listed (it was read, so it is "
                                       "glued), trimmed by 30.0 mm at the "
                                       "back and 0.0 mm at the front, as [layout] trim "
                                       "says\n"),
                       "%s%s", got.out, got.err);
    outcome_clear(&got);
    remove_folder(folder);
}

/* A bay that opens by 45 degrees at both ends, the back pushed home: at its driest the
 * front goes back by 5.8 mm, and each end with it by 5.8 sin 45 = 4.1 mm against a
 * joint of 3 mm. */
Test(movement, a_slanted_end_slides_along_its_wall)
{
    char folder[64], args[128];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 1850\nwidth = 410\n"
             "thickness = 30\nspecies = white oak\n[climate]\ndriest = 6 %\n"
             "dampest = 10 %\nnow = 10 %\n[opening]\njoint = 3 mm\nsealant = 25 %\n"
             "enter = above\n");
    put_file(folder, "opening.csv",
             "kind,where,reading_mm\nside,back,1000\nside,left,565.7\n"
             "side,right,565.7\nside,front,1800\ndiagonal,AC,1456\ndiagonal,BD,1456\n");
    snprintf(args, sizeof args, "movement %s", folder);
    got = run(args);
    cr_expect_eq(got.code, 1, "%d: %s", got.code, got.err);
    cr_expect_not_null(strstr(got.out, "right               3 mm today, -1.1 mm to "),
                       "%s", got.out);
    cr_expect_not_null(strstr(got.out, "left                3 mm today, -1.1 mm to "));
    outcome_clear(&got);
    remove_folder(folder);
}
