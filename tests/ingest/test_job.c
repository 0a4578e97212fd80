/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What job.ini and its company say about the job itself. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "jobdir.h"

/* mm; conversions of typed decimals, a few roundings of numbers up to 1e4 */
#define TOLERANCE 1e-9

static const char heights[] = "x_mm,y_mm,height_mm\n0,0,5.01\n500,0,5.02\n0,300,5.04\n";

static bool near(double got, double want)
{
    return fabs(got - want) <= TOLERANCE;
}

Test(job, reads_every_key_of_every_section)
{
    struct jobdir dir;
    const struct bt_instrument *edge, *level, *dial, *bar;
    const struct bt_set *set;

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini",
                 "[job]\ntitle = Reading-room table\nclient = the library\n"
                 "date = 2026-02-28\nunits = in\nsame_point = 1/8\n"
                 "[panel]\nlength = 59\nwidth = 29 1/2\nthickness = 27 mm\n"
                 "species = ash\nface = bottom\n"
                 "[limits]\nuse = Table Top\nbow = 2 mm\nconfidence = 90 %\n"
                 "[instrument long edge]\nkind = straightedge\nu = 0.5 thou\n"
                 "straightness = 1 thou\nown_hollow = -0.02 mm\n"
                 "[instrument bench level]\nkind = level\nzero = unknown\n"
                 "resolution = 0.1 mm/m\n"
                 "[instrument dial]\nkind = dial\nlevel = yes\nresolution = 0.01 mm\n"
                 "[instrument bar]\nkind = bar\nzero = known\nlength = 10 1/2\n"
                 "[feelers]\npaper = 0.1 mm\ncard = 12 thou\n"
                 "[readings after glue-up]\nfiles = heights.csv\ndate = 2026-03-02\n"
                 "instrument = dial\nface = top\nsupports = 1200 mm, 12\n"
                 "clamps = off\nhumidity = 48 %\ntemperature = 68 F\nmoisture = 9.5\n"
                 "moisture_top = 8 %\nmoisture_bottom = 10.5 %\n");
    jobdir_load_well(&dir);
    cr_expect_str_eq(dir.job.title, "Reading-room table");
    cr_expect_str_eq(dir.job.client, "the library");
    cr_expect_str_eq(dir.job.date, "2026-02-28");
    cr_expect_str_eq(dir.job.folder, dir.path);
    cr_expect_eq(dir.job.system, BT_SYSTEM_IN);
    cr_expect_eq(dir.job.unit, BT_UNIT_IN);
    cr_expect(near(dir.job.same_point, 25.4 / 8));
    cr_expect(near(dir.job.panel.length, 59 * 25.4));
    cr_expect(near(dir.job.panel.width, 29.5 * 25.4));
    cr_expect(near(dir.job.panel.thickness, 27));
    cr_expect_str_eq(dir.job.panel.species, "ash");
    cr_expect_str_eq(dir.job.limits.use, "table top");
    cr_expect(near(dir.job.limits.limit[BT_FIGURE_BOW], 2));
    cr_expect(near(dir.job.limits.confidence, 0.9));
    cr_assert_eq(dir.job.ninstrument, 4);
    edge = &dir.job.instrument[0];
    level = &dir.job.instrument[1];
    dial = &dir.job.instrument[2];
    bar = &dir.job.instrument[3];
    cr_expect_str_eq(edge->name, "long edge");
    cr_expect_eq(edge->kind, BT_INST_STRAIGHTEDGE);
    cr_expect(near(edge->u, 0.0127));
    cr_expect(near(edge->straightness, 0.0254));
    cr_expect(near(edge->own_hollow, -0.02));
    cr_expect(near(edge->own_hollow_u, 0.01 / sqrt(12)), "%g", edge->own_hollow_u);
    cr_expect(isnan(edge->resolution));
    cr_expect_eq(level->kind, BT_INST_LEVEL);
    cr_expect(level->zero_unknown);
    cr_expect(near(level->resolution, 1e-4));
    cr_expect(dial->level);
    cr_expect_eq(bar->kind, BT_INST_BAR);
    cr_expect_not(bar->zero_unknown);
    cr_expect(near(bar->length, 10.5 * 25.4) && isnan(edge->length));
    cr_assert_eq(dir.job.nfeeler, 2);
    cr_expect_str_eq(dir.job.feeler[1].name, "card");
    cr_expect(near(dir.job.feeler[1].mm, 12 * 0.0254));
    cr_assert_eq(dir.job.nset, 1);
    set = &dir.job.set[0];
    cr_expect_str_eq(set->name, "after glue-up");
    cr_expect_str_eq(set->date, "2026-03-02");
    cr_expect_eq(set->face, BT_FACE_TOP);
    cr_expect(near(set->moisture_top, 8) && near(set->moisture_bottom, 10.5));
    cr_expect_str_eq(set->supports, "1200 mm, 12");
    cr_expect_eq(set->lying.lying, BT_LYING_ACROSS);
    cr_assert_eq(set->lying.n, 2);
    cr_expect(near(set->lying.at[0], 12 * 25.4) && near(set->lying.at[1], 1200));
    cr_expect_eq(set->clamps, 0);
    cr_expect(near(set->humidity, 48));
    cr_expect(near(set->temperature, 20));
    cr_expect(near(set->moisture, 9.5));
    cr_assert_eq(set->nfile, 1);
    cr_expect_str_eq(set->file[0], "heights.csv");
    jobdir_remove(&dir);
}

Test(job, leaves_nan_and_empty_texts_where_nothing_is_stated)
{
    struct jobdir dir;
    const struct bt_set *set;

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(
        &dir, "job.ini",
        "[job]\ntitle =\n[panel]\nlength =\n[readings a]\nfiles=heights.csv\n");
    jobdir_load_well(&dir);
    set = &dir.job.set[0];
    cr_expect_str_eq(dir.job.title, "");
    cr_expect_str_eq(dir.job.panel.species, "");
    cr_expect(isnan(dir.job.panel.length) && isnan(dir.job.panel.width));
    cr_expect(near(dir.job.same_point, 3));
    cr_expect_eq(dir.job.unit, BT_UNIT_NONE);
    cr_expect(isnan(dir.job.limits.limit[BT_FIGURE_CUP]));
    cr_expect(near(dir.job.limits.confidence, 0.95));
    cr_expect_str_eq(set->date, "");
    cr_expect_str_eq(set->supports, "");
    cr_expect_eq(set->lying.lying, BT_LYING_UNKNOWN);
    cr_expect_eq(set->clamps, -1);
    cr_expect_eq(set->face, BT_FACE_TOP);
    cr_expect(isnan(set->humidity) && isnan(set->temperature) && isnan(set->moisture));
    jobdir_remove(&dir);
}

Test(job, reads_sections_in_any_order)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini",
                 "[readings a]\nfiles = heights.csv\ninstrument = dial\n"
                 "[instrument dial]\nkind = dial\nu = 0.5\n[panel]\nlength = 40\n"
                 "[job]\nsame_point = 1\nunits = in\n");
    jobdir_load_well(&dir);
    cr_expect(near(dir.job.panel.length, 1016));
    cr_expect(near(dir.job.same_point, 25.4));
    cr_expect(near(dir.job.set[0].readings.obs[0].u, 12.7));
    jobdir_remove(&dir);
}

Test(job, prints_in_the_unit_of_the_panel_where_no_units_are_stated)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini",
                 "[panel]\nlength = 40 in\n[readings a]\n"
                 "files = heights.csv\n");
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.system, BT_SYSTEM_IN);
    jobdir_remove(&dir);
}

Test(job, takes_days_of_the_calendar_and_no_others)
{
    static const struct {
        const char *date;
        bool is;
    } dates[] = {
        {"2028-02-29", true},  {"2000-02-29", true},  {"2026-12-31", true},
        {"2027-02-29", false}, {"2030-02-29", false}, {"2100-02-29", false},
        {"2026-04-31", false}, {"2026-13-01", false}, {"2026-00-10", false},
        {"2026-01-00", false}, {"2026-1-1", false},   {"2026-01-01x", false},
    };
    char text[200];

    for (size_t i = 0; i < sizeof dates / sizeof *dates; i++) {
        struct jobdir dir;
        jobdir_make(&dir);
        jobdir_write(&dir, "heights.csv", heights);
        snprintf(text, sizeof text, "[readings a]\nfiles = heights.csv\ndate = %s\n",
                 dates[i].date);
        jobdir_write(&dir, "job.ini", text);
        jobdir_load(&dir, NULL);
        cr_expect_eq(dir.status == BT_OK, dates[i].is, "%s", dates[i].date);
        jobdir_remove(&dir);
    }
}

Test(job, takes_the_face_of_the_panel_for_sets_that_state_none)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini",
                 "[readings a]\nfiles = heights.csv\n[panel]\nface = bottom\n"
                 "[readings b]\nfiles = heights.csv\nface = top\n");
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.set[0].face, BT_FACE_BOTTOM);
    cr_expect_eq(dir.job.set[1].face, BT_FACE_TOP);
    jobdir_remove(&dir);
}

Test(job, lets_limits_override_the_band_wherever_they_stand)
{
    struct jobdir dir;
    const struct bt_band *band = bt_band_find("bench top", 9);

    cr_assert_not_null(band);
    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini",
                 "[limits]\ntwist = 0.7 mm\nuse = bench top\nzone = 1 mm\n"
                 "local = 1/64 in per 12 in\n[readings a]\nfiles = heights.csv\n");
    jobdir_load_well(&dir);
    cr_expect_str_eq(dir.job.limits.use, "bench top");
    cr_expect(near(dir.job.limits.limit[BT_FIGURE_TWIST], 0.7));
    cr_expect(near(dir.job.limits.limit[BT_FIGURE_CUP], band->limit[BT_FIGURE_CUP]));
    cr_expect(near(dir.job.limits.limit[BT_FIGURE_ZONE], 1));
    cr_expect(near(dir.job.limits.limit[BT_FIGURE_LOCAL], 25.4 / 64));
    cr_expect(near(dir.job.limits.local_span, 304.8));
    cr_expect_null(note_with(dir.job.note, dir.job.nnote, "limit"));
    jobdir_remove(&dir);
}

Test(job, has_no_span_of_a_local_limit_that_is_not_stated)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini",
                 "[limits]\nuse = bench top\nlocal =\n[readings a]\nfiles = "
                 "heights.csv\n");
    jobdir_load_well(&dir);
    cr_expect(isnan(dir.job.limits.limit[BT_FIGURE_LOCAL]));
    cr_expect(isnan(dir.job.limits.limit[BT_FIGURE_ZONE]));
    cr_expect(isnan(dir.job.limits.local_span));
    jobdir_remove(&dir);
}

/* ---- boards ---- */

static void load_boards(struct jobdir *dir, const char *boards, const char *ini)
{
    char text[500];

    jobdir_make(dir);
    jobdir_write(dir, "heights.csv", heights);
    jobdir_write(dir, "boards.csv", boards);
    snprintf(text, sizeof text,
             "[job]\nunits = mm\n[panel]\nlength = 1200\nwidth = 600\n%s"
             "[readings a]\nfiles = heights.csv\n",
             ini);
    jobdir_write(dir, "job.ini", text);
    jobdir_load_well(dir);
}

Test(job, reads_boards_and_puts_joints_at_the_running_sums)
{
    struct jobdir dir;

    load_boards(&dir,
                "board,width,thickness,taper,length,species,rings,grain,show,moisture\n"
                "one,200,27,,1210,ash,bark up,left,either,9.5\n"
                "two,250.5,27.2,-0.3,1210,ash,bark down,,,\nthree,150,27,,,,,,,\n",
                "");
    cr_assert_eq(dir.job.nboard, 3);
    cr_expect_str_eq(dir.job.board[0].name, "one");
    cr_expect_eq(dir.job.board[1].line, 3);
    cr_expect(near(dir.job.board[1].taper, -0.3));
    cr_expect(near(dir.job.board[0].moisture, 9.5));
    cr_expect_str_eq(dir.job.board[0].rings, "bark up");
    cr_expect_str_eq(dir.job.board[2].species, "");
    cr_expect(isnan(dir.job.board[2].length));
    cr_assert_eq(dir.job.njoint, 2);
    cr_expect(near(dir.job.joint[0], 200));
    cr_expect(near(dir.job.joint[1], 450.5));
    jobdir_remove(&dir);
}

Test(job, uses_no_joints_where_the_boards_miss_the_width_by_over_2_mm)
{
    struct jobdir dir;

    load_boards(&dir, "board,width\n1,200\n2,250\n3,152.5\n", "");
    cr_expect_eq(dir.job.njoint, 0);
    cr_expect_not_null(note_with(dir.job.note, dir.job.nnote,
                                 "the boards are 602.5 mm wide together, the panel is "
                                 "600 mm: their joints are not used"));
    jobdir_remove(&dir);
}

Test(job, takes_stated_joints_before_those_of_the_boards)
{
    struct jobdir dir;

    load_boards(&dir, "board,width\n1,200\n2,250\n3,150\n",
                "[boards]\njoints = 210 , 44 cm\n");
    cr_assert_eq(dir.job.njoint, 2);
    cr_expect(near(dir.job.joint[0], 210));
    cr_expect(near(dir.job.joint[1], 440));
    jobdir_remove(&dir);
}

/* ---- sets ---- */

static const char three_sets[] = "[readings first]\nfiles = heights.csv\n"
                                 "date = 2026-03-02\n"
                                 "[readings undated]\nfiles = heights.csv\n"
                                 "[readings later]\nfiles = heights.csv\n"
                                 "date = 2026-03-09\n"
                                 "[readings same day]\nfiles = heights.csv\n"
                                 "date = 2026-03-09\n";

static void load_three(struct jobdir *dir, const struct bt_load_options *options)
{
    jobdir_make(dir);
    jobdir_write(dir, "heights.csv", heights);
    jobdir_write(dir, "job.ini", three_sets);
    jobdir_load(dir, options);
}

Test(job, takes_the_latest_set_and_the_later_section_on_a_tie)
{
    struct jobdir dir;

    load_three(&dir, NULL);
    cr_expect_eq(dir.job.nset, 4);
    cr_expect_eq(dir.job.nset_named, 4);
    cr_expect_eq(bt_job_latest(&dir.job), 3);
    jobdir_remove(&dir);
}

Test(job, keeps_the_latest_set_alone_where_asked)
{
    const struct bt_load_options options = {.latest_only = true};
    struct jobdir dir;

    load_three(&dir, &options);
    cr_assert_eq(dir.job.nset, 1);
    cr_expect_eq(dir.job.nset_named, 4);
    cr_expect_str_eq(dir.job.set[0].name, "same day");
    cr_expect_eq(dir.job.set[0].readings.nobs, 3);
    jobdir_remove(&dir);
}

Test(job, keeps_the_named_set_alone_where_asked)
{
    const struct bt_load_options options = {.only_set = "undated"};
    struct jobdir dir;

    load_three(&dir, &options);
    cr_assert_eq(dir.job.nset, 1);
    cr_expect_str_eq(dir.job.set[0].name, "undated");
    jobdir_remove(&dir);
}

Test(job, names_the_nearest_set_where_the_one_asked_for_is_unknown)
{
    const struct bt_load_options options = {.only_set = "frist"};
    struct jobdir dir;

    load_three(&dir, &options);
    cr_expect_eq(dir.status, BT_EINPUT);
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_str_eq(dir.faults.item[0].file, "--set");
    cr_expect_str_eq(dir.faults.item[0].message,
                     "no such set: 'frist', did you mean 'first'?");
    jobdir_remove(&dir);
}

Test(job, names_the_folder_that_holds_no_job_file_as_it_was_typed)
{
    struct jobdir dir;
    char want[80];

    jobdir_make(&dir);
    jobdir_load_file(&dir, "", NULL);
    snprintf(want, sizeof want, "%s/job.ini", dir.path);
    cr_expect_eq(dir.status, BT_ENOFILE);
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_str_eq(dir.faults.item[0].file, want);
    cr_expect_str_eq(
        dir.faults.item[0].message,
        "there is no such file: `benchtrue new DIR` writes one to fill in");
    jobdir_remove(&dir);
}

Test(job, has_no_latest_set_where_there_is_none)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "job.ini", "[panel]\nlength = 1 m\n");
    jobdir_load_well(&dir);
    cr_expect_eq(bt_job_latest(&dir.job), 0);
    cr_expect_not_null(note_with(dir.job.note, dir.job.nnote, "no readings"));
    jobdir_remove(&dir);
}

/* ---- paths ---- */

Test(job, is_found_by_its_folder_and_by_its_file)
{
    static const char *const endings[] = {"", "/", "/job.ini"};
    struct jobdir dir;
    char path[100];

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = heights.csv\n");
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        struct bt_job job;
        struct bt_faults faults = {0};
        snprintf(path, sizeof path, "%s%s", dir.path, endings[i]);
        cr_expect_eq(bt_job_load(path, NULL, &job, &faults), BT_OK, "%s", path);
        cr_expect_eq(job.nset, 1, "%s", path);
        bt_job_clear(&job);
        bt_faults_clear(&faults);
    }
    jobdir_remove(&dir);
}

Test(job, is_found_in_the_current_folder)
{
    struct jobdir dir;
    struct bt_job job;

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = heights.csv\n");
    cr_assert_eq(chdir(dir.path), 0);
    cr_expect_eq(bt_job_load("job.ini", NULL, &job, NULL), BT_OK);
    cr_expect_str_eq(job.folder, ".");
    cr_expect_eq(job.set[0].readings.nobs, 3);
    bt_job_clear(&job);
    cr_assert_eq(chdir("/"), 0);
    jobdir_remove(&dir);
}

Test(job, follows_links_that_stay_in_the_folder)
{
    struct jobdir dir;
    char path[100];

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = link.csv\n");
    snprintf(path, sizeof path, "%s/link.csv", dir.path);
    cr_assert_eq(symlink("heights.csv", path), 0);
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.set[0].readings.nobs, 3);
    jobdir_remove(&dir);
}

Test(job, reads_a_bare_readings_file_with_the_size_it_is_given)
{
    const struct bt_load_options options = {.length = 500, .width = NAN};
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "bare.csv", "x_in,y_in,height_thou\n0,0,5\n19,0,7\n0,9,6\n");
    jobdir_load_file(&dir, "bare.csv", &options);
    cr_assert_eq(dir.status, BT_OK);
    cr_expect_str_eq(dir.job.folder, "");
    cr_expect_eq(dir.job.system, BT_SYSTEM_IN);
    cr_expect(near(dir.job.panel.length, 500));
    cr_expect(isnan(dir.job.panel.width));
    cr_assert_eq(dir.job.nset, 1);
    cr_expect_str_eq(dir.job.set[0].name, "bare.csv");
    cr_expect_eq(dir.job.set[0].line, 0);
    cr_expect(dir.job.set[0].one_reference);
    jobdir_remove(&dir);
}

Test(job, does_not_use_names_of_instruments_in_a_bare_file)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "bare.csv",
                 "line,x_mm,y_mm,gap_mm,instrument\nl,0,0,0.1,edge\n"
                 "l,500,0,0.2,feelers\n");
    jobdir_load_file(&dir, "bare.csv", NULL);
    cr_assert_eq(dir.status, BT_OK);
    cr_expect_eq(dir.job.set[0].readings.ngroup, 1);
    cr_expect_not_null(note_with(dir.job.set[0].note, dir.job.set[0].nnote,
                                 "no job.ini declares instruments"));
    jobdir_remove(&dir);
}

Test(job, refuses_a_place_outside_the_size_that_a_bare_file_is_given)
{
    const struct bt_load_options options = {.length = 400, .width = NAN};
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "bare.csv", "x_mm,y_mm,height_mm\n0,0,5\n402.1,0,7\n0,9000,6\n");
    jobdir_load_file(&dir, "bare.csv", &options);
    cr_expect_eq(dir.status, BT_EINPUT);
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_eq(dir.faults.item[0].line, 3);
    cr_expect_str_eq(
        dir.faults.item[0].message,
        "outside the panel: '402.1', x, along the panel, is 0 to 400 mm (and "
        "up to 2 mm beyond)");
    jobdir_remove(&dir);
}

Test(job, tells_the_faults_of_all_its_files)
{
    struct jobdir dir;

    jobdir_make(&dir);
    jobdir_write(&dir, "heights.csv", "x_mm,y_mm,height_mm\n0,0,a\n500,b,5.02\n");
    jobdir_write(&dir, "boards.csv", "board,width_mm\n1,-3\n");
    jobdir_write(&dir, "job.ini",
                 "[panel]\nlength = 0 mm\n[readings a]\n"
                 "files = heights.csv\n");
    jobdir_load(&dir, NULL);
    cr_expect_eq(dir.status, BT_EINPUT);
    cr_assert_eq(dir.faults.n, 4);
    cr_expect_str_eq(dir.faults.item[0].file, "job.ini");
    cr_expect_str_eq(dir.faults.item[1].file, "boards.csv");
    cr_expect_str_eq(dir.faults.item[2].file, "heights.csv");
    cr_expect_eq(dir.faults.item[3].line, 3);
    jobdir_remove(&dir);
}

Test(job, keeps_earlier_faults_and_returns_the_status_of_its_own)
{
    struct jobdir dir;

    jobdir_make(&dir);
    bt_fault_add(&dir.faults, BT_ENOFILE, "other", 1, 1, "before");
    jobdir_write(&dir, "heights.csv", heights);
    jobdir_write(&dir, "job.ini", "[readings a]\nfiles = heights.csv\n");
    jobdir_load(&dir, NULL);
    cr_expect_eq(dir.status, BT_OK);
    cr_expect_eq(dir.faults.n, 1);
    jobdir_remove(&dir);
}

Test(job, counts_nothing_as_done_without_room_for_faults)
{
    struct bt_job job;

    cr_expect_eq(bt_job_load(BT_TESTS_DIR "/bad/readings/nan.csv", NULL, &job, NULL),
                 BT_EINPUT);
    bt_job_clear(&job);
}

Test(job, stops_telling_after_a_thousand_faults_in_a_file)
{
    struct jobdir dir;
    static char text[40000];
    size_t used = (size_t)sprintf(text, "x_mm,y_mm,height_mm\n");

    for (int i = 0; i < 1500; i++)
        used += (size_t)sprintf(text + used, "%d,0,bad\n", i);
    jobdir_make(&dir);
    jobdir_write(&dir, "many.csv", text);
    jobdir_load_file(&dir, "many.csv", NULL);
    cr_expect_eq(dir.faults.n, BT_FAULTS_PER_FILE + 1);
    cr_expect_str_eq(dir.faults.item[BT_FAULTS_PER_FILE].message,
                     "1000 faults so far, the rest of the file was not read; correct "
                     "these first");
    jobdir_remove(&dir);
}

Test(job, mirrors_y_into_the_frame_of_the_panel_for_the_bottom_face)
{
    struct bt_job job = {.panel.width = 600};
    struct bt_set set = {.face = BT_FACE_BOTTOM};

    cr_expect(near(bt_job_panel_y(&job, &set, 150), 450));
    set.face = BT_FACE_TOP;
    cr_expect(near(bt_job_panel_y(&job, &set, 150), 150));
}

Test(job, is_unstated_after_clearing_and_can_be_cleared_twice)
{
    struct bt_job job;

    memset(&job, 0, sizeof job);
    bt_job_init(&job);
    cr_expect(isnan(job.panel.length));
    bt_job_clear(&job);
    bt_job_clear(&job);
    bt_job_clear(NULL);
    cr_expect_null(job.title);
}
