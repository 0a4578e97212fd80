/* SPDX-License-Identifier: GPL-3.0-or-later */

/* [plan] of job.ini: what is read, and every fault. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "jobdir.h"

static void load(struct jobdir *dir, const char *plan)
{
    char ini[1024];

    snprintf(ini, sizeof ini, "[job]\nunits = mm\n[plan]\n%s", plan);
    jobdir_make(dir);
    jobdir_write(dir, "job.ini", ini);
}

static void near(double got, double want)
{
    cr_expect(fabs(got - want) <= 1e-9 * fabs(want), "got %.12g, want %.12g", got,
              want);
}

Test(plan_section, reads_every_key_into_inside_units)
{
    struct jobdir dir;
    const struct bt_work_plan *p = &dir.job.plan;

    load(&dir, "least_thickness = 22\nleast_width = 1 in\ndepth_per_pass = 0.4 mm\n"
               "machine_width = 610 mm\nshaving = 0.05\nkerf = 2.6\njointing = 0.8\n"
               "trim = 0\nsetup_time = 1 h\npass_time = 5 min\nplane_time = 10 min\n"
               "joint_time = 30 min\nscrew_time = 2 min\nhand_force = 20 lbf\n"
               "hand_gap = 1.5\nscrew_diameter = 4.5\nscrew_thread = 20\n"
               "screw_lines = 5\nscrews = 3\n");
    jobdir_load_well(&dir);
    near(p->least_thickness, 22);
    near(p->least_width, 25.4);
    near(p->depth_per_pass, 0.4);
    near(p->machine_width, 610);
    near(p->shaving, 0.05);
    near(p->kerf, 2.6);
    near(p->jointing, 0.8);
    cr_expect(fabs(p->trim) <= 0);
    near(p->setup_time, 60);
    near(p->pass_time, 5);
    near(p->plane_time, 10);
    near(p->joint_time, 30);
    near(p->screw_time, 2);
    near(p->hand_force, 88.96443230521);
    near(p->hand_gap, 1.5);
    near(p->screw_diameter, 4.5);
    near(p->screw_thread, 20);
    cr_expect_eq(p->screw_lines, 5);
    cr_expect_eq(p->screws, 3);
    jobdir_remove(&dir);
}

Test(plan_section, states_nothing_where_it_is_missing)
{
    struct jobdir dir;

    load(&dir, "");
    jobdir_load_well(&dir);
    cr_expect(isnan(dir.job.plan.least_thickness));
    cr_expect(isnan(dir.job.plan.kerf));
    cr_expect_eq(dir.job.plan.screws, 0);
    jobdir_remove(&dir);
}

Test(plan_section, tells_each_fault_with_its_place)
{
    static const struct {
        const char *plan, *message;
        size_t line, column;
    } rows[] = {
        {"kerf = -1\n", "kerf must not be below 0: '-1'", 4, 8},
        {"least_thickness = 0\n",
         "least_thickness must be more than 0, such as 1.5 mm or 1/16 in: '0'", 4, 19},
        {"pass_time = 5\n",
         "a number without a unit: '5', write minutes as 20 min or hours as 2 h", 4,
         13},
        {"hand_force = 50 N\n",
         "hand_force without hand_gap: state the gap that the push closed, too", 4, 1},
        {"hand_gap = 1\n",
         "hand_gap without hand_force: state the push that closed it, too", 4, 1},
        {"screw_lines = 2\n",
         "screw_lines must be 3 or more: two lines of screws cannot pull a panel flat",
         4, 15},
        {"screws = 1.5\n", "screws must be a whole number, 1 to 1000, such as 6: '1.5'",
         4, 10},
        {"kerff = 3\n", "unknown key in [plan]: 'kerff', did you mean 'kerf'?", 4, 1},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct jobdir dir;

        load(&dir, rows[i].plan);
        jobdir_load(&dir, NULL);
        cr_expect_eq(dir.status, BT_EINPUT, "%s", rows[i].plan);
        cr_assert_geq(dir.faults.n, 1, "%s", rows[i].plan);
        cr_expect_eq(strncmp(dir.faults.item[0].message, rows[i].message,
                             strlen(rows[i].message)),
                     0, "%s", dir.faults.item[0].message);
        cr_expect_eq(dir.faults.item[0].line, rows[i].line, "%s", rows[i].plan);
        cr_expect_eq(dir.faults.item[0].column, rows[i].column, "%s: %zu", rows[i].plan,
                     dir.faults.item[0].column);
        jobdir_remove(&dir);
    }
}
