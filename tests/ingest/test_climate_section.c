/* SPDX-License-Identifier: GPL-3.0-or-later */

/* [climate] of job.ini: what is read, and every fault. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>

#include "benchtrue/wood/moisture.h"
#include "jobdir.h"

static void load(struct jobdir *dir, const char *climate)
{
    char ini[512];

    snprintf(ini, sizeof ini, "[job]\nunits = mm\n[climate]\n%s", climate);
    jobdir_make(dir);
    jobdir_write(dir, "job.ini", ini);
}

static void near(double got, double want)
{
    cr_expect(fabs(got - want) <= 1e-9 * fabs(want), "got %.12g, want %.12g", got,
              want);
}

Test(climate_section, takes_the_air_or_the_wood_itself)
{
    struct jobdir dir;
    const struct bt_climate *c = &dir.job.climate;
    double moisture;

    load(&dir, "driest = 30 % at 21 C\ndampest = 60 % at 68 F\nnow = 8.5 %\n");
    jobdir_load_well(&dir);
    near(c->driest.humidity, 30);
    near(c->driest.temperature, 21);
    cr_assert_eq(bt_moisture_of_air(21, 30, &moisture, NULL), BT_OK);
    near(c->driest.moisture, moisture);
    cr_assert_eq(bt_moisture_of_air(20, 60, &moisture, NULL), BT_OK);
    near(c->dampest.temperature, 20);
    near(c->dampest.moisture, moisture);
    near(c->now.moisture, 8.5);
    cr_expect(isnan(c->now.humidity));
    jobdir_remove(&dir);
}

Test(climate_section, states_nothing_where_it_is_missing)
{
    struct jobdir dir;

    load(&dir, "now = 9\n");
    jobdir_load_well(&dir);
    near(dir.job.climate.now.moisture, 9);
    cr_expect(isnan(dir.job.climate.driest.moisture));
    cr_expect(isnan(dir.job.climate.dampest.moisture));
    jobdir_remove(&dir);
}

Test(climate_section, tells_each_fault_with_its_place)
{
    static const struct {
        const char *climate, *message;
        size_t line, column;
    } rows[] = {
        {"driest = 80 %\n",
         "wood in a room is no damper than 30 %: '80 %'; the air is written with its "
         "temperature, as 80 % at 20 C",
         4, 10},
        {"driest = 30 % at 20\n",
         "a number without a unit: '20', write a number with a unit such as 21 C or 70 "
         "F",
         4, 18},
        {"driest = 130 % at 20 C\n", "driest must be 0 % to 100 %: '130 %'", 4, 10},
        {"now = 40 % at -20 C\n", "the temperature must be -1.2 C to 99 C", 4, 15},
        {"driest = 12 %\ndampest = 6 %\n",
         "the dampest is drier than the driest: wood comes to 6.0 % in it, and to 12.0 "
         "% in the driest",
         5, 11},
        {"wettest = 12 %\n",
         "unknown key in [climate]: 'wettest', did you mean 'driest'?", 4, 1},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct jobdir dir;

        load(&dir, rows[i].climate);
        jobdir_load(&dir, NULL);
        cr_expect_eq(dir.status, BT_EINPUT, "%s", rows[i].climate);
        cr_assert_eq(dir.faults.n, 1, "%s", rows[i].climate);
        cr_expect_str_eq(dir.faults.item[0].message, rows[i].message);
        cr_expect_eq(dir.faults.item[0].line, rows[i].line, "%s", rows[i].climate);
        cr_expect_eq(dir.faults.item[0].column, rows[i].column, "%s: %zu",
                     rows[i].climate, dir.faults.item[0].column);
        jobdir_remove(&dir);
    }
}
