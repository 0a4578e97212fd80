/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Every allocation of loading fails once in turn: out of memory each time, a job that
 * can be cleared, and no leak.
 */
#include <criterion/criterion.h>

#include <math.h>

#include "jobdir.h"
#include "support/memory.h"

/* libcsv asks again for less where it gets no room: a failure may then pass. */
static void fail_each(const char *path, enum bt_status want)
{
    const struct bt_load_options options = {
        .length = NAN, .width = NAN, .blank_is_fault = true};
    size_t passed = 0, k = 1;

    /* Until a run ends before the allocation that was to fail. */
    for (memory_fail_at(0); memory_calls() >= k - 1; k++) {
        struct bt_job job;
        struct bt_faults faults = {0};
        enum bt_status status;
        const size_t before = memory_live();

        memory_fail_at(k);
        status = bt_job_load(path, &options, &job, &faults);
        if (status != BT_ENOMEM)
            cr_expect_eq(status, want, "allocation %zu of %s", k, path);
        passed += status != BT_ENOMEM && memory_calls() >= k;
        bt_job_clear(&job);
        bt_faults_clear(&faults);
        cr_expect_eq(memory_live(), before, "allocation %zu of %s: blocks lost", k,
                     path);
    }
    cr_expect(k > 20, "%s", path);
    /* one table a file and one a header of what might be a scan, one asking again a
     * table */
    cr_expect(passed <= 17, "%s: %zu failures passed", path, passed);
    memory_fail_at(0);
}

/* A job with something of everything that is read. */
static void write_all(struct jobdir *dir)
{
    jobdir_make(dir);
    jobdir_write(dir, "job.ini",
                 "[job]\ntitle = t\nclient = c\ndate = 2026-03-01\nunits = mm\n"
                 "[panel]\nlength = 1200\nwidth = 600\nspecies = ash\n"
                 "[limits]\nuse = shelf\nzone = 1\n[feelers]\npaper = 0.1\n"
                 "[instrument e]\nkind = straightedge\nu = 0.02\n"
                 "[instrument b]\nkind = bar\nzero = unknown\n[glue]\nkind = epoxy\n"
                 "[layout]\nclear = 90 +- 5, 300 +- 9\n[fixing]\nfixed = 90\nload = 40 "
                 "N\n[fence]\nlength = 900\n[clamp "
                 "bar]\ncount = 6\n"
                 "[instrument sq]\nkind = square\nu = 0.2 mm/m\n"
                 "[readings first]\nfiles = gaps.csv, bar.csv, heights.csv, grid.csv\n"
                 "supports = 1000, 200\ninstrument = e\n"
                 "[readings second]\nfiles = scan.csv, slope.csv, sticks.csv\n");
    jobdir_write(dir, "boards.csv", "board,width,species\n1,250,ash\n2,350,ash\n");
    jobdir_write(
        dir, "cutouts.csv",
        "name,shape,x,y,diameter\nport,circle,50,60,20\nhole,circle,90,60,9\n");
    jobdir_write(dir, "stock.csv",
                 "board,length,width,thickness,cup,species,nominal,cut\n"
                 "a,2400,150,34,2,ash,5/4,900\nb,2400,150,34,1,,,\n");
    jobdir_write(dir, "fixings.csv", "x,y,kind,name\n50,60,slot,a\n90,60,clip,b\n");
    jobdir_write(
        dir, "fence.csv",
        "kind,station,height,gap,open_at,width,hollow_at,reading_deg,turned_deg\n"
        "square,100,95,0.05..0.1,top,,,,\nsquare,500,95,1/46 in,top,,,,\n"
        "doubled,,,0.1,,80,fence face,,\nangle,800,,,,,,90.1,\n"
        "angle,,,,,,,,\n");
    jobdir_write(dir, "opening.csv",
                 "kind,where,at,reading,angle_deg,x,y\nside,back,,1200,,,\n"
                 "diagonal,AC,,1/46 in,,,\noffset,left,0,2,,,\npoint,back,,,,0,0\n"
                 "angle,A,,,90,,\nside,left,,,,,\n");
    jobdir_write(dir, "dryfit.csv",
                 "joint,at,show_gap,other_gap\n1,0,0.05,0\n1|2,600,paper,1/46 in\n"
                 "1-2,1200,0,<0.05\n1,300,,\n");
    jobdir_write(dir, "lines.csv", "line,from,to\nback,A,B\nfront,D,C\nspare,A,C\n");
    jobdir_write(dir, "gaps.csv",
                 "line,at,gap,note\nback,0,paper,\nback,600,0.2..0.25,\n"
                 "back,600,0.2,\nback,1200,0.1,\nfront,0,0.1,\n"
                 "front,300,1/46 in,\nfront,1200,,\n");
    jobdir_write(dir, "bar.csv",
                 "foot1_x,foot1_y,dial_x,dial_y,foot2_x,foot2_y,rise,instrument\n"
                 "1,1,300,0,600,0,0.02,b\n0,0,300,0,599,0,0.02,b\n");
    jobdir_write(dir, "heights.csv",
                 "x,y,height,setup\n0,0,5.01,1\n600,0,5.02,1\n"
                 "1200,0,5.02,1\n0,0,5,2\n0,300,5.1,2\n9,300,5,2\n");
    jobdir_write(dir, "grid.csv", "gap-along_mm@mm,0,600,1200\n0,0.1,0.2,0.1\n");
    jobdir_write(dir, "scan.csv", "x,y,z\n0,0,0.1\n5,5,0.2\n");
    jobdir_write(dir, "slope.csv", "x1,y1,x2,y2,slope_deg\n0,0,600,0,0.1\n");
    jobdir_write(dir, "sticks.csv", "x1,x2,y1,y2,stick,wind\n1,900,0,500,600,0.3\n");
}

Test(job_memory, each_failing_allocation_of_a_job_is_told_and_leaks_nothing)
{
    struct jobdir dir;

    write_all(&dir);
    fail_each(dir.path, BT_OK);
    jobdir_remove(&dir);
}

Test(job_memory, each_failing_allocation_of_a_bare_file_is_told_and_leaks_nothing)
{
    fail_each(BT_SAMPLE_DIR "/readings-grid.csv", BT_OK);
}

Test(job_memory, each_failing_allocation_beside_a_fault_leaks_nothing)
{
    fail_each(BT_TESTS_DIR "/bad/job/unknown-line", BT_EINPUT);
    fail_each(BT_TESTS_DIR "/bad/job/joint-letters", BT_EINPUT);
    fail_each(BT_TESTS_DIR "/bad/fence/open-at-missing", BT_EINPUT);
    fail_each(BT_TESTS_DIR "/bad/dryfit/joint-that-is-none", BT_EINPUT);
    fail_each(BT_TESTS_DIR "/bad/readings/line-not-straight.csv", BT_EINPUT);
    fail_each(BT_TESTS_DIR "/bad/readings/every-reading-blank.csv", BT_EINPUT);
}
