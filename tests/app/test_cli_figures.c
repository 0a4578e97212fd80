/* SPDX-License-Identifier: GPL-3.0-or-later */

/* `flatness --figure` and `--figure-lines`: files that are whole, or none; `--span`,
 * `--direction`. */
#include <cjson/cJSON.h>
#include <criterion/criterion.h>

#include <dirent.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

static const char sample[] = BT_SAMPLE_DIR "/reading-room-table";

/* A crossed pair of lines along and across, nothing diagonal; 100 mm steps. */
static const char cross_csv[] =
    "line,x_mm,y_mm,gap_mm\n"
    "a,0,0,0\na,100,0,0.5\na,200,0,0\nb,0,200,0\nb,100,200,0.5\nb,200,200,0\n"
    "c,0,0,0\nc,0,100,0.25\nc,0,200,0\nd,200,0,0\nd,200,100,0.25\nd,200,200,0\n"
    "e,0,0,0\ne,100,100,0.75\ne,200,200,0\nf,100,0,0\nf,100,100,0.25\nf,100,200,0\n";

static size_t files_in(const char *folder)
{
    DIR *dir = opendir(folder);
    size_t n = 0;

    cr_assert_not_null(dir);
    while (readdir(dir))
        n++;
    closedir(dir);
    return n - 2;
}

static void expect_begins(const char *folder, const char *name, const char *magic,
                          size_t length)
{
    char path[128], head[8] = "";
    int file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = open(path, O_RDONLY);
    cr_assert_geq(file, 0, "no %s", path);
    cr_expect_eq(read(file, head, sizeof head), (ssize_t)sizeof head);
    close(file);
    cr_expect(memcmp(head, magic, length) == 0, "%s begins with %.8s", name, head);
}

Test(figures, are_written_in_the_format_that_the_name_asks_for)
{
    static const struct {
        const char *end, *magic;
        size_t length;
    } rows[] = {
        {"svg", "<?xml", 5}, {"pdf", "%PDF-1", 6}, {"PNG", "\x89PNG\r\n\x1a\n", 8}};
    char folder[64], args[400], name[32];

    new_folder(folder);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outcome got;

        snprintf(args, sizeof args,
                 "flatness %s --figure %s/map.%s --figure-lines=%s/lines.%s", sample,
                 folder, rows[i].end, folder, rows[i].end);
        got = run(args);
        cr_expect_eq(got.code, 0, "%s: %s", args, got.err);
        cr_expect_str_eq(got.err, "");
        cr_expect(strncmp(got.out, "Within every limit: ", 20) == 0, "%s", got.out);
        outcome_clear(&got);
        snprintf(name, sizeof name, "map.%s", rows[i].end);
        expect_begins(folder, name, rows[i].magic, rows[i].length);
        snprintf(name, sizeof name, "lines.%s", rows[i].end);
        expect_begins(folder, name, rows[i].magic, rows[i].length);
    }
    cr_expect_eq(files_in(folder), 6);
    remove_folder(folder);
}

Test(figures, show_a_scan_and_readings_that_hang_loose)
{
    static const char loose[] =
        "line,x_mm,y_mm,gap_mm\n"
        "a,0,0,0\na,100,0,1\na,200,0,0\nb,0,50,0\nb,100,50,1\nb,200,50,0\n"
        "c,0,0,0\nc,0,25,0\nc,0,50,0\nd,200,0,0\nd,200,25,0\nd,200,50,0\n"
        "e,0,0,0\ne,40,20,0\ne,80,40,0\n";
    static const char scan[] = "x_mm,y_mm,z_mm\n0,0,0\n100,0,0.1\n200,0,0\n0,50,0.2\n"
                               "100,50,0\n200,50,0.1\n";
    const char *const readings[] = {loose, scan};
    char folder[64], args[400];

    new_folder(folder);
    for (size_t i = 0; i < 2; i++) {
        struct outcome got;

        put_file(folder, "r.csv", readings[i]);
        snprintf(args, sizeof args,
                 "flatness %s/r.csv --figure %s/m.svg --figure-lines %s/l.svg", folder,
                 folder, folder);
        got = run(args);
        cr_expect_eq(got.code, 0, "%s", got.err);
        cr_expect_str_eq(got.err, "");
        outcome_clear(&got);
        expect_begins(folder, "m.svg", "<?xml", 5);
        expect_begins(folder, "l.svg", "<?xml", 5);
    }
    remove_folder(folder);
}

Test(figures, replace_a_file_of_that_name)
{
    char folder[64], args[400];

    new_folder(folder);
    put_file(folder, "map.svg", "old");
    snprintf(args, sizeof args, "flatness %s --figure %s/map.svg", sample, folder);
    expect_run(args, 0, NULL, "");
    expect_begins(folder, "map.svg", "<?xml", 5);
    cr_expect_eq(files_in(folder), 1);
    remove_folder(folder);
}

Test(figures, refuse_other_formats_and_say_which_there_are)
{
    char args[400];
    static const char *const names[] = {"map.jpeg", "map", "svg", "/dev/full"};

    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char want[200];

        snprintf(args, sizeof args, "flatness %s --figure %s", sample, names[i]);
        snprintf(want, sizeof want,
                 "benchtrue: --figure %s: a figure's name ends in .svg, .pdf or .png\n",
                 names[i]);
        expect_run(args, 64, "", want);
    }
    snprintf(args, sizeof args, "flatness %s --figure-lines map.gif", sample);
    expect_run(args, 64, "",
               "benchtrue: --figure-lines map.gif: a figure's name ends in .svg, .pdf "
               "or .png\n");
}

Test(figures, refuse_one_file_for_two_and_several_sets)
{
    char args[400];

    snprintf(args, sizeof args, "flatness %s --figure a.svg --figure-lines a.svg",
             sample);
    expect_run(args, 64, "", "benchtrue: --figure and --figure-lines need two files\n");
    snprintf(args, sizeof args, "flatness %s --all --figure a.svg", sample);
    expect_run(args, 64, "",
               "benchtrue: a figure shows one set: leave out --all, or name the set "
               "with --set\n");
}

Test(figures, end_with_73_where_the_file_cannot_be_created)
{
    char folder[64], args[400], want[400];

    new_folder(folder);
    snprintf(args, sizeof args, "flatness %s --figure %s/none/map.svg", sample, folder);
    snprintf(want, sizeof want,
             "benchtrue: %s/none/map.svg: cannot be created: No such file or "
             "directory\n",
             folder);
    expect_run(args, 73, "", want);
    cr_expect_eq(files_in(folder), 0);

    /* a folder of that name */
    snprintf(args, sizeof args, "%s/map.svg", folder);
    cr_assert_eq(mkdir(args, 0777), 0);
    snprintf(args, sizeof args, "flatness %s --figure %s/map.svg", sample, folder);
    snprintf(want, sizeof want,
             "benchtrue: %s/map.svg: cannot be created: Is a directory\n", folder);
    expect_run(args, 73, "", want);
    cr_expect_eq(files_in(folder), 1);
    remove_folder(folder);
}

Test(figures, end_with_74_where_the_disk_is_full_and_leave_nothing)
{
    const struct conditions full = {.file_limit = 1000};
    char folder[64], args[400], want[400];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "map.svg", "old");
    snprintf(args, sizeof args, "flatness %s --figure %s/map.svg", sample, folder);
    snprintf(want, sizeof want,
             "benchtrue: %s/map.svg: cannot be written: File too large\n", folder);
    got = run_under(args, &full);
    cr_expect_eq(got.code, 74, "%d", got.code);
    cr_expect_str_eq(got.out, "");
    cr_expect_str_eq(got.err, want);
    outcome_clear(&got);
    cr_expect_eq(files_in(folder), 1);
    snprintf(args, sizeof args, "%s/map.svg", folder);
    {
        struct stat old;

        cr_assert_eq(stat(args, &old), 0);
        cr_expect_eq(old.st_size, 3, "what stood there before is gone");
    }
    remove_folder(folder);
}

/* Two places a line show nothing to lay an edge over. */
Test(figures, end_with_65_and_write_neither_where_there_is_no_line)
{
    static const char four[] =
        "x_mm,y_mm,height_mm\n0,0,0\n100,0,0\n0,50,0\n100,50,0.2\n";
    char folder[64], args[400];
    struct outcome got;

    new_folder(folder);
    put_file(folder, "four.csv", four);
    snprintf(args, sizeof args,
             "flatness %s/four.csv --figure %s/m.svg --figure-lines %s/l.svg", folder,
             folder, folder);
    got = run(args);
    cr_expect_eq(got.code, 65);
    cr_expect(strncmp(got.err, "benchtrue: --figure-lines: ", 27) == 0, "%s", got.err);
    cr_expect_eq(files_in(folder), 1);
    outcome_clear(&got);
    remove_folder(folder);
}

static void expect_holds(const char *args, int code, const char *want)
{
    struct outcome got = run(args);

    cr_expect_eq(got.code, code, "%s: %d %s", args, got.code, got.err);
    cr_expect_not_null(strstr(got.out, want), "no '%s' in\n%s", want, got.out);
    outcome_clear(&got);
}

static void expect_file_holds(const char *path, const char *want)
{
    static char text[1 << 19];
    int file = open(path, O_RDONLY);
    size_t length = 0;
    ssize_t n;

    cr_assert_geq(file, 0, "no %s", path);
    while ((n = read(file, text + length, sizeof text - 1 - length)) > 0)
        length += (size_t)n;
    close(file);
    text[length] = '\0';
    cr_expect_not_null(strstr(text, want), "no '%s' in %s", want, path);
}

Test(span, is_laid_on_beside_the_others)
{
    char folder[64], args[400];

    new_folder(folder);
    put_file(folder, "r.csv", cross_csv);
    snprintf(args, sizeof args, "flatness %s/r.csv --span '200 mm' --span=8in", folder);
    expect_holds(args, 0, "\n  local   0.500 mm under 200 mm ");
    expect_holds(args, 0, "\n  local   0.500 mm under 203 mm ");
    /* the default is not laid on where another is asked for */
    snprintf(args, sizeof args, "flatness %s/r.csv --json --span '150 mm'", folder);
    expect_holds(args, 0, "\"span_mm\":\t150");
    snprintf(args, sizeof args, "flatness %s/r.csv --span '150 mm'", folder);
    expect_holds(args, 0, "\n  local   not seen under 150 mm\n");
    snprintf(args, sizeof args, "flatness %s/r.csv --json", folder);
    expect_holds(args, 0, "\"span_mm\":\t300");
    snprintf(args, sizeof args, "flatness %s/r.csv --json --units in", folder);
    expect_holds(args, 0, "\"span_mm\":\t304.8");
    remove_folder(folder);
}

Test(span, is_refused_where_it_is_no_length_or_one_too_many)
{
    char args[400];

    snprintf(args, sizeof args, "flatness %s --span 0mm", sample);
    expect_run(args, 64, "", "benchtrue: --span must be more than 0: '0mm'\n");
    snprintf(args, sizeof args,
             "flatness %s --span 1mm --span 2mm --span 3mm --span 4mm --span 5mm",
             sample);
    expect_run(args, 64, "", "benchtrue: --span: at most 4 lengths\n");
    snprintf(args, sizeof args,
             "flatness %s --span 1mm --span 2mm --span 3mm --span 4mm", sample);
    expect_run(args, 64, "",
               "benchtrue: --span: at most 4 lengths of a straightedge can be laid on, "
               "that of the local limit among them\n");
}

Test(direction, is_laid_on_beside_along_across_and_the_diagonals)
{
    const char *const also[] = {"45", "'45 deg'", "0.785398163397448rad"};
    char folder[64], args[400];

    new_folder(folder);
    put_file(folder, "r.csv", cross_csv);
    /* of 300 mm length the places along 45 degrees are on no diagonal */
    for (size_t i = 0; i < sizeof also / sizeof *also; i++) {
        snprintf(args, sizeof args,
                 "flatness %s/r.csv --length 300mm --width 200mm --direction %s "
                 "--direction=-22.5 --details",
                 folder, also[i]);
        expect_holds(args, 0,
                     "\n  local   0.750 mm under 300 mm         0.004\n"
                     "          0.740 to 0.760 mm\n"
                     "          oblique at 45 deg, deepest at x 100 mm, y 100 mm; not "
                     "seen oblique at -22.5 deg\n"
                     "          along: 0.500 mm\n          across: 0.250 mm\n"
                     "          on diagonal AC: not seen\n"
                     "          on diagonal BD: not seen\n"
                     "          oblique at 45 deg: 0.750 mm\n"
                     "          oblique at -22.5 deg: not seen\n");
    }
    snprintf(
        args, sizeof args,
        "flatness %s/r.csv --length 300mm --width 200mm --direction 90 --span 200mm "
        "--span 300mm --details",
        folder);
    expect_holds(args, 0,
                 "across: 0.250 mm\n          on diagonal AC: not seen\n"
                 "          on diagonal BD: not seen\n"
                 "          oblique at 90 deg: 0.250 mm\n"
                 "  local   0.500 mm under 300 mm ");
    snprintf(args, sizeof args,
             "flatness %s/r.csv --length 300mm --width 200mm --direction 45 "
             "--figure-lines %s/l.svg",
             folder, folder);
    expect_run(args, 0, NULL, "");
    snprintf(args, sizeof args, "%s/l.svg", folder);
    expect_file_holds(args,
                      "oblique at 45 deg, edge of 300 mm, deepest at x 100, y 100");
    remove_folder(folder);
}

Test(direction, is_in_json_behind_the_others_with_its_angle)
{
    char folder[64], args[400];
    const cJSON *array, *item;
    struct outcome got;
    cJSON *root;

    new_folder(folder);
    put_file(folder, "r.csv", cross_csv);
    snprintf(args, sizeof args,
             "flatness %s/r.csv --json --length 300mm --width 200mm --direction 45 "
             "--direction -33.3 --span 300mm --span 200mm",
             folder);
    got = run(args);
    root = cJSON_Parse(got.out);
    array = cJSON_GetObjectItemCaseSensitive(root, "straightedge");
    cr_assert_eq(cJSON_GetArraySize(array), 12, "%s%s", got.out, got.err);
    for (int i = 0; i < 12; i++) {
        const cJSON *angle;

        item = cJSON_GetArrayItem(array, i);
        angle = cJSON_GetObjectItemCaseSensitive(item, "angle_deg");
        if (i < 8) {
            cr_expect_null(angle);
            continue;
        }
        cr_expect_str_eq(
            cJSON_GetObjectItemCaseSensitive(item, "direction")->valuestring,
            "oblique");
        cr_expect(angle->valuedouble == (i % 2 ? -33.3 : 45));
        cr_expect(cJSON_GetObjectItemCaseSensitive(item, "span_mm")->valuedouble ==
                  (i < 10 ? 300 : 200));
    }
    item = cJSON_GetObjectItemCaseSensitive(cJSON_GetArrayItem(array, 8), "gap_mm");
    cr_expect(fabs(cJSON_GetObjectItemCaseSensitive(item, "value")->valuedouble -
                   0.75) <= 1e-9);
    cJSON_Delete(root);
    outcome_clear(&got);
    remove_folder(folder);
}

Test(direction, is_refused_where_it_is_no_angle_out_of_range_or_one_too_many)
{
    static const struct {
        const char *options, *want;
    } rows[] = {
        {"--direction abc",
         "--direction: not an angle: 'abc', write a number with a unit "
         "such as 0.25 deg"},
        {"--direction 3mm",
         "--direction: a length, not an angle: '3mm', write a number "
         "with a unit such as 0.25 deg"},
        {"--direction nan",
         "--direction: not an angle: 'nan', write a number with a unit "
         "such as 0.25 deg"},
        {"--direction 91",
         "--direction is more than -90 deg and at most 90 deg from the "
         "grain, not '91'"},
        {"--direction=-90", "--direction is more than -90 deg and at most 90 deg from "
                            "the grain, not '-90'"},
        {"--direction 1.6rad",
         "--direction is more than -90 deg and at most 90 deg from "
         "the grain, not '1.6rad'"},
        {"--direction 1 --direction 2 --direction 3", "--direction: at most 2 angles"},
        {"--direction", "--direction needs a value: --direction ANGLE"},
    };
    char args[400], want[300];

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        snprintf(args, sizeof args, "flatness %s %s", sample, rows[i].options);
        snprintf(want, sizeof want, "benchtrue: %s\n", rows[i].want);
        expect_run(args, 64, "", want);
    }
}

static void put_job(const char *folder, const char *limits)
{
    char text[300];

    snprintf(text, sizeof text,
             "[panel]\nlength = 200 mm\nwidth = 200 mm\n[limits]\n%s\n"
             "[readings a]\nfiles = r.csv\n",
             limits);
    put_file(folder, "job.ini", text);
}

Test(local, is_judged_in_a_stated_direction_too)
{
    char folder[64], args[400];

    new_folder(folder);
    put_file(folder, "r.csv", cross_csv);
    put_file(folder, "job.ini",
             "[panel]\nlength = 300 mm\nwidth = 200 mm\n"
             "[limits]\nlocal = 0.6 mm per 300 mm\n[readings a]\nfiles = r.csv\n");
    snprintf(args, sizeof args, "flatness %s", folder);
    expect_holds(args, 0, "Within every limit: gap 0.500 mm under 300 mm, along");
    snprintf(args, sizeof args, "flatness %s --direction 45", folder);
    expect_holds(
        args, 1,
        "Over the limit: gap 0.750 mm under 300 mm, oblique at 45 deg (local)");
    snprintf(args, sizeof args, "flatness %s --direction -30", folder);
    expect_holds(args, 0, "; not seen oblique at -30 deg\n");
    remove_folder(folder);
}

Test(local, is_judged_over_its_own_span)
{
    char folder[64], args[400];

    new_folder(folder);
    put_file(folder, "r.csv", cross_csv);
    snprintf(args, sizeof args, "flatness %s", folder);
    put_job(folder, "local = 0.4 mm per 200 mm");
    expect_holds(args, 1, "Over the limit: gap 0.500 mm under 200 mm, along (local)");
    put_job(folder, "local = 0.6 mm per 200 mm");
    expect_holds(args, 0, "Within every limit: gap 0.500 mm under 200 mm, along");
    put_job(folder, "local = 0.6 mm per 100 mm");
    expect_holds(args, 2,
                 "Not seen: local cannot be told from these readings. Next: "
                 "read lines along the length and across the width with "
                 "places no farther apart than 50 mm.");
    put_job(folder, "zone = 0.01 mm");
    expect_holds(args, 1, "Over the limit: zone ");
    put_job(folder, "zone = 3 mm");
    expect_holds(args, 0, "Within every limit: zone ");
    remove_folder(folder);
}
